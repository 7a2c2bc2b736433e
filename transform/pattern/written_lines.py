"""An altered outline as new lines for the elements that draw it, and as new shapes beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from transform.geometry.chain import SNAP, Chain, chain_of
from transform.pattern.corners import CORNER, turns
from transform.pattern.detours import with_detours
from transform.pattern.drawn_lines import LineSource
from transform.pattern.outline import Outline, Stretch
from transform.svg.shapes import Drawing, Subpath

GAP = 1e-6
"""Stretches farther apart than this (mm) are not one line."""


@dataclass(frozen=True, slots=True)
class NewShape:
    """A line that no element draws yet: its name (None: the neighbour's), and the element beside it."""

    name: str | None
    chain: Chain
    neighbour: int


@dataclass(frozen=True, slots=True)
class _Run:
    """Neighbouring stretches of one element as one line, drawn the element's way."""

    element: int
    chain: Chain
    loop: bool


def written_lines(
    line: LineSource, new: Outline, drawings: Mapping[int, Drawing]
) -> tuple[dict[int, dict[int, tuple[Chain, ...]]], list[NewShape]]:
    """By element and subpath the chains that take its place; and the shapes that are new.

    An element of which nothing is left has no chains.
    """
    drawn = _mouths_apart(_drawn(new), line)
    runs = _runs(drawn)
    before = {run.element: run.chain for run in _runs(_mouths_apart(_drawn(line.outline), line)) if run.loop}
    found: dict[int, dict[int, tuple[Chain, ...]]] = {}
    for element, subpaths in line.subpaths.items():
        mine = [run for run in runs if run.element == element]
        found[element] = _assigned(mine, subpaths, drawings[element], before.get(element))
    return found, _new_shapes(drawn)


def _drawn(outline: Outline) -> list[Stretch]:
    """The stretches that draw something, with the notches that are drawn into them."""
    found: list[Stretch] = []
    for index, stretch in enumerate(outline.stretches):
        first, last = outline.interval(index)
        here = [
            replace(detour, place=detour.place - first)
            for detour in outline.detours
            if first - SNAP < detour.place < last - SNAP
        ]
        chain = with_detours(stretch.chain, here) if here else stretch.chain
        if chain.segments:
            found.append(replace(stretch, chain=chain))
    return found


def _mouths_apart(stretches: list[Stretch], line: LineSource) -> list[Stretch]:
    """The legs or the mouth of a dart that several elements draw, divided among them as they were."""
    found: list[Stretch] = []
    for stretch in stretches:
        drawers = line.drawers.get(stretch.dart or "", ())
        found.extend(_divided_among(stretch, drawers) if drawers else [stretch])
    return found


def _divided_among(mouth: Stretch, drawers: Sequence[Stretch]) -> list[Stretch]:
    """One stretch for each of ``drawers``, as far along each leg, or side of a cap, as theirs before."""
    old, new = chain_of(drawer.chain for drawer in drawers), mouth.chain
    point, turned = _tip(old), _tip(new)
    places = [0.0]
    for end in accumulate(drawer.chain.length for drawer in drawers):
        if end <= point + SNAP:
            places.append(turned * (end / point))
        else:
            places.append(turned + (new.length - turned) * ((end - point) / (old.length - point)))
    return [
        replace(mouth, chain=new.cut(first, last), source=drawer.source, flipped=drawer.flipped)
        for drawer, (first, last) in zip(drawers, pairwise(places), strict=True)
    ]


def _tip(chain: Chain) -> float:
    """Where a line turns most: a dart's point, or the tip of its cap; the middle of a straight mouth."""
    turn, place = max(((abs(turn), place) for place, turn in turns(chain)), default=(0.0, 0.0))
    return place if turn > CORNER else chain.length / 2


def _runs(stretches: Sequence[Stretch]) -> list[_Run]:
    """Stretches of one element that follow one another, round the outline's start too."""
    breaks = [k for k in range(len(stretches)) if not _goes_on(stretches[k - 1], stretches[k])]
    if not breaks:
        return [_run(stretches, loop=True)]
    found: list[_Run] = []
    for k, begin in enumerate(breaks):
        end = breaks[(k + 1) % len(breaks)]
        count = (end - begin) % len(stretches) or len(stretches)
        members = [stretches[(begin + j) % len(stretches)] for j in range(count)]
        if members[0].source is not None:
            found.append(_run(members, loop=False))
    return found


def _goes_on(before: Stretch, after: Stretch) -> bool:
    return (
        before.source is not None
        and before.source == after.source
        and before.flipped == after.flipped
        and abs(before.chain.end - after.chain.start) <= GAP
    )


def _run(members: Sequence[Stretch], *, loop: bool) -> _Run:
    chain = chain_of(member.chain for member in members)
    if members[0].flipped:
        chain = chain.reversed()
    return _Run(members[0].source or 0, chain, loop)


def _assigned(
    runs: Sequence[_Run], subpaths: Sequence[int], drawing: Drawing, before: Chain | None
) -> dict[int, tuple[Chain, ...]]:
    """Every run in the place of the subpath that lies nearest to it."""
    found: dict[int, tuple[Chain, ...]] = dict.fromkeys(subpaths, ())
    for run in runs:
        free = [k for k in subpaths if not found[k]] or list(subpaths)
        middle = run.chain.point(run.chain.length / 2)
        best = min(free, key=lambda k: abs(_middle(drawing.subpaths[k]) - middle))
        found[best] = (*found[best], _begun_as_before(run, drawing.subpaths[best], before))
    return found


def _middle(subpath: Subpath) -> complex:
    return subpath.chain.point(subpath.chain.length / 2)


def _begun_as_before(run: _Run, subpath: Subpath, before: Chain | None) -> Chain:
    """A run's chain; a closed one begun where its subpath begins, as far as that is still there.

    ``before`` is the whole closed line as it was.
    """
    segments = run.chain.segments
    if not run.loop:
        return run.chain
    first = next((k for k, s in enumerate(segments) if s == subpath.segments[0]), None)
    if first is None and before is not None and len(before.segments) == len(segments):
        first = next((k for k, s in enumerate(before.segments) if s == subpath.segments[0]), None)
    if first is None:
        first = min(range(len(segments)), key=lambda k: abs(segments[k].start - subpath.start))
    return Chain(segments[first:] + segments[:first], subpath.closed)


def _new_shapes(stretches: Sequence[Stretch]) -> list[NewShape]:
    """The stretches without an element, each beside the nearest element, best one of its own edge.

    Those nearest to their element come first, so that they stand in the file as they do on the outline: an
    edge, the mouth in it, the rest of the edge.
    """
    found: list[tuple[int, NewShape]] = []
    if all(stretch.source is None for stretch in stretches):
        return []
    for index, stretch in enumerate(stretches):
        if stretch.source is None:
            steps, beside = _beside(index, stretches)
            chain = stretch.chain.reversed() if beside.flipped else stretch.chain
            found.append((steps, NewShape(stretch.dart or stretch.edge, chain, beside.source or 0)))
    return [shape for _, shape in sorted(found, key=lambda pair: pair[0])]


def _beside(index: int, stretches: Sequence[Stretch]) -> tuple[int, Stretch]:
    """The nearest stretch that an element draws, of the edge to which a new one belongs if there is any.

    And how many stretches away it is. A mouth belongs to the edges on both sides of it.
    """
    count = len(stretches)
    edge = stretches[index].edge
    beside = {stretches[index - 1].edge, stretches[(index + 1) % count].edge}
    edges = {edge} if edge is not None else beside - {None}
    order = [(step, stretches[k % count]) for step in range(1, count) for k in (index - step, index + step)]
    drawn = [(step, stretch) for step, stretch in order if stretch.source is not None]
    return next((pair for pair in drawn if pair[1].edge in edges), drawn[0])
