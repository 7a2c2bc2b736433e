"""Law 8: the cut line keeps its distance from the stitching line, edge by edge.

Judged by shapely alone: the distance of a place of the new stitching line from the new cut line is held
against that of the place from which it came, or, where the line was drawn anew, against what is found
along the same edge of the old line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from transform.alter.runs import NewStretch, Run
from transform.geometry.chain import Chain, coordinates
from transform.geometry.trace import Numbers, Points
from transform.pattern.outline import Outline

DISTANCE_MM = 0.1
_STEP = 6.0
_FLAT = 0.5
_PART = 8
_CORNER = 5.0
_WIDEST = 80.0
_ASLANT = 0.12


@dataclass(frozen=True, slots=True)
class DistanceOff:
    """A place at which the cut line is not as far from the stitching line as is allowed there, mm."""

    edge: str | None
    point: complex
    distance: float
    allowed: tuple[float, float]

    @property
    def off(self) -> float:
        """By how much, mm."""
        return max(self.allowed[0] - self.distance, self.distance - self.allowed[1])

    @property
    def text(self) -> str:
        """What is to be told."""
        low, high = self.allowed
        between = f"{low:.1f} to {high:.1f} mm" if high - low > DISTANCE_MM else f"{(low + high) / 2:.1f} mm"
        return (
            f"the cut line lies {self.distance:.2f} mm from {self.edge or 'the stitching line'} at "
            f"({self.point.real:.1f}, {self.point.imag:.1f}), where it was {between}"
        )


def distance_errors(
    old: Outline, cut: Outline, new: Sequence[NewStretch], new_cut: Outline
) -> Iterator[DistanceOff]:
    """Places of the new stitching line at which the cut line is not as far off as it was, to 0.1 mm.

    Args:
        old: the stitching line as it came.
        cut: the cut line as it came.
        new: the new stitching line.
        new_cut: the new cut line.

    Places nearer to an end of their stretch than twice the allowance are left to the corners there.
    """
    before, after = _Judge(cut.chain), _Judge(new_cut.chain)
    for stretch in new:
        if stretch.dart is not None or not stretch.runs:
            continue
        found = _edge_range(old, before, stretch.edge)
        margin = 2 * found[1] + _CORNER
        length, begin = stretch.chain.length, 0.0
        for run in stretch.runs:
            places = np.arange(_STEP / 2, run.chain.length, _STEP)
            far = (begin + places > margin) & (begin + places < length - margin)
            begin += run.chain.length
            yield from _run_errors(run, places[far], (before, after), found, stretch.edge)


def _run_errors(
    run: Run,
    places: NDArray[np.float64],
    lines: tuple[_Judge, _Judge],
    found: tuple[float, float],
    edge: str | None,
) -> Iterator[DistanceOff]:
    """The worst place of one run, if it is off."""
    if not len(places):
        return
    points = _points(run.chain, places)
    there = lines[1].distances(points)
    low = high = np.zeros(len(places))
    if run.kept is not None:
        back = run.kept.motion.inverse()
        low = high = lines[0].distances(np.array([back(point) for point in points.tolist()]))
    else:
        low, high = np.full(len(places), found[0]), np.full(len(places), found[1])
    off = np.maximum(low - there, there - high)
    for k in np.argsort(-off):
        worst = int(k)
        point = points[worst]
        if off[worst] <= DISTANCE_MM:
            return
        outwards = -1j * run.chain.tangent(float(places[worst]))
        if _aslant(point, outwards, lines[1].line):
            continue
        yield DistanceOff(edge, point, float(there[worst]), (float(low[worst]), float(high[worst])))
        return


def _aslant(point: complex, outwards: complex, line: shapely.LineString) -> bool:
    """Whether the nearest place of the line lies aslant: on another edge's, beside a sharp corner."""
    x, y = shapely.shortest_line(shapely.Point(point.real, point.imag), line).coords[-1]
    away = complex(x, y) - point
    return abs((away * outwards.conjugate()).imag) > _ASLANT * abs(away)


def _edge_range(old: Outline, cut: _Judge, edge: str | None) -> tuple[float, float]:
    """Least and greatest allowance along an edge of the old line, mm.

    The ends, a sixth of the edge, are left to the corners; what widens in between may go on widening there.
    """
    found: list[float] = []
    for stretch in old.stretches:
        if stretch.edge == edge and stretch.dart is None:
            chain = stretch.chain
            inner = _points(chain, chain.length * np.arange(4, 21) / 24)
            found.extend(cut.distances(inner).tolist())
    if not found:
        return 0.0, _WIDEST
    low, high = min(found), max(found)
    return low - (high - low) / 4, high + (high - low) / 4


def _points(chain: Chain, places: Numbers) -> Points:
    """About the points at these places: on the chords of the chain, thousandths of a mm beside it."""
    rows = chain.sampled(_FLAT)
    along = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(rows)))])
    return np.interp(places, along, rows)


class _Judge:
    """A line to which distances are measured; looked through by short parts, for it has thousands."""

    def __init__(self, chain: Chain) -> None:
        rows = coordinates(chain.sampled(_FLAT))
        self.line = shapely.LineString(rows)
        starts = np.arange(0, len(rows) - 1, _PART)
        places = np.minimum(starts[:, None] + np.arange(_PART + 1), len(rows) - 1)
        self.parts = shapely.STRtree(shapely.linestrings(rows[places]))

    def distances(self, points: Points) -> NDArray[np.float64]:
        """How far each point lies from the line, mm."""
        found = self.parts.query_nearest(
            shapely.points(coordinates(points)), return_distance=True, all_matches=False
        )
        return np.asarray(found[1])
