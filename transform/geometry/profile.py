"""The fairest curve between two ends, found as its profile: its curvature along its length.

Fairest is the minimum variation curve, which has the least integral of (dk/ds)² (H. P. Moreton and
C. H. Séquin, Functional optimization for fair surface design, SIGGRAPH 1992; R. Levien, From spiral to
spline, PhD thesis, Berkeley 2009, chapter 4). In the curvature itself that integral is a plain sum of
squares, and that the curve bends one way only is a plain bound; only that it meets its far end, and how far
it lies from the border, depend on it in a curved way. So a few Gauss–Newton steps find it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from transform.geometry.border import Border
from transform.geometry.least_squares import least_squares
from transform.geometry.trace import Numbers, Points, Trace

_SCALE = 120.0
"""The length (mm) of a usual line: weights are those of a line of this length."""
_OUTSIDE = 40.0
"""Weight of a mm too far outside; a usual line's variation is 0.1 to 20."""
_NEAR = 1.0
"""Weight of a mm too far inside."""
_CLOSE = 0.5
"""As far inside the border (mm) a curve may lie for nothing; farther, it is drawn back to it, gently."""
_ONE_WAY = 2e4
"""Weight of a curvature of 1/mm the wrong way."""
_MEETS = 50.0
"""Weight of a mm by which the curve misses its end."""
_FLOOR = 0.15
"""Share of its ends' curvature below which a curve that bends one way should not flatten between them."""
_STEPS = 30
_DONE = 1e-6
_LONGEST = 5.0
_STEP = 1.5
"""Distance between the points by which a curve is followed, mm."""
_FINEST = 0.5
_COARSER = 0.15
_COARSEST = 6.0
_FINE = 400
_LEAST = 24
"""How the intervals of a curve are laid: their least width (mm), its growth away from the corners, their
largest (mm), and how many there are at least."""


@dataclass(frozen=True, slots=True)
class End:
    """An end of the line: point, unit tangent in the edge's direction, curvature (1/mm; None: any)."""

    point: complex
    tangent: complex
    curvature: float | None


@dataclass(frozen=True, slots=True)
class Task:
    """What is asked of a curve from ``start`` to ``end``.

    ``reach`` is how far the ends lie from the first and the last closure, mm along the edge. ``turning`` is
    the angle from the first tangent to the last, rad, whole turns included. ``bend`` is the sign that the
    curvature has to keep up to ``split``, a share of the length, and to change there; 0 where it may have
    both anywhere. ``outside`` is how far (mm) the curve may run outside ``border``.
    """

    border: Border
    reach: tuple[float, float]
    start: End
    end: End
    turning: float
    bend: int
    outside: float
    split: float = 1.0


@dataclass(frozen=True, slots=True)
class Profile:
    """The curve found: in the places where it was sought, and how much its curvature varies (without unit).

    ``outside`` is how far it runs outside the border, mm; ``wrong`` how much curvature it has of a sign
    that it should not have, 1/mm: more than a trace where the ends leave no way to keep it.
    """

    curve: Trace
    variation: float
    outside: float
    wrong: float

    @property
    def path(self) -> Border:
        """The curve as a border, to tell how far points lie from it."""
        return Border((self.curve.refined(_STEP),), (), (True,))

    @property
    def sharpest(self) -> float:
        """The largest curvature, 1/mm."""
        return float(np.abs(self.curve.curvatures).max())


@dataclass(frozen=True, slots=True)
class _Grid:
    """A curve of length 1 in intervals, on each of which the curvature is linear in the length."""

    nodes: Numbers
    inner: Numbers
    """Three Gauss points an interval."""
    turned: Numbers
    """Matrix from the curvatures at the nodes to the angle turned at the inner points."""
    turned_at: Numbers
    """The same at the nodes."""
    weights: Numbers
    slope: Numbers
    """Matrix to the root of what the interval adds to the variation of curvature."""


def _grid(nodes: Numbers) -> _Grid:
    t = np.array([0.5 - np.sqrt(0.15), 0.5, 0.5 + np.sqrt(0.15)])
    widths = np.diff(nodes)
    unit = np.eye(len(nodes))
    trapezia = np.cumsum((unit[:-1] + unit[1:]) * widths[:, None] / 2, axis=0)
    turned_at = np.concatenate([np.zeros((1, len(nodes))), trapezia])
    own = widths[:, None] * (t - t * t / 2), widths[:, None] * t * t / 2
    turned = (
        turned_at[:-1, None, :]
        + own[0][:, :, None] * unit[:-1, None, :]
        + own[1][:, :, None] * unit[1:, None, :]
    ).reshape(-1, len(nodes))
    weights = np.outer(widths, np.array([5.0, 8.0, 5.0]) / 18).reshape(-1)
    inner = (nodes[:-1, None] + widths[:, None] * t).reshape(-1)
    return _Grid(nodes, inner, turned, turned_at, weights, np.diff(unit, axis=0) / np.sqrt(widths)[:, None])


def _nodes(border: Border, reach: tuple[float, float]) -> Numbers:
    """Places along the curve, 0 to 1: close together at corners of the border, farther apart elsewhere."""
    sizes = np.array([run.places[-1] - run.places[0] for run in border.runs])
    sizes[0], sizes[-1] = reach
    ends = np.cumsum(sizes)
    places = np.linspace(0.0, ends[-1], _FINE)
    away = np.abs(places[:, None] - ends[:-1]).min(axis=1)
    density = 1 / np.minimum(_FINEST + away * _COARSER, _COARSEST)
    total = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2)])
    count = max(_LEAST, int(total[-1] * places[1]))
    nodes: Numbers = np.interp(np.linspace(0.0, total[-1], count + 1), total, places) / ends[-1]
    return nodes


class _Laid(NamedTuple):
    """The curve of some unknowns: its points at the nodes, and what it misses its end by (mm).

    At the inner points ``turned`` are the angles turned, over the length and beyond an even turn, and
    ``steps`` the ways that are laid together.
    """

    points: Points
    gap: complex
    turned: Numbers
    steps: Points


class _Curve:
    """The residuals of a task; the unknowns are curvature · _SCALE at each node, and length / _SCALE."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.grid = _grid(_nodes(task.border, task.reach))
        self.nodes = len(self.grid.nodes)
        ends = (task.start.curvature, task.end.curvature)
        self.live = np.ones(self.nodes + 1, dtype=bool)
        self.live[0], self.live[-2] = ends[0] is None, ends[1] is None
        self.whole = self._first_guess()
        chord = task.end.point - task.start.point
        self.turn = chord.conjugate() / max(abs(chord), 1e-12)
        inner = self.grid.inner
        self.evened = self.grid.turned - inner[:, None] * self.grid.turned_at[-1]
        self.evenly = inner * task.turning
        # The node at the split itself may bend either way.
        before = task.split - self.grid.nodes if task.split < 1 else np.ones(self.nodes)
        self.signs = task.bend * np.where(np.abs(before) < 1e-9, 0.0, np.sign(before))
        floors = [_FLOOR * max(task.bend * (k or 0.0), 0.0) * _SCALE for k in ends]
        self.floor = floors[0] + (floors[1] - floors[0]) * self.grid.nodes
        if task.split < 1:
            self.floor *= 0.0

    def _first_guess(self) -> Numbers:
        task = self.task
        length = abs(task.end.point - task.start.point) * (1 + task.turning**2 / 24)
        mean = task.turning / length
        first, last = (mean if e.curvature is None else e.curvature for e in (task.start, task.end))
        u = self.grid.nodes
        bends = first + (last - first) * u + 6 * u * (1 - u) * (mean - (first + last) / 2)
        return np.append(bends * _SCALE, length / _SCALE)

    def laid(self, x: Numbers) -> _Laid:
        """Where the curve runs; its gap is spread evenly over it, so that both ends have the same right."""
        turned = self.evened @ x[:-1]
        angles = turned * x[-1] + self.evenly
        steps = self.task.start.tangent * np.exp(1j * angles) * self.grid.weights * (x[-1] * _SCALE)
        points = np.zeros(self.nodes, dtype=complex)
        points[1:] = np.cumsum(steps.reshape(-1, 3).sum(axis=1))
        points += self.task.start.point
        gap = complex(points[-1]) - self.task.end.point
        return _Laid(points - self.grid.nodes * gap, gap, turned, steps)

    def laid_slopes(self, x: Numbers, laid: _Laid) -> tuple[Points, Points]:
        """The derivatives of the points and of the gap by every unknown."""
        size = self.nodes + 1
        slopes = np.empty((len(laid.turned), size), dtype=complex)
        slopes[:, :-1] = 1j * x[-1] * self.evened
        slopes[:, -1] = 1 / x[-1] + 1j * laid.turned
        slopes *= laid.steps[:, None]
        dz = np.zeros((self.nodes, size), dtype=complex)
        dz[1:] = np.cumsum(slopes.reshape(-1, 3, size).sum(axis=1), axis=0)
        dgap = dz[-1].copy()
        dz -= self.grid.nodes[:, None] * dgap
        return dz, dgap

    def residuals(self, own: Numbers) -> tuple[Numbers, Callable[[], Numbers]]:
        """Variation, ends, distance from the border, bending the wrong way."""
        x = self.filled(own)
        task = self.task
        laid, variation = self.laid(x), self.variation(x)
        off_end = laid.gap * self.turn
        angle = self.grid.turned_at[-1] @ x[:-1]
        off = (angle * x[-1] - task.turning) * _SCALE
        distances = task.border.distances(laid.points)
        over = np.maximum(distances.away - task.outside, 0.0)
        under = np.minimum(distances.away + _CLOSE, 0.0)
        near = _NEAR / np.sqrt(self.nodes)
        rows = [variation, np.array([off_end.real, off_end.imag, off]) * _MEETS]
        rows += [over * _OUTSIDE, under * near]
        lack = np.where(self.live[:-1], np.maximum(self.floor - self.signs * x[:-1], 0.0), 0.0)
        if task.bend:
            rows.append(lack * (_ONE_WAY / _SCALE))

        def derivatives() -> Numbers:
            n, grid = self.nodes, self.grid
            dz, dgap = self.laid_slopes(x, laid)
            slopes = np.zeros((n - 1, n + 1))
            slopes[:, :-1] = grid.slope / np.sqrt(x[-1])
            slopes[:, -1] = -0.5 / x[-1] * variation
            slope_off = dgap * self.turn
            dangle = np.append(grid.turned_at[-1] * x[-1], angle) * _SCALE
            jacobian = [slopes, np.stack([slope_off.real, slope_off.imag, dangle]) * _MEETS]
            daway = (distances.outwards.conj()[:, None] * dz).real
            jacobian += [daway * ((over > 0) * _OUTSIDE)[:, None], daway * ((under < 0) * near)[:, None]]
            if task.bend:
                wrong = np.zeros((n, n + 1))
                wrong[np.arange(n), np.arange(n)] = -self.signs * (_ONE_WAY / _SCALE) * (lack > 0)
                jacobian.append(wrong)
            return np.concatenate(jacobian)[:, self.live]

        return np.concatenate(rows), derivatives

    def variation(self, x: Numbers) -> Numbers:
        """Roots of the variation of curvature on every interval."""
        found: Numbers = self.grid.slope @ x[:-1] / np.sqrt(x[-1])
        return found

    def filled(self, own: Numbers) -> Numbers:
        """All unknowns, with the curvatures that are given at the ends."""
        x = self.whole.copy()
        x[self.live] = own
        return x


def fairest(task: Task) -> Profile:
    """The curve of least variation of curvature that keeps what the task asks, as nearly as can be."""
    curve = _Curve(task)
    x = curve.filled(least_squares(curve.residuals, curve.whole[curve.live], _STEPS, _LONGEST, _DONE))
    z = curve.laid(x).points
    v = curve.variation(x)
    angles = curve.grid.turned_at @ x[:-1] * x[-1]
    angles += curve.grid.nodes * (task.turning - angles[-1])
    places = curve.grid.nodes * x[-1] * _SCALE
    found = Trace(places, z, task.start.tangent * np.exp(1j * angles), x[:-1] / _SCALE)
    wrong = float(np.max(-curve.signs * found.curvatures, where=curve.live[:-1], initial=0.0))
    return Profile(found, float(v @ v), float(task.border.distances(z).away.max()), wrong)


def best_split(profile: Profile, start: int, end: int) -> tuple[int, float]:
    """Sign and share of the length (`Task`) of the curve with one inflection that is nearest to a profile.

    ``start`` and ``end`` are the signs that the curvature has at its ends, 0 where it may have either.
    """
    curve = profile.curve
    turned = np.diff(curve.places) * (curve.curvatures[1:] + curve.curvatures[:-1]) / 2
    total = np.concatenate([[0.0], np.cumsum(turned)])
    # What turns with the sign before the split and against it after: the more of it, the less is lost.
    kept = 2 * total - total[-1]
    inner = slice(1, -1)
    most, least = int(np.argmax(kept[inner])) + 1, int(np.argmin(kept[inner])) + 1
    up = start >= 0 and end <= 0
    down = start <= 0 and end >= 0
    rising = up and (not down or kept[most] >= -kept[least])
    at = most if rising else least
    sign = 1 if rising else (-1 if down else 0)
    return sign, float(curve.places[at] / curve.places[-1])
