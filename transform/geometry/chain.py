"""Chains: curves laid end to end, open or closed, and places on them by arc length.

A place on a chain is its distance from the chain's start, in mm. Whole segments of a chain that is cut
stay the very same objects, so that what did not change can be recognised.
"""

from __future__ import annotations

import bisect
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import Any

import numpy as np
from numpy.typing import NDArray

from transform.geometry.measure import length, length_to, parameter_at
from transform.geometry.motion import Motion
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment, curvature, direction

SNAP = 1e-6
"""Places closer than this (mm) to the end of a segment are that end."""
_FEW = 16
"""So many points of a curve are worked out at once sooner than one by one."""


@dataclass(frozen=True)
class Chain:
    """Segments laid end to end; ``closed`` where the last one meets the first."""

    segments: tuple[Segment, ...]
    closed: bool = False

    def __hash__(self) -> int:
        """Worked out once: a chain may be long, and what is known of it is looked up often."""
        return self._hash

    @cached_property
    def _hash(self) -> int:
        return hash((self.segments, self.closed))

    @cached_property
    def ends(self) -> tuple[float, ...]:
        """Distance from the start of the chain to the end of each segment, mm."""
        return tuple(accumulate(length(segment) for segment in self.segments))

    @cached_property
    def boxes(self) -> tuple[tuple[float, float, float, float], ...]:
        """Of each segment a box that holds it: the least and the largest x, the least and the largest y."""
        return tuple(_box(segment.controls()) for segment in self.segments)

    @cached_property
    def box_table(self) -> NDArray[np.float64]:
        """The boxes as four rows of as many columns as there are segments."""
        return np.array(self.boxes).T

    @property
    def length(self) -> float:
        """Length of the whole chain, mm."""
        return self.ends[-1] if self.segments else 0.0

    @property
    def start(self) -> complex:
        """First point."""
        return self.segments[0].start

    @property
    def end(self) -> complex:
        """Last point."""
        return self.segments[-1].end

    def begin_of(self, index: int) -> float:
        """Distance from the start of the chain to the start of segment ``index``, mm."""
        return self.ends[index - 1] if index else 0.0

    def wrap(self, place: float) -> float:
        """``place`` brought into the chain: round a closed one, clamped on an open one."""
        whole = self.length
        if self.closed:
            place %= whole
            return 0.0 if whole - place < SNAP else place
        return min(max(place, 0.0), whole)

    def locate(self, place: float, *, before: bool = False) -> tuple[int, float]:
        """Segment index and parameter t at ``place``; at a joint the later segment, or the one ``before``."""
        place = self.wrap(place)
        if before and self.closed and place < SNAP:
            return len(self.segments) - 1, 1.0
        search = bisect.bisect_left if before else bisect.bisect_right
        index = min(search(self.ends, place + (-SNAP if before else SNAP)), len(self.segments) - 1)
        begin = self.begin_of(index)
        if place - begin < SNAP and not (before and index == 0 and place > SNAP):
            return index, 0.0
        if self.ends[index] - place < SNAP:
            return index, 1.0
        return index, parameter_at(self.segments[index], place - begin)

    def point(self, place: float) -> complex:
        """The point at ``place``."""
        index, t = self.locate(place)
        return self.segments[index].point(t)

    def tangent(self, place: float, *, before: bool = False) -> complex:
        """Unit tangent at ``place``: that of what follows, or of what comes ``before``."""
        index, t = self.locate(place, before=before)
        return direction(self.segments[index], t)

    def curvature(self, place: float, *, before: bool = False) -> float:
        """Signed curvature at ``place``, 1/mm."""
        index, t = self.locate(place, before=before)
        return curvature(self.segments[index], t)

    def place_of(self, index: int, t: float) -> float:
        """Distance from the start of the chain to parameter ``t`` of segment ``index``, mm."""
        return self.begin_of(index) + length_to(self.segments[index], t)

    def cut(self, first: float, last: float) -> Chain:
        """The open chain from ``first`` on to ``last``, round the start of a closed one where last <= first.

        Equal places on a closed chain give the whole of it, opened there.
        """
        if self.closed:
            first, last = self.wrap(first), self.wrap(last)
            if last <= first + SNAP / 2:
                tail = self._between(first, self.length)
                return Chain(tail + self._between(0.0, last))
        return Chain(self._between(self.wrap(first), self.wrap(last)))

    def _between(self, first: float, last: float) -> tuple[Segment, ...]:
        if last - first < SNAP:
            return ()
        i, t = self.locate(first)
        j, u = (len(self.segments) - 1, 1.0) if self.length - last < SNAP else self.locate(last, before=True)
        if i == j:
            return (part(self.segments[i], t, u),)
        head = part(self.segments[i], t, 1.0)
        tail = part(self.segments[j], 0.0, u)
        return (head, *self.segments[i + 1 : j], tail)

    def reversed(self) -> Chain:
        """The same chain drawn the other way."""
        return Chain(tuple(segment.reversed() for segment in reversed(self.segments)), self.closed)

    def moved(self, motion: Motion) -> Chain:
        """The chain after a rigid motion; the very same chain where nothing moves."""
        if motion.is_identity:
            return self
        return Chain(tuple(segment.moved(motion) for segment in self.segments), self.closed)

    def joined(self, other: Chain) -> Chain:
        """This open chain and then ``other``."""
        return Chain(self.segments + other.segments)

    def samples(self, step: float) -> list[complex]:
        """Points along the chain, at most about ``step`` mm apart, with every joint; the last point too.

        Where segments do not quite meet, both ends are among them.
        """
        found: list[complex] = self.sampled(step).tolist()
        return found

    def sampled(self, step: float) -> NDArray[np.complex128]:
        """`samples` as an array."""
        rows: list[Sequence[complex] | NDArray[np.complex128]] = []
        end: complex | None = None
        for segment in self.segments:
            if end is not None and abs(segment.start - end) > SNAP:
                rows.append([end])
            end = segment.end
            count = 1 if isinstance(segment, Line) else max(2, int(length(segment) / step) + 1)
            if count < _FEW or not isinstance(segment, Quadratic | Cubic):
                rows.append([segment.point(k / count) for k in range(count)])
            else:
                rows.append(segment.points(np.arange(count) / count))
        return np.concatenate([*rows, [] if end is None else [end]], dtype=np.complex128)


def _box(points: Sequence[complex]) -> tuple[float, float, float, float]:
    xs, ys = [p.real for p in points], [p.imag for p in points]
    return min(xs), max(xs), min(ys), max(ys)


def coordinates(
    points: Sequence[complex] | NDArray[np.complexfloating[Any, Any]],
) -> NDArray[np.float64]:
    """The points as rows of x and y, as who judges areas takes them."""
    return np.array(points, dtype=np.complex128).view(np.float64).reshape(-1, 2)


def area_within(chain: Chain) -> float:
    """Area within a chain, mm²; gaps, and the way from its end to its start, are taken as straight lines.

    Positive where it is run from x towards y. Under a Bézier curve lies a sum of cross products of its
    control points: half the integral of B × B'.
    """
    total, end = 0.0, chain.end
    for segment in chain.segments:
        total += _cross(end, segment.start)
        for part in segment.cubics() if isinstance(segment, Arc) else (segment,):
            total += _under(part)
        end = segment.end
    return total / 2


def _under(segment: Line | Quadratic | Cubic) -> float:
    """Twice the area between a curve and the origin."""
    p = segment.controls()
    if len(p) == 2:
        return _cross(p[0], p[1])
    if len(p) == 3:
        return (2 * _cross(p[0], p[1]) + _cross(p[0], p[2]) + 2 * _cross(p[1], p[2])) / 3
    return (
        6 * (_cross(p[0], p[1]) + _cross(p[2], p[3]))
        + 3 * (_cross(p[0], p[2]) + _cross(p[1], p[2]) + _cross(p[1], p[3]))
        + _cross(p[0], p[3])
    ) / 10


def beside(step: complex, along: complex) -> float:
    """How far (mm) ``step`` leads aside from the direction ``along``."""
    return abs((step * along.conjugate()).imag) / abs(along)


def beside_chord(points: Sequence[complex]) -> float:
    """How far (mm) points lie beside the straight line from the first to the last, which are apart."""
    chord = points[-1] - points[0]
    return max(beside(point - points[0], chord) for point in points)


def _cross(one: complex, other: complex) -> float:
    return one.real * other.imag - one.imag * other.real


def signed_area(points: Sequence[complex]) -> float:
    """Area within a polygon, mm²; positive where it is run from x towards y."""
    x, y = coordinates(points).T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


def part(segment: Segment, t: float, u: float) -> Segment:
    """The part of a segment from ``t`` to ``u``; the segment itself where that is all of it."""
    if t <= 0.0 and u >= 1.0:
        return segment
    rest = segment if u >= 1.0 else segment.split(u)[0]
    return rest if t <= 0.0 else rest.split(t / u if u < 1.0 else t)[1]


def chain_of(parts: Iterable[Chain | Sequence[Segment]], *, closed: bool = False) -> Chain:
    """One chain of several, in order."""
    segments: list[Segment] = []
    for item in parts:
        segments.extend(item.segments if isinstance(item, Chain) else item)
    return Chain(tuple(segments), closed)
