"""The facts of every removal, as they were measured: what was taken out, what closed, what opened."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from transform.alter.assembling import OpenMouth
from transform.alter.closed_edges import ClosedEdge
from transform.alter.closing import Closing
from transform.alter.cutting import Cut
from transform.alter.facts import OpenedFacts, RemovalFacts
from transform.geometry.chain import SNAP
from transform.pattern.model import Piece
from transform.pattern.outline import Outline


def intake_before(piece: Piece, mouth: OpenMouth) -> float:
    """Width of a mouth from leg end to leg end before anything was closed, mm; 0 for a new dart."""
    if mouth.is_new:
        return 0.0
    legs = piece.dart(mouth.dart).legs
    return abs(legs[0] - legs[1])


def removal_facts(
    piece: Piece,
    made: Cut,
    stitching: Outline,
    closed: Sequence[ClosedEdge],
    opened: Mapping[str, OpenedFacts],
) -> tuple[RemovalFacts, ...]:
    """One record for each closing, in order; ``stitching`` is the new stitching line."""
    whole = piece.stitching.chain.length
    found = []
    for turn in made.turns:
        closing = turn.closing
        drawn = None if closing.turn is not None else _line_of(closing, closed, whole)
        back, on = (0.0, 0.0) if drawn is None else drawn.drawn.reach
        begins_low = abs(closing.first_leg - made.outline.point(closing.low)) <= SNAP
        before = piece.stitching.edge(closing.edge).length
        after = stitching.edge(closing.edge).length
        found.append(
            RemovalFacts(
                index=closing.index,
                name=closing.removal.name,
                piece=piece.name,
                edge=closing.edge,
                followed=closing.followed,
                removed=closing.asked_mm,
                angle=turn.angle,
                pivot=closing.pivot,
                legs=(closing.first_leg, closing.second_leg),
                stagger=abs(abs(closing.first_leg - closing.pivot) - abs(closing.second_leg - closing.pivot)),
                edge_before=before,
                edge_after=after,
                shortened=before - after,
                line=drawn.line if drawn is not None else closing.removal.line or "fair",
                reach=(back, on) if begins_low else (on, back),
                moved=0.0 if drawn is None else drawn.drawn.moved,
                opened=tuple(opened[m.dart] for m in closing.mouths if m.dart is not None and not m.filled),
            )
        )
    return tuple(found)


def _line_of(closing: Closing, closed: Sequence[ClosedEdge], whole: float) -> ClosedEdge:
    """The line that was drawn over a closing's wedge."""

    def gap(place: float, other: float) -> float:
        return min((place - other) % whole, (other - place) % whole)

    return min(
        closed,
        key=lambda line: min(gap(low, closing.low) + gap(high, closing.high) for low, high in line.wedges),
    )
