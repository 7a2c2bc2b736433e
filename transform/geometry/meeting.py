"""Where a straight line meets a curve, or a chain of them."""

from __future__ import annotations

import math

import numpy as np

from transform.geometry.chain import Chain
from transform.geometry.measure import length
from transform.geometry.nearest import within_reach
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment

_STEADY = 1e-6
"""With a smaller share in the largest coefficient than this the first one makes the closed form unsteady."""
_MEETING = 1e-13
"""Share of its bound by which a discriminant may miss it, and a line that touches a curve still meets it."""


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
    elif len(coefficients) == 4 and abs(coefficients[0]) > _STEADY * largest:
        roots = _cubic_roots(*coefficients)
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


def _cubic_roots(a: float, b: float, c: float, d: float) -> list[float]:
    """The real roots of a·t³ + b·t² + c·t + d, to be polished yet; two that nearly meet are both kept.

    F. Viète's trigonometric form where there are three, G. Cardano's where there is one.
    """
    shift = b / (3 * a)
    p = c / (3 * a) - shift * shift
    q = (d / a - shift * (c / a - 2 * shift * shift)) / 2
    bound = max(0.0, -p) ** 1.5
    if abs(q) <= bound * (1 + _MEETING):
        size = math.sqrt(max(0.0, -p))
        angle = math.acos(min(1.0, max(-1.0, -q / bound))) / 3 if bound else 0.0
        return [2 * size * math.cos(angle + k * 2 * math.pi / 3) - shift for k in (0, 1, 2)]
    u = math.cbrt(-q - math.copysign(math.sqrt(max(0.0, q * q + p * p * p)), q))
    return [u - p / u - shift]


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


def line_meets(
    chain: Chain, origin: complex, along: complex, farthest: float = math.inf
) -> list[tuple[float, float]]:
    """Where the line through ``origin`` meets ``chain``: (distance along the line from the origin, place).

    Ascending by distance along the line, mm, negative behind the origin; what lies more than ``farthest``
    mm away from it may be left out.
    """
    unit = along / abs(along)
    found: list[tuple[float, float]] = []
    for index in within_reach(chain, origin, farthest):
        segment = chain.segments[index]
        for t in line_meets_segment(segment, origin, unit):
            distance = ((segment.point(t) - origin) * unit.conjugate()).real
            found.append((distance, chain.place_of(index, t)))
    found.sort()
    return found
