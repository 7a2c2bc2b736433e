"""The nearest place on a curve, against many places tried one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from tests.strategies import points, segments
from transform.geometry.chain import Chain
from transform.geometry.nearest import line_meets, line_meets_segment, nearest_on_segment
from transform.geometry.segments import Cubic, Segment


@given(segments(), points)
def test_no_place_on_a_segment_is_nearer_than_the_nearest(segment: Segment, point: complex) -> None:
    t, distance = nearest_on_segment(segment, point)
    assert 0 <= t <= 1
    assert abs(abs(segment.point(t) - point) - distance) < 1e-12
    assert distance <= min(abs(segment.point(k / 500) - point) for k in range(501)) + 1e-9


def test_both_strands_of_a_hairpin_are_seen() -> None:
    hairpin = Cubic(97.943 + 159.633j, 123.343 + 340.477j, 97.943 + 159.633j, 90.661 + 206.903j)
    for k in range(101):
        assert nearest_on_segment(hairpin, hairpin.point(k / 100))[1] < 1e-9


@pytest.mark.parametrize("speck", [0.0, 1e-300, 1e-163, 1e-16, 1e-9, 1e-4])
def test_the_nearest_place_on_a_cubic_that_is_straight_but_for_rounding(speck: float) -> None:
    for cubic in (
        Cubic(complex(speck), 7 + 0j, 14 - speck * 1j, 20 + 0j),
        Cubic(0j, complex(20 / 3, speck), 40 / 3 + 0j, 20 + 0j),
        Cubic(0j, 0j, 20 + 0j, complex(20, speck)),
    ):
        for k in range(11):
            t, distance = nearest_on_segment(cubic, 2 * k + 3j)
            assert distance == pytest.approx(3, abs=2e-4)
            assert cubic.point(t).real == pytest.approx(2 * k, abs=2e-3)


@given(points, points, points, points, points, points.filter(lambda p: abs(p) > 1))
def test_a_line_meets_a_cubic_where_the_reference_says(
    a: complex, b: complex, c: complex, d: complex, origin: complex, along: complex
) -> None:
    """numpy's roots of the same polynomial, those that change side well within the curve."""
    cubic = Cubic(a, b, c, d)
    found = line_meets_segment(cubic, origin, along)
    turn = along.conjugate() / abs(along)
    for t in found:
        assert abs(((cubic.point(t) - origin) * turn).imag) < 1e-6
    h = [((p - origin) * turn).imag for p in cubic.controls()]
    powers = [h[3] - 3 * h[2] + 3 * h[1] - h[0], 3 * (h[2] - 2 * h[1] + h[0]), 3 * (h[1] - h[0]), h[0]]
    for root in np.roots(powers):
        steep = abs(np.polyval(np.polyder(np.array(powers)), root)) > 1.0
        if abs(root.imag) < 1e-9 and 0.01 < root.real < 0.99 and steep:
            assert min((abs(t - root.real) for t in found), default=1.0) < 1e-6


def test_a_line_that_touches_a_cubic_meets_it_there() -> None:
    bow = Cubic(0j, 30 + 40j, 70 + 40j, 100 + 0j)
    assert line_meets_segment(bow, 30j, 1 + 0j) == pytest.approx([0.5], abs=1e-6)
    assert line_meets_segment(bow, 30.001j, 1 + 0j) == []
    flat = Cubic(0j, 30 + 10j, 70 - 10j, 100 + 0j)
    assert line_meets_segment(flat, 0j, 1 + 0j) == pytest.approx([0, 0.5, 1], abs=1e-9)


def test_what_lies_far_away_may_be_left_out() -> None:
    near, far = Cubic(-10 + 5j, 0 + 5j, 5 + 5j, 10 + 5j), Cubic(-10 + 500j, 0 + 500j, 5 + 500j, 10 + 500j)
    chain = Chain((near, far))
    assert [round(distance) for distance, _ in line_meets(chain, 0j, 1j)] == [5, 500]
    assert [round(distance) for distance, _ in line_meets(chain, 0j, 1j, farthest=80)] == [5]
