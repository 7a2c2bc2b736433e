"""Sections of the new outline: one edge without a mouth between, redrawn from place to place."""

from __future__ import annotations

import bisect
import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property
from itertools import pairwise

from transform.alter.runs import Kept, NewStretch, Run
from transform.geometry.chain import SNAP, Chain, chain_of
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line

_CORNER = math.radians(10.0)
SHARP_POINT = math.radians(30.0)
_STUMP = 0.01
_MEET = 1e-5


class Joint(Enum):
    """What lies between two neighbouring runs of a section."""

    PLAIN = "nothing"
    CLOSURE = "a wedge was closed here"
    HINGE = "the outline turns about a pivot here"


@dataclass(frozen=True)
class Section:
    """Runs of one edge end to end; ``owners`` gives the index of the stretch that each run belongs to.

    ``partial`` where the edge goes on beyond a sharp point at one of its ends.
    """

    edge: str | None
    runs: tuple[Run, ...]
    owners: tuple[int, ...]
    partial: bool = False

    @cached_property
    def chain(self) -> Chain:
        """All runs as one open chain."""
        return chain_of(run.chain for run in self.runs)

    @cached_property
    def ends(self) -> tuple[float, ...]:
        """Place along the section at which each run ends, mm."""
        found, total = [], 0.0
        for run in self.runs:
            total += run.chain.length
            found.append(total)
        return tuple(found)

    def joint(self, index: int, whole: float) -> Joint:
        """What lies between run ``index`` and the next, on an old outline ``whole`` mm long."""
        before, after = self.runs[index].kept, self.runs[index + 1].kept
        if before is None or after is None:
            return Joint.PLAIN
        gap = (after.first - before.last) % whole
        if min(gap, whole - gap) > 2 * SNAP:
            return Joint.CLOSURE
        return Joint.PLAIN if before.motion == after.motion else Joint.HINGE

    def closures(self, whole: float) -> list[int]:
        """The runs after which a wedge was closed, on an old outline ``whole`` mm long."""
        return [k for k in range(len(self.runs) - 1) if self.joint(k, whole) is Joint.CLOSURE]

    def gap(self, index: int) -> tuple[float, float]:
        """The old outline's places between which all is gone after run ``index``.

        Raises:
            ValueError: where a run beside it was drawn anew.
        """
        before, after = self.runs[index].kept, self.runs[index + 1].kept
        if before is None or after is None:
            raise ValueError("a run that was drawn anew has no place on the old outline")
        return before.last, after.first

    def redrawn(self, first: float, last: float, line: Chain) -> Section:
        """The section with ``line`` in the place of what lay from ``first`` to ``last``.

        Where the line covers the joint of two shapes of the edge it is divided beside that joint.
        """
        covered = self.between(first, last) or self._at(first)
        drawn: list[tuple[Run, int]] = []
        for (_, owner), (run, following) in pairwise(covered):
            if owner != following:
                place, _ = nearest(line, run.chain.start)
                drawn.append((Run(line.cut(0.0, place)), owner))
                line = line.cut(place, line.length)
        drawn.append((Run(line), covered[-1][1]))
        rows = [*self.between(0.0, first), *drawn, *self.between(last, self.chain.length)]
        rows = [row for row in rows if row[0].chain.segments]
        return Section(self.edge, tuple(row[0] for row in rows), tuple(row[1] for row in rows))

    def between(self, first: float, last: float) -> list[tuple[Run, int]]:
        """The runs between two places, clipped to them, with their owners."""
        found, begin = [], 0.0
        for run, owner, end in zip(self.runs, self.owners, self.ends, strict=True):
            low, high = max(begin, first), min(end, last)
            if high - low > SNAP:
                found.append((clipped(run, low - begin, high - begin), owner))
            begin = end
        return found

    def part(self, first: float, last: float) -> Section:
        """The section from one place to another."""
        rows = self.between(first, last)
        return replace(self, runs=tuple(run for run, _ in rows), owners=tuple(owner for _, owner in rows))

    def _at(self, place: float) -> list[tuple[Run, int]]:
        index = min(bisect.bisect_left(self.ends, place - SNAP), len(self.runs) - 1)
        return [(self.runs[index], self.owners[index])]


def clipped(run: Run, first: float, last: float) -> Run:
    """The part of a run between two places along it, mm."""
    length = run.chain.length
    if first < SNAP and last > length - SNAP:
        return run
    kept = run.kept
    return Run(
        run.chain.cut(first, last),
        None if kept is None else Kept(kept.first + first, kept.first + min(last, length), kept.motion),
    )


def sections(stretches: Sequence[NewStretch]) -> list[Section]:
    """The outline's sections in order; mouths belong to none. An edge never runs over the list's end.

    A part without an edge's name ends at its corners; a shape that lies wholly in a wedge has no runs left.
    """
    found: list[Section] = []
    after_mouth = True
    for index, stretch in enumerate(stretches):
        if stretch.dart is not None:
            after_mouth = True
            continue
        if not stretch.runs:
            continue
        owners = tuple([index] * len(stretch.runs))
        last = found[-1] if found and not after_mouth else None
        after_mouth = False
        if stretch.edge is None:
            found.extend(_between_corners(Section(None, stretch.runs, owners)))
        elif last is not None and last.edge == stretch.edge:
            found[-1] = Section(last.edge, last.runs + stretch.runs, last.owners + owners)
        else:
            found.append(Section(stretch.edge, stretch.runs, owners))
    return found


def _between_corners(section: Section) -> Iterator[Section]:
    """The section divided at the corners within its runs."""
    bounds, begin = [0.0], 0.0
    for run in section.runs:
        bounds.extend(begin + place for place in corners(run.chain))
        begin += run.chain.length
    for first, last in pairwise([*bounds, begin]):
        yield section.part(first, last)


def divided_at_points(parts: Sequence[Section], whole: float, folds: Sequence[float] = ()) -> list[Section]:
    """The sections, those of an edge that runs over a sharp point (a V) or a fold divided there.

    No line is drawn over such a point, and each side of it may be straight by itself. ``whole`` is the old
    outline's length, mm; ``folds`` are places of it.
    """
    found: list[Section] = []
    for section in parts:
        places = _points_within(section, whole, folds) if section.edge is not None else []
        if not places:
            found.append(section)
            continue
        for first, last in pairwise([0.0, *places, section.chain.length]):
            found.append(replace(section.part(first, last), partial=True))
    return found


def _points_within(section: Section, whole: float, folds: Sequence[float]) -> list[float]:
    """Places at which the old line of a section had a sharp point or was folded."""
    found: list[float] = []
    begin = 0.0
    for index, run in enumerate(section.runs):
        if run.kept is not None:
            along = [(fold - run.kept.first) % whole for fold in folds]
            found.extend(begin + place for place in along if place < run.chain.length + SNAP)
            found.extend(begin + place for place in corners(run.chain, SHARP_POINT))
        begin += run.chain.length
        if index + 1 < len(section.runs) and section.joint(index, whole) is Joint.PLAIN:
            following = section.runs[index + 1].chain
            leaving = run.chain.tangent(run.chain.length, before=True)
            if abs(cmath.phase(following.tangent(0.0) / leaving)) > SHARP_POINT:
                found.append(begin)
    return _apart(found, section.chain.length)


def _apart(places: Sequence[float], whole: float) -> list[float]:
    """The places in order, without the section's ends and those that are there twice."""
    found: list[float] = []
    for place in sorted(places):
        if place - (found[-1] if found else 0.0) > _STUMP and whole - place > _STUMP:
            found.append(place)
    return found


def corners(chain: Chain, least: float = _CORNER) -> list[float]:
    """Places within an open chain at which it turns by more than ``least`` (rad; 10° where left out)."""
    return [
        place
        for place in chain.ends[:-1]
        if abs(cmath.phase(chain.tangent(place) / chain.tangent(place, before=True))) > least
    ]


def bridged(
    parts: Sequence[Section], bare: Sequence[Section], stretches: Sequence[NewStretch], whole: float
) -> list[Section]:
    """The sections of ``stretches``, with a straight line where one now ends beside the next one's start.

    That is left where a wedge took a corner of the piece. ``bare`` are the sections before anything was
    drawn: where neighbours are still neighbours, a gap between them is the file's own and stays. ``whole``
    is the length of the old outline, mm.
    """
    found = list(parts)
    for index, section in enumerate(parts):
        following = parts[(index + 1) % len(parts)]
        if _still_beside(bare[index], bare[(index + 1) % len(bare)], whole):
            continue
        first, last = section.owners[-1], following.owners[0]
        between = [(first + 1 + k) % len(stretches) for k in range((last - first - 1) % len(stretches))]
        start, end = section.chain.end, following.chain.start
        if abs(end - start) > _MEET and not any(stretches[k].dart for k in between):
            line = Run(Chain((Line(start, end),)))
            found[index] = Section(section.edge, (*section.runs, line), (*section.owners, first))
    return found


def _still_beside(section: Section, following: Section, whole: float) -> bool:
    """Whether what meets here met on the old outline and moved as one."""
    before, after = section.runs[-1].kept, following.runs[0].kept
    if before is None or after is None or before.motion != after.motion:
        return False
    apart = abs(before.last - after.first) % whole
    return min(apart, whole - apart) < SNAP


def with_sections(stretches: Sequence[NewStretch], done: Sequence[Section]) -> tuple[NewStretch, ...]:
    """The stretches with the runs of their sections put in; one that lost all its runs goes."""
    runs: dict[int, list[Run]] = {}
    for section in done:
        for run, owner in zip(section.runs, section.owners, strict=True):
            runs.setdefault(owner, []).append(run)
    return tuple(
        stretch if stretch.dart is not None else replace(stretch, runs=tuple(runs[index]))
        for index, stretch in enumerate(stretches)
        if stretch.dart is not None or index in runs
    )


def begun_at_an_edge(stretches: tuple[NewStretch, ...]) -> tuple[NewStretch, ...]:
    """The cyclic stretches, turned so that no edge runs over the end of the list."""
    count = len(stretches)
    for k in range(count):
        if stretches[k].dart is not None or stretches[k].edge != stretches[k - 1].edge:
            return stretches[k:] + stretches[:k]
    return stretches
