"""A removal of the rules made a closing in numbers; one that cannot be made on this piece is refused here."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping

from rules.labels import fold
from rules.lengths import KeptAngle
from rules.model import ApexPivot, DartPivot, EdgePivot, KnownDart, NewDart, Removal
from transform.alter.closing import Closing, Mouth
from transform.alter.placing import Grade, edge_of, measured_from, name_in, place_on
from transform.alter.problems import Asked
from transform.geometry.chain import SNAP
from transform.geometry.meeting import line_meets
from transform.pattern.model import Dart
from transform.pattern.outline import Edge

AT_END = 0.1
"""A new dart's mouth lies at least this far (mm) from both ends of its edge."""


def resolve(
    index: int, removal: Removal, asked: Asked, grade: Grade, opened_before: Mapping[str, Closing]
) -> Closing:
    """Removal number ``index`` of the rules, in numbers on the asked piece.

    ``opened_before`` are the closings that opened a new dart on this piece, by the dart's folded name.

    Raises:
        AlterError: where the removal does not fit the piece.
    """
    piece = asked.piece
    edge = edge_of(asked.of("edge"), removal.edge)
    forward = measured_from(asked.of("from"), edge, removal.start)
    pivot, pivot_dart, pivot_place = _pivot(removal, asked.of("pivot"), grade, opened_before)
    first, second, width = _wedge(removal, asked, grade, edge, forward, pivot)
    low, high = (first, second) if forward else (second, first)
    opens = asked.of("opens")
    mouths = _mouths(removal, opens, grade, pivot, pivot_dart, pivot_place, opened_before)
    chain = piece.stitching.chain
    return Closing(
        index=index,
        name=removal.name,
        edge=edge.name,
        low=chain.wrap(low),
        high=chain.wrap(high),
        first_leg=chain.point(first),
        second_leg=chain.point(second),
        asked_mm=width,
        pivot=pivot,
        pivot_dart=pivot_dart,
        pivot_place=pivot_place,
        mouths=mouths,
        followed=False,
        removal=removal,
        asked=asked,
    )


def _wedge(
    removal: Removal, asked: Asked, grade: Grade, edge: Edge, forward: bool, pivot: complex
) -> tuple[float, float, float]:
    """The outline places of both legs, B and A, and the width that is taken there, mm."""
    distance = grade.along(removal.distance, edge)
    if not 0 <= distance <= edge.length:
        raise asked.of("distance").refusal(
            "past the edge",
            f"the wedge begins {distance:.2f} mm from {removal.start}, past the end of {edge.name}, which is "
            f"{edge.length:.2f} mm long",
        )
    first = edge.place(distance if forward else edge.length - distance)
    amount, wide = removal.amount, asked.of("pinched" if removal.pinched else "removed")
    reach = abs(edge.outline.chain.point(first) - pivot)
    if isinstance(amount, KeptAngle):
        angle: float | None = grade.angles[removal.name]
        width = 2 * reach * math.sin(grade.angles[removal.name] / 2) if removal.across else 0.0
    else:
        width = grade.mm(amount)
        angle = None
        if removal.across:
            if width >= 2 * reach:
                raise wide.refusal(
                    "too wide", f"{width:.2f} mm across is wider than a wedge can be {reach:.1f} mm away"
                )
            angle = 2 * math.asin(width / (2 * reach))
    if angle is None:
        if width > edge.length:
            raise wide.refusal(
                "too wide", f"{width:.2f} mm is more than {edge.name} holds ({edge.length:.2f} mm)"
            )
        if distance + width > edge.length + 1e-6:
            raise wide.refusal(
                "past the edge",
                f"the wedge runs to {distance + width:.2f} mm from {removal.start}, past the end of "
                f"{edge.name}, which is {edge.length:.2f} mm long",
            )
        second = edge.place(distance + width if forward else edge.length - distance - width)
    else:
        second = _at_angle(wide, edge, forward, first, pivot, angle)
        gone = edge.distance(second)
        width = width or abs((gone or 0.0) - (distance if forward else edge.length - distance))
    if width <= 4 * SNAP:
        raise wide.refusal("removal of nothing", f"nothing is removed: the width is {width:.3g} mm")
    return first, second, width


def _at_angle(asked: Asked, edge: Edge, forward: bool, first: float, pivot: complex, angle: float) -> float:
    """The place on ``edge``, on from ``first``, that is seen from the pivot at ``angle`` rad from it."""
    chain = edge.outline.chain
    leg = chain.point(first) - pivot
    ahead = chain.tangent(first) if forward else -chain.tangent(first, before=True)
    side = math.copysign(1.0, (leg.conjugate() * ahead).imag)
    ray = leg * cmath.exp(1j * side * angle)
    begun = edge.distance(first) or 0.0
    best: float | None = None
    for distance, place in line_meets(chain, pivot, ray):
        along = edge.distance(place)
        if distance <= 0 or along is None:
            continue
        on = along - begun if forward else begun - along
        if on > 1e-9 and (best is None or on < best):
            best = on
    if best is None:
        raise asked.refusal(
            "past the edge", f"the wedge's second leg does not meet {edge.name}: it lies past its end"
        )
    return edge.place(begun + best if forward else begun - best)


def _pivot(
    removal: Removal, asked: Asked, grade: Grade, opened_before: Mapping[str, Closing]
) -> tuple[complex, str | None, float | None]:
    """Pivot point, the dart whose point it is, and its outline place where it is on an edge."""
    piece = asked.piece
    pivot = removal.pivot
    if isinstance(pivot, DartPivot):
        before = opened_before.get(fold(pivot.dart))
        if before is not None:
            return before.pivot, None, None
        dart = _dart(asked, pivot.dart)
        return dart.point, dart.name, None
    if isinstance(pivot, EdgePivot):
        edge = edge_of(asked, pivot.edge)
        place = place_on(asked, edge, pivot.start, grade.along(pivot.distance, edge))
        return piece.stitching.chain.point(place), None, place
    return _apex(pivot, asked), None, None


def _apex(pivot: ApexPivot, asked: Asked) -> complex:
    apexes = asked.piece.apexes
    if not apexes:
        raise asked.refusal(
            "no apex mark",
            "the piece has no apex mark; draw one in a layer labelled `apex mark`, or mend the label of the "
            "one that is there: `ungape inspect` tells what every shape was taken for",
        )
    if pivot.label is None:
        if len(apexes) > 1:
            raise asked.refusal(
                "which apex",
                f"there are several apex marks: {', '.join(apexes)}; say `pivot: {{apex: LABEL}}`",
            )
        return next(iter(apexes.values()))
    return apexes[name_in(asked, "apex mark", pivot.label, list(apexes))]


def _dart(asked: Asked, wanted: str) -> Dart:
    return asked.piece.dart(name_in(asked, "dart", wanted, [dart.name for dart in asked.piece.darts]))


def _mouths(
    removal: Removal,
    asked: Asked,
    grade: Grade,
    pivot: complex,
    pivot_dart: str | None,
    pivot_place: float | None,
    opened_before: Mapping[str, Closing],
) -> tuple[Mouth, ...]:
    """The mouths in the order written."""
    if pivot_place is not None:
        return (Mouth(pivot_place, pivot_place, None, 1.0, is_new=False),)
    found: list[Mouth] = []
    for opening in removal.opens:
        share = 1.0 if opening.share is None else opening.share
        if isinstance(opening, NewDart):
            if any(fold(dart.name) == fold(opening.name) for dart in asked.piece.darts):
                raise asked.refusal(
                    "dart exists", f"there is a dart {opening.name} already; say `opens: {{dart: …}}`"
                )
            edges = {fold(stretch.edge) for stretch in asked.piece.stitching.stretches if stretch.edge}
            if fold(opening.name) in edges:
                raise asked.refusal(
                    "dart exists",
                    f"{opening.name} is the name of an edge, and the mouth of the dart is labelled with the "
                    "dart's; give the dart a name of its own",
                )
            if fold(opening.name) in opened_before:
                raise asked.refusal(
                    "dart exists",
                    f"{opening.name} is opened by {opened_before[fold(opening.name)].name}; "
                    f"say `opens: {{dart: {opening.name}}}` here",
                )
            edge = edge_of(asked, opening.edge)
            along = grade.along(opening.distance, edge)
            place = place_on(asked, edge, opening.start, along)
            if not AT_END <= along <= edge.length - AT_END:
                raise asked.refusal(
                    "past the edge",
                    f"{along:.2f} mm along {edge.name} is one of its ends; a dart opens within its edge",
                )
            found.append(Mouth(place, place, opening.name, share, is_new=True))
            continue
        found.append(_known_mouth(opening, asked, share, pivot, pivot_dart, opened_before))
    return tuple(found)


def _known_mouth(
    opening: KnownDart,
    asked: Asked,
    share: float,
    pivot: complex,
    pivot_dart: str | None,
    opened_before: Mapping[str, Closing],
) -> Mouth:
    before = opened_before.get(fold(opening.name))
    if before is not None:
        for mouth in before.mouths:
            if mouth.dart is not None and fold(mouth.dart) == fold(opening.name):
                return Mouth(mouth.first, mouth.last, mouth.dart, share, is_new=True)
    dart = _dart(asked, opening.name)
    off = abs(dart.point - pivot)
    stands_off = off if pivot_dart != dart.name and off > 1e-6 else None
    return Mouth(dart.mouth[0], dart.mouth[1], dart.name, share, is_new=False, stands_off=stands_off)
