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

A removal of which only the pivot lies on the shared edge is made by `transform.alter.pivot_on_seam`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rules.labels import fold
from transform.alter.closing import Closing, Mouth
from transform.alter.cutting import Turn
from transform.alter.linked_piece import ON_OUTLINE, Following, cut_on, filled_name, nearest_on
from transform.alter.pivot_on_seam import about_shared_edge
from transform.alter.right_across import far_side
from transform.geometry.meeting import line_meets
from transform.geometry.nearest import nearest
from transform.pattern.model import Dart
from transform.pattern.outline import Edge


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
            return about_shared_edge(following, turn, other)
    return None


def _on_shared_edge(following: Following, turn: Turn, edge: Edge) -> Closing:
    """The closing whose wedge lies on a shared edge."""
    closing, motion, chain = turn.closing, following.registration.motion, following.outline
    known = _own_dart(following, closing)
    pivot = _pivot(following, closing, known)
    legs = [_leg(following, edge, pivot, motion(leg)) for leg in (closing.first_leg, closing.second_leg)]
    low, high = sorted(legs, key=lambda place: edge.distance(place) or 0.0)
    if abs(chain.point(high) - chain.point(low)) < ON_OUTLINE:
        raise following.asked.refusal(
            "past the edge",
            f"the wedge lies past the end of {edge.name}, which is {edge.length:.2f} mm long here",
        )
    swapped = _swapped(following, closing, low, high)
    base = replace(
        closing,
        edge=edge.name,
        low=chain.wrap(low),
        high=chain.wrap(high),
        first_leg=chain.point(legs[0]),
        second_leg=chain.point(legs[1]),
        pivot=pivot,
        pivot_dart=None,
        pivot_place=None,
        mouths=(),
        followed=True,
        asked=following.asked,
        held=None,
        turn=None,
    )
    far = far_side(following, base)
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
    return replace(
        base,
        mouths=mouths,
        held=_held(turn, len(mouths) + 1, swapped),
        pivot_dart=known.name if known is not None else None,
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
            return following.outline.point(nearest_on(other, following.registration.motion(closing.pivot)))
    return following.registration.motion(closing.pivot)


def _leg(following: Following, edge: Edge, pivot: complex, end: complex) -> float:
    """The edge's place on the ray from the pivot through where a leg ends on the followed piece."""
    chain = following.outline
    found = [
        (abs(chain.point(place) - end), place)
        for distance, place in line_meets(chain, pivot, end - pivot)
        if distance > 0 and edge.distance(place) is not None
    ]
    for place in (edge.begin, edge.end):
        # An edge that ends a hair before the leg, or beyond it, ends at it.
        if abs(chain.point(place) - end) <= ON_OUTLINE:
            return place
        found.append((abs(chain.point(place) - end) + ON_OUTLINE, place))
    return min(found)[1]


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
        off = abs(own.point - base.pivot)
        off_pivot = off if off > ON_OUTLINE else None
        return replace(mouth, first=own.mouth[0], last=own.mouth[1], dart=own.name, stands_off=off_pivot)
    there = following.followed.stitching.chain
    if mouth.dart is None:
        ends = (closing.first_leg, closing.second_leg)
        goal = 2 * base.pivot - motion((ends[0] + ends[1]) / 2)
    else:
        goal = motion((there.point(mouth.first) + there.point(mouth.last)) / 2)
    place = cut_on(following, base.pivot, goal)
    name = closing.name if mouth.dart is None else mouth.dart
    return Mouth(place, place, name if sewn else filled_name(name), mouth.share, is_new=True, filled=not sewn)
