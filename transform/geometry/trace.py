"""A chain looked at in many places at once: points, directions and curvatures in arrays.

Places by arc length, one by one, are dear; here all places of a segment are found together. What is found
depends on the places alone, not on how the chain is split into segments.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.polynomial.legendre import leggauss
from numpy.typing import NDArray

from transform.geometry.chain import Chain
from transform.geometry.segments import Arc, Segment, direction

Points = NDArray[np.complexfloating[Any, Any]]
Numbers = NDArray[np.floating[Any]]

_NODES, _WEIGHTS = leggauss(8)
_PIECES = 24
_NEWTON = 4


@dataclass(frozen=True)
class Trace:
    """What a chain is at each of ``places`` (mm from its start): all arrays of one length.

    ``tangents`` are unit tangents, ``curvatures`` signed, 1/mm, positive from x towards y.
    """

    places: Numbers
    points: Points
    tangents: Points
    curvatures: Numbers

    @cached_property
    def widest(self) -> float:
        """The largest distance between one sample and the next, mm."""
        return float(np.diff(self.places).max(initial=0.0))

    def refined(self, step: float) -> Trace:
        """The same with samples at most ``step`` mm apart, where between two the curvature is linear."""
        widths = np.diff(self.places)
        counts = np.ceil(widths / step - 1e-9).astype(int)
        k = np.repeat(np.arange(len(widths)), counts)
        first = np.cumsum(counts) - counts
        t = (np.arange(len(k)) - first[k]) / counts[k]
        width, u = widths[k], 1 - t
        bend, rise = self.curvatures[k], np.diff(self.curvatures)[k]
        here, there = self.points[k], self.points[k + 1]
        leaving, arriving = self.tangents[k], self.tangents[k + 1]
        # Cubic Hermite interpolation of the points.
        points = u * u * ((1 + 2 * t) * here + t * width * leaving)
        points += t * t * ((3 - 2 * t) * there - u * width * arriving)
        # What the curvatures do not account for is spread evenly, so that both ends have the same right.
        missing = np.angle(arriving / leaving) - width * (bend + rise / 2)
        turned = width * t * (bend + rise * t / 2) + t * missing
        return Trace(
            np.append(self.places[k] + t * width, self.places[-1]),
            np.append(points, self.points[-1]),
            np.append(leaving * np.exp(1j * turned), self.tangents[-1]),
            np.append(bend + rise * t, self.curvatures[-1]),
        )

    def part(self, first: int, stop: int) -> Trace:
        """The samples from index ``first`` up to ``stop``."""
        span = slice(first, stop)
        return Trace(self.places[span], self.points[span], self.tangents[span], self.curvatures[span])


def trace(chain: Chain, places: Numbers) -> Trace:
    """The chain at ``places``, which ascend and lie on it; at a joint, the segment before it.

    Arc length by Gauss–Legendre on even pieces, its inverse by Newton's method.
    """
    points = np.empty(len(places), dtype=complex)
    first: Points = np.empty_like(points)
    second: Points = np.empty_like(points)
    done = 0
    for index, segment in enumerate(chain.segments):
        last = index == len(chain.segments) - 1
        upto = len(places) if last else int(np.searchsorted(places, chain.ends[index], side="right"))
        if upto > done:
            span = slice(done, upto)
            t = _parameters(segment, places[span] - chain.begin_of(index))
            points[span], first[span], second[span] = _at(segment, t)
            for k in np.flatnonzero(np.abs(first[span]) < 1e-9):
                # A handle of no length: the direction is the limit, and the curvature has none.
                first[done + k], second[done + k] = direction(segment, float(t[k])), 0j
            done = upto
    tangents: Points = first / _speed(first)
    return Trace(places, points, tangents, _curvatures(first, second))


def points_at(segment: Segment, t: Numbers) -> Points:
    """The points of a segment at every t."""
    return _at(segment, t)[0]


def curvatures_at(segment: Segment, t: Numbers) -> Numbers:
    """The signed curvatures (1/mm) of a segment at every t."""
    _, first, second = _at(segment, t)
    return _curvatures(first, second)


def _speed(first: Points) -> Numbers:
    return np.maximum(np.abs(first), 1e-12)


def _curvatures(first: Points, second: Points) -> Numbers:
    bends: Numbers = (first.conj() * second).imag / _speed(first) ** 3
    return bends


def _at(segment: Segment, t: Numbers) -> tuple[Points, Points, Points]:
    """Points, first and second derivatives at every t."""
    if isinstance(segment, Arc):
        e = segment.ellipse()
        angle = e.first + e.sweep * t
        axis = e.turn * (e.rx * np.cos(angle) + 1j * e.ry * np.sin(angle))
        side = e.turn * (-e.rx * np.sin(angle) + 1j * e.ry * np.cos(angle))
        return e.centre + axis, e.sweep * side, -(e.sweep**2) * axis
    c = segment.controls()
    if len(c) == 2:
        rest = (c[1] - c[0]) + 0 * t
        return c[0] + rest * t, rest, 0j * t
    if len(c) == 3:
        bend = c[0] - 2 * c[1] + c[2]
        return c[0] + t * (2 * (c[1] - c[0]) + t * bend), 2 * (c[1] - c[0]) + 2 * t * bend, 2 * bend + 0 * t
    c1, c2 = 3 * (c[1] - c[0]), 3 * (c[0] - 2 * c[1] + c[2])
    c3 = c[3] - c[0] + 3 * (c[1] - c[2])
    return (
        c[0] + t * (c1 + t * (c2 + t * c3)),
        c1 + t * (2 * c2 + 3 * t * c3),
        2 * c2 + 6 * t * c3,
    )


_KNOTS = np.linspace(0.0, 1.0, _PIECES + 1)
_HALF = 0.5 / _PIECES
_INNER = (_KNOTS[:-1] + _HALF)[:, None] + _HALF * _NODES


@lru_cache(maxsize=4096)
def _lengths(segment: Segment) -> Numbers:
    """Length from the segment's start to each of the knots, mm."""
    speeds = np.abs(_at(segment, _INNER)[1])
    return np.concatenate([[0.0], np.cumsum(speeds @ _WEIGHTS * _HALF)])


def _parameters(segment: Segment, distances: Numbers) -> Numbers:
    """The parameter at each distance from the segment's start, clamped to [0, 1]."""
    half = _HALF
    lengths = _lengths(segment)
    distances = np.clip(distances, 0.0, lengths[-1])
    piece = np.minimum(np.searchsorted(lengths, distances, side="right") - 1, _PIECES - 1)
    low = _KNOTS[piece]
    wanted = distances - lengths[piece]
    whole = np.maximum(lengths[piece + 1] - lengths[piece], 1e-300)
    t: Numbers = low + wanted / whole * 2 * half
    for _ in range(_NEWTON):
        arm = (t - low) / 2
        run = np.abs(_at(segment, (low + arm)[:, None] + arm[:, None] * _NODES)[1]) @ _WEIGHTS * arm
        speed = np.maximum(np.abs(_at(segment, t)[1]), 1e-12)
        t = np.clip(t - (run - wanted) / speed, low, low + 2 * half)
    return t
