"""Laying the edges that a linked piece shares with another on those of the piece that it follows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rules.labels import fold
from transform.alter.placing import edge_of
from transform.alter.problems import AlterError, Asked
from transform.geometry.chain import Chain
from transform.geometry.laying import Laid, laid_by, ways_to_lay
from transform.geometry.motion import Motion
from transform.pattern.model import Piece
from transform.pattern.outline import Edge

_EQUAL = 0.05
"""Fits that lie no farther off than the best by this (mm, on the average) are equally good."""
SharedEdge = tuple[Edge, Edge]
"""An edge of the piece that is followed, and that of the linked piece."""


@dataclass(frozen=True, slots=True)
class Registration:
    """How the followed piece lies on the linked one.

    ``motion`` takes places of the followed piece to places of the linked one; ``same_way`` where both
    outlines then run the same way through the shared edges; ``misfit`` is the largest distance (mm)
    between them.
    """

    edges: tuple[SharedEdge, ...]
    motion: Motion
    same_way: bool
    misfit: float

    @property
    def same_side(self) -> bool:
        """Whether both pieces lie on the same side of the shared edges."""
        return self.same_way != self.motion.mirrors


def register(asked: Asked, followed: Piece, along: Sequence[str], tolerance: float) -> Registration:
    """The fit of the piece ``followed`` on the asked, linked piece along the edges named ``along``.

    Of several equally good fits the one with both pieces on the same side of the edges is taken, then the
    one in which most of the edges that adjoin have the same names. A piece that follows itself has a facing
    grown on: its edge is laid on itself mirrored, as the facing is folded.

    Raises:
        AlterError: where one of the pieces lacks an edge, where the edges differ by more than
            ``tolerance`` mm anywhere, or where several fits remain.
    """
    edges = shared_edges(asked, followed, along)
    fits = ways_to_lay([_chains(one) for one, _ in edges], [_chains(other) for _, other in edges])
    if followed.name == asked.piece.name:
        fits = [fit for fit in fits if fit.motion.mirrors and fit.backwards]
    best = fits[0]
    if best.apart > tolerance:
        raise _differ(asked, followed, edges, best, tolerance)
    rows = [
        Registration(edges, fit.motion, not fit.backwards, fit.apart)
        for fit in fits
        if fit.off <= best.off + _EQUAL and fit.apart <= tolerance
    ]
    rows = [row for row in rows if row.same_side] or rows
    if len(rows) > 1:
        scores = [_same_neighbours(row) for row in rows]
        rows = [row for row, score in zip(rows, scores, strict=True) if score == max(scores)]
    if len(rows) > 1:
        raise asked.refusal(
            "several fits",
            f"{_named(edges)} of {followed.name} can be laid on it in {len(rows)} ways that are equally "
            "good; name the edges that adjoin alike on both pieces, or add another edge to `along`",
        )
    return rows[0]


def shared_edges(asked: Asked, followed: Piece, along: Sequence[str]) -> tuple[SharedEdge, ...]:
    """The edges of both pieces by their names.

    Raises:
        AlterError: where one of the pieces has no edge of a name.
    """
    there = Asked(asked.rules, asked.line, asked.column, asked.name, followed)
    return tuple((edge_of(there, name), edge_of(asked, name)) for name in along)


def agreement(
    registration: Registration,
    followed: Piece,
    linked: Piece,
    motions: Sequence[Motion] = (),
    *,
    enough: float = 0.0,
) -> float:
    """Largest distance (mm) between the shared edges of two pieces, laid on each other as they fit best.

    The pieces may have been altered since they were registered. They are laid as before, by the ``motions``
    given, and by the motion of least squares, the same way round as it was; what brings them nearest counts,
    since the motion of least squares need not be the one with the least largest distance. No further way is
    tried once they are as near as ``enough``.
    """
    firsts = [_chains(followed.stitching.edge(one.name)) for one, _ in registration.edges]
    seconds = [_chains(linked.stitching.edge(other.name)) for _, other in registration.edges]
    backwards = not registration.same_way
    least = math.inf
    for motion in dict.fromkeys((registration.motion, *motions)):
        least = min(least, laid_by(motion, firsts, seconds, backwards=backwards).apart)
        if least <= enough:
            return least
    fits = (
        fit.apart
        for fit in ways_to_lay(firsts, seconds)
        if fit.motion.mirrors == registration.motion.mirrors and fit.backwards == backwards
    )
    return min(least, *fits)


def _chains(edge: Edge) -> list[Chain]:
    return [edge.outline.stretches[k].chain for k in edge.indices]


def _same_neighbours(fit: Registration) -> int:
    """How many ends of the shared edges adjoin edges of the same name on both pieces."""
    count = 0
    for one, other in fit.edges:
        first, second = _neighbours(one), _neighbours(other)
        pairs = zip(first, second if fit.same_way else reversed(second), strict=True)
        count += sum(a is not None and b is not None and fold(a) == fold(b) for a, b in pairs)
    return count


def _neighbours(edge: Edge) -> list[str | None]:
    """Names of the edges before and after an edge."""
    outline = edge.outline
    indices = (outline.adjoining(edge.indices[0], -1), outline.adjoining(edge.indices[-1], 1))
    return [None if k is None else outline.stretches[k].edge for k in indices]


def _named(edges: Sequence[SharedEdge]) -> str:
    return " and ".join(one.name for one, _ in edges)


def _what(asked: Asked, followed: Piece) -> str:
    """On what an edge is laid."""
    return "itself, mirrored" if followed.name == asked.piece.name else followed.name


def _differ(
    asked: Asked, followed: Piece, edges: Sequence[SharedEdge], fit: Laid, tolerance: float
) -> AlterError:
    """The error for edges that do not agree: where, by how much, and how long both are."""
    one, other = edges[fit.line]
    chain = other.outline.chain
    places = [other.length * k / 100 for k in range(101)]
    place = min(places, key=lambda at: abs(chain.point(other.place(at)) - fit.where))
    return asked.refusal(
        "linked edges differ",
        f"laid on {_what(asked, followed)}, {other.name} differs from it by {fit.apart:.2f} mm at "
        f"({fit.where.real:.1f}, {fit.where.imag:.1f}), about {place:.0f} mm along; {tolerance:g} mm are "
        f"allowed (it is {other.length:.2f} mm long, on {followed.name} {one.length:.2f} mm); redraw one of "
        "them, or give `tolerance:`",
    )
