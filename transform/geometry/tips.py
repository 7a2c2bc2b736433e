"""Other ends for a line whose closure lies so close to its edge's end that the end cannot be kept.

What the closing leaves there stands out as a beak, and no fair line leads round it. Where the line beside
the edge may be trimmed, the end slides along it until one does, and meets it at the old angle. Elsewhere
the end stays, and turns as little as is needed.
"""

from __future__ import annotations

import cmath
import itertools
import math
from collections.abc import Iterator
from dataclasses import replace

from transform.geometry.chain import Chain
from transform.geometry.drafting import USUAL_REACH, Draft, Drafter, Trial
from transform.geometry.profile import End

NEAR_END_MM = 10.0
"""A leg of a wedge nearer than this to its edge's end is near it; farther off, the line keeps that end."""
_SLIDES = 10
_HALVINGS = 5
_REACHES = 4
"""How many reaches are tried with each end."""
_AROUND = tuple(math.radians(degrees) for degrees in (0, 4, -4, 9, -9, 15, -15, 25, -25, 40, -40))
_MUCH_MM = 3.0
"""A line that cuts away more than twice the beak and this is not taken for the sake of its direction."""
_NEARBY = 4.0
"""How often its size a beak is looked at from afar."""
_FAIR = (0.0, False, 0, False)


def without_room(
    drafter: Drafter, draft: Draft, beside: tuple[Chain | None, Chain | None]
) -> tuple[Drafter, Draft, tuple[float, float]]:
    """The draft with other ends, where that mends it, its drafter, and how far its ends slid, mm.

    ``beside`` are the lines along which the ends may slide, from the edge's end on; None where they may not.
    """
    slid = [0.0, 0.0]
    for side in (0, 1):
        chain = (drafter.first, drafter.last)[side]
        if not drafter.edge_ends[side] or chain.length > NEAR_END_MM:
            continue
        along = beside[side]
        suffers = draft.inflections > drafter.old_inflections(draft.reach) or drafter.is_sharp(draft)
        found = _slid(drafter, side, along) if along is not None and (suffers or _is_bad(draft)) else None
        if found is not None:
            drafter, draft, slid[side] = found
        elif _is_bad(draft) or _cuts_much(drafter, draft):
            drafter, draft = _turned(drafter, draft, side)
    return drafter, draft, (slid[0], slid[1])


def _is_bad(draft: Draft) -> bool:
    return draft.rank[0] > 0 or draft.spiky


def _is_rough(drafter: Drafter, draft: Draft) -> bool:
    return drafter.is_sharp(draft) or _cuts_much(drafter, draft)


def _cuts_much(drafter: Drafter, draft: Draft) -> bool:
    return draft.inside > 2 * abs(drafter.rises) + _MUCH_MM


def _slid(drafter: Drafter, side: int, along: Chain) -> tuple[Drafter, Draft, float] | None:
    """The line from the nearest place along the line beside the edge from which a fair one starts.

    Where every one bends sharply, that from the farthest place, which bends least.
    """
    own = drafter.own_end(side)
    most = min(2 * abs(drafter.rises) + 5.0, along.length / 2)

    def at(place: float) -> tuple[Drafter, Draft, float] | None:
        turn = along.tangent(place) / along.tangent(0.0)
        other = _with_tip(drafter, side, End(along.point(place), own.tangent * turn, None))
        fair = (draft for draft in _one_way(other) if draft.rank <= _FAIR)
        return next(((other, draft, place) for draft in fair), None)

    low, sharp = 0.0, None
    for k in range(1, _SLIDES + 1):
        found = at(most * k / _SLIDES)
        if found is None or _is_rough(*found[:2]):
            low, sharp = most * k / _SLIDES, found
            continue
        for _ in range(_HALVINGS):
            nearer = at((low + found[2]) / 2)
            if nearer is None or _is_rough(*nearer[:2]):
                low = (low + found[2]) / 2
            else:
                found = nearer
        return found
    return sharp


def _turned(drafter: Drafter, draft: Draft, side: int) -> tuple[Drafter, Draft]:
    """The line that leaves its end in another direction, and of those the one that cuts away least.

    They are sought about the direction in which the other edge's end lies behind the closure.
    """
    own = drafter.own_end(side)
    corner = drafter.chains[1].start if side == 0 else drafter.chains[-2].end
    away = (corner - own.point) if side == 0 else (own.point - corner)
    if abs(away) < 1e-6:
        return drafter, draft
    found: list[tuple[Drafter, Draft]] = []
    for angle in _AROUND:
        turned = replace(own, tangent=away / abs(away) * cmath.exp(1j * angle))
        other = _with_tip(drafter, side, turned)
        found.extend((other, one) for one in _one_way(other, _NEARBY * abs(away)))
    # A tight line in the old direction may bend both ways and still cut away less.
    reach = drafter.clipped(_NEARBY * abs(away), _NEARBY * abs(away))
    tight = drafter.draft(reach, 0, 1.0)
    found.extend((drafter, one) for one in (draft, tight) if one is not None)
    return min(found, key=lambda pair: (pair[1].rank[0] > 0, pair[1].rank > _FAIR, round(pair[1].inside, 6)))


def _with_tip(drafter: Drafter, side: int, tip: End) -> Drafter:
    tips = (tip, drafter.tips[1]) if side == 0 else (drafter.tips[0], tip)
    return Drafter(drafter.chains, drafter.edge_ends, tips)


def _one_way(drafter: Drafter, nearby: float = USUAL_REACH) -> Iterator[Draft]:
    """Lines that ought to bend one way only, at a reach of ``nearby`` mm and farther, up to a fair one."""
    trials: Iterator[Trial] = itertools.islice(drafter.one_way_trials(), _REACHES)
    if nearby < USUAL_REACH:
        trials = itertools.chain(drafter.one_way_at(drafter.clipped(nearby, nearby)), trials)
    for reach, _, bend, split in trials:
        draft = drafter.draft(reach, bend, split)
        if draft is not None:
            yield draft
        if draft is not None and draft.rank <= _FAIR:
            break
