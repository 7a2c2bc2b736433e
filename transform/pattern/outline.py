"""An outline as the trade sees it: edges between corners, mouths of darts, and places along them.

An outline is always held so that the piece lies on the side of ``1j * tangent``: the sum of
x·dy - y·dx round it is positive, whichever way it was drawn.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from transform.geometry.chain import SNAP, Chain, chain_of


@dataclass(frozen=True, slots=True)
class Detour:
    """A notch drawn into the line: from ``place`` the pen leaves, and it is back ``gap`` mm further on.

    ``place`` counts along the outline without its detours; across the gap the outline runs straight.
    """

    place: float
    gap: float
    chain: Chain


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of an outline that belongs to one edge, to one dart, or to neither.

    ``chain`` is open and runs the outline's way. ``edge`` names the edge; ``dart`` names the dart whose
    mouth this is, or, with ``drawn_in``, whose two legs it draws. ``source`` is the element that draws
    it (None: no element does), ``flipped`` where that element draws it the other way.
    """

    chain: Chain
    edge: str | None = None
    dart: str | None = None
    drawn_in: bool = False
    source: int | None = None
    flipped: bool = False


@dataclass(frozen=True)
class Outline:
    """A closed line of stretches; ``corners`` are places (mm from its start) by name."""

    stretches: tuple[Stretch, ...]
    corners: Mapping[str, float] = field(default_factory=dict)
    detours: tuple[Detour, ...] = ()

    @cached_property
    def chain(self) -> Chain:
        """The whole outline, closed."""
        return chain_of((stretch.chain for stretch in self.stretches), closed=True)

    @cached_property
    def begins(self) -> tuple[float, ...]:
        """The place at which each stretch begins, mm."""
        found, total = [], 0.0
        for stretch in self.stretches:
            found.append(total)
            total += stretch.chain.length
        return tuple(found)

    def interval(self, index: int) -> tuple[float, float]:
        """First and last place of stretch ``index``, mm; the last one ends at the outline's length."""
        return self.begins[index], self.begins[index] + self.stretches[index].chain.length

    @cached_property
    def edge_names(self) -> tuple[str, ...]:
        """Names of the edges, in the order in which the outline meets them."""
        return tuple(dict.fromkeys(s.edge for s in self.stretches if s.edge is not None))

    def edge(self, name: str) -> Edge:
        """The edge of that name.

        Raises:
            KeyError: where there is none.
        """
        indices = [k for k, stretch in enumerate(self.stretches) if stretch.edge == name]
        if not indices:
            raise KeyError(name)
        return Edge(name, self, _in_running_order(indices, self))

    def adjoining(self, index: int, step: int) -> int | None:
        """The next stretch with an edge's name after (step 1) or before (step -1) stretch ``index``."""
        count = len(self.stretches)
        for k in range(1, count):
            other = (index + step * k) % count
            if self.stretches[other].edge is not None:
                return other
        return None

    def edge_at(self, place: float) -> str | None:
        """Name of the edge on which ``place`` lies (at a joint, the later one)."""
        place = self.chain.wrap(place)
        for index, begin in enumerate(self.begins):
            if begin - SNAP <= place < begin + self.stretches[index].chain.length - SNAP:
                return self.stretches[index].edge
        return self.stretches[0].edge

    def mouth_of(self, dart: str) -> tuple[float, float] | None:
        """First and last place of the mouth or of the legs of ``dart``, where the outline has one."""
        for index, stretch in enumerate(self.stretches):
            if stretch.dart == dart:
                return self.interval(index)
        return None


def _in_running_order(indices: list[int], outline: Outline) -> tuple[int, ...]:
    """The stretches of one edge in the order in which the outline runs through it.

    They are apart only by mouths of darts; the edge begins after the widest break, where another
    edge stands between.
    """
    count = len(outline.stretches)
    for k, index in enumerate(indices):
        before = indices[k - 1]
        between = [(before + 1 + j) % count for j in range((index - before - 1) % count)]
        if any(outline.stretches[j].edge is not None or outline.stretches[j].dart is None for j in between):
            return tuple(indices[k:] + indices[:k])
    return tuple(indices)


@dataclass(frozen=True)
class Edge:
    """One edge of an outline: its stretches (indices) in running order, mouths of darts left out."""

    name: str
    outline: Outline
    indices: tuple[int, ...]

    @property
    def length(self) -> float:
        """Length along the stitching line, darts folded out, mm."""
        return sum(self.outline.stretches[k].chain.length for k in self.indices)

    @property
    def begin(self) -> float:
        """Outline place of the edge's first point."""
        return self.outline.interval(self.indices[0])[0]

    @property
    def end(self) -> float:
        """Outline place of the edge's last point (wrapped into the outline)."""
        return self.outline.interval(self.indices[-1])[1]

    def place(self, distance: float) -> float:
        """Outline place at ``distance`` mm along the edge from its beginning, mouths skipped; clamped."""
        rest = max(distance, 0.0)
        for index in self.indices:
            begin, end = self.outline.interval(index)
            if rest <= end - begin + SNAP:
                return begin + min(rest, end - begin)
            rest -= end - begin
        return self.end

    def distance(self, place: float) -> float | None:
        """Distance (mm) along the edge of an outline place; None where the place is not on the edge."""
        total = 0.0
        whole = self.outline.chain.length
        for index in self.indices:
            begin, end = self.outline.interval(index)
            for candidate in (place, place + whole, place - whole):
                if begin - SNAP <= candidate <= end + SNAP:
                    return total + min(max(candidate - begin, 0.0), end - begin)
            total += end - begin
        return None

    def runs_from(self, start: str) -> bool | None:
        """Whether the edge runs away from ``start`` (a corner, or the edge that adjoins it there).

        False where ``start`` is at its last point; None where it is at neither end.
        """
        first, last = self.indices[0], self.indices[-1]
        corner = self.outline.corners.get(start)
        if corner is not None:
            for place, answer in ((self.begin, True), (self.end, False)):
                gap = abs(self.outline.chain.wrap(place) - self.outline.chain.wrap(corner))
                if min(gap, self.outline.chain.length - gap) < 1e-3:
                    return answer
        before, after = self.outline.adjoining(first, -1), self.outline.adjoining(last, 1)
        if before is not None and self.outline.stretches[before].edge == start:
            return True
        if after is not None and self.outline.stretches[after].edge == start:
            return False
        return None
