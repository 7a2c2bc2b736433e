"""The fairest profile: known curves found again, and nothing near it fairer."""

import cmath
import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from transform.geometry.border import border
from transform.geometry.chain import Chain
from transform.geometry.profile import End, Profile, Task, best_split, fairest
from transform.geometry.segments import Arc, Line
from transform.geometry.trace import Trace

FAR_OFF = 1e3


def task(bound: float = FAR_OFF, bend: int = 0, degrees: float = 6.0, reach: float = 60.0) -> Task:
    """A valley between straight edges."""
    turn = cmath.exp(-1j * math.radians(degrees))
    left, right = Chain((Line(-reach + 0j, 0j),)), Chain((Line(0j, reach * turn),))
    ends = End(left.start, 1 + 0j, 0.0), End(right.end, turn, 0.0)
    edge = border((left, right), reach, reach)
    return Task(edge, (reach, reach), *ends, -math.radians(degrees), bend, bound)


@settings(max_examples=20, deadline=None)
@given(st.floats(50, 400), st.floats(0.2, 1.4))
def test_between_the_ends_of_a_circle_it_is_the_circle(radius: float, sweep: float) -> None:
    ends = [radius * cmath.exp(1j * angle) for angle in (0.0, sweep / 2, sweep)]
    ways = [1j * end / radius for end in ends]
    halves = [Chain((Arc(a, b, radius, radius, 0.0, False, True),)) for a, b in pairwise(ends)]
    size = radius * sweep / 2
    found = fairest(
        Task(
            border(halves, size, size),
            (size, size),
            End(ends[0], ways[0], 1 / radius),
            End(ends[2], ways[2], 1 / radius),
            sweep,
            1,
            FAR_OFF,
        )
    )
    assert np.abs(np.abs(found.curve.points) - radius).max() < 1e-3
    assert found.variation == pytest.approx(0.0, abs=1e-6)
    assert found.wrong == 0.0


def test_it_meets_its_ends() -> None:
    asked = task()
    curve = fairest(asked).curve
    assert curve.points[0] == pytest.approx(asked.start.point)
    assert curve.points[-1] == pytest.approx(asked.end.point)
    assert curve.tangents[-1] == pytest.approx(asked.end.tangent)
    assert curve.curvatures[0] == curve.curvatures[-1] == 0.0


def test_over_a_valley_without_a_bound_its_curvature_is_a_parabola() -> None:
    # For a small angle the curve is y(x), and the integral of y'''² is least where y'''''' is 0: curvature
    # is a cubic in x, and even, so a parabola that is 0 at both ends: 3/4·angle/reach at the middle.
    asked = task(degrees=1.0)
    curve = fairest(asked).curve
    share = curve.places / curve.places[-1]
    expected = -6 * share * (1 - share) * math.radians(1.0) / curve.places[-1]
    assert np.abs(curve.curvatures - expected).max() < 0.05 * np.abs(expected).max()
    # It fills the valley by 3/16 of angle times reach.
    assert fairest(asked).outside == pytest.approx(3 / 16 * math.radians(1.0) * 60, rel=0.05)


@settings(max_examples=20, deadline=None)
@given(st.floats(2.0, 11.0))
def test_it_keeps_to_the_bound_and_bends_one_way(degrees: float) -> None:
    found = fairest(task(0.4, -1, degrees))
    assert found.outside < 0.46
    assert found.wrong < 0.02 * found.sharpest + 1e-5


def test_what_is_asked_of_it_costs_variation() -> None:
    loose, bound, one_way = (
        fairest(task(*asked)).variation for asked in ((FAR_OFF, 0, 9.0), (0.4, 0, 9.0), (0.4, -1, 9.0))
    )
    assert loose < bound < one_way


def test_a_free_curvature_at_an_end_is_found() -> None:
    asked = task(degrees=3.0)
    free = Task(
        asked.border,
        asked.reach,
        End(asked.start.point, asked.start.tangent, None),
        End(asked.end.point, asked.end.tangent, None),
        asked.turning,
        -1,
        FAR_OFF,
    )
    found = fairest(free)
    # Free at both ends, the fairest way to turn is a circle's arc.
    assert found.variation < 1e-3
    assert found.curve.curvatures[0] == pytest.approx(found.curve.curvatures[-1], rel=0.02)


def test_with_a_split_it_bends_both_ways_once() -> None:
    left, right = Chain((Line(-60 + 0j, 0j),)), Chain((Line(8 - 6j, 68 - 6j),))
    edge = border((left, right), 60.0, 60.0)
    ends = End(-60 + 0j, 1 + 0j, 0.0), End(68 - 6j, 1 + 0j, 0.0)
    any_way = fairest(Task(edge, (60.0, 60.0), *ends, 0.0, 0, 0.4))
    bend, split = best_split(any_way, 0, 0)
    assert bend == -1
    assert 0.3 < split < 0.8
    once = fairest(Task(edge, (60.0, 60.0), *ends, 0.0, bend, 0.4, split))
    signs = np.sign(once.curve.curvatures[np.abs(once.curve.curvatures) > 1e-4])
    assert (signs[1:] != signs[:-1]).sum() == 1
    assert once.wrong < 0.02 * once.sharpest + 1e-5


def test_the_ends_may_say_which_way_a_split_goes() -> None:
    places = np.linspace(0.0, 100.0, 41)
    bends = np.sin(places / 100 * 2 * np.pi)
    curve = Trace(places, places + 0j, np.ones(41, dtype=complex), bends)
    wave = Profile(curve, 1.0, 0.0, 0.0)
    assert best_split(wave, 0, 0) == (1, pytest.approx(0.5))
    assert best_split(wave, 1, 0)[0] == 1
    assert best_split(wave, 0, -1)[0] == 1
    assert best_split(wave, -1, 0)[0] == -1
    assert best_split(wave, 0, 1)[0] == -1
