"""Few cubics along many points: each keeps the directions at its ends, and meets the next smoothly.

A cubic whose ends and end directions are given has two numbers left, the lengths of its handles. They
are found by damped Gauss–Newton on the distances square to the curve, every point held against the nearest
place of the cubic (orthogonal distance regression with the places eliminated).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from transform.geometry.segments import Cubic

_STEPS = 12
_SETTLED = 1e-3
_DAMPING = 1e-9
"""Keeps the handles of a straight line, which nothing else decides, where they are."""
_LONGEST = 3.0
"""A handle longer than this many chords is no fit but a loop."""

Sample = tuple[complex, complex]
"""A point of the curve and the unit tangent there."""

_Points = NDArray[np.complex128]
_Numbers = NDArray[np.float64]


def fit_cubics(samples: Sequence[Sample], tolerance: float) -> tuple[Cubic, ...]:
    """As few cubics as keep within ``tolerance`` mm of every sample, in order.

    Args:
        samples: (point, unit tangent) along a smooth curve, at least two, close enough that the curve
            does nothing of note between them.
        tolerance: largest distance allowed between a sample and the cubics, mm.

    The first and last point and the directions there are kept exactly; where two cubics meet, they have
    the sample's point and direction. Between two neighbouring samples one cubic is taken as it is.

    Raises:
        ValueError: for fewer than two samples.
    """
    if len(samples) < 2:
        raise ValueError("a curve needs at least two samples")
    points = np.array([point for point, _ in samples], dtype=complex)
    tangents = np.array([tangent for _, tangent in samples], dtype=complex)
    last = len(samples) - 1
    whole = _fitted(points, tangents, 0, last, tolerance)
    if whole is not None:
        return (whole,)
    greedy: list[Cubic] = []
    at = 0
    while at < last:
        reach, cubic = _longest(points, tangents, at, last, tolerance)
        greedy.append(cubic)
        at = reach
    return _even(points, tangents, len(greedy), tolerance) or tuple(greedy)


def _longest(
    points: _Points, tangents: _Points, first: int, last: int, tolerance: float
) -> tuple[int, Cubic]:
    """The farthest sample that one cubic from sample ``first`` on reaches, and that cubic."""
    low, high = first + 1, last
    best = _fitted(points, tangents, first, low, tolerance) or _plain(points, tangents, first, low)
    while low < high:
        middle = (low + high + 1) // 2
        cubic = _fitted(points, tangents, first, middle, tolerance)
        if cubic is None:
            high = middle - 1
        else:
            low, best = middle, cubic
    return low, best


def _even(points: _Points, tangents: _Points, count: int, tolerance: float) -> tuple[Cubic, ...] | None:
    """``count`` cubics of about one length each, where they are near enough: no stub at the end."""
    along = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(points)))])
    cuts = [int(np.searchsorted(along, along[-1] * k / count)) for k in range(count + 1)]
    cuts[0], cuts[-1] = 0, len(points) - 1
    if any(b <= a for a, b in pairwise(cuts)):
        return None
    found: list[Cubic] = []
    for a, b in pairwise(cuts):
        cubic = _fitted(points, tangents, a, b, tolerance)
        if cubic is None:
            return None
        found.append(cubic)
    return tuple(found)


def _plain(points: _Points, tangents: _Points, first: int, last: int) -> Cubic:
    """The cubic with handles of a third of the chord."""
    start, end = complex(points[first]), complex(points[last])
    third = abs(end - start) / 3
    return Cubic(start, start + complex(tangents[first]) * third, end - complex(tangents[last]) * third, end)


def _fitted(points: _Points, tangents: _Points, first: int, last: int, tolerance: float) -> Cubic | None:
    """One cubic from sample ``first`` to sample ``last``, or None where it strays past the tolerance."""
    plain = _plain(points, tangents, first, last)
    inner = points[first + 1 : last]
    if not len(inner):
        return plain
    start, end = plain.start, plain.end
    chord = abs(end - start)
    if chord == 0:
        return None
    leave, arrive = complex(tangents[first]), complex(tangents[last])
    along = np.cumsum(np.abs(np.diff(points[first : last + 1])))
    places: _Numbers = along[:-1] / along[-1]
    handles = np.array([chord / 3, chord / 3])
    cubic = plain
    for _ in range(_STEPS):
        places = _nearest(cubic, inner, places)
        at, slope = _at(cubic, places)
        normals = 1j * slope / np.maximum(np.abs(slope), 1e-12)
        miss = (normals.conjugate() * (at - inner)).real
        b1, b2 = 3 * places * (1 - places) ** 2, 3 * places**2 * (1 - places)
        grid = np.stack(
            [(normals.conjugate() * leave).real * b1, -(normals.conjugate() * arrive).real * b2], axis=1
        )
        change = np.linalg.solve(grid.T @ grid + _DAMPING * np.eye(2), -grid.T @ miss)
        handles = np.clip(handles + change, chord * 1e-3, chord * _LONGEST)
        cubic = Cubic(start, start + leave * float(handles[0]), end - arrive * float(handles[1]), end)
        if np.max(np.abs(change)) < _SETTLED * tolerance:
            break
    places = _nearest(cubic, inner, places)
    at, _slope = _at(cubic, places)
    return cubic if float(np.max(np.abs(at - inner))) <= tolerance else None


def _at(cubic: Cubic, t: _Numbers) -> tuple[_Points, _Points]:
    """Points and derivatives of a cubic at many parameters."""
    u = 1 - t
    a, b, c, d = cubic.start, cubic.control1, cubic.control2, cubic.end
    at = u**3 * a + 3 * u**2 * t * b + 3 * u * t**2 * c + t**3 * d
    slope = 3 * (u**2 * (b - a) + 2 * u * t * (c - b) + t**2 * (d - c))
    return at, slope


def _nearest(cubic: Cubic, points: _Points, places: _Numbers) -> _Numbers:
    """Parameters of the places of the cubic nearest to the points, from a first guess, by Newton."""
    a, b, c, d = cubic.start, cubic.control1, cubic.control2, cubic.end
    for _ in range(2):
        at, slope = _at(cubic, places)
        bend = 6 * ((1 - places) * (a - 2 * b + c) + places * (b - 2 * c + d))
        away = at - points
        square = np.abs(slope) ** 2
        rise = (away.conjugate() * slope).real
        grow = square + (away.conjugate() * bend).real
        grow = np.where(grow > 0.1 * square, grow, np.maximum(square, 1e-12))
        places = np.clip(places - rise / grow, 0.0, 1.0)
    return places
