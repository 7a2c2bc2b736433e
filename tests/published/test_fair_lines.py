"""Fair lines judged by another library's curve algebra (svgpathtools)."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import svgpathtools
from hypothesis import given, settings

from tests.geometry.closures import HOLLOW, Closure, closures, drawn
from transform.geometry.chain import Chain
from transform.geometry.segments import Arc, Cubic, Line, Segment

Foreign = svgpathtools.Line | svgpathtools.CubicBezier | svgpathtools.Arc


def foreign(segment: Segment) -> Foreign:
    """The same segment as an object of the other library."""
    if isinstance(segment, Line):
        return svgpathtools.Line(segment.start, segment.end)
    if isinstance(segment, Cubic):
        return svgpathtools.CubicBezier(segment.start, segment.control1, segment.control2, segment.end)
    assert isinstance(segment, Arc)
    return svgpathtools.Arc(
        segment.start,
        complex(segment.rx, segment.ry),
        math.degrees(segment.rotation),
        segment.large,
        segment.sweep,
        segment.end,
    )


def whole_edge(closure: Closure) -> Chain:
    """The edge as it is after the closing: its rest on both sides, and the new line."""
    left, right = closure.chains
    back, on = drawn(closure).reach
    rest = left.cut(0.0, left.length - back), right.cut(on, right.length)
    return rest[0].joined(drawn(closure).chain).joined(rest[1])


@settings(max_examples=25, deadline=None)
@given(closures())
def test_tangent_and_curvature_go_on_along_the_whole_edge(closure: Closure) -> None:
    new = drawn(closure).chain.segments
    for one, other in pairwise(whole_edge(closure).segments):
        if one in new or other in new:
            before, after = foreign(one), foreign(other)
            assert abs(before.end - after.start) < 1e-6
            assert abs(before.unit_tangent(1) - after.unit_tangent(0)) < 1e-6
            assert before.curvature(1) == pytest.approx(after.curvature(0), abs=1e-6)


@pytest.mark.parametrize("name", list(HOLLOW))
def test_a_hollow_edge_bends_one_way_to_its_very_end(name: str) -> None:
    edge = whole_edge(Closure(name, 0.5, 10.0, 0.0, 150.0))
    for segment in (foreign(s) for s in edge.segments):
        for k in range(1, 20):
            first, second = segment.derivative(k / 20), segment.derivative(k / 20, 2)
            assert (first.conjugate() * second).imag < 1e-6 * abs(first) ** 3
