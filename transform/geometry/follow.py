"""A spline that follows a profile: the few cubics in which a fair curve is written down.

The spline has the profile's ends exactly: the points, the directions, and the curvatures where they are
given. So a cubic B-spline of three pieces has four numbers left, the distances of its inner control points
along both end directions; they are found by least squares on the distances between spline and profile.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from transform.geometry.least_squares import least_squares
from transform.geometry.profile import Profile, Task
from transform.geometry.spline import Basis, basis
from transform.geometry.trace import Numbers, Points

_NEAR = 10.0
"""Weight of a mm between spline and profile."""
_EVEN = 1e-2
"""Weight of an arm that is e times as long as usual: enough to decide it where the line is straight."""
_ONE_WAY = 3000.0
_MARGIN = 3e-4
"""Turns of the control polygon keep their sign by this margin (rad), by that weight."""
_STEPS = 12
_DONE = 1e-3
_LONGEST = 0.7


def follow(profile: Profile, task: Task, inner: Numbers) -> tuple[Basis, Points]:
    """The spline with the given inner knots, and its control points."""
    model = _Follower(profile, task, basis(list(inner)))
    x = least_squares(model.residuals, model.start, _STEPS, _LONGEST, _DONE)
    return model.basis, model.controls(x)[0]


def even_knots(profile: Profile, pieces: int) -> Numbers:
    """Inner knots that share evenly what a cubic cannot follow: how the curvature changes its slope."""
    k = profile.curve.curvatures
    u = profile.curve.places / profile.curve.places[-1]
    slope = np.gradient(k, u)
    change = np.abs(np.gradient(slope, u))
    change = np.convolve(np.pad(change, 2, mode="edge"), np.ones(5) / 5, mode="valid")
    density = (change + 0.25 * change.mean() + 1e-9) ** (1 / 3)
    total = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(u))])
    knots: Numbers = np.interp(np.arange(1, pieces) / pieces, total / total[-1], u)
    return knots


class _Follower:
    """Unknowns: logarithms of the four arms, curvatures that are free, inner control points."""

    def __init__(self, profile: Profile, task: Task, own: Basis) -> None:
        self.task, self.basis = task, own
        self.path = profile.path
        knots = own.knots
        length = float(profile.curve.places[-1])
        self.length = length
        self.arms = length / 3 * np.array([knots[1], knots[2], 1 - knots[-2], 1 - knots[-3]])
        self.ratios = 1.5 * np.array([knots[2] / knots[1], (1 - knots[-3]) / (1 - knots[-2])])
        start = [0.0] * 4
        for end, bend in (
            (task.start, profile.curve.curvatures[0]),
            (task.end, profile.curve.curvatures[-1]),
        ):
            if end.curvature is None:
                start.append(float(bend) * length)
        chord = task.end.point - task.start.point
        self.frame = chord / abs(chord) * length
        for k in range(own.pieces - 3):
            place = (knots[k + 1] + knots[k + 2] + knots[k + 3]) / 3
            z = np.interp(place, profile.curve.places / length, profile.curve.points)
            z = (z - task.start.point) / self.frame
            start += [float(z.real), float(z.imag)]
        self.start = np.array(start)
        # A spline has no more inflections than its control polygon: the turns of that are bound.
        padded = np.concatenate([[0.0], knots, [1.0]])
        corners = (padded[:-2] + padded[1:-1] + padded[2:]) / 3
        self.signs = np.where(corners < task.split, task.bend, -task.bend)
        self.bound = np.ones(len(corners), dtype=bool)
        self.bound[[0, -1]] = task.start.curvature is None, task.end.curvature is None

    def controls(self, x: Numbers) -> tuple[Points, Points]:
        """Control points and their derivatives by every unknown."""
        count = self.basis.pieces + 3
        p, dp = np.zeros(count, dtype=complex), np.zeros((count, len(x)), dtype=complex)
        arms = self.arms * np.exp(np.clip(x[:4], -4.0, 4.0))
        at = 4
        # At the far end all is seen from there, looking back: direction and curvature change their sign.
        for k, (end, sign) in enumerate(((self.task.start, 1.0), (self.task.end, -1.0))):
            first, second, third = (0, 1, 2) if sign > 0 else (count - 1, count - 2, count - 3)
            near, far = arms[2 * k], arms[2 * k + 1]
            along = sign * end.tangent
            given = end.curvature is not None
            bend = sign * (x[at] / self.length if end.curvature is None else end.curvature)
            aside = self.ratios[k] * bend * near * near
            p[first] = end.point
            p[second] = end.point + near * along
            p[third] = p[second] + (far + 1j * aside) * along
            dp[second, 2 * k] = near * along
            dp[third, 2 * k] = (near + 2j * aside) * along
            dp[third, 2 * k + 1] = far * along
            if not given:
                dp[third, at] = 1j * self.ratios[k] * sign * near * near / self.length * along
                at += 1
        for k in range(3, count - 3):
            p[k] = self.task.start.point + complex(x[at], x[at + 1]) * self.frame
            dp[k, at], dp[k, at + 1] = self.frame, 1j * self.frame
            at += 2
        return p, dp

    def residuals(self, x: Numbers) -> tuple[Numbers, Callable[[], Numbers]]:
        """Distances from the profile, unevenness, turns the wrong way."""
        p, dp = self.controls(x)
        distances = self.path.distances(self.basis.values @ p)
        edges = np.diff(p)
        turns = np.angle(edges[1:] * edges[:-1].conj())
        lack = np.where(self.bound, np.maximum(_MARGIN - self.signs * turns, 0.0), 0.0)
        rows = [distances.away * _NEAR, x[:4] * _EVEN]
        if self.task.bend:
            rows.append(lack * _ONE_WAY)

        def derivatives() -> Numbers:
            slopes = (distances.outwards.conj()[:, None] * (self.basis.values @ dp)).real
            even = np.zeros((4, len(x)))
            even[:, :4] = np.eye(4) * _EVEN
            jacobian = [slopes * _NEAR, even]
            if self.task.bend:
                changes = np.diff(dp, axis=0)
                rotations = (edges.conj()[:, None] * changes).imag / (np.abs(edges) ** 2)[:, None]
                weights = -self.signs * (lack > 0) * _ONE_WAY
                jacobian.append(np.diff(rotations, axis=0) * weights[:, None])
            return np.concatenate(jacobian)

        return np.concatenate(rows), derivatives
