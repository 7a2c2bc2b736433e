"""Arc length and places by arc length, by Gauss–Legendre quadrature on pieces, to 1e-9 relative."""

from __future__ import annotations

from functools import lru_cache

from numpy.polynomial.legendre import leggauss

from transform.geometry.segments import Cubic, Line, Segment

_NODES = tuple((0.5 + 0.5 * float(x), 0.5 * float(w)) for x, w in zip(*leggauss(12), strict=True))
_RELATIVE = 1e-11
_DEEPEST = 24


def _speed_integral(segment: Segment, t0: float, t1: float) -> float:
    width = t1 - t0
    total = 0.0
    if isinstance(segment, Cubic):
        # Most of a run's time would be spent here, so the derivative is written out: a third of it by powers.
        a, b, c = (
            segment.control1 - segment.start,
            segment.control2 - segment.control1,
            segment.end - segment.control2,
        )
        twice, square = 2 * (b - a), a - 2 * b + c
        for x, w in _NODES:
            t = t0 + width * x
            total += w * abs((square * t + twice) * t + a)
        total *= 3
    else:
        derivative = segment.derivative
        for x, w in _NODES:
            total += w * abs(derivative(t0 + width * x))
    return width * total


@lru_cache(maxsize=65536)
def _pieces(segment: Segment) -> tuple[tuple[float, float, float], ...]:
    """Intervals (t0, t1, length in mm) on each of which one quadrature is exact enough."""
    found: list[tuple[float, float, float]] = []
    stack = [(0.0, 1.0, _speed_integral(segment, 0.0, 1.0), 0)]
    while stack:
        t0, t1, whole, depth = stack.pop()
        middle = (t0 + t1) / 2
        left = _speed_integral(segment, t0, middle)
        right = _speed_integral(segment, middle, t1)
        if depth >= _DEEPEST or abs(left + right - whole) <= _RELATIVE * (left + right) + 1e-14:
            found.append((t0, middle, left))
            found.append((middle, t1, right))
        else:
            stack.append((middle, t1, right, depth + 1))
            stack.append((t0, middle, left, depth + 1))
    return tuple(found)


def length(segment: Segment) -> float:
    """Length of the whole segment, mm."""
    if isinstance(segment, Line):
        return abs(segment.end - segment.start)
    return sum(piece[2] for piece in _pieces(segment))


def length_to(segment: Segment, t: float) -> float:
    """Length from the start to parameter ``t``, mm."""
    if isinstance(segment, Line):
        return abs(segment.end - segment.start) * t
    total = 0.0
    for t0, t1, part in _pieces(segment):
        if t <= t1:
            return total + _speed_integral(segment, t0, max(t, t0))
        total += part
    return total


@lru_cache(maxsize=8192)
def parameter_at(segment: Segment, distance: float) -> float:
    """The parameter t at ``distance`` mm from the start, clamped to [0, 1]: Newton kept in a bracket."""
    if distance <= 0:
        return 0.0
    if isinstance(segment, Line):
        whole = abs(segment.end - segment.start)
        return min(1.0, distance / whole) if whole else 1.0
    done = 0.0
    for t0, t1, part in _pieces(segment):
        if distance <= done + part:
            return _invert(segment, t0, t1, part, distance - done)
        done += part
    return 1.0


def _invert(segment: Segment, t0: float, t1: float, whole: float, wanted: float) -> float:
    low, high = t0, t1
    t = t0 + (t1 - t0) * (wanted / whole if whole else 0.0)
    for _ in range(60):
        error = _speed_integral(segment, t0, t) - wanted
        if error > 0:
            high = t
        else:
            low = t
        speed = abs(segment.derivative(t))
        following = t - error / speed if speed else low
        if not low <= following <= high:
            following = (low + high) / 2
        if abs(following - t) <= 1e-15 + 1e-14 * abs(t):
            return following
        t = following
    return t
