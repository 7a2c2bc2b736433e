"""Cubic B-splines with clamped ends: continuous in curvature, and cubics once they are done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.polynomial.legendre import leggauss

from transform.geometry.segments import Cubic
from transform.geometry.trace import Numbers, Points

_PER_PIECE = 14


@dataclass(frozen=True, slots=True)
class Basis:
    """The splines over one row of knots, 0 to 1: matrices that take control points to what is sought.

    ``bezier`` gives the control points of the cubics (3·pieces + 1 rows); ``values`` and the derivatives
    ``first``, ``second`` and ``third`` are taken at Gauss nodes with ``weights``.
    """

    knots: Numbers
    bezier: Numbers
    weights: Numbers
    values: Numbers
    first: Numbers
    second: Numbers
    third: Numbers

    @property
    def pieces(self) -> int:
        """Number of cubics."""
        return len(self.knots) - 1

    def cubics(self, controls: Points) -> tuple[Cubic, ...]:
        """The cubics of the spline with these control points."""
        c = self.bezier @ controls
        return tuple(
            Cubic(complex(c[3 * k]), complex(c[3 * k + 1]), complex(c[3 * k + 2]), complex(c[3 * k + 3]))
            for k in range(self.pieces)
        )


def basis(inner: Sequence[float]) -> Basis:
    """The basis with the given inner knots, ascending between 0 and 1; control points: two more than knots.

    The Bézier points follow from the blossom (L. Ramshaw, Blossoming: a connect-the-dots approach to
    splines, 1987): a control point is the blossom's value at three knots in a row.
    """
    knots = np.array([0.0, *inner, 1.0])
    pieces = len(knots) - 1
    padded = np.concatenate([[0.0], knots, [1.0]])
    unit = np.eye(pieces + 3)
    rows = np.zeros((3 * pieces + 1, pieces + 3))
    rows[0], rows[-1] = unit[0], unit[-1]
    for k in range(pieces):
        low, begin, end, high = padded[k : k + 4]
        for place, row in ((begin, 3 * k + 1), (end, 3 * k + 2)):
            share = (place - low) / (high - low)
            rows[row] = (1 - share) * unit[k + 1] + share * unit[k + 2]
    for k in range(1, pieces):
        low, at, high = knots[k - 1 : k + 2]
        share = (at - low) / (high - low)
        rows[3 * k] = (1 - share) * rows[3 * k - 1] + share * rows[3 * k + 1]
    return Basis(knots, rows, *_at_nodes(knots, rows))


def _at_nodes(knots: Numbers, rows: Numbers) -> tuple[Numbers, ...]:
    nodes, weights = leggauss(_PER_PIECE)
    t = (nodes + 1) / 2
    u = 1 - t
    bernstein = np.stack([u**3, 3 * u * u * t, 3 * u * t * t, t**3], axis=1)
    quadratic = 3 * np.stack([u * u, 2 * u * t, t * t], axis=1)
    linear = 6 * np.stack([u, t], axis=1)
    found: list[list[Numbers]] = [[], [], [], [], []]
    for k in range(len(knots) - 1):
        width = float(knots[k + 1] - knots[k])
        own = rows[3 * k : 3 * k + 4]
        one = np.diff(own, axis=0) / width
        two = np.diff(one, axis=0) / width
        three = np.diff(two, axis=0) / width
        found[0].append(weights / 2 * width)
        found[1].append(bernstein @ own)
        found[2].append(quadratic @ one)
        found[3].append(linear @ two)
        found[4].append(6 * np.ones((len(t), 1)) @ three)
    return tuple(np.concatenate(part) for part in found)
