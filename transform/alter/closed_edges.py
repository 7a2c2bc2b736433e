"""Drawing a closed edge anew, and rounding off the kink that a closing leaves in a seam at its pivot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from transform.alter.runs import Kept, Run
from transform.alter.sections import Joint, Section
from transform.geometry.blend import rounded
from transform.geometry.chain import Chain, beside_chord
from transform.geometry.fair import FairLine, close_fair, close_straight
from transform.geometry.joining import with_end, with_start
from transform.geometry.motion import Motion
from transform.geometry.segments import Line

_STUB = 1e-4
"""Length (mm) of the bit of line that stands for an edge's direction where a wedge took all the rest."""
_SHARED = 120.0
"""Closures with less than this between them (mm) share the line there."""


@dataclass(frozen=True, slots=True)
class ClosedEdge:
    """The line of one or of several closures: which they were (old places of each wedge's ends).

    ``carried`` where it was drawn on another piece, whose linked edge this one is.
    """

    wedges: tuple[tuple[float, float], ...]
    line: str
    drawn: FairLine
    carried: bool = False


def is_straight(chain: Chain) -> bool:
    """Whether an edge lies within 0.5 mm of its chord."""
    return abs(chain.end - chain.start) >= 1e-9 and beside_chord(chain.samples(2.0)) <= 0.5


@dataclass(frozen=True, slots=True)
class EdgeEnd:
    """Where an edge ends of which a wedge took the last bit: the neighbour's end, the old direction there.

    ``place`` is the end's place on the old outline; ``motion`` that of the neighbour.
    """

    point: complex
    tangent: complex
    place: float
    motion: Motion


Beside = tuple[Chain | None, Chain | None]
"""The lines beside an edge, each from the edge's start or end on, where they may be trimmed for it."""


def draw_closures(
    section: Section,
    straight: bool,
    whole: float,
    start: EdgeEnd | None = None,
    end: EdgeEnd | None = None,
    beside: Beside = (None, None),
) -> tuple[Section, list[ClosedEdge]]:
    """The section with a line over all its closures; ``whole`` is the old outline's length, mm.

    ``start`` and ``end`` are given where a wedge reached the edge's own end: the line then meets the
    neighbour's end in the edge's old direction there. Where neither leaves a fair line, an end slides along
    the line ``beside`` the edge; how far is told by `slides`.
    """
    section = _with_stubs(section, start, end)
    drawn, closed = _drawn(section, straight, whole, beside)
    slid = slides(closed)
    return _without_stubs(drawn, start if not slid[0] else None, end if not slid[1] else None), closed


def slides(closed: Sequence[ClosedEdge]) -> tuple[float, float]:
    """How far the ends of an edge slid along the lines beside it, mm, over all its lines."""
    return (
        max((line.drawn.slid[0] for line in closed), default=0.0),
        max((line.drawn.slid[1] for line in closed), default=0.0),
    )


def beside_edge(before: Section, behind: Section) -> Beside:
    """The bare lines beside an edge, each from the edge's start or end on, of the sections beside it."""
    return before.runs[-1].chain.reversed(), behind.runs[0].chain


def trimmed(before: Section, behind: Section, slid: tuple[float, float]) -> tuple[Section, Section]:
    """The sections before and behind an edge, without what its ends slid along them, mm."""
    if slid[0]:
        before = before.part(0.0, before.chain.length - slid[0])
    if slid[1]:
        behind = behind.part(slid[1], behind.chain.length)
    return before, behind


def _with_stubs(section: Section, start: EdgeEnd | None, end: EdgeEnd | None) -> Section:
    """The section with a stub beyond a wedge at its end, which gives the line its direction there."""
    runs, owners = list(section.runs), list(section.owners)
    if start is not None:
        stub = Line(start.point - start.tangent * _STUB, start.point)
        runs.insert(0, Run(Chain((stub,)), Kept(start.place - _STUB, start.place, start.motion)))
        owners.insert(0, owners[0])
    if end is not None:
        stub = Line(end.point, end.point + end.tangent * _STUB)
        runs.append(Run(Chain((stub,)), Kept(end.place, end.place + _STUB, end.motion)))
        owners.append(owners[-1])
    return Section(section.edge, tuple(runs), tuple(owners))


def _without_stubs(section: Section, start: EdgeEnd | None, end: EdgeEnd | None) -> Section:
    """The section between the points where its neighbours end; what is left of the stubs goes."""
    rows = [
        (run, owner)
        for run, owner in zip(section.runs, section.owners, strict=True)
        if run.chain.length > 2 * _STUB or (start is None and end is None)
    ]
    runs = [run for run, _ in rows]
    if start is not None:
        runs[0] = replace(runs[0], chain=with_start(runs[0].chain, start.point))
    if end is not None:
        runs[-1] = replace(runs[-1], chain=with_end(runs[-1].chain, end.point))
    return Section(section.edge, tuple(runs), tuple(owner for _, owner in rows))


def _drawn(
    section: Section, straight: bool, whole: float, beside: Beside
) -> tuple[Section, list[ClosedEdge]]:
    closures = section.closures(whole)
    if not closures:
        return section, []
    places = [section.ends[k] for k in closures]
    bounds = [0.0, *places, section.chain.length]
    chains = [section.chain.cut(a, b) for a, b in pairwise(bounds)]
    wedges = [section.gap(k) for k in closures]
    if straight:
        drawn = close_straight(chains)
        whole_line = section.redrawn(0.0, section.chain.length, drawn.chain)
        return whole_line, [ClosedEdge(tuple(wedges), "straight", drawn)]
    done: list[ClosedEdge] = []
    for first, last in reversed(_groups(chains)):
        row = chains[first : last + 1]
        ends = first == 0, last == len(chains) - 1
        if not ends[0]:
            row[0] = row[0].cut(row[0].length / 2, row[0].length)
        if not ends[1]:
            row[-1] = row[-1].cut(0.0, row[-1].length / 2)
        drawn = close_fair(
            row,
            edge_ends=ends,
            beside=(beside[0] if ends[0] else None, beside[1] if ends[1] else None),
        )
        section = section.redrawn(
            places[first] - drawn.reach[0], places[last - 1] + drawn.reach[1], drawn.chain
        )
        done.append(ClosedEdge(tuple(wedges[first:last]), "fair", drawn))
    return section, done


def _groups(chains: Sequence[Chain]) -> list[tuple[int, int]]:
    """First and last chain of each group of closures that share the lines between them."""
    groups = [(0, 1)]
    for k in range(1, len(chains) - 1):
        if chains[k].length < _SHARED:
            groups[-1] = (groups[-1][0], k + 1)
        else:
            groups.append((k, k + 1))
    return groups


@dataclass(frozen=True, slots=True)
class RoundedHinge:
    """The line over a kink at a pivot; ``place`` is the pivot's place on the old outline."""

    place: float
    chain: Chain


def round_hinges(section: Section, whole: float) -> tuple[Section, list[RoundedHinge]]:
    """The section with every kink at a pivot rounded off, as little as is needed to be smooth."""
    done: list[RoundedHinge] = []
    for k in reversed(range(len(section.runs) - 1)):
        if section.joint(k, whole) is not Joint.HINGE:
            continue
        place = section.ends[k]
        old_place = section.gap(k)[0]
        blend = rounded(section.chain.cut(0.0, place), section.chain.cut(place, section.chain.length))
        if blend is not None:
            reach, cubic = blend
            section = section.redrawn(place - reach, place + reach, Chain((cubic,)))
            done.append(RoundedHinge(old_place, Chain((cubic,))))
    return section, done
