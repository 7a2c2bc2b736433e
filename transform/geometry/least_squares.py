"""Damped Gauss–Newton: the unknowns that make a row of residuals least.

The damping is Marquardt's: each unknown by its own scale (D. W. Marquardt, An algorithm for least-squares
estimation of nonlinear parameters, SIAM Journal 11, 1963), and follows how well the last step was foreseen
(H. B. Nielsen, Damping parameter in Marquardt's method, report IMM-REP-1999-05). The number of steps is
bounded and nothing is drawn by lot, so the same task has the same answer.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from transform.geometry.trace import Numbers

Residuals = Callable[[Numbers], tuple[Numbers, Callable[[], Numbers]]]
"""Residuals at given unknowns, and what makes their derivatives there (a row for each residual): only steps
that are taken need those."""

_LEAST_DAMPING = 1e-7
_FIRST_DAMPING = 1e-4
_MOST_DAMPING = 1e8


def least_squares(
    residuals: Residuals, start: Numbers, steps: int, longest: float = np.inf, done: float = 1e-9
) -> Numbers:
    """The unknowns near ``start`` with the least sum of squares, after at most ``steps`` steps.

    ``longest`` is the most by which any unknown may change in one step; the last step is one that gains no
    more than the share ``done`` of the sum.
    """
    x = start
    r, derivatives = residuals(x)
    j = derivatives()
    cost, damping, harsher = float(r @ r), 1e-3, 4.0
    for _ in range(steps):
        normal, slope = j.T @ j, j.T @ r
        scale = np.maximum(np.diag(normal), 1e-9)
        step = -np.linalg.solve(normal + np.diag(damping * scale), slope)
        size = float(np.abs(step).max())
        if size > longest:
            step *= longest / size
        new_r, derivatives = residuals(x + step)
        new_cost = float(new_r @ new_r)
        gain = cost - new_cost
        hoped = -float(step @ (2 * slope + normal @ step))
        if gain < 0:
            damping = max(damping * harsher, _FIRST_DAMPING)
            harsher *= 2
            if damping > _MOST_DAMPING:
                break
            continue
        x, r, j, cost = x + step, new_r, derivatives(), new_cost
        damping = max(damping * max(0.1, 1 - (2 * gain / max(hoped, 1e-300) - 1) ** 3), _LEAST_DAMPING)
        harsher = 4.0
        if gain <= done * cost:
            break
    return x
