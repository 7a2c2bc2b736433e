"""The lines drawn anew on an edge, carried over to the linked piece that shares it: drawn once, not twice.

Two fair lines over two copies of one edge could differ, since they are chosen among many. So the line is
drawn on the piece that is followed, and laid on the linked piece with the part on which it begins.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from transform.alter.closed_edges import ClosedEdge, EdgeEnd, RoundedHinge
from transform.alter.cutting import Cut
from transform.alter.registration import Registration
from transform.alter.sections import Joint, Section
from transform.geometry.chain import Chain
from transform.geometry.fair import FairLine
from transform.geometry.fit import fit_cubics
from transform.geometry.joining import with_end, with_start
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line
from transform.pattern.outline import Edge, Outline

_STUB = 0.02
"""A bit of the old edge shorter than this (mm) is not left standing beside a line."""
_SLACK = 0.1
_AS_IT_IS = 0.02
_SAME_DIRECTION = math.radians(0.03)
_CORNER = math.radians(3.0)
_STEP = 3.0
_FIT = 0.005


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
    """Where lines are laid on a bare section: the cut that was made, the old edge, ends that a wedge took."""

    cut: Cut
    edge: Edge
    start: EdgeEnd | None
    end: EdgeEnd | None


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
        span = _span(section, chain, laying, tolerance + _SLACK)
        if span is None:
            continue
        first, last, start, end = span
        whole = laying.cut.outline.length
        gaps = [
            (section.ends[k], section.gap(k))
            for k in range(len(section.runs) - 1)
            if first < section.ends[k] < last and section.joint(k, whole) is Joint.CLOSURE
        ]
        drawn = _fitted(section, chain, first, last, start, end)
        section = section.redrawn(first, last, drawn)
        if line.drawn is not None and gaps:
            reach = (gaps[0][0] - first, last - gaps[-1][0])
            anew = replace(line.drawn, chain=drawn, reach=reach)
            closed.append(ClosedEdge(tuple(gap for _, gap in gaps), line.line, anew))
    return section, closed


def _place_on(edge: Edge, point: complex) -> float:
    """The old outline's place of the edge that is nearest to a point."""
    outline = edge.outline
    found = []
    for index in edge.indices:
        place, distance = nearest(outline.stretches[index].chain, point)
        found.append((distance, outline.begins[index] + place))
    return min(found)[1]


def _span(
    section: Section, chain: Chain, laying: Laying, allowed: float
) -> tuple[float, float, complex, complex] | None:
    """From where to where on the section the line goes, and the points where it is to begin and to end."""
    whole = section.chain.length
    first, short = nearest(section.chain, chain.start)
    last, long = nearest(section.chain, chain.end)
    first, last = (0.0 if first < _STUB else first), (whole if whole - last < _STUB else last)
    start, end = section.chain.point(first), section.chain.point(last)
    if laying.start is not None and abs(laying.start.point - chain.start) <= allowed:
        first, short, start = 0.0, 0.0, laying.start.point
    if laying.end is not None and abs(laying.end.point - chain.end) <= allowed:
        last, long, end = whole, 0.0, laying.end.point
    if max(short, long) > allowed or last - first < _STUB:
        return None
    return first, last, start, end


def _fitted(section: Section, chain: Chain, first: float, last: float, start: complex, end: complex) -> Chain:
    """The line between its own two points on the section, in the section's directions there.

    Where both edges are the same it is the very line; else its points are shifted by the cubic Hermite
    interpolation of what is missing at its ends.
    """
    at_start, at_end = first < _STUB, section.chain.length - last < _STUB
    turns = [
        _turn(None if at_start else section.chain.tangent(first, before=True), chain.tangent(0.0)),
        _turn(None if at_end else section.chain.tangent(last), chain.tangent(chain.length, before=True)),
    ]
    missing = (start - chain.start, end - chain.end)
    exact = max(abs(m) for m in missing) < _AS_IT_IS and max(abs(t) for t in turns) < _SAME_DIRECTION
    if exact or all(isinstance(segment, Line) for segment in chain.segments):
        return with_end(with_start(chain, start), end)
    count, length = max(8, int(chain.length / _STEP)), chain.length
    drift = (missing[1] - missing[0]) / length
    slopes = [
        drift if free else chain.tangent(place, before=place > 0) * 1j * turn
        for free, place, turn in zip((at_start, at_end), (0.0, length), turns, strict=True)
    ]
    samples = []
    for k in range(count + 1):
        u = k / count
        place = length * u
        shift = (
            missing[0] * (1 - 3 * u**2 + 2 * u**3)
            + missing[1] * (3 * u**2 - 2 * u**3)
            + length * (slopes[0] * (u - 2 * u**2 + u**3) + slopes[1] * (u**3 - u**2))
        )
        slope = (
            (missing[1] - missing[0]) * 6 * (u - u**2) / length
            + slopes[0] * (1 - 4 * u + 3 * u**2)
            + slopes[1] * (3 * u**2 - 2 * u)
        )
        tangent = chain.tangent(place, before=k > 0) + slope
        samples.append((chain.point(place) + shift, tangent / abs(tangent)))
    return Chain(fit_cubics(samples, _FIT))


def _turn(wanted: complex | None, own: complex) -> float:
    """The angle (rad) from a line's direction to the edge's; 0 at an edge's end and at a corner."""
    if wanted is None:
        return 0.0
    angle = cmath.phase(wanted / own)
    return angle if abs(angle) < _CORNER else 0.0
