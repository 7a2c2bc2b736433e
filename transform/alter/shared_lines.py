"""The lines drawn anew on an edge, carried over to the linked piece that shares it: drawn once, not twice.

Two fair lines over two copies of one edge could differ, since they are chosen among many. So the line is
drawn on the piece that is followed, and laid on the linked piece with the part on which it begins.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from transform.alter.closed_edges import Beside, ClosedEdge, EdgeEnd, RoundedHinge
from transform.alter.cutting import Cut
from transform.alter.registration import Registration
from transform.alter.sections import Joint, Section
from transform.geometry.chain import Chain
from transform.geometry.fair import FairLine
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.nudge import nudged
from transform.pattern.outline import Edge, Outline

_STUB = 0.02
"""A bit of the old edge shorter than this (mm) is not left standing beside a line."""
_SLACK = 0.1


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """A line drawn anew on ``edge``: ``fair`` or ``straight`` over closures, or ``rounded`` at a pivot.

    ``chain`` stands in its new place; ``anchor`` is a point, on the pattern as it came, of the part beside
    it, and ``motion`` what that part did. ``drawn`` is None for a rounded kink.
    """

    edge: str
    line: str
    chain: Chain
    anchor: complex
    motion: Motion
    drawn: FairLine | None


def drawn_lines(
    section: Section, outline: Outline, closed: Sequence[ClosedEdge], rounded: Sequence[RoundedHinge]
) -> list[DrawnLine]:
    """The lines drawn on a bare ``section`` of the old ``outline``, in the order in which they were drawn."""
    if section.edge is None:
        return []
    rows = [(c.wedges[0][0], c.wedges[-1][1], c.line, c.drawn.chain, c.drawn) for c in closed]
    hinges = [(hinge.place, hinge.place, "rounded", hinge.chain, None) for hinge in rounded]
    found = []
    for first, last, line, chain, drawn in (*rows, *hinges):
        beside = [
            run.kept
            for run in section.runs
            if run.kept is not None
            and (_at(run.kept.last, first, outline) or _at(run.kept.first, last, outline))
        ]
        kept = beside[0]
        middle = kept.first + ((kept.last - kept.first) % outline.chain.length) / 2
        anchor = outline.chain.point(outline.chain.wrap(middle))
        found.append(DrawnLine(section.edge, line, chain, anchor, kept.motion, drawn))
    return found


def _at(place: float, other: float, outline: Outline) -> bool:
    gap = abs(place - other) % outline.chain.length
    return min(gap, outline.chain.length - gap) < 1e-3


def carried(lines: Sequence[DrawnLine], registration: Registration) -> list[DrawnLine]:
    """The lines of the followed piece as lines of the linked one, which has not been altered yet.

    Their motion is STAY: they lie where they would if the part of their anchor had not moved.
    """
    found = []
    for line in lines:
        for one, other in registration.edges:
            if one.name == line.edge:
                chain = line.chain.moved(registration.motion.after(line.motion.inverse()))
                found.append(
                    replace(
                        line,
                        edge=other.name,
                        chain=chain if registration.same_way else chain.reversed(),
                        anchor=registration.motion(line.anchor),
                        motion=Motion(),
                    )
                )
    return found


@dataclass(frozen=True, slots=True)
class Laying:
    """Where lines are laid on a bare section: the cut that was made, the old edge, ends that a wedge took,
    the lines beside the edge."""

    cut: Cut
    edge: Edge
    start: EdgeEnd | None
    end: EdgeEnd | None
    beside: Beside


def lay_lines(
    section: Section, lines: Sequence[DrawnLine], laying: Laying, tolerance: float
) -> tuple[Section, list[ClosedEdge]]:
    """The section with every line laid on it whose ends lie on it within ``tolerance`` mm.

    A line that does not fit, because a removal of the linked piece's own lies between, is left out.
    """
    closed: list[ClosedEdge] = []
    for line in lines:
        place = _place_on(laying.edge, line.anchor)
        chain = line.chain.moved(laying.cut.arc_at(place).motion)
        fitted = _fitted(section, chain, laying, tolerance + _SLACK)
        if fitted is None:
            continue
        first, last, drawn, slid = fitted
        gaps = _gaps(section, first, last, laying)
        section = section.redrawn(first, last, drawn)
        if line.drawn is not None and gaps:
            reach = (gaps[0][0] - first, last - gaps[-1][0])
            anew = replace(line.drawn, chain=drawn, reach=reach, slid=slid)
            closed.append(ClosedEdge(tuple(gap for _, gap in gaps), line.line, anew, carried=True))
    return section, closed


def _gaps(
    section: Section, first: float, last: float, laying: Laying
) -> list[tuple[float, tuple[float, float]]]:
    """The closures from ``first`` to ``last``: where each lies on the section, and its wedge's old places."""
    whole = laying.cut.outline.length
    found = [
        (section.ends[k], section.gap(k))
        for k in range(len(section.runs) - 1)
        if first < section.ends[k] < last and section.joint(k, whole) is Joint.CLOSURE
    ]
    begin, end = section.runs[0].kept, section.runs[-1].kept
    if laying.start is not None and begin is not None and first == 0.0:
        found.insert(0, (0.0, (laying.start.place, begin.first)))
    if laying.end is not None and end is not None and last == section.chain.length:
        found.append((last, (end.last, laying.end.place)))
    return found


def _place_on(edge: Edge, point: complex) -> float:
    """The old outline's place of the edge that is nearest to a point."""
    outline = edge.outline
    found = []
    for index in edge.indices:
        place, distance = nearest(outline.stretches[index].chain, point)
        found.append((distance, outline.begins[index] + place))
    return min(found)[1]


def _fitted(
    section: Section, chain: Chain, laying: Laying, allowed: float
) -> tuple[float, float, Chain, tuple[float, float]] | None:
    """The line as it goes into the section, from where to where, and how far its ends slid along the lines
    beside the edge, mm; None where it does not fit.

    It is no longer than the section, and nudged to begin and end on it.
    """
    whole = section.chain.length
    first, short = nearest(section.chain, chain.start)
    last, long = nearest(section.chain, chain.end)
    first, last = (0.0 if first < _STUB else first), (whole if whole - last < _STUB else last)
    start, end = section.chain.point(first), section.chain.point(last)
    if laying.start is not None and abs(laying.start.point - chain.start) <= allowed:
        first, short, start = 0.0, 0.0, laying.start.point
    if laying.end is not None and abs(laying.end.point - chain.end) <= allowed:
        last, long, end = whole, 0.0, laying.end.point
    slid = [0.0, 0.0]
    if short > allowed and (on := _slid(laying.beside[0], chain.start, allowed)):
        first, short, start, slid[0] = 0.0, 0.0, *on
    if long > allowed and (on := _slid(laying.beside[1], chain.end, allowed)):
        last, long, end, slid[1] = whole, 0.0, *on
    if max(short, long) > allowed or last - first < _STUB:
        return None
    begin = nearest(chain, start)[0] if first == 0.0 else 0.0
    rest = chain.length - nearest(chain, end)[0] if last == whole else 0.0
    if max(begin, rest) > _STUB:
        chain = chain.cut(begin, chain.length - rest)
    leaving = section.chain.tangent(first, before=True) if first > 0.0 else None
    arriving = section.chain.tangent(last) if last < whole else None
    return first, last, nudged(chain, start, end, leaving, arriving), (slid[0], slid[1])


def _slid(beside: Chain | None, point: complex, allowed: float) -> tuple[complex, float] | None:
    """How far the edge's end slid along the line beside it, after the point there; None where it did not."""
    if beside is None:
        return None
    place, distance = nearest(beside, point)
    return None if distance > allowed else (beside.point(place), place)
