"""The new stitching line as the cut line sees it: bodies kept or drawn anew, and the joints between them."""

from __future__ import annotations

import cmath
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from transform.alter.cut_corners import OldCorner, old_corner
from transform.alter.cut_sides import Allowances
from transform.alter.runs import Kept, NewStretch, SewnMouth
from transform.geometry.chain import Chain
from transform.geometry.segments import direction
from transform.pattern.corners import CORNER
from transform.pattern.outline import Outline

_SAME = 1e-5
_HAIR = 1e-6

Names = tuple[str | None, str | None]
"""The edge and the dart of a stretch."""


@dataclass(frozen=True)
class Body:
    """A part of the new stitching line that was kept and moved as one, or drawn anew.

    ``ends`` are the indices of the new stretches in which it begins and ends; ``mouth`` is the sewn dart
    after it, if there is one.
    """

    chain: Chain
    kept: Kept | None
    ends: tuple[int, int]
    mouth: SewnMouth | None = None


def bodies_of(
    stretches: Sequence[NewStretch], mouths: Mapping[str, SewnMouth], whole: float
) -> tuple[Body, ...]:
    """The bodies, cyclic and in order; ``whole`` is the old stitching line's length, mm."""
    found: list[Body] = []
    leading: SewnMouth | None = None
    for index, stretch in enumerate(stretches):
        if stretch.dart in mouths:
            mouth = mouths[stretch.dart or ""]
            if found:
                found[-1] = replace(found[-1], mouth=mouth)
            else:
                leading = mouth
            continue
        for run in stretch.runs:
            if run.chain.segments and run.chain.length > _HAIR:
                _append(found, Body(run.chain, run.kept, (index, index)), whole)
    if leading is not None:
        found[-1] = replace(found[-1], mouth=leading)
    if len(found) > 1 and _go_on(found[-1], found[0], whole):
        found[0] = _together(found.pop(), found[0])
    return tuple(found)


def _append(found: list[Body], body: Body, whole: float) -> None:
    if found and _go_on(found[-1], body, whole):
        body = _together(found.pop(), body)
    found.append(body)


def _go_on(one: Body, other: Body, whole: float) -> bool:
    """Whether two bodies are one stretch of the old line that moved as one."""
    if one.kept is None or other.kept is None or one.mouth is not None:
        return False
    gap = (other.kept.first - one.kept.last) % whole
    return one.kept.motion == other.kept.motion and min(gap, whole - gap) < _SAME


def _together(one: Body, other: Body) -> Body:
    if one.kept is None or other.kept is None:
        raise ValueError("only kept bodies go on into each other")
    kept = Kept(one.kept.first, other.kept.last, one.kept.motion)
    return Body(one.chain.joined(other.chain), kept, (one.ends[0], other.ends[1]), other.mouth)


def halved(body: Body, whole: float) -> tuple[Body, Body]:
    """A body that goes all the way round, as two."""
    middle = body.chain.length / 2
    first, last = body.chain.cut(0.0, middle), body.chain.cut(middle, body.chain.length)
    parts: tuple[Kept | None, Kept | None] = None, None
    if body.kept is not None:
        place = (body.kept.first + middle) % whole
        parts = replace(body.kept, last=place), replace(body.kept, first=place)
    return Body(first, parts[0], body.ends), replace(body, chain=last, kept=parts[1])


@dataclass(frozen=True)
class Joint:
    """What lies between two bodies: a mouth, a smooth joint, or a corner.

    ``place`` is the old stitching line's place that stands for the joint, and ``corner`` the cut line's old
    corner there; None where the old line had no such joint.
    """

    smooth: bool
    mouth: SewnMouth | None = None
    corner: OldCorner | None = None
    place: float | None = None


def joints_of(
    bodies: Sequence[Body], stretches: Sequence[NewStretch], old: Outline, allowances: Allowances
) -> list[Joint]:
    """The joint after every body."""
    found: list[Joint] = []
    for k, body in enumerate(bodies):
        after = bodies[(k + 1) % len(bodies)]
        if body.mouth is not None:
            found.append(Joint(smooth=False, mouth=body.mouth))
            continue
        names = _names(stretches[body.ends[1]]), _names(stretches[after.ends[0]])
        if names[0] == names[1]:
            if _turn(body.chain, after.chain) <= CORNER:
                found.append(Joint(smooth=True))
                continue
            place = _kept_place(body, after, allowances.stitching.length)
        else:
            place = _joint_place(names, old, body, after)
        corner = None if place is None else old_corner(allowances, place)
        found.append(Joint(smooth=False, corner=corner, place=place))
    return found


def _names(stretch: NewStretch) -> Names:
    return stretch.edge, stretch.dart


def _turn(before: Chain, after: Chain) -> float:
    return abs(cmath.phase(direction(after.segments[0], 0.0) / direction(before.segments[-1], 1.0)))


def _kept_place(before: Body, after: Body, whole: float) -> float | None:
    """The old place between two bodies of one edge, where both agree on it."""
    places = []
    if before.kept is not None:
        places.append(before.kept.last)
    if after.kept is not None:
        places.append(after.kept.first)
    if not places or abs((places[0] - places[-1] + whole / 2) % whole - whole / 2) > _SAME:
        return None
    return places[0]


def _joint_place(names: tuple[Names, Names], old: Outline, before: Body, after: Body) -> float | None:
    """The place at which the old outline passed from the one edge to the other, the nearest of several."""
    rows = old.stretches
    places = [
        begin
        for k, begin in enumerate(old.begins)
        if ((rows[k - 1].edge, rows[k - 1].dart), (rows[k].edge, rows[k].dart)) == names
    ]
    if not places:
        return None
    known = before.kept.last if before.kept is not None else None
    if known is None and after.kept is not None:
        known = after.kept.first
    whole = old.chain.length
    if known is None:
        return places[0]
    near = known
    return min(places, key=lambda place: min((place - near) % whole, (near - place) % whole))
