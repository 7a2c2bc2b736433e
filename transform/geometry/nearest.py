"""The place of a chain that is nearest to a point, and where a straight line meets a chain."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from transform.geometry.chain import Chain
from transform.geometry.measure import length
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment

_NOTHING = 1e-12
_FEW = 40
"""A chain of more segments than this is worth looking at as a whole first."""


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
    """All places where the curve runs square to the way to ``point``, and the ends: the nearest of them.

    Samples would miss the nearer strand of a hairpin; the roots of the polynomial do not.
    """
    if isinstance(segment, Quadratic):
        a, b, c = segment.start, segment.control, segment.end
        curve = [a - point, 2 * (b - a), a - 2 * b + c]
    else:
        a, b, c, d = segment.controls()
        curve = [a - point, 3 * (b - a), 3 * (a - 2 * b + c), d - 3 * c + 3 * b - a]
    speed = [k * coefficient for k, coefficient in enumerate(curve)][1:]
    square = np.convolve(np.conj(curve), speed).real
    # A straight or evenly run curve leaves leading coefficients that are nothing but rounding.
    while len(square) > 1 and abs(square[-1]) <= _NOTHING * np.abs(square).max():
        square = square[:-1]
    best_t, best = min(((t, abs(segment.point(t) - point)) for t in (0.0, 1.0)), key=lambda found: found[1])
    for root in np.roots(square[::-1]):
        if abs(root.imag) < 1e-3 and -1e-3 < root.real < 1 + 1e-3:
            t, reached = _polish(segment, point, min(1.0, max(0.0, float(root.real))), 1e-3)
            if reached < best:
                best_t, best = t, reached
    return best_t, best


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
    """Place (mm from the start) and distance (mm) of the point of ``chain`` nearest to ``point``."""
    segments = chain.segments
    near = range(len(segments)) if len(segments) <= _FEW else _near(chain, point)
    best_index, best_t, best = 0, 0.0, math.inf
    for index in near:
        if _box_distance(segments[index], point) > best:
            continue
        t, distance = nearest_on_segment(segments[index], point)
        if distance < best:
            best_index, best_t, best = index, t, distance
    return chain.place_of(best_index, best_t), best


def _near(chain: Chain, point: complex) -> Sequence[int]:
    """The segments of a long chain that can be the nearest, ascending: no box farther than one is near."""
    low, high = chain.boxes
    away = np.maximum(np.maximum(low - (point.real, point.imag), (point.real, point.imag) - high), 0.0)
    distances = np.hypot(away[:, 0], away[:, 1])
    first = int(np.argmin(distances))
    reach = nearest_on_segment(chain.segments[first], point)[1]
    found: list[int] = np.flatnonzero(distances <= reach * (1 + 1e-12)).tolist()
    return found


def _box_distance(segment: Segment, point: complex) -> float:
    controls = segment.controls()
    xs, ys = [c.real for c in controls], [c.imag for c in controls]
    dx = max(min(xs) - point.real, 0.0, point.real - max(xs))
    dy = max(min(ys) - point.imag, 0.0, point.imag - max(ys))
    return math.hypot(dx, dy)


def line_meets_segment(segment: Segment, origin: complex, along: complex) -> list[float]:
    """Parameters t in [0, 1], ascending, at which ``segment`` meets the line through ``origin``."""
    turn = along.conjugate() / abs(along)
    heights = [((c - origin) * turn).imag for c in segment.controls()]
    if min(heights) > 1e-9 or max(heights) < -1e-9:
        return []
    if isinstance(segment, Arc):
        return _line_meets_arc(segment, origin, turn)
    h = heights
    if isinstance(segment, Line):
        coefficients = [h[1] - h[0], h[0]]
    elif isinstance(segment, Quadratic):
        coefficients = [h[0] - 2 * h[1] + h[2], 2 * (h[1] - h[0]), h[0]]
    else:
        coefficients = [
            h[3] - 3 * h[2] + 3 * h[1] - h[0],
            3 * (h[2] - 2 * h[1] + h[0]),
            3 * (h[1] - h[0]),
            h[0],
        ]
    return _roots(segment, coefficients, origin, turn)


def _roots(
    segment: Line | Quadratic | Cubic, coefficients: list[float], origin: complex, turn: complex
) -> list[float]:
    largest = max(abs(c) for c in coefficients)
    while len(coefficients) > 1 and abs(coefficients[0]) <= 1e-13 * largest:
        coefficients = coefficients[1:]
    if len(coefficients) == 1:
        return []
    if len(coefficients) == 2:
        roots = [-coefficients[1] / coefficients[0]]
    else:
        roots = [float(r.real) for r in np.roots(coefficients) if abs(r.imag) < 1e-7]
    found: list[float] = []
    for root in sorted(roots):
        t = root
        for _ in range(3):
            slope = (segment.derivative(t) * turn).imag
            if abs(slope) < 1e-12:
                break
            t -= ((segment.point(t) - origin) * turn).imag / slope
        reach = 1e-9 * max(1.0, 1000 / max(length(segment), 1e-6))
        if -reach <= t <= 1 + reach:
            t = min(1.0, max(0.0, t))
            if not found or t - found[-1] > 1e-12:
                found.append(t)
    return found


def _line_meets_arc(arc: Arc, origin: complex, turn: complex) -> list[float]:
    e = arc.ellipse()
    axis = e.turn * turn
    a, b = e.rx * axis.imag, e.ry * axis.real
    c = ((e.centre - origin) * turn).imag
    size = math.hypot(a, b)
    if size == 0 or abs(c) > size * (1 + 1e-12):
        return []
    middle = math.atan2(b, a)
    spread = math.acos(min(1.0, max(-1.0, -c / size)))
    found: list[float] = []
    for angle in (middle + spread, middle - spread):
        t = ((angle - e.first) * math.copysign(1, e.sweep)) % (2 * math.pi) / abs(e.sweep)
        turns = (t, t - 2 * math.pi / abs(e.sweep))
        found.extend(min(1.0, max(0.0, u)) for u in turns if -1e-9 <= u <= 1 + 1e-9)
    return sorted(found)


def line_meets(chain: Chain, origin: complex, along: complex) -> list[tuple[float, float]]:
    """Where the line through ``origin`` meets ``chain``: (distance along the line from the origin, place).

    Ascending by distance along the line, mm, negative behind the origin.
    """
    unit = along / abs(along)
    found: list[tuple[float, float]] = []
    for index, segment in enumerate(chain.segments):
        for t in line_meets_segment(segment, origin, unit):
            distance = ((segment.point(t) - origin) * unit.conjugate()).real
            found.append((distance, chain.place_of(index, t)))
    found.sort()
    return found
