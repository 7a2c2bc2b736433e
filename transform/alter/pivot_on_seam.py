"""A removal whose pivot lies on the shared edge, made again on the linked piece.

Its wedge lies anywhere on the followed piece. On the linked piece it is what its legs cut out of that,
wherever they leave it. Where the linked piece lies on the other side of the shared edge, nothing of the wedge
lies on it: it is cut from the pivot on and opens there as the followed piece closes, so that the edges agree.
"""

from __future__ import annotations

from dataclasses import replace

from transform.alter.closing import Closing, Mouth
from transform.alter.cutting import Turn, wedge_angle
from transform.alter.linked_piece import Following, cut_on, filled_name, nearest_on, refuse_over_dart
from transform.pattern.outline import Edge


def about_shared_edge(following: Following, turn: Turn, edge: Edge) -> Closing:
    """The closing whose pivot lies on a shared edge, and its wedge anywhere."""
    closing, motion, chain = turn.closing, following.registration.motion, following.outline
    place = nearest_on(edge, motion(closing.pivot))
    base = replace(
        closing,
        edge=edge.name,
        first_leg=motion(closing.first_leg),
        second_leg=motion(closing.second_leg),
        pivot=chain.point(place),
        pivot_dart=None,
        pivot_place=place,
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
    chain, place = following.outline, nearest_on(following.piece.stitching.edge(base.edge), base.pivot)
    first, second = (cut_on(following, base.pivot, leg) for leg in (base.first_leg, base.second_leg))
    low, high = sorted((first, second), key=lambda at: (at - place) % chain.length)
    refuse_over_dart(following, base.name, low, high)
    free = following.piece.stitching.edge_at(low)
    return replace(
        base,
        edge=base.edge if free is None else free,
        low=low,
        high=high,
        first_leg=chain.point(first),
        second_leg=chain.point(second),
        asked_mm=0.0 if free is None else (high - low) % chain.length,
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
    place = nearest_on(following.piece.stitching.edge(base.edge), base.pivot)
    far = cut_on(following, base.pivot, 2 * base.pivot - (base.first_leg + base.second_leg) / 2)
    return replace(
        base,
        low=place,
        high=place,
        asked_mm=0.0,
        mouths=(Mouth(far, far, filled_name(closing.name), 1.0, is_new=True, filled=True),),
        held=1 if held_before else 0,
        turn=-angle,
    )
