"""Lines over the same closures drawn on trial, at one reach after another, until one keeps everything.

A line that bends one way only is tried first: at the usual reach, then farther, on the side that sticks out
before the other. Where no such line keeps inside, one with a single inflection is tried, then any.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from transform.geometry.border import border
from transform.geometry.chain import Chain
from transform.geometry.follow import even_knots, follow
from transform.geometry.profile import End, Profile, Task, best_split, fairest
from transform.geometry.segments import Cubic
from transform.geometry.trace import Numbers, curvatures_at

OUTSIDE_MM = 0.5
"""How far a line may run outside the closed edges."""
USUAL_REACH = 60.0
"""How far a line reaches on either side of its closure where that suffices, mm."""
_AIM = 0.4
"""What is asked of the curve, mm outside, so that the cubics that follow it keep to the bound."""
_FARTHER = (1.0, 1.35, 1.8, 2.5, 3.5, 5.0)
_NO_BEND = 1e-5
"""Curvature (1/mm) below which a line counts as straight: a circle of 100 m."""
_WRONG = 0.02
"""Share of its sharpest curvature that a curve may have the wrong way and still pass for one-way."""
_SHARPEST = 0.1
"""A sharper curvature (1/mm) at the end of an edge is a fault of its drawing and not carried on."""
_GENTLE = 0.01
_FOLLOWS = 0.1
_SHARPER = 1.25
_LIES_ON = 0.02
_DENSE = 32

Trial = tuple[tuple[float, float], int, int, float]
"""What to try: reach, inflections that will do, sign of the bend, share of the length where it changes."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A line drawn on trial.

    Against the curve that was found its cubics are ``spiky`` where they bend more sharply anywhere, and
    stray where they leave it.
    """

    cubics: tuple[Cubic, ...]
    reach: tuple[float, float]
    outside: float
    inside: float
    inflections: int
    spiky: bool
    strays: bool

    @property
    def rank(self) -> tuple[float, bool, int, bool]:
        """Less is better: too far outside first, then nearly a corner, then inflections."""
        return (max(0.0, self.outside - OUTSIDE_MM), self.spiky, self.inflections, self.strays)

    @property
    def crude(self) -> bool:
        """Whether the cubics do not follow the curve that was found."""
        return self.spiky or self.strays


class Drafter:
    """Draws lines over the same closures at several reaches, and chooses."""

    def __init__(
        self,
        chains: Sequence[Chain],
        edge_ends: tuple[bool, bool] = (True, True),
        tips: tuple[End | None, End | None] = (None, None),
    ) -> None:
        self.chains, self.edge_ends, self.tips = chains, edge_ends, tips
        self.first, self.last = chains[0], chains[-1]
        self.most = (self.first.length, self.last.length)
        self.edge = border(chains, *self.most)
        self.closures = len(chains) - 1
        step = self.last.start - self.first.end
        across = self.first.tangent(self.first.length, before=True) + self.last.tangent(0.0)
        self.rises = float((step * (-1j * across).conjugate()).real) / max(abs(across), 1e-12)

    def best(self) -> Draft:
        """The first draft that keeps everything, or the best of those that do not."""
        best: Draft | None = None
        for reach, most, bend, split in self.trials():
            draft = self.draft(reach, bend, split)
            if draft is not None:
                if best is None or draft.rank < best.rank:
                    best = draft
                if draft.rank <= (0.0, False, most, False):
                    break
        assert best is not None
        return best

    def trials(self) -> Iterator[Trial]:
        """What to try, in this order."""
        usual = self.clipped(USUAL_REACH, USUAL_REACH)
        old = self.old_inflections(usual)
        if old:
            yield usual, old, 0, 1.0
        yield from self.one_way_trials()
        some = list(dict.fromkeys((usual, self.clipped(2 * USUAL_REACH, 2 * USUAL_REACH), self.most)))
        for reach in some:
            start, end = (_sign(e.curvature) for e in self.ends(reach))
            if start * end <= 0:
                bend, split = best_split(self.profile(reach, 0, _AIM)[0], start, end)
                yield reach, 1, bend, split
        for reach in some:
            yield reach, 2, 0, 1.0

    def one_way_trials(self) -> Iterator[Trial]:
        """Those of a line that bends one way only."""
        for reach in self.reaches():
            yield from self.one_way_at(reach)

    def one_way_at(self, reach: tuple[float, float]) -> Iterator[Trial]:
        """That of a line that bends one way only at a reach, where there can be one."""
        bend = self.one_way(reach)
        if bend:
            yield reach, 0, bend, 1.0

    def reaches(self) -> Iterator[tuple[float, float]]:
        """Reaches from the usual one up to the edge's ends, on the side that sticks out first."""
        seen = set()
        for factor in _FARTHER:
            far = USUAL_REACH * factor
            if self.closures == 1 and abs(self.rises) > OUTSIDE_MM:
                one = self.clipped(far, USUAL_REACH) if self.rises < 0 else self.clipped(USUAL_REACH, far)
                if one not in seen:
                    seen.add(one)
                    yield one
            both = self.clipped(far, far)
            if both not in seen:
                seen.add(both)
                yield both

    def clipped(self, back: float, on: float) -> tuple[float, float]:
        """A reach that stays on the edge."""
        return min(back, self.most[0]), min(on, self.most[1])

    def ends(self, reach: tuple[float, float]) -> tuple[End, End]:
        """Where the line leaves and joins."""
        back, on = self.most[0] - reach[0], reach[1]
        inner = back > 1e-6, on < self.most[1] - 1e-6
        start, end = (
            tip
            if tip is not None and not within
            else End(
                chain.point(place),
                chain.tangent(place, before=before),
                # Nothing follows at the edge's own end: any curvature will do there.
                None if at_end and not within else _tamed(chain.curvature(place, before=before)),
            )
            for chain, place, before, within, at_end, tip in (
                (self.first, back, inner[0], inner[0], self.edge_ends[0], self.tips[0]),
                (self.last, on, not inner[1], inner[1], self.edge_ends[1], self.tips[1]),
            )
        )
        return start, end

    def own_end(self, side: int) -> End:
        """The edge's own end, first (0) or last (1)."""
        if side == 0:
            return End(self.first.start, self.first.tangent(0.0), None)
        return End(self.last.end, self.last.tangent(self.last.length, before=True), None)

    def one_way(self, reach: tuple[float, float]) -> int:
        """The sign of the bend of a line without inflection between these ends; 0 where there is none."""
        start, end = self.ends(reach)
        chord = end.point - start.point
        turns = [np.angle(chord / start.tangent), np.angle(end.tangent / chord)]
        signs = {int(np.sign(t)) for t in turns if abs(t) > 1e-7}
        signs |= {_sign(start.curvature), _sign(end.curvature)} - {0}
        if len(signs) != 1:
            return 0
        bend = signs.pop()
        # Such a line lies between its chord and the corner of its end tangents. Of these two, the one on
        # the side of the piece is the farthest inside it can come.
        across = (start.tangent.conjugate() * end.tangent).imag
        limit = [start.point, end.point]
        if bend < 0 and abs(across) > 1e-9:
            along = (chord.conjugate() * end.tangent).imag / across
            limit.insert(1, start.point + start.tangent * along)
        share = np.linspace(0.0, 1.0, 8)
        tried = np.concatenate([a + (b - a) * share for a, b in pairwise(limit)])
        return bend if self.edge.distances(tried).away.max() < OUTSIDE_MM else 0

    def old_inflections(self, reach: tuple[float, float]) -> int:
        """How often the edges themselves change their bend within reach."""
        near = self.edge.within(*reach)
        bends = np.concatenate([r.curvatures for r, d in zip(near.runs, near.drawn, strict=True) if d])
        return _changes(bends)

    def is_sharp(self, draft: Draft) -> bool:
        """Whether a line bends more than twice as sharply as the edges did, or as a radius of 100 mm."""
        near = self.edge.within(*draft.reach)
        old = max(float(np.abs(r.curvatures).max()) for r, d in zip(near.runs, near.drawn, strict=True) if d)
        return float(np.abs(_bends(draft.cubics)).max()) > 2 * max(old, _GENTLE)

    def draft(self, reach: tuple[float, float], bend: int, split: float) -> Draft | None:
        """The line at a reach, aimed lower where it came too far outside; None where it cannot be kept in."""
        aim = _AIM
        best: Draft | None = None
        for _ in range(4):
            profile, task = self.profile(reach, bend, aim, split)
            bent_wrongly = profile.wrong > _WRONG * profile.sharpest + _NO_BEND
            if bend and (profile.outside > OUTSIDE_MM + 0.1 or bent_wrongly):
                break
            draft = self.written(profile, task, reach)
            if best is None or draft.rank < best.rank:
                best = draft
            if draft.rank[0] > 0:
                aim -= draft.outside - OUTSIDE_MM + 0.03
            elif draft.crude and split == 1 and (shorter := self.shorter(profile, reach)) != reach:
                reach = shorter
            else:
                break
        return best

    def shorter(self, profile: Profile, reach: tuple[float, float]) -> tuple[float, float]:
        """The reach within which a curve leaves the edges, in whole mm; the same where that is most of it."""
        curve = profile.curve
        off = np.flatnonzero(np.abs(self.edge.distances(curve.points).away) > _LIES_ON)
        if not len(off):
            return reach
        idle = curve.places[off[0]], curve.places[-1] - curve.places[off[-1]]
        found = [math.ceil((r - gap) * 1.1 + 2) for r, gap in zip(reach, idle, strict=True)]
        back, on = (float(f) if f < 0.8 * r else r for f, r in zip(found, reach, strict=True))
        return back, on

    def profile(
        self, reach: tuple[float, float], bend: int, aim: float, split: float = 1.0
    ) -> tuple[Profile, Task]:
        """The fairest curve at a reach, and what was asked of it."""
        near = self.edge.within(*reach)
        start, end = self.ends(reach)
        turning = near.turning(start.tangent, end.tangent)
        task = Task(near, reach, start, end, turning, bend, aim, split)
        return fairest(task), task

    def written(self, profile: Profile, task: Task, reach: tuple[float, float]) -> Draft:
        """The spline along a profile, in as few cubics as follow it."""
        drafts: list[Draft] = []
        sharpest = profile.sharpest * _SHARPER + _NO_BEND
        path = profile.path
        for pieces in (2 * self.closures + 1, 2 * self.closures + 2, 3 * self.closures + 3):
            basis, controls = follow(profile, task, even_knots(profile, pieces))
            cubics = basis.cubics(controls)
            away, inside, points = self.edge.extremes(cubics)
            bends = _bends(cubics)
            off = float(np.abs(path.distances(points).away).max())
            spiky = float(np.abs(bends).max()) > sharpest
            drafts.append(Draft(cubics, reach, away, inside, _changes(bends), spiky, off > _FOLLOWS))
            if not drafts[-1].crude and away <= OUTSIDE_MM:
                break
        return min(drafts, key=lambda draft: draft.rank)


def _tamed(curvature: float) -> float:
    return min(max(curvature, -_SHARPEST), _SHARPEST)


def _sign(curvature: float | None) -> int:
    """The sign of a curvature, 0 for a straight line or where any will do."""
    if curvature is None or abs(curvature) <= _NO_BEND:
        return 0
    return 1 if curvature > 0 else -1


def _bends(cubics: Sequence[Cubic]) -> Numbers:
    """Curvatures along cubics."""
    t = np.linspace(0.0, 1.0, _DENSE + 1)
    return np.concatenate([curvatures_at(cubic, t) for cubic in cubics])


def _changes(bends: Numbers) -> int:
    """How often the sign changes in a row of curvatures."""
    signs = np.sign(bends[np.abs(bends) > _NO_BEND])
    return int((signs[1:] != signs[:-1]).sum())
