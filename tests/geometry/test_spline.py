"""Cubic B-splines: smooth at their knots, the same as the cubics they are written in."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from transform.geometry.segments import curvature
from transform.geometry.spline import basis

numbers = st.floats(-100, 100)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(0.2, 1.0), min_size=2, max_size=6),
    st.lists(st.builds(complex, numbers, numbers), min_size=9, max_size=9),
)
def test_two_derivatives_go_on_across_the_knots(widths: list[float], points: list[complex]) -> None:
    places = np.cumsum(widths) / sum(widths)
    own = basis([float(p) for p in places[:-1]])
    cubics = own.cubics(np.array(points[: len(widths) + 3]))
    assert len(cubics) == own.pieces == len(widths)
    spans = np.diff(own.knots)
    for k in range(len(cubics) - 1):
        one, other = cubics[k], cubics[k + 1]
        assert one.end == other.start
        assert one.derivative(1.0) / spans[k] == pytest.approx(other.derivative(0.0) / spans[k + 1], abs=1e-6)
        assert one.second(1.0) / spans[k] ** 2 == pytest.approx(
            other.second(0.0) / spans[k + 1] ** 2, abs=1e-5
        )


@settings(max_examples=20, deadline=None)
@given(st.lists(st.builds(complex, numbers, numbers), min_size=6, max_size=6))
def test_values_and_derivatives_at_the_nodes_are_those_of_the_cubics(points: list[complex]) -> None:
    own = basis([0.3, 0.55])
    controls = np.array(points)
    assert own.weights.sum() == pytest.approx(1.0)
    # The integral of the derivative is the way from the first point to the last.
    assert own.weights @ (own.first @ controls) == pytest.approx(points[-1] - points[0], abs=1e-9)
    assert own.weights @ (own.second @ controls) == pytest.approx(
        own.cubics(controls)[-1].derivative(1.0) / 0.45 - own.cubics(controls)[0].derivative(0.0) / 0.3,
        abs=1e-6,
    )
    third = own.third @ controls
    per_piece = len(third) // 3
    assert third[per_piece - 1] == third[0]
    first = own.cubics(controls)[0]
    assert third[0] == pytest.approx((first.second(1.0) - first.second(0.0)) / 0.3**3, abs=1e-6)
    middle = own.values[per_piece // 2] @ controls
    t = min(np.linspace(0, 1, 2001), key=lambda u: abs(first.point(float(u)) - middle))
    assert abs(first.point(float(t)) - middle) < 0.3


def test_a_straight_row_of_control_points_is_a_straight_line() -> None:
    own = basis([1 / 3, 2 / 3])
    for cubic in own.cubics(np.array([0, 1, 3, 6, 8, 9]) * (3 + 4j)):
        assert curvature(cubic, 0.4) == pytest.approx(0.0, abs=1e-12)
