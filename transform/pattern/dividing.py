"""Outlines divided at places, and stretches given other names: new values, the same line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from transform.geometry.chain import SNAP, Chain
from transform.pattern.outline import Outline, Stretch

JOINT = 0.5
"""A place this near (mm) to a joint of the line is that joint, so that no slivers come about."""


def snapped(chain: Chain, place: float, within: float = JOINT) -> float:
    """``place``, or the joint of the (closed) chain that is ``within`` mm of it."""
    whole = chain.length
    joint = min((0.0, *chain.ends), key=lambda end: _apart(end, place, whole))
    return chain.wrap(joint) if _apart(joint, place, whole) <= within else place


def _apart(a: float, b: float, whole: float) -> float:
    gap = abs(a - b) % whole
    return min(gap, whole - gap)


def divided(outline: Outline, places: Iterable[float]) -> Outline:
    """The outline with joints between stretches at all of ``places``."""
    whole = outline.chain.length
    wanted = sorted(outline.chain.wrap(place) for place in places)
    stretches: list[Stretch] = []
    for index, stretch in enumerate(outline.stretches):
        first, last = outline.interval(index)
        inner = [p - first for p in wanted if first + SNAP < p < min(last, whole) - SNAP]
        bounds = [0.0, *dict.fromkeys(inner), last - first]
        if len(bounds) == 2:
            stretches.append(stretch)
            continue
        for a, b in pairwise(bounds):
            stretches.append(replace(stretch, chain=stretch.chain.cut(a, b)))
    return replace(outline, stretches=tuple(stretches))


def renamed(
    outline: Outline,
    first: float,
    last: float,
    *,
    edge: str | None = None,
    dart: str | None = None,
    drawn_in: bool = False,
) -> Outline:
    """The outline with everything from ``first`` on to ``last`` belonging to that edge or dart."""
    outline = divided(outline, (first, last))
    whole = outline.chain.length
    reach = (last - first) % whole or whole
    stretches: list[Stretch] = []
    for index, stretch in enumerate(outline.stretches):
        begin, end = outline.interval(index)
        if ((begin + end) / 2 - first) % whole < reach:
            stretch = replace(stretch, edge=edge, dart=dart, drawn_in=drawn_in)
        stretches.append(stretch)
    return replace(outline, stretches=tuple(stretches))


def begun_at(outline: Outline, place: float) -> Outline:
    """The outline of one closed shape, begun at another place; nothing on it may be named yet."""
    chain = outline.chain
    place = chain.wrap(place)
    if place == 0.0 or len(outline.stretches) != 1:
        return outline
    (stretch,) = outline.stretches
    whole = chain.length
    return Outline(
        (replace(stretch, chain=chain.cut(place, place)),),
        {name: (corner - place) % whole for name, corner in outline.corners.items()},
        tuple(replace(detour, place=(detour.place - place) % whole) for detour in outline.detours),
    )
