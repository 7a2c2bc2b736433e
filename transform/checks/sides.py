"""A side of a seam as it is walked: its edges one after the other, and the marks along it, before and after.

Which ends meet is not written in the rules. A seam is walked in every way there is, and the way is taken in
which most ends adjoin edges of the same names, and among those the one in which most marks meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise, product

from rules.labels import fold, spelled
from rules.model import Seam, Term
from transform.geometry.chain import Chain
from transform.geometry.nearest import nearest
from transform.pattern.altered import AlteredPiece, Change, Moved, Shifted
from transform.pattern.model import Piece, Role
from transform.pattern.outline import Detour, Edge, Outline

MEET = 2.0
"""Notches that lie within this (mm) of each other meet (common practice)."""
_MOST_EDGES = 6
_AT_SEAM = 25.0
"""A notch may be drawn in the allowance: this far (mm) from the stitching line it still belongs to it."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A notch: how far along it lies, mm, before and after; None where it has left the edge.

    ``edge`` is the edge on which it stands, as it is walked.
    """

    before: float
    after: float | None
    edge: Walked


@dataclass(frozen=True)
class Walked:
    """An edge as it is walked, ``backwards`` against its outline or along it.

    ``notches`` are the distances (mm) of its notches along it before and after, None where one has left it.
    """

    piece: Piece
    altered: AlteredPiece | None
    edge: Edge
    backwards: bool
    notches: tuple[tuple[float, float | None], ...]

    @property
    def name(self) -> str:
        """What the rules call the edge."""
        return f"{self.piece.name}/{self.edge.name}"

    @property
    def new_edge(self) -> Edge:
        """The edge after the alteration."""
        stitching = self.altered.stitching if self.altered is not None else None
        return self.edge if stitching is None else stitching.edge(self.edge.name)

    @property
    def lengths(self) -> tuple[float, float]:
        """Length before and after, mm."""
        return self.edge.length, self.new_edge.length

    @property
    def ends(self) -> tuple[str | None, str | None]:
        """Folded names of the edges that adjoin its first and its last point, as it is walked."""
        outline, indices = self.edge.outline, self.edge.indices
        beside = [outline.adjoining(indices[0], -1), outline.adjoining(indices[-1], 1)]
        names = [None if k is None else outline.stretches[k].edge for k in beside]
        first, last = (None if name is None else fold(name) for name in names)
        return (last, first) if self.backwards else (first, last)

    def marks(self) -> Iterator[Mark]:
        """Its notches, from its first point as it is walked."""
        before, after = self.lengths
        for was, now in self.notches:
            if self.backwards:
                was, now = before - was, None if now is None else after - now
            yield Mark(was, now, self)


@dataclass(frozen=True)
class Side:
    """Edges walked one after the other."""

    edges: tuple[Walked, ...]

    @property
    def lengths(self) -> tuple[float, float]:
        """Length before and after, mm."""
        rows = [edge.lengths for edge in self.edges]
        return sum(row[0] for row in rows), sum(row[1] for row in rows)

    def marks(self) -> list[Mark]:
        """All notches, from the side's first point."""
        found, before, after = [], 0.0, 0.0
        for edge in self.edges:
            for mark in edge.marks():
                now = None if mark.after is None else mark.after + after
                found.append(Mark(mark.before + before, now, edge))
            before, after = before + edge.lengths[0], after + edge.lengths[1]
        return found


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two notches that met: how far apart they were and are, mm, seen from the end from which they met.

    ``at_end`` where that is the seam's last end; ``places`` are how far from it both lie now, mm.
    """

    marks: tuple[Mark, Mark]
    at_end: bool
    places: tuple[float, float]
    before: float

    @property
    def after(self) -> float:
        """How far apart they are now, mm."""
        return abs(self.places[0] - self.places[1])


def sides_of(
    seam: Seam, pieces: Mapping[str, Piece], altered: Mapping[str, AlteredPiece]
) -> tuple[Side, Side] | None:
    """Both sides of a seam as they are walked; None where there are too many edges.

    What both sides count alike (pieces cut twice) is walked once.

    ``pieces`` and ``altered`` are those of the size, by folded name.
    """
    rows = [_singly(side, _common_times(seam)) for side in seam.join]
    terms = [*rows[0], *rows[1]]
    if len(terms) > _MOST_EDGES:
        return None
    count = len(rows[0])
    onwards = {term: _walked(term, pieces, altered) for term in terms}
    ways: list[tuple[Side, Side]] = []
    for backwards in product((False, True), repeat=len(terms)):
        row = [replace(onwards[term], backwards=way) for term, way in zip(terms, backwards, strict=True)]
        ways.append((Side(tuple(row[:count])), Side(tuple(row[count:]))))
    return max(ways, key=lambda way: (_like_ends(*way), len(meetings(*way))))


def _common_times(seam: Seam) -> int:
    """How often the seam is sewn: what the counts of all its edges have in common."""
    return math.gcd(*(term.times for side in seam.join for term in side))


def _singly(side: Sequence[Term], times: int) -> list[Term]:
    """The side once, an edge that counts several times put in as often."""
    return [replace(term, times=1) for term in side for _ in range(term.times // times)]


def _walked(term: Term, pieces: Mapping[str, Piece], altered: Mapping[str, AlteredPiece]) -> Walked:
    piece = pieces[fold(term.piece)]
    name = spelled(term.edge, piece.stitching.edge_names) or term.edge
    edge, changed = piece.stitching.edge(name), altered.get(fold(term.piece))
    walked = Walked(piece, changed, edge, backwards=False, notches=())
    return replace(walked, notches=tuple(_notches(walked)))


def _notches(walked: Walked) -> Iterator[tuple[float, float | None]]:
    """The notches of an edge: how far along it they lie before and after, mm."""
    for old, new in _mark_points(walked.piece, walked.altered):
        was = _along(walked.edge, old)
        if was is not None:
            yield was, _along(walked.new_edge, new)


def _like_ends(first: Side, second: Side) -> int:
    """How many ends that lie together adjoin edges of the same name."""
    pairs = [
        (first.edges[0].ends[0], second.edges[0].ends[0]),
        (first.edges[-1].ends[1], second.edges[-1].ends[1]),
    ]
    for side in (first, second):
        pairs.extend((one.ends[1], other.ends[0]) for one, other in pairwise(side.edges))
    return sum(a is not None and a == b for a, b in pairs)


def meetings(first: Side, second: Side) -> list[Meeting]:
    """The notches that met before, measured from either end of the seam."""
    found = []
    for one, other in product(first.marks(), second.marks()):
        rows = [_met((first, second), (one, other), at_end=at_end) for at_end in (False, True)]
        met = [row for row in rows if row is not None]
        if met:
            found.append(min(met, key=lambda pair: pair.after))
    return found


def _met(sides: tuple[Side, Side], marks: tuple[Mark, Mark], *, at_end: bool) -> Meeting | None:
    """Two notches, measured from one end of the seam; None where they did not meet or have left it."""
    was, now = [], []
    for side, mark in zip(sides, marks, strict=True):
        if mark.after is None:
            return None
        before, after = side.lengths
        was.append(before - mark.before if at_end else mark.before)
        now.append(after - mark.after if at_end else mark.after)
    apart = abs(was[0] - was[1])
    return Meeting(marks, at_end, (now[0], now[1]), apart) if apart <= MEET else None


def _mark_points(
    piece: Piece, altered: AlteredPiece | None
) -> Iterator[tuple[tuple[complex, Outline], tuple[complex, Outline]]]:
    """Every notch of a piece once: its point before and after, each with the stitching line of that time."""
    old = piece.stitching
    new = old if altered is None or altered.stitching is None else altered.stitching
    changes = {} if altered is None else altered.items
    told: set[complex] = set()
    for item in piece.items:
        if item.role is Role.NOTCHES and item.place not in told:
            told.add(item.place)
            yield (item.place, old), (_moved(changes.get(item.element), item.place), new)
    cut = None if altered is None else altered.cut
    for before, after in ((old, new), (piece.cut, piece.cut if cut is None else cut)):
        if before is not None and after is not None:
            for one, other in zip(before.detours, after.detours, strict=False):
                yield (_middle(before, one), old), (_middle(after, other), new)


def _moved(change: Change | None, point: complex) -> complex:
    if isinstance(change, Moved):
        return change.motion(point)
    return point + change.vector if isinstance(change, Shifted) else point


def _middle(outline: Outline, detour: Detour) -> complex:
    return outline.chain.point(outline.chain.wrap(detour.place + detour.gap / 2))


def _along(edge: Edge, mark: tuple[complex, Outline]) -> float | None:
    """How far along an edge a mark's point lies, mm; None where it lies elsewhere."""
    point, outline = mark
    place, distance = _nearest(outline.chain, point)
    return edge.distance(place) if distance <= _AT_SEAM else None


@lru_cache(maxsize=256)
def _nearest(line: Chain, point: complex) -> tuple[float, float]:
    # A notch is looked for from either end of its seam, and in every order of the seam's edges.
    return nearest(line, point)
