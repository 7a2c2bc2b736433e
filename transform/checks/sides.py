"""A side of a seam as it is walked: its edges one after the other, and the marks along it, before and after.

Which ends meet is not written in the rules. A seam is walked in every way there is, and the way is taken in
which most ends adjoin edges of the same names, and among those the one in which most marks meet. What is
known of an edge serves every seam that it is part of.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import product

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
_Names = tuple[tuple[str, str], ...]
"""Pieces and edges one after the other, as the rules call them."""
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

    @cached_property
    def new_edge(self) -> Edge:
        """The edge after the alteration."""
        stitching = self.altered.stitching if self.altered is not None else None
        return self.edge if stitching is None else stitching.edge(self.edge.name)

    @cached_property
    def lengths(self) -> tuple[float, float]:
        """Length before and after, mm."""
        return self.edge.length, self.new_edge.length

    @cached_property
    def ends(self) -> tuple[str | None, str | None]:
        """Folded names of the edges that adjoin its first and its last point, as it is walked."""
        outline, indices = self.edge.outline, self.edge.indices
        beside = [outline.adjoining(indices[0], -1), outline.adjoining(indices[-1], 1)]
        names = [None if k is None else outline.stretches[k].edge for k in beside]
        first, last = (None if name is None else fold(name) for name in names)
        return (last, first) if self.backwards else (first, last)

    @cached_property
    def angles(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """The piece's inner angles (rad) at its first and its last point, each before and after."""
        begin, end = ((_angle(self.edge, at), _angle(self.new_edge, at)) for at in (False, True))
        return (end, begin) if self.backwards else (begin, end)

    def marks(self) -> Iterator[Mark]:
        """Its notches, from its first point as it is walked."""
        before, after = self.lengths
        for was, now in self.notches:
            if self.backwards:
                was, now = before - was, None if now is None else after - now
            yield Mark(was, now, self)


def _angle(edge: Edge, at_end: bool) -> float:
    """The piece's inner angle at one end of an edge, rad."""
    chain = edge.outline.chain
    place = chain.wrap(edge.end if at_end else edge.begin)
    return math.pi - cmath.phase(chain.tangent(place) / chain.tangent(place, before=True))


@dataclass(frozen=True)
class Side:
    """Edges walked one after the other."""

    edges: tuple[Walked, ...]

    @cached_property
    def lengths(self) -> tuple[float, float]:
        """Length before and after, mm."""
        rows = [edge.lengths for edge in self.edges]
        return sum(row[0] for row in rows), sum(row[1] for row in rows)

    @cached_property
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


class Walks:
    """The edges of one size as they are walked; each is looked at once, and each way through a seam is too.

    ``pieces`` and ``altered`` are those of the size, by folded name.
    """

    def __init__(self, pieces: Mapping[str, Piece], altered: Mapping[str, AlteredPiece]) -> None:
        self.pieces, self.altered = pieces, altered
        self._walked: dict[tuple[str, str], tuple[Walked, Walked]] = {}
        self._sides: dict[tuple[_Names, _Names], tuple[Side, Side]] = {}

    def sides_of(self, seam: Seam) -> tuple[Side, Side] | None:
        """Both sides of a seam as they are walked; None where there are too many edges.

        What both sides count alike (pieces cut twice) is walked once.
        """
        times = math.gcd(*(term.times for side in seam.join for term in side))
        if sum(term.times // times for side in seam.join for term in side) > _MOST_EDGES:
            return None
        first, second = (_singly(side, times) for side in seam.join)
        if (first, second) not in self._sides:
            self._sides[first, second] = self._best(first, second)
        return self._sides[first, second]

    def _best(self, first: _Names, second: _Names) -> tuple[Side, Side]:
        """The way to walk the seam: its edges, each along its outline or against it."""
        edges = [self._both_ways(*names) for names in (*first, *second)]
        tables = [each for each in _ends_alike(edges, len(first)) if any(map(any, each[2]))]
        ways = list(product((0, 1), repeat=len(edges)))
        alike = [sum(table[way[k]][way[m]] for k, m, table in tables) for way in ways]
        most = max(alike)
        best = [way for way, count in zip(ways, alike, strict=True) if count == most]
        parts = edges[: len(first)], edges[len(first) :]
        if not all(any(both[0].notches for both in part) for part in parts):
            # Without marks to meet, one way is as good as another.
            best = best[:1]
        rows = [[both[turned] for both, turned in zip(edges, way, strict=True)] for way in best]
        walked = [(Side(tuple(row[: len(first)])), Side(tuple(row[len(first) :]))) for row in rows]
        return walked[0] if len(walked) == 1 else max(walked, key=lambda sides: len(meetings(*sides)))

    def _both_ways(self, piece_name: str, edge_name: str) -> tuple[Walked, Walked]:
        """The edge along its outline, and against it."""
        key = piece_name, edge_name
        if key not in self._walked:
            piece, changed = self.pieces[fold(piece_name)], self.altered.get(fold(piece_name))
            edge = piece.stitching.edge(spelled(edge_name, piece.stitching.edge_names) or edge_name)
            bare = Walked(piece, changed, edge, backwards=False, notches=())
            onwards = replace(bare, notches=tuple(_notches(bare)))
            self._walked[key] = onwards, replace(onwards, backwards=True)
        return self._walked[key]


def _singly(side: Sequence[Term], times: int) -> _Names:
    """The side once, an edge that counts several times put in as often."""
    return tuple((term.piece, term.edge) for term in side for _ in range(term.times // times))


def _notches(walked: Walked) -> Iterator[tuple[float, float | None]]:
    """The notches of an edge: how far along it they lie before and after, mm."""
    for old, new in _mark_points(walked.piece, walked.altered):
        was = _along(walked.edge, old)
        if was is not None:
            yield was, _along(walked.new_edge, new)


def _ends_alike(
    edges: Sequence[tuple[Walked, Walked]], count: int
) -> Iterator[tuple[int, int, list[list[bool]]]]:
    """For every two ends that lie together whether they adjoin edges of the same name.

    ``edges`` are those of both sides, each along its outline and against it; the first ``count`` are one
    side. Told are the numbers of the two edges, and by how each of them runs whether they are alike.
    """
    last = len(edges) - 1
    together = [(0, 0, count, 0), (count - 1, 1, last, 1)]
    together += [(k, 1, k + 1, 0) for k in range(last) if k + 1 != count]
    for k, at, m, other_at in together:
        rows = ([(one.ends[at], other.ends[other_at]) for other in edges[m]] for one in edges[k])
        yield k, m, [[a is not None and a == b for a, b in row] for row in rows]


def meetings(first: Side, second: Side) -> list[Meeting]:
    """The notches that met before, measured from either end of the seam."""
    found = []
    for one, other in product(first.marks, second.marks):
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
