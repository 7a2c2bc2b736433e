"""From one closed line to an outline with edges: by the labels of its shapes, or by corners and rules."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain as every
from itertools import pairwise

from rules.model import EdgePath
from rules.problems import nearest
from transform.geometry.chain import Chain, area_within
from transform.pattern.corners import turns
from transform.pattern.detours import without_detours
from transform.pattern.dividing import begun_at, renamed
from transform.pattern.loops import DrawnLine, Link
from transform.pattern.outline import Detour, Outline, Stretch

_TURNS_BACK = math.pi / 2

Refuse = Callable[[str, str], Exception]
"""Makes the error of a kind and a text, at the element in question."""


def outline_of(lines: Sequence[DrawnLine], loop: Sequence[Link]) -> tuple[Outline, tuple[Link, ...]]:
    """The loop as an outline, and its links in the outline's order.

    A stretch for each line, the piece on the side of ``1j * tangent``.

    Shapes that make the outline together name their edges; one closed shape names none.
    """
    run = [lines[link.line].chain.reversed() if link.flipped else lines[link.line].chain for link in loop]
    links = list(loop)
    if area_within(Chain(tuple(every.from_iterable(c.segments for c in run)), closed=True)) < 0:
        run = [chain.reversed() for chain in reversed(run)]
        links = [replace(link, flipped=not link.flipped) for link in reversed(links)]
    single = len(loop) == 1
    stretches: list[Stretch] = []
    detours: list[Detour] = []
    place = 0.0
    for link, chain in zip(links, run, strict=True):
        line = lines[link.line]
        bare, found = without_detours(Chain(chain.segments, closed=single))
        detours.extend(replace(detour, place=detour.place + place) for detour in found)
        stretches.append(
            Stretch(
                Chain(bare.segments),
                edge=None if single else line.label,
                source=line.element,
                flipped=link.flipped,
            )
        )
        place += stretches[-1].chain.length
    return Outline(tuple(stretches), detours=tuple(detours)), tuple(links)


def with_ruled_edges(
    outline: Outline, paths: Sequence[EdgePath], is_dart: Callable[[str], bool], refuse: Refuse
) -> Outline:
    """The outline with the edges that the rules lay between its corners.

    An edge that is a dart and has its point in the middle becomes the dart's drawn legs.

    Raises:
        Exception: what ``refuse`` makes, for the first edge that cannot be laid.
    """
    for path in paths:
        for name in every.from_iterable(path.stretches):
            if name not in outline.corners:
                raise refuse("unknown corner", _unknown_corner(path.name, name, outline.corners))
    used = set(every.from_iterable(every.from_iterable(path.stretches) for path in paths))
    ways = [
        (path.name, _way(path.name, row, outline, used, refuse)) for path in paths for row in path.stretches
    ]
    if not ways:
        return outline
    start = ways[0][1][0]
    whole = outline.chain.length
    if len(outline.stretches) == 1:
        outline = begun_at(outline, start)
        ways = [(name, ((a - start) % whole, (b - start) % whole)) for name, (a, b) in ways]
    _refuse_overlap(ways, whole, refuse)
    for name, (first, last) in ways:
        outline = renamed(outline, first, last, edge=name)
        if is_dart(name) and point_within(outline, first, last) is not None:
            outline = renamed(outline, first, last, dart=name, drawn_in=True)
    return outline


def with_labelled_darts(outline: Outline, is_dart: Callable[[str], bool]) -> Outline:
    """The outline with those labelled stretches that draw a dart's two legs known as that dart's."""
    for name in [name for name in outline.edge_names if is_dart(name)]:
        edge = outline.edge(name)
        first, last = edge.begin, edge.end
        beside = all(b == (a + 1) % len(outline.stretches) for a, b in pairwise(edge.indices))
        if beside and point_within(outline, first, last) is not None:
            outline = renamed(outline, first, last, dart=name, drawn_in=True)
    return outline


def point_within(outline: Outline, first: float, last: float) -> float | None:
    """Place of the dart point between two places: where the line turns back on itself, or None."""
    chain = outline.chain
    whole = chain.length
    reach = (last - first) % whole or whole
    sharp = [
        (turn, place)
        for place, turn in turns(chain)
        if turn < -_TURNS_BACK and 1e-3 < (place - first) % whole < reach - 1e-3
    ]
    return min(sharp)[1] if sharp else None


def _way(
    edge: str, row: Sequence[str], outline: Outline, used: Iterable[str], refuse: Refuse
) -> tuple[float, float]:
    """First and last place of one stretch of an edge, in the outline's order."""
    whole = outline.chain.length
    corners = outline.corners
    ends = corners[row[0]], corners[row[-1]]
    fits: list[tuple[float, float]] = []
    passed: list[list[str]] = []
    for (first, last), between in ((ends, row[1:-1]), (ends[::-1], row[-2:0:-1])):
        reach = (last - first) % whole or whole
        inside = sorted(
            (distance, name)
            for name in used
            if 1e-6 < (distance := (corners[name] - first) % whole) < reach - 1e-6
        )
        names = [name for _, name in inside]
        passed.append(names)
        if (between and [name for name in names if name in between] == list(between)) or not (
            between or names
        ):
            fits.append((first, last))
    if len(fits) == 1:
        return fits[0]
    listed = f"[{', '.join(row)}]"
    if fits:
        raise refuse(
            "which way round",
            f"edge {edge}: {listed} could run either way round; name a third corner that it passes",
        )
    if len(row) > 2:
        text = f"edge {edge}: {listed} are not passed in this order on either way round the outline"
    else:
        one, other = (", ".join(names) for names in passed)
        text = (
            f"edge {edge}: {listed} passes other corners on both ways round the outline ({one}; {other}); "
            "name those that it passes, in order"
        )
    raise refuse("which way round", text)


def _refuse_overlap(ways: Sequence[tuple[str, tuple[float, float]]], whole: float, refuse: Refuse) -> None:
    for k, (name, (first, last)) in enumerate(ways):
        for other, (begin, end) in ways[:k]:
            if _lies_in(begin, first, last, whole) or _lies_in(first, begin, end, whole):
                raise refuse("edges overlap", f"edges {other} and {name} lie over each other")


def _lies_in(place: float, first: float, last: float, whole: float) -> bool:
    """Whether what begins at ``place`` begins between two places, the first of them included."""
    behind = (place - first) % whole
    return min(behind, whole - behind) < 1e-6 or behind < ((last - first) % whole or whole) - 1e-6


def _unknown_corner(edge: str, name: str, corners: Mapping[str, float]) -> str:
    near = nearest(name, corners)
    hint = f"; did you mean {near}?" if near else ""
    there = ", ".join(corners) or "none: draw a layer `corner marks` with one labelled shape for each corner"
    return f"edge {edge}: there is no corner mark {name!r}; there is: {there}{hint}"
