"""Where a straight line meets a curve, against the roots that numpy finds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from tests.strategies import points
from transform.geometry.chain import Chain
from transform.geometry.meeting import line_meets, line_meets_segment
from transform.geometry.segments import Cubic


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
