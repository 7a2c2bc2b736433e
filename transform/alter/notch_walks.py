"""Notches of a seam whose mouth was taken out again, brought back to where they lay along it.

What fills the mouth makes the seam longer, and the hem is raised for it. A notch between the two has then
gone on, away from the notch to which it is sewn. A cutter walks the seam from its other end and moves it
back:

    armhole --------D====D'--------n------ hem      filled from D to D': n lies farther from the armhole
    armhole -------------------n------ hem          raised, and n at its old distance again
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from rules.labels import fold
from rules.model import Finish, TakenOut
from transform.alter.assembling import OpenMouth
from transform.alter.new_outline import carried_detour, middle_of
from transform.alter.runs import NewStretch, Run
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.pattern.outline import Edge, Outline


@dataclass(frozen=True)
class NotchWalk:
    """A seam along which notches keep their distance from the end that is away from the hem.

    ``old`` is the edge as it came and ``new`` the finished one; ``runs`` are what was kept of it, mouths left
    out. ``onwards`` where the hem lies at its end, so that it is walked from its beginning.
    """

    old: Edge
    new: Edge
    runs: tuple[Run, ...]
    onwards: bool

    def motion(self, point: complex) -> Motion | None:
        """What a notch at a point of the pattern as it came does; None where it belongs to another edge.

        It goes to its old distance along the seam and turns as the line does from there to there.
        """
        before, after = self.old.outline.chain, self.new.outline.chain
        place, _ = nearest(before, point)
        along = self.old.distance(place)
        if along is None:
            return None
        walked = sum(self._kept_before(run, along) for run in self.runs)
        if not self.onwards:
            kept = sum(run.chain.length for run in self.runs)
            walked = self.new.length - (kept - walked)
        goal = self.new.place(walked)
        turn = after.tangent(goal) / before.tangent(place)
        return Motion(turn, after.point(goal) - turn * before.point(place))

    def _kept_before(self, run: Run, along: float) -> float:
        """How much of a kept run lies before ``along`` mm on the old edge."""
        begin = None if run.kept is None else self.old.distance(run.kept.first)
        return 0.0 if begin is None else min(max(along - begin, 0.0), run.chain.length)


def notch_walks(
    old: Outline,
    new: Outline,
    bare: Sequence[NewStretch],
    mouths: Sequence[OpenMouth],
    finishes: Mapping[str, Finish | None],
) -> tuple[NotchWalk, ...]:
    """The seams of which a mouth was taken out; ``bare`` are the stretches before anything was drawn anew."""
    found: dict[str, NotchWalk] = {}
    for mouth in mouths:
        finish = finishes.get(mouth.dart)
        if mouth.filled or not isinstance(finish, TakenOut):
            continue
        index = next(k for k, stretch in enumerate(bare) if stretch.dart == mouth.dart)
        name = bare[index - 1].edge
        if name is None:
            continue
        edge = old.edge(name)
        beyond = old.adjoining(edge.indices[-1], 1)
        behind = None if beyond is None else old.stretches[beyond].edge
        onwards = behind is not None and fold(behind) == fold(finish.at)
        runs = [run for stretch in bare if stretch.edge == name for run in stretch.runs]
        found[name] = NotchWalk(edge, new.edge(name), tuple(runs), onwards)
    return tuple(found.values())


def walked(walks: Sequence[NotchWalk], point: complex) -> Motion | None:
    """What a notch at a point of the pattern as it came does; None where it lies on no such seam."""
    return next((motion for walk in walks if (motion := walk.motion(point)) is not None), None)


def with_notches(old: Outline, new: Outline, walks: Sequence[NotchWalk]) -> Outline:
    """A new line with the notches drawn into it where they lay along those seams."""
    detours = []
    for before, after in zip(old.detours, new.detours, strict=True):
        motion = walked(walks, middle_of(old, before))
        detours.append(after if motion is None else carried_detour(old, new.chain, before, motion))
    return replace(new, detours=tuple(detours))
