"""Where two chains of curves meet: exact for lines, by halving and then Newton for two curves."""

from __future__ import annotations

from transform.geometry.chain import Chain, part
from transform.geometry.meeting import line_meets_segment
from transform.geometry.segments import Line, Segment

_SMALL = 0.5
"""Hulls smaller than this (mm) are handed to Newton."""
_TOUCH = 1e-7
_DEEPEST = 24

Box = tuple[float, float, float, float]


def crossings(first: Chain, second: Chain) -> list[tuple[float, float]]:
    """Every crossing of two chains as (place on the first, place on the second), mm, ascending.

    Curves that run along each other give no crossing there, or a few: tell those apart before asking.
    """
    boxes = [_box(segment) for segment in second.segments]
    found: list[tuple[float, float]] = []
    for i, one in enumerate(first.segments):
        box = _box(one)
        for j, other in enumerate(second.segments):
            if _apart(box, boxes[j]):
                continue
            found.extend((first.place_of(i, t), second.place_of(j, u)) for t, u in _meet(one, other))
    found.sort()
    return [
        pair
        for k, pair in enumerate(found)
        if not any(abs(pair[0] - p) < _TOUCH and abs(pair[1] - q) < _TOUCH for p, q in found[:k])
    ]


def _meet(one: Segment, other: Segment) -> list[tuple[float, float]]:
    """Parameters at which two segments meet."""
    if isinstance(one, Line):
        return _line_meets(one, other)
    if isinstance(other, Line):
        return [(t, u) for u, t in _line_meets(other, one)]
    found: list[tuple[float, float]] = []
    stack = [(0.0, 1.0, 0.0, 1.0, 0)]
    while stack:
        t0, t1, u0, u1, depth = stack.pop()
        box, box_other = _box(part(one, t0, t1)), _box(part(other, u0, u1))
        if _apart(box, box_other):
            continue
        if (_size(box) < _SMALL and _size(box_other) < _SMALL) or depth >= _DEEPEST:
            pair = _newton(one, other, (t0 + t1) / 2, (u0 + u1) / 2)
            if pair and not any(abs(pair[0] - t) + abs(pair[1] - u) < 1e-7 for t, u in found):
                found.append(pair)
            continue
        t, u = (t0 + t1) / 2, (u0 + u1) / 2
        if _size(box) >= _size(box_other):
            stack += [(t0, t, u0, u1, depth + 1), (t, t1, u0, u1, depth + 1)]
        else:
            stack += [(t0, t1, u0, u, depth + 1), (t0, t1, u, u1, depth + 1)]
    return found


def _line_meets(line: Line, other: Segment) -> list[tuple[float, float]]:
    along = line.end - line.start
    whole = abs(along)
    if whole < _TOUCH:
        return []
    found: list[tuple[float, float]] = []
    for u in line_meets_segment(other, line.start, along):
        t = ((other.point(u) - line.start) * along.conjugate()).real / whole**2
        if -_TOUCH / whole <= t <= 1 + _TOUCH / whole:
            found.append((min(1.0, max(0.0, t)), u))
    return found


def _newton(one: Segment, other: Segment, t: float, u: float) -> tuple[float, float] | None:
    for _ in range(30):
        gap = other.point(u) - one.point(t)
        a, b = one.derivative(t), other.derivative(u)
        det = (a.conjugate() * b).imag
        if abs(det) < 1e-12 * (abs(a) * abs(b) + 1e-30):
            break
        step_t = (gap.conjugate() * b).imag / det
        step_u = (gap.conjugate() * a).imag / det
        t, u = min(1.0, max(0.0, t + step_t)), min(1.0, max(0.0, u + step_u))
        if abs(step_t) + abs(step_u) < 1e-14:
            break
    return (t, u) if abs(other.point(u) - one.point(t)) < _TOUCH else None


def _box(segment: Segment) -> Box:
    controls = segment.controls()
    xs, ys = [c.real for c in controls], [c.imag for c in controls]
    return min(xs), min(ys), max(xs), max(ys)


def _size(box: Box) -> float:
    return max(box[2] - box[0], box[3] - box[1])


def _apart(box: Box, other: Box) -> bool:
    return (
        box[0] > other[2] + _TOUCH
        or other[0] > box[2] + _TOUCH
        or box[1] > other[3] + _TOUCH
        or other[1] > box[3] + _TOUCH
    )
