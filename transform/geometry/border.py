"""The border of a piece along a closed edge: how far points lie outside it, or inside.

A closing leaves the edge in runs: an edge up to the closure, a step along the leg of the wedge (where the
wedge ran slantwise to the edge), the edge from there on. The piece lies on the side of 1j·tangent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from transform.geometry.chain import SNAP, Chain
from transform.geometry.segments import Segment
from transform.geometry.trace import Numbers, Points, Trace, points_at, trace

_STEP = 1.5
"""Distance between the samples of a run, mm; between them the run is taken as its circle of curvature."""
_TIE = 1e-7
_DENSE = 32
_TOGETHER = 64
"""So many points in a row are looked at together: only the runs near them, where there are several."""
_FEW = 4
"""Of no more runs than this all are looked at."""
_CLOSER = np.linspace(-1.0, 1.0, 25) / _DENSE


@dataclass(frozen=True, slots=True)
class Distances:
    """Of each of many points: ``away`` (mm, positive outside the piece) and its gradient ``outwards``."""

    away: Numbers
    outwards: Points


@dataclass(frozen=True)
class Border:
    """Runs of the border in the edge's direction, and the bisecting outward normals between them."""

    runs: tuple[Trace, ...]
    normals: tuple[complex, ...]
    drawn: tuple[bool, ...]
    """Which runs are edges; the others are steps along a leg."""

    def distances(self, points: Points) -> Distances:
        """How far ``points`` lie outside the border (negative: inside), nearest place first."""
        if len(self.runs) <= _FEW:
            return self._among(range(len(self.runs)), points)
        parts = np.array_split(points, -(-len(points) // _TOGETHER))
        found = [self._among(self._near(part), part) for part in parts]
        return Distances(
            np.concatenate([each.away for each in found]), np.concatenate([each.outwards for each in found])
        )

    def _near(self, points: Points) -> list[int]:
        """Numbers of the runs among which are the nearest ones of all of these points."""
        middles, radii, beyond = self._rounds
        middle = points.mean()
        gaps, radius = np.abs(middles - middle), float(np.abs(points - middle).max())
        reach = float((gaps + radii).min()) + 2 * radius
        found: list[int] = np.flatnonzero(gaps - radii - beyond <= reach).tolist()
        return found

    @cached_property
    def _rounds(self) -> tuple[Points, Numbers, Numbers]:
        """A circle around the samples of each run: middle, radius, and how far at most a foot lies beyond it.

        A foot is taken on the parabola at a sample, no farther along than the next sample lies.
        """
        middles = [run.points.mean() for run in self.runs]
        radii = [np.abs(run.points - middle).max() for run, middle in zip(self.runs, middles, strict=True)]
        return np.array(middles), np.array(radii), np.array([2 * run.widest for run in self.runs])

    def _among(self, numbers: Sequence[int], points: Points) -> Distances:
        """`distances` from these runs."""
        shape, final = (len(numbers), len(points)), len(self.runs) - 1
        local = np.empty(shape, dtype=complex)
        samples, tangents = np.empty_like(local), np.empty_like(local)
        bends, least, most = np.empty(shape), np.empty(shape), np.empty(shape)
        for k, number in enumerate(numbers):
            run = self.runs[number]
            gaps = points[:, None] - run.points
            nearest = np.argmin(gaps.real**2 + gaps.imag**2, axis=1)
            samples[k], tangents[k], bends[k] = (
                run.points[nearest],
                run.tangents[nearest],
                run.curvatures[nearest],
            )
            # Past a run's end at a closure lies no more of it; the foot is its last point.
            least[k] = np.where((nearest == 0) & (number > 0), 0.0, -run.widest)
            most[k] = np.where((nearest == len(run.points) - 1) & (number < final), 0.0, run.widest)
        local = (points - samples) * tangents.conj()
        x, y = local.real, local.imag
        along = x
        for _ in range(2):
            # Newton for the nearest place of the parabola that osculates the run at the sample.
            height = bends * along * along / 2 - y
            slope = 1 + bends * (bends * along * along + height)
            along = along - (along - x + height * bends * along) / np.maximum(slope, 0.2)
        low, high = (along < least) & (least == 0.0), (along > most) & (most == 0.0)
        along = np.minimum(np.maximum(along, least), most)
        normals = -1j * tangents * (1 + 1j * bends * along)
        if self.normals:
            joints = np.array([self.normals[0], *self.normals, self.normals[-1]])[:, None]
            before, behind = joints[:-1][numbers], joints[1:][numbers]
            normals = np.where(low, before, np.where(high, behind, normals))
        offsets = local - along - 0.5j * bends * along * along
        gaps = np.abs(offsets)
        offsets = offsets * tangents
        signs = np.where((offsets * normals.conj()).real < 0, -1.0, 1.0)
        ways = np.where(gaps > 1e-6, signs * offsets / np.maximum(gaps, 1e-12), normals / np.abs(normals))
        nearest, column = np.argmin(gaps, axis=0), np.arange(len(points))
        gap, sign = gaps[nearest, column], signs[nearest, column]
        # Where two runs are equally near, rounding should not choose between their gradients.
        alike = (gaps <= gap + _TIE) & (signs == sign)
        outwards = (ways * alike).sum(axis=0)
        return Distances(sign * gap, outwards / np.maximum(np.abs(outwards), 1e-12))

    def within(self, back: float, on: float) -> Border:
        """The border within ``back`` mm before the first closure and ``on`` mm after the last one."""
        first, last = self.runs[0], self.runs[-1]
        begin = int(np.searchsorted(first.places, first.places[-1] - back + SNAP, side="right")) - 1
        stop = int(np.searchsorted(last.places, last.places[0] + on - SNAP)) + 1
        runs = (first.part(max(begin, 0), len(first.places)), *self.runs[1:-1], last.part(0, stop))
        return Border(runs, self.normals, self.drawn)

    def turning(self, start: complex, end: complex) -> float:
        """The angle (rad) by which the edges turn from the direction ``start`` to ``end``, steps left out."""
        edges = [run.tangents for run, drawn in zip(self.runs, self.drawn, strict=True) if drawn]
        tangents = np.concatenate([[start], *edges, [end]])
        return float(np.angle(tangents[1:] / tangents[:-1]).sum())

    def extremes(self, segments: Sequence[Segment]) -> tuple[float, float, Points]:
        """How far a line runs outside and inside, and points along it.

        Over a corner of the border the distance has a peak that is no wider than a millimetre or two, so each
        segment is looked at again around its highest and its lowest point.
        """
        t = np.linspace(0.0, 1.0, _DENSE + 1)
        points = np.concatenate([points_at(segment, t) for segment in segments])
        away = self.distances(points).away
        rows = away.reshape(len(segments), -1)
        ends = np.stack([rows.argmax(axis=1), rows.argmin(axis=1)], axis=1)
        around = [np.clip(t[k][:, None] + _CLOSER, 0.0, 1.0).reshape(-1) for k in ends]
        closer = np.concatenate([points_at(s, u) for s, u in zip(segments, around, strict=True)])
        away = np.concatenate([away, self.distances(closer).away])
        return max(0.0, float(away.max())), max(0.0, float(-away.min())), points

    def farthest_from(self, points: Points, first: complex, last: complex) -> float:
        """Largest distance (mm) from an edge, between ``first`` and ``last``, to the polyline ``points``."""
        edges = [run.points for run, drawn in zip(self.runs, self.drawn, strict=True) if drawn]
        edges[0] = edges[0][int(np.argmin(np.abs(edges[0] - first))) :]
        edges[-1] = edges[-1][: int(np.argmin(np.abs(edges[-1] - last))) + 1]
        a, along = points[:-1], np.diff(points)
        square = np.maximum(np.abs(along) ** 2, 1e-18)
        every = np.concatenate(edges)[:, None]
        t = np.clip(((every - a) * along.conj()).real / square, 0.0, 1.0)
        return float(np.abs(every - (a + t * along)).min(axis=1).max())


def border(chains: Sequence[Chain], back: float, on: float) -> Border:
    """The border within ``back`` mm before the first closure and ``on`` mm after the last one."""
    runs: list[Trace] = []
    drawn: list[bool] = []
    for k, chain in enumerate(chains):
        if k:
            step = _step(runs[-1].points[-1], chain.start)
            if step is not None:
                runs.append(step)
                drawn.append(False)
        first = max(0.0, chain.length - back) if k == 0 else 0.0
        last = min(chain.length, on) if k == len(chains) - 1 else chain.length
        runs.append(_run(chain, first, last, from_end=k == 0))
        drawn.append(True)
    normals = []
    for one, other in pairwise(runs):
        middle = one.tangents[-1] + other.tangents[0]
        normals.append(complex(-1j * middle / max(abs(middle), 1e-12)))
    return Border(tuple(runs), tuple(normals), tuple(drawn))


def _run(chain: Chain, first: float, last: float, *, from_end: bool) -> Trace:
    """Samples at even distances from the closure, so that they do not depend on how far the chain goes."""
    count = int((last - first) / _STEP)
    if from_end:
        steps = last - _STEP * np.arange(count, -1, -1)
        places = steps if steps[0] - first < SNAP else np.concatenate([[first], steps])
    else:
        steps = first + _STEP * np.arange(count + 1)
        places = steps if last - steps[-1] < SNAP else np.concatenate([steps, [last]])
    return trace(chain, places)


def _step(start: complex, end: complex) -> Trace | None:
    """The straight step from one edge's end to the next one's start, where there is one."""
    size = abs(end - start)
    if size < SNAP:
        return None
    places = np.linspace(0.0, size, int(size / _STEP) + 2)
    unit = (end - start) / size
    return Trace(places, start + unit * places, np.full(len(places), unit), np.zeros(len(places)))
