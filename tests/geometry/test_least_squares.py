"""Damped Gauss–Newton on tasks whose answer is known."""

from collections.abc import Callable

import numpy as np
import pytest

from transform.geometry.least_squares import least_squares
from transform.geometry.trace import Numbers


def valley(x: Numbers) -> tuple[Numbers, Callable[[], Numbers]]:
    """A bent valley; least at (1, 1) (H. H. Rosenbrock, The Computer Journal 3, 1960)."""
    residuals = np.array([10 * (x[1] - x[0] ** 2), 1 - x[0]])
    return residuals, lambda: np.array([[-20 * x[0], 10.0], [-1.0, 0.0]])


def test_a_bent_valley_is_followed_to_its_end() -> None:
    assert list(least_squares(valley, np.array([-1.2, 1.0]), 60)) == pytest.approx([1.0, 1.0], abs=1e-6)


def test_no_step_is_longer_than_allowed() -> None:
    found = least_squares(valley, np.array([-1.2, 1.0]), 1, longest=0.05)
    assert np.abs(found - np.array([-1.2, 1.0])).max() <= 0.05 + 1e-12


def test_a_straight_task_is_done_in_a_few_steps() -> None:
    matrix = np.array([[1.0, 2.0], [3.0, -1.0], [0.5, 0.5]])
    wanted = matrix @ np.array([2.0, -3.0])
    found = least_squares(lambda x: (matrix @ x - wanted, lambda: matrix), np.zeros(2), 6)
    assert list(found) == pytest.approx([2.0, -3.0], abs=1e-6)


def test_where_no_step_gains_anything_it_stays() -> None:
    def misleading(x: Numbers) -> tuple[Numbers, Callable[[], Numbers]]:
        return np.array([1.0 + abs(x[0])]), lambda: np.array([[1.0]])

    assert least_squares(misleading, np.array([0.0]), 100)[0] == 0.0
