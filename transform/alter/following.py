"""A removal made again on a linked piece: same place, same pivot, same angle, same part turned.

The followed piece is laid on the linked one by their shared edges. What becomes of the wedge there depends
on where the linked piece ends:

    ---B....A---  shared edge      ---B....A---            ---B....A---
        \\  /                          \\  /                   \\  /
    -----f l----  its free edge        \\/ P                   \\/ P
         \\/                            |                      /\\ (a dart)
         P                              | filled               /  \\
    cut right across:              `dart: closed`          `dart: sewn`
    B..A and f..l are gone

Where only the pivot lies on the shared edge the wedge is what its legs cut out of the linked piece, wherever
they leave it; where the linked piece lies on the other side of that edge, it is cut from the pivot on and
opens as the followed piece closes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from rules.labels import fold
from transform.alter.closing import Closing, Mouth
from transform.alter.cutting import Turn, wedge_angle
from transform.alter.problems import AlterError, Asked
from transform.alter.registration import Registration
from transform.geometry.chain import Chain
from transform.geometry.nearest import line_meets, nearest
from transform.pattern.model import Dart, Piece
from transform.pattern.outline import Edge

ON_OUTLINE = 0.05
"""A pivot this near (mm) to the linked piece's outline, or to its dart's point, lies on it."""
_CLEAR = 0.01
_SLACK = 0.05
DartKind = Literal["closed", "sewn"]


@dataclass(frozen=True)
class Following:
    """A linked piece that follows another: how they lie on each other, and what becomes of darts."""

    asked: Asked
    followed: Piece
    registration: Registration
    dart: DartKind
    tolerance: float

    @property
    def piece(self) -> Piece:
        """The linked piece."""
        return self.asked.piece

    @property
    def outline(self) -> Chain:
        """The linked piece's outline as it came."""
        return self.piece.stitching.chain


def follow(following: Following, turns: Sequence[Turn]) -> list[Closing]:
    """The closings of the linked piece that those of the piece it follows lead to.

    ``turns`` are all that the followed piece did, its own and those that it followed itself.

    Raises:
        AlterError: where one of them cannot be made on the linked piece.
    """
    found = []
    for turn in turns:
        closing = _made_again(following, turn)
        if closing is not None:
            found.append(closing)
    return found


def _made_again(following: Following, turn: Turn) -> Closing | None:
    closing = turn.closing
    for one, other in following.registration.edges:
        if closing.turn is None and one.name == closing.edge and one.distance(closing.low) is not None:
            return _on_shared_edge(following, turn, other)
    for one, other in following.registration.edges:
        if closing.pivot_place is not None and one.distance(closing.pivot_place) is not None:
            return _about_shared_edge(following, turn, other)
    return None


def _on_shared_edge(following: Following, turn: Turn, edge: Edge) -> Closing:
    """The closing whose wedge lies on a shared edge."""
    closing, motion, chain = turn.closing, following.registration.motion, following.outline
    known = _own_dart(following, closing)
    pivot = _pivot(following, closing, known)
    legs = [_leg(following, edge, pivot, motion(leg)) for leg in (closing.first_leg, closing.second_leg)]
    low, high = sorted(legs, key=lambda place: edge.distance(place) or 0.0)
    swapped = _swapped(following, closing, low, high)
    base = replace(
        closing,
        edge=edge.name,
        low=chain.wrap(low),
        high=chain.wrap(high),
        first_leg=chain.point(legs[0]),
        second_leg=chain.point(legs[1]),
        asked_mm=abs((edge.distance(high) or 0.0) - (edge.distance(low) or 0.0)),
        pivot=pivot,
        pivot_dart=None,
        pivot_place=None,
        mouths=(),
        draw_back=None,
        followed=True,
        asked=following.asked,
        held=None,
        turn=None,
    )
    far = _far_side(following, base)
    if far is not None:
        mouths: tuple[Mouth, ...] = (Mouth(*far, None, 1.0, is_new=False),)
        held = _held(turn, 2, swapped)
        return replace(base, mouths=mouths, held=held)
    place = _place_on_outline(following, pivot)
    if place is not None and known is None:
        base = replace(base, pivot=chain.point(place), pivot_place=place)
        mouths = (Mouth(place, place, None, 1.0, is_new=False),)
        return replace(base, mouths=mouths, held=_held(turn, 2, swapped))
    mouths = tuple(_mouth(following, turn, base, mouth) for mouth in closing.mouths)
    drawn_back = [
        abs(dart.point - pivot)
        for dart in following.piece.darts
        for mouth in mouths
        if mouth.dart == dart.name and not mouth.is_new and dart != known
    ]
    return replace(
        base,
        mouths=mouths,
        held=_held(turn, len(mouths) + 1, swapped),
        pivot_dart=known.name if known is not None else None,
        draw_back=max(drawn_back, default=None),
    )


def _own_dart(following: Following, closing: Closing) -> Dart | None:
    """The linked piece's own dart at whose point the wedge ends."""
    if following.dart == "closed":
        return None
    pivot = following.registration.motion(closing.pivot)
    for dart in following.piece.darts:
        if abs(dart.point - pivot) <= ON_OUTLINE and any(_is(mouth, dart) for mouth in closing.mouths):
            return dart
    return None


def _is(mouth: Mouth, dart: Dart) -> bool:
    return mouth.dart is not None and fold(mouth.dart) == fold(dart.name)


def _pivot(following: Following, closing: Closing, known: Dart | None) -> complex:
    """Where the wedge ends: on the linked piece's own dart, or on its edge, where it does so on the other."""
    if known is not None:
        return known.point
    for one, other in following.registration.edges:
        if closing.pivot_place is not None and one.distance(closing.pivot_place) is not None:
            return following.outline.point(_nearest_on(other, following.registration.motion(closing.pivot)))
    return following.registration.motion(closing.pivot)


def _nearest_on(edge: Edge, point: complex) -> float:
    """The outline's place of an edge that is nearest to a point."""
    outline = edge.outline
    rows = [(nearest(outline.stretches[k].chain, point), outline.begins[k]) for k in edge.indices]
    (place, _), begin = min(rows, key=lambda row: row[0][1])
    return outline.chain.wrap(begin + place)


def _leg(following: Following, edge: Edge, pivot: complex, end: complex) -> float:
    """The edge's place on the ray from the pivot through where a leg ends on the followed piece."""
    chain = following.outline
    found = [
        (abs(chain.point(place) - end), place)
        for distance, place in line_meets(chain, pivot, end - pivot)
        if distance > 0 and edge.distance(place) is not None
    ]
    allowed = following.tolerance + _SLACK
    for place in (edge.begin, edge.end):
        # An edge that ends a hair before the leg, or beyond it, ends at it.
        if abs(chain.point(place) - end) <= ON_OUTLINE:
            return place
        found.append((abs(chain.point(place) - end) + ON_OUTLINE, place))
    gap, place = min(found)
    if gap > 4 * allowed:
        raise following.asked.refusal(
            "past the edge",
            f"a leg of the wedge, at {_point(end)}, lies past the end of {edge.name}, which is "
            f"{edge.length:.2f} mm long",
        )
    return place


def _swapped(following: Following, closing: Closing, low: float, high: float) -> bool:
    """Whether the leg that comes first in the followed piece's outline comes second here."""
    there = following.followed.stitching.chain
    was_low = following.registration.motion(there.point(closing.low))
    return abs(following.outline.point(low) - was_low) > abs(following.outline.point(high) - was_low)


def _held(turn: Turn, parts: int, swapped: bool) -> int:
    """The part of the linked piece that stays: the one that belongs to the part held on the followed piece.

    Where that has more parts, the one next to the wedge that turned less.
    """
    count = len(turn.parts)
    stays = next((k for k, part in enumerate(turn.parts) if part[2].is_identity), 0)
    if count != parts:
        first, last = (abs(turn.parts[k][2].angle) for k in (0, -1))
        stays, count = (0 if first <= last else parts - 1), parts
    return count - 1 - stays if swapped else stays


def _far_side(following: Following, closing: Closing) -> tuple[float, float] | None:
    """Where the wedge comes out at the piece's far side, in the outline's order; None where it does not.

    The legs run towards the pivot where the piece lies on that side of the shared edge, else away from it.

    Raises:
        AlterError: where the piece ends before the pivot on one leg only, or is met again behind its end.
    """
    chain = following.outline
    middle = chain.wrap(closing.low + ((closing.high - closing.low) % chain.length) / 2)
    inward = 1j * chain.tangent(middle)
    towards = ((closing.pivot - chain.point(middle)) * inward.conjugate()).real > 0
    places = []
    for place in (closing.high, closing.low):
        exits = _ahead(chain, chain.point(place), closing.pivot, towards)
        if len(exits) > 1 and towards:
            raise _torn(following, closing, "meets the piece again behind its free edge")
        places.append(exits[0] if exits else None)
    first, last = places
    if first is None and last is None and towards:
        return None
    if first is None or last is None:
        raise _torn(following, closing, "leaves the piece with one leg only")
    whole = chain.length
    if (first - closing.high) % whole >= (last - closing.high) % whole:
        raise _torn(following, closing, "leaves the piece with its legs crossed")
    _refuse_over_dart(following, closing, first, last)
    return first, last


def _ahead(chain: Chain, start: complex, pivot: complex, towards: bool) -> list[float]:
    """Places at which a leg meets the outline on from ``start``: before the pivot, or away from it."""
    reach = abs(pivot - start)
    along = pivot - start if towards else start - pivot
    found: list[tuple[float, float]] = []
    for distance, place in line_meets(chain, start, along):
        ahead = distance > _CLEAR and (not towards or distance < reach - ON_OUTLINE)
        if ahead and (not found or distance - found[-1][0] > 1e-6):
            found.append((distance, place))
    return [place for _, place in found]


def _torn(following: Following, closing: Closing, what: str) -> AlterError:
    return following.asked.refusal(
        "cannot be cut across",
        f"the wedge of {closing.name} {what}, so that cannot be cut right across; give it a removal "
        "of its own instead",
    )


def _refuse_over_dart(following: Following, closing: Closing, first: float, last: float) -> None:
    stitching, whole = following.piece.stitching, following.outline.length
    for index, stretch in enumerate(stitching.stretches):
        begin, end = stitching.interval(index)
        if stretch.dart is not None and ((begin + end) / 2 - first) % whole < (last - first) % whole:
            raise following.asked.refusal(
                "over a dart", f"the wedge of {closing.name} runs over the mouth of {stretch.dart}"
            )


def _place_on_outline(following: Following, pivot: complex) -> float | None:
    place, distance = nearest(following.outline, pivot)
    return place if distance <= ON_OUTLINE else None


def _mouth(following: Following, turn: Turn, base: Closing, mouth: Mouth) -> Mouth:
    """What opens on the linked piece where ``mouth`` opens on the other; the pivot lies within both."""
    closing, motion = turn.closing, following.registration.motion
    own = next((dart for dart in following.piece.darts if _is(mouth, dart)), None)
    sewn = following.dart == "sewn" and not mouth.filled and mouth.dart is not None
    if own is not None and not sewn:
        raise following.asked.refusal(
            "dart on a facing",
            f"{following.piece.name} has {own.name} itself, and the removal opens it; say `dart: sewn`",
        )
    if own is not None and mouth.is_new:
        raise following.asked.refusal(
            "dart exists", f"there is a dart {own.name} already, which {closing.name} is to open new"
        )
    if own is not None:
        return replace(mouth, first=own.mouth[0], last=own.mouth[1], dart=own.name)
    there = following.followed.stitching.chain
    if mouth.dart is None:
        ends = (closing.first_leg, closing.second_leg)
        goal = 2 * base.pivot - motion((ends[0] + ends[1]) / 2)
    else:
        goal = motion((there.point(mouth.first) + there.point(mouth.last)) / 2)
    place = _cut_on(following, base.pivot, goal)
    name = closing.name if mouth.dart is None else mouth.dart
    return Mouth(place, place, name if sewn else _filled(name), mouth.share, is_new=True, filled=not sewn)


def _cut_on(following: Following, pivot: complex, goal: complex) -> float:
    """Where the straight cut from the pivot towards ``goal`` leaves the linked piece."""
    chain = following.outline
    return next(place for distance, place in line_meets(chain, pivot, goal - pivot) if distance > _CLEAR)


def _about_shared_edge(following: Following, turn: Turn, edge: Edge) -> Closing:
    """The closing whose pivot lies on a shared edge, and its wedge anywhere."""
    closing, motion, chain = turn.closing, following.registration.motion, following.outline
    place = _nearest_on(edge, motion(closing.pivot))
    base = replace(
        closing,
        edge=edge.name,
        first_leg=motion(closing.first_leg),
        second_leg=motion(closing.second_leg),
        pivot=chain.point(place),
        pivot_dart=None,
        pivot_place=place,
        draw_back=None,
        followed=True,
        asked=following.asked,
    )
    # Whether the part before the pivot, as the outlines run, is the one that stays: there, and then here.
    before = 0 if closing.turn is None else 1
    held_before = turn.parts[before][2].is_identity == following.registration.same_way
    middle = (base.first_leg + base.second_leg) / 2 - base.pivot
    if (middle * (1j * chain.tangent(place)).conjugate()).real > 0:
        return _wedge_about(following, base, held_before)
    return _opened_about(following, turn, base, held_before)


def _wedge_about(following: Following, base: Closing, held_before: bool) -> Closing:
    """The wedge that the legs cut out of the linked piece, from its shared edge on to where they leave it."""
    chain, place = following.outline, _nearest_on(following.piece.stitching.edge(base.edge), base.pivot)
    first, second = (_cut_on(following, base.pivot, leg) for leg in (base.first_leg, base.second_leg))
    low, high = sorted((first, second), key=lambda at: (at - place) % chain.length)
    _refuse_over_dart(following, base, low, high)
    return replace(
        base,
        edge=following.piece.stitching.edge_at(low) or base.edge,
        low=low,
        high=high,
        first_leg=chain.point(first),
        second_leg=chain.point(second),
        asked_mm=(high - low) % chain.length,
        mouths=(Mouth(place, place, None, 1.0, is_new=False),),
        held=0 if held_before else 1,
        turn=None,
    )


def _opened_about(following: Following, turn: Turn, base: Closing, held_before: bool) -> Closing:
    """The linked piece beyond the shared edge, turned about the pivot as the followed one is, and filled."""
    closing, registration, there = turn.closing, following.registration, following.followed.stitching.chain
    if closing.turn is None:
        angle = wedge_angle(closing.pivot, there.point(closing.low), there.point(closing.high))
    else:
        angle = -closing.turn
    # By which the part before the pivot turns against the one after it: there, and then here.
    if registration.motion.mirrors == registration.same_way:
        angle = -angle
    place = _nearest_on(following.piece.stitching.edge(base.edge), base.pivot)
    far = _cut_on(following, base.pivot, 2 * base.pivot - (base.first_leg + base.second_leg) / 2)
    return replace(
        base,
        low=place,
        high=place,
        asked_mm=0.0,
        mouths=(Mouth(far, far, _filled(closing.name), 1.0, is_new=True, filled=True),),
        held=1 if held_before else 0,
        turn=-angle,
    )


def _filled(name: str) -> str:
    """What a mouth is called that no dart comes of: like no dart of a pattern."""
    return f"{name} (filled)"


def _point(point: complex) -> str:
    return f"({point.real:.1f}, {point.imag:.1f})"
