"""The nearest place on a curve, against many places tried one by one."""

from __future__ import annotations

import pytest
from hypothesis import given

from tests.strategies import points, segments
from transform.geometry.nearest import nearest_on_segment
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
