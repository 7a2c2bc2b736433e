"""The line of a closed edge, drawn anew: fair, true to both ends, and never far outside what was closed.

A closing leaves a kink, and a step along the leg where the wedge ran slantwise to the edge. The line leaves
the edge at some reach before the closure and joins it again at some reach behind it. What it keeps, the
first before the next:

1. the points and directions of the edge at both joins, exactly, and the curvatures (at an edge's own end,
   where nothing follows, the curvature is free); it has no corner, and its curvature never jumps;
2. no more than 0.5 mm outside the closed piece: what sticks out is cut down, what falls back is not filled;
3. as few inflections as can be, none where the ends leave a way without;
4. a reach of 60 mm on both sides, or up to the edge's end. It is farther where that saves an inflection,
   and shorter where the line would only lie on the old edge there, as beside a closure of straight edges;
5. the least variation of curvature (`transform.geometry.profile`).

The line is written as a cubic spline, three cubics for a closure where those follow the curve found
(`transform.geometry.follow`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from transform.geometry.border import Border, border
from transform.geometry.chain import Chain
from transform.geometry.follow import even_knots, follow
from transform.geometry.profile import End, Profile, Task, best_split, fairest
from transform.geometry.segments import Cubic, Line, Segment
from transform.geometry.trace import Numbers, Points, curvatures_at, points_at

OUTSIDE_MM = 0.5
USUAL_REACH = 60.0
_AIM = 0.4
_FARTHER = (1.0, 1.35, 1.8, 2.5, 3.5, 5.0)
_NO_BEND = 1e-5
"""Curvature (1/mm) below which a line counts as straight: a circle of 100 m."""
_FOLLOWS = 0.05
_SHARPER = 1.25
_LIES_ON = 0.02
_WRONG = 5e-5
_DENSE = 32
_CLOSER = np.linspace(-1.0, 1.0, 25) / _DENSE


@dataclass(frozen=True, slots=True)
class FairLine:
    """The line over one closure, or over several close together; all lengths in mm.

    ``reach`` is how far it runs from the first closure back and from the last one on; ``moved`` its
    largest distance from the closed edges, ``outside`` and ``inside`` the largest distances on either
    side of them. ``inflections`` counts those of the line, and ``forced`` says that there are more of them
    than the edges had, because nothing better keeps the ends and the bound. ``has_room`` is False where an
    end of the edge cut its reach short.
    """

    chain: Chain
    reach: tuple[float, float]
    moved: float
    outside: float
    inside: float
    inflections: int
    has_room: bool
    forced: bool = False


@dataclass(frozen=True, slots=True)
class _Draft:
    """A line drawn on trial; ``crude`` where its cubics do not follow the curve that was found."""

    cubics: tuple[Cubic, ...]
    reach: tuple[float, float]
    outside: float
    inflections: int
    crude: bool

    @property
    def rank(self) -> tuple[float, int, bool]:
        """Less is better: too far outside first, then inflections."""
        return (max(0.0, round(self.outside - OUTSIDE_MM, 3)), self.inflections, self.crude)


def close_straight(chains: Sequence[Chain]) -> FairLine:
    """The chord of the whole edge, from the first chain's start to the last one's end.

    Raises:
        ValueError: for fewer than two chains, or an empty one.
    """
    _check(chains)
    line = Chain((Line(chains[0].start, chains[-1].end),))
    reach = (chains[0].length, chains[-1].length)
    edge = border(chains, *reach)
    return _measured(edge, line, reach, has_room=True)


def close_fair(chains: Sequence[Chain]) -> FairLine:
    """The fair line over the closures between ``chains``, which follow each other along the edge.

    The piece lies on the side of 1j·tangent; every chain but the last ends at a closure, and the next one
    begins there. The first chain's start and the last one's end are the ends of the edge.

    Raises:
        ValueError: for fewer than two chains, or an empty one.
    """
    _check(chains)
    drafter = _Drafter(chains)
    draft = drafter.best()
    usual = drafter.usual
    short = (draft.reach[0] < usual, draft.reach[1] < usual)
    at_end = (draft.reach[0] >= chains[0].length - 1e-6, draft.reach[1] >= chains[-1].length - 1e-6)
    room = not any(s and e for s, e in zip(short, at_end, strict=True)) and draft.rank[0] == 0
    found = _measured(drafter.edge, Chain(draft.cubics), draft.reach, has_room=room)
    return replace(
        found,
        inflections=draft.inflections,
        forced=draft.inflections > drafter.old_inflections(draft.reach),
    )


def _check(chains: Sequence[Chain]) -> None:
    if len(chains) < 2 or not all(chain.segments for chain in chains):
        raise ValueError("a closure needs an edge on either side")


def _measured(edge: Border, line: Chain, reach: tuple[float, float], *, has_room: bool) -> FairLine:
    outside, inside, points = _extremes(edge, line.segments)
    moved = max(edge.farthest_from(points, line.start, line.end), outside, inside)
    return FairLine(line, reach, moved, outside, inside, 0, has_room)


def _extremes(edge: Border, segments: Sequence[Segment]) -> tuple[float, float, Points]:
    """How far a line runs outside and inside, and points along it.

    Over a corner of the border the distance has a peak that is no wider than a millimetre or two, so each
    segment is looked at again around its highest point.
    """
    t = np.linspace(0.0, 1.0, _DENSE + 1)
    points = np.concatenate([points_at(segment, t) for segment in segments])
    away = edge.distances(points).away
    peaks = away.reshape(len(segments), -1).argmax(axis=1)
    around = [np.clip(t[k] + _CLOSER, 0.0, 1.0) for k in peaks]
    closer = np.concatenate([points_at(s, u) for s, u in zip(segments, around, strict=True)])
    highest = max(float(away.max()), float(edge.distances(closer).away.max()))
    return max(0.0, highest), max(0.0, float(-away.min())), points


class _Drafter:
    """Draws lines over the same closures at several reaches, and chooses."""

    def __init__(self, chains: Sequence[Chain]) -> None:
        self.first, self.last = chains[0], chains[-1]
        self.most = (self.first.length, self.last.length)
        self.edge = border(chains, *self.most)
        self.usual = USUAL_REACH
        self.closures = len(chains) - 1
        step = self.last.start - self.first.end
        across = self.first.tangent(self.first.length, before=True) + self.last.tangent(0.0)
        self.rises = float((step * (-1j * across).conjugate()).real) / max(abs(across), 1e-12)

    def best(self) -> _Draft:
        """The first draft that keeps everything, or the best of those that do not."""
        best: _Draft | None = None
        for reach, most, bend, split in self.trials():
            draft = self.draft(reach, bend, split)
            if draft is not None:
                if best is None or draft.rank < best.rank:
                    best = draft
                if draft.rank <= (0.0, most, False):
                    break
        assert best is not None
        return best

    def trials(self) -> Iterator[tuple[tuple[float, float], int, int, float]]:
        """What to try, in this order: reach, inflections that will do, sign of the bend, where it changes."""
        usual = self.clipped(self.usual, self.usual)
        old = self.old_inflections(usual)
        if old:
            yield usual, old, 0, 1.0
        for reach in self.reaches():
            bend = self.one_way(reach)
            if bend:
                yield reach, 0, bend, 1.0
        some = list(dict.fromkeys((usual, self.clipped(2 * self.usual, 2 * self.usual), self.most)))
        for reach in some:
            start, end = (_sign(e.curvature) for e in self.ends(reach))
            if start * end <= 0:
                bend, split = best_split(self.profile(reach, 0, _AIM)[0], start, end)
                yield reach, 1, bend, split
        for reach in some:
            yield reach, 2, 0, 1.0

    def reaches(self) -> Iterator[tuple[float, float]]:
        """Reaches from the usual one up to the edge's ends, on the side that sticks out first."""
        seen = set()
        for factor in _FARTHER:
            far = self.usual * factor
            if self.closures == 1 and abs(self.rises) > OUTSIDE_MM:
                one = self.clipped(far, self.usual) if self.rises < 0 else self.clipped(self.usual, far)
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
        start = End(
            self.first.point(back),
            self.first.tangent(back, before=back > 1e-6),
            self.first.curvature(back, before=True) if back > 1e-6 else None,
        )
        beyond = on < self.most[1] - 1e-6
        end = End(
            self.last.point(on),
            self.last.tangent(on, before=not beyond),
            self.last.curvature(on) if beyond else None,
        )
        return start, end

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

    def draft(self, reach: tuple[float, float], bend: int, split: float) -> _Draft | None:
        """The line at a reach, aimed lower where it came too far outside; None where it cannot be kept in."""
        aim = _AIM
        best: _Draft | None = None
        for _ in range(4):
            profile, task = self.profile(reach, bend, aim, split)
            if bend and (profile.outside > OUTSIDE_MM + 0.1 or profile.wrong > _WRONG):
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
        """The reach up to which a curve does not lie on the edges, in whole mm; the same where that is most."""
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

    def written(self, profile: Profile, task: Task, reach: tuple[float, float]) -> _Draft:
        """The spline along a profile, in as few cubics as follow it."""
        drafts: list[_Draft] = []
        sharpest = float(np.abs(profile.curve.curvatures).max()) * _SHARPER + _NO_BEND
        path = Border((profile.curve,), (), (True,))
        for pieces in (2 * self.closures + 1, 2 * self.closures + 2, 3 * self.closures + 3):
            basis, controls = follow(profile, task, even_knots(profile, pieces))
            cubics = basis.cubics(controls)
            away, _, points = _extremes(self.edge, cubics)
            bends = _bends(cubics)
            off = float(np.abs(path.distances(points).away).max())
            crude = off > _FOLLOWS or float(np.abs(bends).max()) > sharpest
            drafts.append(_Draft(cubics, reach, away, _changes(bends), crude))
            if not crude and away <= OUTSIDE_MM:
                break
        return min(drafts, key=lambda draft: draft.rank)


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
