"""Whether wedges and cuts lie where scissors could make them: inside the piece, clear of each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from transform.alter.centre import TOUCH, distance_to_fold
from transform.alter.closing import Closing, Mouth
from transform.alter.cutting import HINGE
from transform.alter.facts import Notice
from transform.alter.regions import polygon_of, within
from transform.geometry.chain import Chain, coordinates
from transform.geometry.meeting import line_meets
from transform.geometry.nearest import nearest
from transform.geometry.tips import NEAR_END_MM
from transform.pattern.model import Piece

_CLEAR = 0.01
_BESIDE = 2.0
"""A new dart opens no nearer to another one, mm along the outline."""


def check_sight(piece: Piece, closings: Sequence[Closing]) -> list[Notice]:
    """Refuse what cannot be cut; give notices for what is only close.

    Raises:
        AlterError: where a leg or a cut leaves the piece, crosses a dart or another wedge, or where a
            wedge runs over a dart, past the edge, or into another wedge.
    """
    notices: list[Notice] = []
    for index, closing in enumerate(closings):
        _check_crossing(piece, closing)
        _check_pivot(piece, closing)
        _check_wedge(piece, closing)
        _check_mouths(piece, closing, closings[: index + 1])
        for other in closings[:index]:
            _check_apart(piece, closing, other)
        for start, end in _cuts(piece, closing):
            _check_clear(piece, closing, start, end)
        notices.extend(_near_end(piece, closing))
    return notices


def _cuts(piece: Piece, closing: Closing) -> Iterator[tuple[complex, complex]]:
    """The straight cuts: both legs from the pivot, and the mouths; or right across, from edge to edge."""
    chain = piece.stitching.chain
    across = [mouth for mouth in closing.mouths if mouth.is_gone]
    if across:
        yield chain.point(across[0].last), chain.point(closing.low)
        yield chain.point(across[0].first), chain.point(closing.high)
        return
    if closing.turn is None:
        yield closing.pivot, closing.first_leg
        yield closing.pivot, closing.second_leg
    for mouth in closing.mouths:
        if mouth.dart is None or (not mouth.is_new and closing.pivot_dart == mouth.dart):
            continue
        yield closing.pivot, chain.point(mouth.first)
        if mouth.last != mouth.first:
            yield closing.pivot, chain.point(mouth.last)


MOST_CROSSING = 5000
"""A line that runs across itself may have this many points."""


def _check_crossing(piece: Piece, closing: Closing) -> None:
    """Refuse a line of thousands of points that runs across itself: what lies in it costs their square."""
    points = piece.stitching.chain.samples(0.5)
    if len(points) > MOST_CROSSING and not shapely.Polygon(coordinates(points)).is_valid:
        text = f"the outline of {piece.name} has {len(points)} points and runs across itself"
        raise closing.asked.refusal("crosses itself", text)


def _check_pivot(piece: Piece, closing: Closing) -> None:
    if closing.pivot_place is not None or closing.pivot_dart is not None or closing.is_across:
        return
    polygon = shapely.Polygon(coordinates(piece.stitching.chain.samples(0.5)))
    if not shapely.intersects_xy(polygon, closing.pivot.real, closing.pivot.imag):
        raise closing.asked.refusal(
            "pivot outside", f"the pivot {_point(closing.pivot)} does not lie on the piece"
        )


def _check_wedge(piece: Piece, closing: Closing) -> None:
    outline = piece.stitching
    whole = outline.chain.length
    width = (closing.high - closing.low) % whole
    for index, stretch in enumerate(outline.stretches):
        begin, end = outline.interval(index)
        if stretch.dart is not None and within((begin + end) / 2, closing.low, closing.high, whole):
            raise closing.asked.refusal(
                "over a dart", f"the wedge on {closing.edge} runs over the mouth of {stretch.dart}"
            )
        if stretch.edge not in (None, closing.edge) and within(
            (begin + end) / 2, closing.low, closing.high, whole
        ):
            raise closing.asked.refusal("past the edge", f"the wedge runs past the end of {closing.edge}")
    for mouth in closing.mouths:
        if width > 0 and within(mouth.first, closing.low, closing.high, whole):
            raise closing.asked.refusal(
                "over its mouth", "the wedge and the place that opens touch each other"
            )
    legs = closing.first_leg - closing.pivot, closing.second_leg - closing.pivot
    across = abs((legs[0].conjugate() * legs[1]).imag) / max(map(abs, legs))
    if closing.turn is None and not closing.is_across and across < _CLEAR:
        raise closing.asked.refusal(
            "no wedge", f"the legs of the wedge on {closing.edge} lie on one line with the pivot"
        )
    if closing.removal.pinched and not closing.followed:
        near = min(distance_to_fold(piece, place) for place in (closing.low, closing.high))
        if near < TOUCH:
            raise closing.asked.refusal(
                "pinched at the fold",
                "the wedge touches the fold line or a centre seam, where a pinch is shared by both halves: "
                "give `removed`, the amount from this half, instead of `pinched`",
            )


def _check_mouths(piece: Piece, closing: Closing, closings: Sequence[Closing]) -> None:
    """Refuse a new dart at the place where another one opens, or beside one that is there."""
    whole = piece.stitching.chain.length
    others = {dart.name: dart.mouth for dart in piece.darts}
    others |= {m.dart: (m.first, m.last) for c in closings for m in c.mouths if m.dart is not None}
    for mouth in closing.mouths:
        if mouth.dart is None or not mouth.is_new or mouth.filled:
            continue
        for name, (first, last) in others.items():
            gap = min(abs((place - mouth.first + whole / 2) % whole - whole / 2) for place in (first, last))
            if name != mouth.dart and gap < _BESIDE:
                raise closing.asked.refusal(
                    "darts meet",
                    f"{mouth.dart} would open {gap:.1f} mm from {name}: open one dart, by one name, or let "
                    f"it open at least {_BESIDE:g} mm away",
                )


def _check_apart(piece: Piece, closing: Closing, other: Closing) -> None:
    whole = piece.stitching.chain.length
    middle = (closing.low + ((closing.high - closing.low) % whole) / 2) % whole
    if (
        within(closing.low, other.low, other.high, whole)
        or within(closing.high, other.low, other.high, whole)
        or within(other.low, closing.low, closing.high, whole)
        or within(middle, other.low, other.high, whole)
    ):
        raise closing.asked.refusal("wedges overlap", f"the wedge overlaps that of {other.name}")
    for one, opener in ((closing, other), (other, closing)):
        for mouth in opener.mouths:
            if mouth.dart is not None and (one.high - one.low) % whole > 0 and _touch(mouth, one, whole):
                text = (
                    f"{mouth.dart}, which {opener.name} opens, lies in the wedge of {one.name}: "
                    "let it open beside the wedge, or move the wedge"
                )
                raise closing.asked.refusal("over its mouth", text)
    for start, end in _cuts(piece, closing):
        for first, last in _cuts(piece, other):
            if _cross(start, end, first, last):
                shared = {mouth.dart for mouth in closing.mouths} & {mouth.dart for mouth in other.mouths}
                hint = "; close both to one pivot, as they open one dart" if shared - {None} else ""
                text = f"a cut crosses a cut of {other.name}{hint}"
                raise closing.asked.refusal("crosses a wedge", text)


def _touch(mouth: Mouth, closing: Closing, whole: float) -> bool:
    return any(within(place, closing.low, closing.high, whole) for place in (mouth.first, mouth.last))


def _check_clear(piece: Piece, closing: Closing, pivot: complex, end: complex) -> None:
    outline = piece.stitching
    reach = abs(end - pivot)
    if reach < _CLEAR:
        raise closing.asked.refusal("no wedge", f"the pivot lies on {closing.edge} itself, at the wedge")
    if closing.pivot_place is not None and _is_outside(outline.chain, (pivot + end) / 2):
        # From edge to edge a cut can leave the piece without meeting its outline in between.
        raise closing.asked.refusal(
            "cannot see the edge",
            f"the straight cut from the pivot {_point(pivot)} to {_point(end)} lies outside the piece",
        )
    opened = {mouth.dart for mouth in closing.mouths}
    for distance, place in line_meets(outline.chain, pivot, end - pivot):
        if _CLEAR < distance < reach - _CLEAR:
            stretch = _stretch_of_segment(piece, outline.chain.locate(place)[0])
            if outline.stretches[stretch].dart in opened - {None}:
                # The legs of a dart that opens are redrawn to the pivot.
                continue
            what = (
                f"crosses {outline.stretches[stretch].dart}"
                if outline.stretches[stretch].dart
                else "leaves the piece"
            )
            raise closing.asked.refusal(
                "cannot see the edge",
                f"the straight cut from the pivot {_point(pivot)} to {_point(end)} {what} "
                f"at {_point(outline.chain.point(place))}",
            )
    for dart in piece.darts:
        if dart.name in opened or dart.name == closing.pivot_dart:
            continue
        if any(_cross(pivot, end, dart.point, leg) for leg in dart.legs):
            raise closing.asked.refusal(
                "crosses a dart",
                f"the straight cut from the pivot {_point(pivot)} to {_point(end)} crosses {dart.name}",
            )


def _is_outside(outline: Chain, point: complex) -> bool:
    if nearest(outline, point)[1] < _CLEAR:
        return False
    polygon = polygon_of(outline.samples(0.5))
    return not shapely.contains_xy(polygon, point.real, point.imag)


def _stretch_of_segment(piece: Piece, segment: int) -> int:
    for index, stretch in enumerate(piece.stitching.stretches):
        segment -= len(stretch.chain.segments)
        if segment < 0:
            return index
    return len(piece.stitching.stretches) - 1


def _cross(a: complex, b: complex, c: complex, d: complex) -> bool:
    """Whether two straight cuts cross, ends that meet left out."""
    if min(abs(a - c), abs(a - d), abs(b - c), abs(b - d)) < HINGE:
        return False

    def side(p: complex, q: complex, r: complex) -> float:
        return ((q - p).conjugate() * (r - p)).imag

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _near_end(piece: Piece, closing: Closing) -> Iterator[Notice]:
    edge = piece.stitching.edge(closing.edge)
    distances = [d for d in map(edge.distance, (closing.low, closing.high)) if d is not None]
    room = max(0.0, min((min(d, edge.length - d) for d in distances), default=NEAR_END_MM))
    if room < NEAR_END_MM and closing.turn is None:
        yield Notice(
            "near the edge's end",
            piece.name,
            f"{closing.name}: a leg of the wedge lies {room:.1f} mm from the end of {closing.edge} of "
            f"{piece.name}; the line has little room to be drawn fair",
        )


def _point(point: complex) -> str:
    return f"({point.real:.1f}, {point.imag:.1f})"
