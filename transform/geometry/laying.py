"""Laying one row of lines on another by a rigid motion, every way there is, and how far they then lie apart.

The motion of least squares between points that belong to each other has a closed form in the plane: with
both centres at the origin it is the unit complex along the sum of second · conj(first), or of
second · first where it mirrors (P. H. Schönemann, A generalized solution of the orthogonal Procrustes
problem, Psychometrika 31, 1966). Points belong to each other by their share of the length. Where the lines
are not equally long that is only a beginning: then points are held against the nearest place of the other
line, and the distances square to it are made least (Y. Chen and G. Medioni, Object modelling by
registration of multiple range images, Image and Vision Computing 10, 1992).
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.trace import Numbers, Points, trace

_STEP = 0.5
_COARSE = 2.0
_MOST = 1200
_EVEN = 0.05
"""Lines whose lengths differ by less (mm) are held together by their shares alone."""
_WORSE = 5.0
_FAR = 40.0
_ROUNDS = 25

Lines = Sequence[Sequence[Chain]]
"""Lines that belong together, each in one or several chains with gaps between that are not measured."""


@dataclass(frozen=True, slots=True)
class Laid:
    """One way in which the first lines can be laid on the second.

    ``backwards`` where they then run the other way. ``off`` is the root of the mean square of the distances
    between them (mm), by which ways are compared; ``apart`` is the largest distance (mm) between them,
    ends included, ``line`` the index of the lines that lie so far apart, and ``where`` the point of the
    second at which they do.
    """

    motion: Motion
    backwards: bool
    off: float
    apart: float
    line: int
    where: complex


def ways_to_lay(first: Lines, second: Lines) -> list[Laid]:
    """The best fit in each of the four ways: either way along, mirrored or not; the best one first.

    ``first`` and ``second`` are lines in the same order, none of them empty. A way that fits far worse
    than another is measured coarsely.
    """
    targets = [_dense(line) for line in second]
    ahead = [_dense(line) for line in first]
    uneven = max(abs(_length(a) - _length(b)) for a, b in zip(first, second, strict=True)) > _EVEN
    begun = _begun(first, second)
    least = min(row.miss for row in begun)
    found = []
    for motion, backwards, miss in begun:
        if miss > 2 * least + _WORSE:
            found.append(Laid(motion, backwards, miss, miss, 0, targets[0].tips[0]))
            continue
        sources = [line.reversed() for line in ahead] if backwards else ahead
        fit = _measured(motion, backwards, sources, targets)
        if uneven and miss < _FAR:
            slid = _measured(_slid(motion, sources, targets), backwards, sources, targets)
            fit = slid if slid.apart < fit.apart + 2 * miss else fit
        found.append(fit)
    return sorted(found, key=lambda laid: laid.off)


def are_alike(first: Lines, second: Lines, most: float) -> bool:
    """Whether the first lines can be laid on the second, in any of the four ways, within ``most`` mm."""
    # Lines of one shape are so at the same shares of their lengths already.
    if min(row.miss for row in _begun(first, second)) <= most / 2:
        return True
    return ways_to_lay(first, second)[0].apart <= most


class _Begun(NamedTuple):
    """A way to lay by shares of the length alone; ``miss`` is how far such points then lie apart, mm."""

    motion: Motion
    backwards: bool
    miss: float


def _begun(first: Lines, second: Lines) -> list[_Begun]:
    pairs = [_matched(a, b) for a, b in zip(first, second, strict=True)]
    onto = np.concatenate([pair[1] for pair in pairs])
    found: list[_Begun] = []
    for backwards in (False, True):
        points = np.concatenate([pair[0][::-1] if backwards else pair[0] for pair in pairs])
        for mirrors in (False, True):
            motion = best_motion(points, onto, mirrors=mirrors)
            miss = float(np.abs(_moved(motion, points) - onto).max())
            found.append(_Begun(motion, backwards, miss))
    return found


def laid_by(motion: Motion, first: Lines, second: Lines, *, backwards: bool) -> Laid:
    """How far apart the lines are where the first ones are laid on the second by a given motion."""
    ahead = [_dense(line) for line in first]
    sources = [line.reversed() for line in ahead] if backwards else ahead
    return _measured(motion, backwards, sources, [_dense(line) for line in second])


def best_motion(points: Points, onto: Points, *, mirrors: bool) -> Motion:
    """The motion of least squares that brings each point to its fellow in ``onto``."""
    start = points.conj() if mirrors else points
    centre, goal = complex(start.mean()), complex(onto.mean())
    turn = complex(((onto - goal) * (start - centre).conj()).sum())
    unit = turn / abs(turn) if abs(turn) > 1e-12 else 1 + 0j
    return Motion(unit, goal - unit * centre, mirrors)


def _length(line: Sequence[Chain]) -> float:
    return sum(chain.length for chain in line)


def _moved(motion: Motion, points: Points) -> Points:
    return motion.turn * (points.conj() if motion.mirrors else points) + motion.shift


def _points(line: Sequence[Chain], places: Numbers) -> Points:
    """Points at places (ascending) along a line of several chains."""
    rows, begin, done = [], 0.0, 0
    for index, chain in enumerate(line):
        last = index == len(line) - 1
        upto = len(places) if last else int(np.searchsorted(places, begin + chain.length, side="right"))
        rows.append(trace(chain, np.clip(places[done:upto] - begin, 0.0, chain.length)).points)
        begin, done = begin + chain.length, upto
    return np.concatenate(rows)


def _matched(first: Sequence[Chain], second: Sequence[Chain]) -> tuple[Points, Points]:
    """Points of both lines at the same shares of their lengths."""
    wholes = [_length(first), _length(second)]
    count = min(_MOST, max(16, int(max(wholes) / _COARSE)))
    shares = np.linspace(0.0, 1.0, count + 1)
    return _points(first, shares * wholes[0]), _points(second, shares * wholes[1])


@dataclass(frozen=True, slots=True)
class _Dense:
    """A line as short straight pieces about 0.5 mm long, none across its gaps."""

    points: Points
    starts: Points
    ends: Points

    @property
    def tips(self) -> tuple[complex, complex]:
        """The first point and the last."""
        return complex(self.points[0]), complex(self.points[-1])

    def reversed(self) -> _Dense:
        """The same line drawn the other way."""
        return _Dense(self.points[::-1], self.ends[::-1], self.starts[::-1])

    def feet(self, points: Points) -> tuple[Points, Points]:
        """The nearest place to each point, and the direction of the line there."""
        along = self.ends - self.starts
        square = np.maximum(np.abs(along) ** 2, 1e-24)
        feet, directions = np.empty_like(points), np.empty_like(points)
        for begin in range(0, len(points), 256):
            row = points[begin : begin + 256]
            share = ((row[:, None] - self.starts) * along.conj()).real / square
            near = self.starts + along * np.clip(share, 0.0, 1.0)
            best = np.abs(row[:, None] - near).argmin(axis=1)
            feet[begin : begin + 256] = near[np.arange(len(row)), best]
            directions[begin : begin + 256] = along[best] / np.sqrt(square[best])
        return feet, directions


def _dense(line: Sequence[Chain]) -> _Dense:
    rows = []
    for chain in line:
        count = min(_MOST, max(8, int(chain.length / _STEP)))
        rows.append(trace(chain, np.linspace(0.0, chain.length, count + 1)).points)
    return _Dense(
        np.concatenate(rows),
        np.concatenate([row[:-1] for row in rows]),
        np.concatenate([row[1:] for row in rows]),
    )


def _measured(motion: Motion, backwards: bool, sources: Sequence[_Dense], targets: Sequence[_Dense]) -> Laid:
    worst, index, where = -1.0, 0, 0j
    squares, count = 0.0, 0
    back = motion.inverse()
    for line, (source, target) in enumerate(zip(sources, targets, strict=True)):
        ahead, behind = _moved(motion, source.points), _moved(back, target.points)
        feet, _ = target.feet(ahead)
        feet_back, _ = source.feet(behind)
        for distances, places in (
            (np.abs(ahead - feet), feet),
            (np.abs(behind - feet_back), target.points),
        ):
            squares, count = squares + float(distances @ distances), count + len(distances)
            k = int(distances.argmax())
            if distances[k] > worst:
                worst, index, where = float(distances[k]), line, complex(places[k])
    return Laid(motion, backwards, math.sqrt(squares / count), worst, index, where)


def _slid(motion: Motion, sources: Sequence[_Dense], targets: Sequence[_Dense]) -> Motion:
    """The motion with the distances square to the second lines made least.

    What those distances do not decide, as where along a straight line, stays as it is.
    """
    for _ in range(_ROUNDS):
        normals, misses, arms = [], [], []
        for source, target in zip(sources, targets, strict=True):
            points = _moved(motion, source.points)
            feet, directions = target.feet(points)
            beside = np.ones(len(points), dtype=bool)
            for tip in target.tips:
                beside &= np.abs(feet - tip) > 1e-9
            normals.append(1j * directions[beside])
            misses.append((points - feet)[beside])
            arms.append(points[beside])
        normal, arm = np.concatenate(normals), np.concatenate(arms)
        if not len(arm):
            # Every point is nearest to a tip: nothing lies beside these lines along which they could slide.
            break
        centre = complex(arm.mean())
        size = max(float(np.abs(arm - centre).max()), 1e-9)
        miss = (normal.conj() * np.concatenate(misses)).real
        turning = (normal.conj() * 1j * (arm - centre)).real / size
        grid = np.stack([normal.real, normal.imag, turning], axis=1)
        x, y, turn = (float(v) for v in np.linalg.lstsq(grid, -miss, rcond=1e-3)[0])
        motion = Motion(shift=complex(x, y)).after(
            Motion.rotation(centre, cmath.phase(1 + 1j * turn / size)).after(motion)
        )
        if abs(complex(x, y)) + abs(turn) < 1e-9:
            break
    return motion
