"""The outline after all closings, before any finishing: kept runs in place, closures and mouths bare."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from transform.alter.cutting import Cut, OutlineArc
from transform.alter.runs import Kept, NewStretch, Run
from transform.geometry.chain import SNAP
from transform.pattern.outline import Outline, Stretch


@dataclass(frozen=True, slots=True)
class OpenMouth:
    """A mouth that closings have opened: where it lay on the old outline.

    ``filled`` where no dart comes of it.
    """

    dart: str
    first: float
    last: float
    is_new: bool
    filled: bool


def open_mouths(cut: Cut) -> tuple[OpenMouth, ...]:
    """Every mouth that a closing opens, once, in the outline's order."""
    found: dict[str, OpenMouth] = {}
    for turn in cut.turns:
        for mouth in turn.closing.mouths:
            if mouth.dart is not None:
                opened = OpenMouth(mouth.dart, mouth.first, mouth.last, mouth.is_new, mouth.filled)
                found.setdefault(mouth.dart, opened)
    return tuple(sorted(found.values(), key=lambda mouth: mouth.first))


def assemble(outline: Outline, cut: Cut, mouths: tuple[OpenMouth, ...]) -> tuple[NewStretch, ...]:
    """The old stretches with what is gone left out and what is kept in its new place.

    A new mouth divides its stretch: the part that did not turn keeps the source, and between the two
    stands a stretch of the dart without runs. The stretch of a mouth that was there loses its runs. Where
    one element draws the whole outline, every stretch keeps it.
    """
    one_shape = len({s.source for s in outline.stretches}) == 1 and len(outline.stretches) > 1
    opened = {mouth.dart for mouth in mouths if not mouth.is_new}
    bare = [mouth for mouth in mouths if mouth.is_new]
    found: list[NewStretch] = []
    for index, stretch in enumerate(outline.stretches):
        if stretch.dart in opened:
            found.append(replace(_like(stretch), runs=()))
            continue
        first, last = outline.interval(index)
        here = sorted(
            (m for m in bare if first - SNAP < m.first < last - SNAP), key=lambda mouth: mouth.first
        )
        bounds = [first, *(m.first for m in here), last]
        parts = [_runs(cut, a, b) for a, b in pairwise(bounds)]
        keeper = _keeper(parts)
        for k, runs in enumerate(parts):
            owns = one_shape or k == keeper
            # A mouth at the joint of two shapes leaves nothing of this one on its other side.
            if runs or not here:
                found.append(
                    NewStretch(
                        runs, stretch.edge, source=stretch.source if owns else None, flipped=stretch.flipped
                    )
                    if stretch.dart is None
                    else replace(_like(stretch), runs=runs)
                )
            if k < len(here):
                source = stretch.source if one_shape else None
                found.append(NewStretch((), None, here[k].dart, source=source, flipped=stretch.flipped))
    return tuple(found)


def _like(stretch: Stretch) -> NewStretch:
    return NewStretch((), stretch.edge, stretch.dart, stretch.drawn_in, stretch.source, stretch.flipped)


def _keeper(parts: list[tuple[Run, ...]]) -> int:
    """The part of a divided stretch that keeps its element: the longest of those that did not turn."""

    def rank(k: int) -> tuple[bool, float]:
        kept = [run for run in parts[k] if run.kept is not None]
        still = any(run.kept is not None and run.kept.motion.is_identity for run in kept)
        return still, sum(run.chain.length for run in kept)

    return max(range(len(parts)), key=rank)


def _runs(cut: Cut, first: float, last: float) -> tuple[Run, ...]:
    """The kept runs of the old outline from ``first`` to ``last``, neighbours of one motion together."""
    found: list[Run] = []
    for begin, end, arc in _pieces(cut, first, last):
        if arc.gone:
            continue
        before = found[-1].kept if found else None
        if before is not None and before.motion == arc.motion and abs(before.last - begin) < SNAP:
            begin = before.first
            found.pop()
        chain = cut.outline.cut(begin, end) if end - begin < cut.outline.length - SNAP else cut.outline
        found.append(Run(chain.moved(arc.motion), Kept(begin, end, arc.motion)))
    return tuple(found)


def _pieces(cut: Cut, first: float, last: float) -> list[tuple[float, float, OutlineArc]]:
    """The arcs between two places, clipped to them."""
    found = []
    for arc in cut.arcs:
        begin, end = max(arc.first, first), min(arc.last, last)
        if end - begin > SNAP:
            found.append((begin, end, arc))
    return found
