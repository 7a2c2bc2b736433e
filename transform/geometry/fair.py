"""The line of a closed edge, drawn anew: fair, true to both ends, and never far outside what was closed.

A closing leaves a kink, and a step along the leg where the wedge ran slantwise to the edge. The line leaves
the edge at some reach before the closure and joins it again at some reach behind it. What it keeps, the
first before the next:

1. the points and directions of the edge at both joins, exactly, and the curvatures (at an edge's own end,
   where nothing follows, the curvature is free); it has no corner, and its curvature never jumps;
2. no more than 0.5 mm outside the closed piece: what sticks out is cut down, what falls back is not filled;
3. as few inflections as can be, none where the ends leave a way without;
4. a reach of 60 mm on both sides, or up to the edge's end. It is farther where that saves an inflection,
   and shorter where the line would only lie on the old edge there, as beside a closure of straight edges;
5. the least variation of curvature (`transform.geometry.profile`).

How these are chosen between stands in `transform.geometry.drafting`. The line is written as a cubic spline,
three cubics for a closure where those follow the curve found (`transform.geometry.follow`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from transform.geometry.border import Border, border
from transform.geometry.chain import Chain
from transform.geometry.drafting import USUAL_REACH, Drafter
from transform.geometry.segments import Line
from transform.geometry.tips import without_room


@dataclass(frozen=True, slots=True)
class FairLine:
    """The line over one closure, or over several close together; all lengths in mm.

    ``reach`` is how far it runs from the first closure back and from the last one on; ``moved`` its
    largest distance from the closed edges, ``outside`` and ``inside`` the largest distances on either
    side of them. ``inflections`` counts those of the line, and ``forced`` says that there are more of them
    than the edges had, because nothing better keeps the ends and the bound. ``has_room`` is False where an
    end of the edge cut its reach short of 60 mm and the line suffers from it: its inflections are forced, it
    runs outside too far, or it bends much more sharply than the edges did. ``slid`` is how far its ends
    lie from the edge's own ends, along the lines beside them.
    """

    chain: Chain
    reach: tuple[float, float]
    moved: float
    outside: float
    inside: float
    inflections: int
    has_room: bool
    forced: bool = False
    slid: tuple[float, float] = (0.0, 0.0)


def close_straight(chains: Sequence[Chain]) -> FairLine:
    """The chord of the whole edge, from the first chain's start to the last one's end.

    Raises:
        ValueError: for fewer than two chains, or an empty one.
    """
    _check(chains)
    line = Chain((Line(chains[0].start, chains[-1].end),))
    reach = (chains[0].length, chains[-1].length)
    edge = border(chains, *reach)
    return _measured(edge, line, reach, has_room=True)


def close_fair(
    chains: Sequence[Chain],
    *,
    edge_ends: tuple[bool, bool] = (True, True),
    beside: tuple[Chain | None, Chain | None] = (None, None),
) -> FairLine:
    """The fair line over the closures between ``chains``, which follow each other along the edge.

    The piece lies on the side of 1j·tangent; every chain but the last ends at a closure, and the next one
    begins there. The first chain's start and the last one's end are the ends of the edge, where the line may
    have any curvature; ``edge_ends`` is False on a side where the edge goes on there and is only not to be
    touched: then its curvature there is kept too. ``beside`` are the lines beside the edge, each from the
    edge's end on, where they may be trimmed (`transform.geometry.tips`).

    Raises:
        ValueError: for fewer than two chains, or an empty one.
    """
    _check(chains)
    drafter = Drafter(chains, edge_ends)
    drafter, draft, slid = without_room(drafter, drafter.best(), beside)
    forced = draft.inflections > drafter.old_inflections(draft.reach)
    cut_short = any(
        reach >= chain.length - 1e-6 and reach < USUAL_REACH
        for reach, chain in zip(draft.reach, (chains[0], chains[-1]), strict=True)
    )
    suffers = forced or draft.rank[0] > 0 or drafter.is_sharp(draft) or any(drafter.tips)
    found = _measured(drafter.edge, Chain(draft.cubics), draft.reach, has_room=not (cut_short and suffers))
    return replace(found, inflections=draft.inflections, forced=forced, slid=slid)


def _check(chains: Sequence[Chain]) -> None:
    if len(chains) < 2 or not all(chain.segments for chain in chains):
        raise ValueError("a closure needs an edge on either side")


def _measured(edge: Border, line: Chain, reach: tuple[float, float], *, has_room: bool) -> FairLine:
    outside, inside, points = edge.extremes(line.segments)
    moved = max(edge.farthest_from(points, line.start, line.end), outside, inside)
    return FairLine(line, reach, moved, outside, inside, 0, has_room)
