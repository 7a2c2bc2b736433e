"""Many places of a chain at once: the same as one by one."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from transform.geometry.chain import Chain
from transform.geometry.segments import Arc, Cubic, Line, Quadratic
from transform.geometry.trace import curvatures_at, points_at, trace

CHAIN = Chain(
    (
        Line(0j, 40 + 0j),
        Quadratic(40 + 0j, 70 + 0j, 90 - 25j),
        Cubic(90 - 25j, 104 - 42.5j, 150 - 60j, 170 - 10j),
        Arc(170 - 10j, 230 + 20j, 60, 35, 0.4, False, True),
    )
)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=20))
def test_points_directions_and_curvatures_are_those_of_the_chain(shares: list[float]) -> None:
    places = np.array(sorted(shares)) * CHAIN.length
    found = trace(CHAIN, places)
    for k, place in enumerate(places):
        assert abs(found.points[k] - CHAIN.point(float(place))) < 2e-6
        ways = [CHAIN.tangent(float(place), before=b) for b in (True, False)]
        assert min(abs(found.tangents[k] - way) for way in ways) < 1e-6
        bends = [CHAIN.curvature(float(place), before=b) for b in (True, False)]
        assert min(abs(found.curvatures[k] - bend) for bend in bends) < 1e-6


def test_at_a_joint_it_is_the_segment_before() -> None:
    joint = CHAIN.ends[0]
    assert trace(CHAIN, np.array([joint])).curvatures[0] == 0.0


def test_a_handle_of_no_length_has_the_direction_of_its_limit() -> None:
    cubic = Cubic(0j, 0j, 30 + 40j, 100 + 0j)
    found = trace(Chain((cubic,)), np.array([0.0]))
    assert found.tangents[0] == pytest.approx(0.6 + 0.8j)
    assert found.curvatures[0] == 0.0


def test_a_part_and_its_widest_gap() -> None:
    found = trace(CHAIN, np.array([0.0, 1.0, 4.0, 6.0]))
    assert found.widest == 3.0
    part = found.part(2, 4)
    assert list(part.places) == [4.0, 6.0]
    assert part.widest == 2.0


def test_points_and_curvatures_by_parameter() -> None:
    t = np.linspace(0.0, 1.0, 7)
    arc = Arc(50 + 0j, 50j, 50, 50, 0.0, False, True)
    assert list(points_at(arc, t)) == pytest.approx([50 * cmath.exp(1j * math.pi / 2 * u) for u in t])
    assert list(curvatures_at(arc, t)) == pytest.approx([0.02] * 7)


def test_refined_it_is_the_same_curve_closer_together() -> None:
    arc = Chain((Arc(50 + 0j, 50j, 50, 50, 0.0, False, True),))
    coarse = trace(arc, np.array([0.0, 6.0, 7.0, 13.0]))
    fine = coarse.refined(1.5)
    assert fine.widest <= 1.5
    assert len(fine.places) == 10
    assert np.abs(np.abs(fine.points) - 50).max() < 1e-4
    assert np.abs(fine.tangents - 1j * fine.points / 50).max() < 1e-4
    assert set(coarse.places) <= set(fine.places)
