"""A line brought to ends that lie close by: it ends there, in the directions asked, and hardly strays."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from transform.geometry import nudge
from transform.geometry.chain import Chain
from transform.geometry.nearest import nearest
from transform.geometry.nudge import nudged
from transform.geometry.segments import Cubic, Line

LINE = Chain((Cubic(0j, 40 + 3j, 80 + 20j, 110 + 50j), Cubic(110 + 50j, 125 + 65j, 150 + 80j, 180 + 85j)))
small = st.floats(-0.4, 0.4)
turns = st.floats(-0.04, 0.04)


@settings(deadline=None)
@given(small, small, turns, turns)
def test_it_ends_where_it_should_in_the_directions_asked(
    start: float, end: float, leave: float, arrive: float
) -> None:
    ends = LINE.start + 1j * LINE.tangent(0.0) * start, LINE.end + 1j * LINE.tangent(LINE.length) * end
    leaving = LINE.tangent(0.0) * cmath.exp(1j * leave)
    arriving = LINE.tangent(LINE.length, before=True) * cmath.exp(1j * arrive)
    drawn = nudged(LINE, *ends, leaving, arriving)
    assert abs(drawn.start - ends[0]) < 1e-9
    assert abs(drawn.end - ends[1]) < 1e-9
    assert abs(cmath.phase(drawn.tangent(0.0) / leaving)) < math.radians(0.05)
    assert abs(cmath.phase(drawn.tangent(drawn.length, before=True) / arriving)) < math.radians(0.05)
    allowed = max(abs(start), abs(end)) + 0.04
    assert max(nearest(LINE, p)[1] for p in drawn.samples(1.0)) <= allowed
    for segment in drawn.segments[:-1]:
        place = nearest(drawn, segment.end)[0]
        assert abs(cmath.phase(drawn.tangent(place) / drawn.tangent(place, before=True))) < 1e-3


def test_what_is_all_but_there_keeps_its_curves() -> None:
    drawn = nudged(LINE, LINE.start + 0.001, LINE.end, LINE.tangent(0.0), None)
    assert len(drawn.segments) == 2
    assert drawn.segments[1] is LINE.segments[1]
    assert drawn.start == LINE.start + 0.001


def test_a_straight_line_stays_straight() -> None:
    line = Chain((Line(0j, 100 + 0j),))
    drawn = nudged(line, 0.3j, 100 - 0.2j, 1 + 0j, 1 + 0j)
    assert drawn.segments == (Line(0.3j, 100 - 0.2j),)


def test_a_corner_stays_a_corner() -> None:
    drawn = nudged(LINE, LINE.start + 0.2j, LINE.end, 1j, None)
    assert abs(cmath.phase(drawn.tangent(0.0) / LINE.tangent(0.0))) < math.radians(0.3)


@pytest.mark.parametrize("distance", [0.0, 3.0, 10.0, 19.0, 25.0])
def test_what_leads_aside_rises_as_it_says(distance: float) -> None:
    step = 1e-5
    high, low = nudge._aside(distance + step, 20.0)[0], nudge._aside(distance - step, 20.0)[0]
    assert nudge._aside(distance, 20.0)[1] == pytest.approx((high - low) / (2 * step), abs=1e-6)
