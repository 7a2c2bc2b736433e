"""Cutting the outline at wedges and mouths, and turning the parts: which place moves by which motion.

The outline as it came is divided at every wedge and mouth into arcs; each arc moves as one rigid body.
A closing turns the arcs from its wedge's far leg on to its mouth about the pivot:

        low   high
     ----B.....A----        the wedge B..A goes; the part after A turns about P
          \\   /             by the angle APB, so that A falls on the ray PB,
           \\ /              or the part before B turns the other way
            P
            |               the mouth opens by the same angle
     -------D--------
"""

from __future__ import annotations

import bisect
import cmath
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from transform.alter.closing import Closing
from transform.alter.regions import Division, within
from transform.geometry.chain import SNAP, Chain
from transform.geometry.motion import STAY, Motion

HINGE = 1e-6
"""Pivots nearer to each other than this (mm) are one hinge."""


@dataclass(frozen=True, slots=True)
class OutlineArc:
    """The old outline from ``first`` to ``last`` (mm): gone in a wedge or a mouth, or moved by ``motion``."""

    first: float
    last: float
    motion: Motion
    gone: bool


@dataclass(frozen=True, slots=True)
class Turn:
    """What one closing did: its angle (rad, not signed), where its pivot lay, and every part's share.

    ``parts`` are intervals of the old outline (first, last), in order from the wedge on round to the
    wedge again, with the rotation that each got; the one with a rotation of STAY was held.
    """

    closing: Closing
    angle: float
    pivot: complex
    parts: tuple[tuple[float, float, Motion], ...]


class Carried(NamedTuple):
    """Where a point goes: its motion, and the first closing in whose wedge it lay, if in any."""

    motion: Motion
    wedge: Closing | None


@dataclass(frozen=True)
class Cut:
    """The outline after all closings: arcs in the outline's order, from place 0 on, and the turns made."""

    outline: Chain
    arcs: tuple[OutlineArc, ...]
    turns: tuple[Turn, ...]
    divisions: tuple[Division, ...]

    def motion_of(self, point: complex) -> Motion:
        """The motion of a point of the pattern as it came; see `carried`."""
        return self.carried(point).motion

    def carried(self, point: complex) -> Carried:
        """The motion of a point of the pattern as it came, and the closing in whose wedge it lies."""
        return carried(self.turns, self.divisions, point)

    def hinge_of(self, closing: Closing) -> complex:
        """Where the pivot of a closing came to lie: it went with the line on both sides of its wedge."""
        return self.arc_at(closing.low, before=True).motion(closing.pivot)

    def arc_at(self, place: float, *, before: bool = False) -> OutlineArc:
        """The arc that holds ``place``; at a division the later one, or the one ``before``."""
        place = self.outline.wrap(place)
        if before and place <= SNAP:
            return self.arcs[-1]
        firsts = [arc.first for arc in self.arcs]
        shift = -SNAP if before else SNAP
        return self.arcs[max(0, bisect.bisect_right(firsts, place + shift) - 1)]


def wedge_angle(pivot: complex, low: complex, high: complex) -> float:
    """The signed angle (rad) by which the leg to ``high`` turns on to the leg to ``low``."""
    return cmath.phase((low - pivot) / (high - pivot))


def cut(
    outline: Chain, closings: Sequence[Closing], divisions: Sequence[Division], held: Sequence[int]
) -> Cut:
    """Cut at every wedge and mouth and make the closings in order.

    ``divisions`` tell for each closing which point lies on which part; ``held`` the index of the part
    that stays.
    """
    whole = outline.length
    places = {0.0}
    for closing in closings:
        places.update((closing.low, closing.high))
        for mouth in closing.mouths:
            places.update((outline.wrap(mouth.first), outline.wrap(mouth.last)))
    firsts = _apart(sorted(places), whole)
    lasts = [*firsts[1:], whole]
    motions = [STAY] * len(firsts)
    gone = [False] * len(firsts)
    turns: list[Turn] = []
    for closing, division, stays in zip(closings, divisions, held, strict=True):
        middle = (closing.low + ((closing.high - closing.low) % whole) / 2) % whole
        motion = motions[_index(firsts, middle)]
        # The pivot goes with the part that has the wedge: on which part it lies itself may not be plain.
        pivot = motion(closing.pivot)
        low, high = motion(outline.point(closing.low)), motion(outline.point(closing.high))
        angle = wedge_angle(pivot, low, high) if closing.turn is None else closing.turn
        parts = _parts(division, angle, pivot, stays)
        for k, (first, last) in enumerate(zip(firsts, lasts, strict=True)):
            centre = (first + last) / 2
            if within(centre, closing.low, closing.high, whole):
                gone[k] = True
            if any(m.last != m.first and within(centre, m.first, m.last, whole) for m in closing.mouths):
                gone[k] = True
            for part_first, part_last, rotation in parts:
                if within(centre, part_first, part_last, whole) and not rotation.is_identity:
                    motions[k] = rotation.after(motions[k])
                    break
        turns.append(Turn(closing, abs(angle), pivot, parts))
    arcs = tuple(OutlineArc(*row) for row in zip(firsts, lasts, motions, gone, strict=True))
    return Cut(outline, arcs, tuple(turns), tuple(divisions))


def _apart(places: list[float], whole: float) -> list[float]:
    """Places in order, those nearer than the snap distance to the one before or to the end left out."""
    kept: list[float] = []
    for place in places:
        if (not kept or place - kept[-1] > SNAP) and (whole - place > SNAP or not kept):
            kept.append(place)
    return kept


def _index(firsts: Sequence[float], place: float) -> int:
    return max(0, bisect.bisect_right(firsts, place) - 1)


def _parts(
    division: Division, angle: float, pivot: complex, stays: int
) -> tuple[tuple[float, float, Motion], ...]:
    """Each part's interval and rotation: past every mouth the part turns by that mouth's share less."""
    rests = [1.0]
    for mouth in division.mouths:
        rests.append(rests[-1] - mouth.share)
    rests[-1] = 0.0
    return tuple(
        (first, last, STAY if k == stays else Motion.rotation(pivot, angle * (rests[k] - rests[stays])))
        for k, (first, last) in enumerate(division.bounds)
    )


def carried(turns: Sequence[Turn], divisions: Sequence[Division], point: complex) -> Carried:
    """What the turns made so far do to a point of the pattern as it came.

    A hinge stays. A point in a wedge goes to the closure: it turns about the pivot on to the held leg.
    """
    motion, wedge = STAY, None
    for turn, division in zip(turns, divisions, strict=False):
        if abs(point - turn.closing.pivot) < HINGE:
            continue
        part = division.part_of(point)
        if part is None:
            wedge = wedge or turn.closing
            part, fold_in = division.to_closure(point, [p[2].is_identity for p in turn.parts])
            motion = motion.after(fold_in)
        motion = turn.parts[part][2].after(motion)
    return Carried(motion, wedge)
