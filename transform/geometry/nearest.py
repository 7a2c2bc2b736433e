"""The place of a chain that is nearest to a point."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from transform.geometry.chain import Chain
from transform.geometry.measure import length
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment

_APART = 1e-5
"""Places of a curve that are closer in t are not told apart by halving."""
_CLOSE = 1e-14
_MANY = 40
"""Of more segments than this all boxes are looked at together."""


def nearest_on_segment(segment: Segment, point: complex) -> tuple[float, float]:
    """Parameter t and distance (mm) of the point of ``segment`` nearest to ``point``."""
    if isinstance(segment, Line):
        along = segment.end - segment.start
        square = abs(along) ** 2
        t = ((point - segment.start) * along.conjugate()).real / square if square else 0.0
        t = min(1.0, max(0.0, t))
        return t, abs(segment.point(t) - point)
    if not isinstance(segment, Arc):
        return _nearest_on_bezier(segment, point)
    count = max(8, min(64, int(length(segment) / 8)))
    distances = [abs(segment.point(k / count) - point) for k in range(count + 1)]
    best_t, best = 0.0, math.inf
    for k, distance in enumerate(distances):
        left = distances[k - 1] if k else math.inf
        right = distances[k + 1] if k < count else math.inf
        if distance <= left and distance <= right:
            t, reached = _polish(segment, point, k / count, 1 / count)
            if reached < best:
                best_t, best = t, reached
    return best_t, best


def _nearest_on_bezier(segment: Quadratic | Cubic, point: complex) -> tuple[float, float]:
    """The nearest of the ends and of all places at which the way to ``point`` is shortest within the curve.

    There the curve runs square to the way: a polynomial changes from negative to positive. Samples would miss
    the nearer strand of a hairpin; the roots of the polynomial do not.
    """
    best_t, best = min(((t, abs(segment.point(t) - point)) for t in (0.0, 1.0)), key=lambda found: found[1])
    for low, high in _rising(_squareness(segment, point)):
        t, reached = _polish(segment, point, _root(segment, point, low, high), 1e-3)
        if reached < best:
            best_t, best = t, reached
    return best_t, best


def _squareness(segment: Quadratic | Cubic, point: complex) -> list[float]:
    """Bernstein coefficients of (B(t) - point) · B'(t), but for a factor: how far it runs from square."""
    away = [control - point for control in segment.controls()]
    x, y = [a.real for a in away], [a.imag for a in away]
    dx, dy = [b - a for a, b in pairwise(x)], [b - a for a, b in pairwise(y)]
    if len(x) == 3:
        return [
            x[0] * dx[0] + y[0] * dy[0],
            (x[0] * dx[1] + y[0] * dy[1] + 2 * (x[1] * dx[0] + y[1] * dy[0])) / 3,
            (2 * (x[1] * dx[1] + y[1] * dy[1]) + x[2] * dx[0] + y[2] * dy[0]) / 3,
            x[2] * dx[1] + y[2] * dy[1],
        ]
    return [
        x[0] * dx[0] + y[0] * dy[0],
        (2 * (x[0] * dx[1] + y[0] * dy[1]) + 3 * (x[1] * dx[0] + y[1] * dy[0])) / 5,
        (x[0] * dx[2] + y[0] * dy[2] + 6 * (x[1] * dx[1] + y[1] * dy[1]) + 3 * (x[2] * dx[0] + y[2] * dy[0]))
        / 10,
        (3 * (x[1] * dx[2] + y[1] * dy[2]) + 6 * (x[2] * dx[1] + y[2] * dy[1]) + x[3] * dx[0] + y[3] * dy[0])
        / 10,
        (3 * (x[2] * dx[2] + y[2] * dy[2]) + 2 * (x[3] * dx[1] + y[3] * dy[1])) / 5,
        x[3] * dx[2] + y[3] * dy[2],
    ]


def _rising(coefficients: list[float]) -> list[tuple[float, float]]:
    """Intervals that hold all places in [0, 1] where a polynomial changes from negative to positive.

    ``coefficients`` are Bernstein's: a polynomial has no more roots than these have changes of sign
    (Descartes), and halving the interval tells apart those that lie close together.
    """
    found: list[tuple[float, float]] = []
    stack = [(0.0, 1.0, coefficients)]
    while stack:
        low, high, row = stack.pop()
        changes, before = 0, row[0]
        for value in row:
            if value * before < 0:
                changes += 1
            if value:
                before = value
        if changes == 0 or (changes == 1 and before < 0):
            continue
        if changes == 1 or high - low < _APART:
            found.append((low, high))
            continue
        left, right = [row[0]], [row[-1]]
        while len(row) > 1:
            row = [(a + b) / 2 for a, b in pairwise(row)]
            left.append(row[0])
            right.append(row[-1])
        middle = (low + high) / 2
        stack.append((middle, high, right[::-1]))
        stack.append((low, middle, left))
    return found


def _root(segment: Quadratic | Cubic, point: complex, low: float, high: float) -> float:
    """The place between ``low`` and ``high`` where the way to ``point`` is shortest, to be polished yet."""
    a, b, c, d = _powers(segment, point)
    t = (low + high) / 2
    for _ in range(60):
        away, first, second = ((d * t + c) * t + b) * t + a, (3 * d * t + 2 * c) * t + b, 6 * d * t + 2 * c
        slope = away.real * first.real + away.imag * first.imag
        if slope > 0:
            high = t
        else:
            low = t
        bend = abs(first) ** 2 + away.real * second.real + away.imag * second.imag
        following = t - slope / bend if bend > 0 else (low + high) / 2
        if not low <= following <= high:
            following = (low + high) / 2
        if abs(following - t) < _CLOSE:
            return following
        t = following
    return t


def _powers(segment: Quadratic | Cubic, point: complex) -> tuple[complex, complex, complex, complex]:
    """B(t) - point as a + b·t + c·t² + d·t³."""
    if isinstance(segment, Quadratic):
        first, second = segment.control - segment.start, segment.end - segment.control
        return segment.start - point, 2 * first, second - first, 0j
    first, second = segment.control1 - segment.start, segment.control2 - segment.control1
    third = segment.end - segment.control2
    return segment.start - point, 3 * first, 3 * (second - first), first - 2 * second + third


def _polish(segment: Segment, point: complex, t: float, step: float) -> tuple[float, float]:
    low, high = max(0.0, t - step), min(1.0, t + step)
    for _ in range(50):
        away = segment.point(t) - point
        first, second = segment.derivative(t), segment.second(t)
        slope = (away.conjugate() * first).real
        if slope > 0:
            high = t
        else:
            low = t
        bend = abs(first) ** 2 + (away.conjugate() * second).real
        following = t - slope / bend if bend > 0 else (low + high) / 2
        if not low <= following <= high:
            following = (low + high) / 2
        if abs(following - t) < 1e-14:
            t = following
            break
        t = following
    return t, abs(segment.point(t) - point)


def nearest(chain: Chain, point: complex) -> tuple[float, float]:
    """Place (mm from the start) and distance (mm) of the point of ``chain`` nearest to ``point``.

    Of several that are as near the first one counts.
    """
    away, near = _boxes_from(chain, point)
    best_index, (best_t, best) = near, nearest_on_segment(chain.segments[near], point)
    for index in _within(away, best * (1 + 1e-12)):
        if index == near:
            continue
        t, distance = nearest_on_segment(chain.segments[index], point)
        if distance < best or (distance == best and index < best_index):
            best_index, best_t, best = index, t, distance
    return chain.place_of(best_index, best_t), best


def _boxes_from(chain: Chain, point: complex) -> tuple[list[float] | NDArray[np.float64], int]:
    """How far the box around each segment lies from ``point``, mm, and which is the nearest."""
    x, y = point.real, point.imag
    if len(chain.segments) > _MANY:
        xmin, xmax, ymin, ymax = chain.box_table
        across = np.maximum(np.maximum(xmin - x, x - xmax), 0.0)
        down = np.maximum(np.maximum(ymin - y, y - ymax), 0.0)
        away = np.hypot(across, down)
        return away, int(np.argmin(away))
    found: list[float] = []
    for xmin, xmax, ymin, ymax in chain.boxes:
        dx = xmin - x if x < xmin else x - xmax if x > xmax else 0.0
        dy = ymin - y if y < ymin else y - ymax if y > ymax else 0.0
        found.append(math.hypot(dx, dy))
    return found, found.index(min(found))


def _within(away: list[float] | NDArray[np.float64], reach: float) -> list[int]:
    """The segments whose boxes lie no farther than ``reach``."""
    if isinstance(away, list):
        return [index for index, distance in enumerate(away) if distance <= reach]
    found: list[int] = np.flatnonzero(away <= reach).tolist()
    return found


def within_reach(chain: Chain, point: complex, reach: float) -> list[int]:
    """The segments that may come within ``reach`` mm of a point: those whose boxes do."""
    return _within(_boxes_from(chain, point)[0], reach) if chain.segments else []
