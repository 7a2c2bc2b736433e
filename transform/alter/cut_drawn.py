"""The cut line beside what was drawn anew: how wide its allowance was, and whose line it carries on."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from transform.alter.cut_bodies import Body, Joint
from transform.alter.cut_corners import Kind, NewJoint, rebuilt
from transform.alter.cut_parts import Part
from transform.alter.cut_sides import AllowanceError, Allowances
from transform.alter.runs import NewStretch
from transform.geometry.chain import SNAP, Chain
from transform.geometry.joining import NEAR
from transform.geometry.offset import offset_chain
from transform.pattern.corners import CORNER, turns
from transform.pattern.outline import Outline

Lines = tuple[Outline, Outline, Sequence[NewStretch]]
"""The old stitching line, the old cut line, and the new stitching line's stretches."""


_LONG = 150.0
"""A kept body longer than this (mm) has a cut line of its own, even where its end does not show it."""


@dataclass(frozen=True, slots=True)
class Extent:
    """The places of the old cut line between which it belongs to a kept body."""

    first: float
    last: float


def extents_of(
    bodies: Sequence[Body], joints: Sequence[Joint], allowances: Allowances
) -> list[Extent | None]:
    """What is kept of the cut line for every body; None beside what is to be drawn.

    A kept body beside which the cut line has no place of its own (it is short, and lies in a hollow
    corner) is drawn as well.
    """
    found: list[Extent | None] = []
    for k, body in enumerate(bodies):
        first = _cut_end(body, joints[k - 1], 1, allowances)
        last = _cut_end(body, joints[k], -1, allowances)
        if body.kept is None or first is None or last is None:
            found.append(None)
            continue
        wanted = (body.kept.last - body.kept.first) % allowances.stitching.length
        there = (last - first) % allowances.cut.length
        inverted = there < SNAP or there > wanted + allowances.cut.length / 2
        found.append(None if inverted else Extent(first, last))
    return found


def _cut_end(body: Body, joint: Joint, way: int, allowances: Allowances) -> float | None:
    """The cut line's place at the start (way 1) or the end (way -1) of a kept body."""
    if body.kept is None:
        return None
    place = body.kept.first if way > 0 else body.kept.last
    corner = joint.corner
    here = corner is not None and joint.place is not None and _same(place, joint.place, allowances)
    if joint.smooth or (here and corner is not None and corner.kind is Kind.PLAIN):
        foot = allowances.own_foot(place, way)
        if foot is None and body.chain.length > _LONG:
            return allowances.side(place, way).end_on(allowances.cut)
        return None if foot is None else foot.place
    if here and corner is not None:
        return corner.ends[1 if way > 0 else 0]
    return allowances.side(place, way).end_on(allowances.cut)


def _same(place: float, other: float, allowances: Allowances) -> bool:
    whole = allowances.stitching.length
    gap = abs(place - other) % whole
    return min(gap, whole - gap) < 1e-3


def drawn_parts(
    bodies: Sequence[Body],
    joints: Sequence[Joint],
    extents: Sequence[Extent | None],
    parts: Sequence[Part],
    allowances: Allowances,
    lines: Lines,
) -> list[Part]:
    """``parts`` with those of the bodies that are drawn put in.

    Raises:
        AllowanceError: where there is no room for the allowance beside a line.
    """
    done = list(parts)
    widths = _widths(bodies, joints, extents, allowances, lines)
    for k, body in enumerate(bodies):
        if extents[k] is None:
            owner = _owner(k, bodies, joints, parts, allowances, lines)
            done[k] = beside(body.chain, widths[k], owner)
    return done


def beside(chain: Chain, width: tuple[float, float], owner: int) -> Part:
    """The part of the cut line beside a line drawn anew, ``width`` mm off at its two ends.

    Raises:
        AllowanceError: where the line bends tighter than the allowance all along.
    """
    near, far = width
    if abs(near - far) <= NEAR:
        near = far = (near + far) / 2
    whole = chain.length
    inner = [place for place, turn in turns(chain) if abs(turn) > CORNER]
    done: Part | None = None
    for first, last in pairwise([0.0, *inner, whole]):
        smooth = chain.cut(first, last)
        at = [near + (far - near) * place / whole for place in (first, last)]
        try:
            line = offset_chain(smooth, (at[0], at[1]))
        except ValueError as error:
            point = smooth.point(smooth.length / 2)
            raise AllowanceError(
                point,
                f"the new stitching line bends too tightly at ({point.real:.1f}, {point.imag:.1f}) "
                f"for its allowance of {max(near, far):.1f} mm",
            ) from error
        part = Part(line, (owner,) * len(line.segments))
        if done is None:
            done = part
            continue
        tangents = chain.tangent(first, before=True), chain.tangent(first)
        one, other = rebuilt(None, done, part, NewJoint(chain.point(first), tangents, (near, far)))
        done = Part(Chain(one.chain.segments + other.chain.segments), one.owners + other.owners)
    if done is None:
        raise ValueError("a line drawn anew has a length")
    return done


def _widths(
    bodies: Sequence[Body],
    joints: Sequence[Joint],
    extents: Sequence[Extent | None],
    allowances: Allowances,
    lines: Lines,
) -> list[tuple[float, float]]:
    """The allowance at both ends of every drawn body, mm; linear along neighbours that run on smoothly."""
    count = len(bodies)
    found: list[tuple[float, float]] = [(0.0, 0.0)] * count
    for row in _rows(joints, extents):
        known: list[tuple[float, float]] = []
        ends = [0.0]
        for k in row:
            ends.append(ends[-1] + bodies[k].chain.length)
        for j, k in enumerate(row):
            starts = _known_width(bodies, joints, extents, k, 1, allowances)
            stops = _known_width(bodies, joints, extents, k, -1, allowances)
            known.extend([(ends[j], starts)] if starts is not None else [])
            known.extend([(ends[j + 1], stops)] if stops is not None else [])
        if not known:
            known = [(0.0, _mid_edge(bodies[row[0]], allowances, lines))]
        for j, k in enumerate(row):
            found[k] = _between(known, ends[j]), _between(known, ends[j + 1])
    return found


def _rows(joints: Sequence[Joint], extents: Sequence[Extent | None]) -> list[list[int]]:
    """Drawn bodies that run on smoothly into one another, cyclic."""
    count = len(extents)
    starts = [k for k in range(count) if extents[k] is None and not _runs_on(joints, extents, k - 1)]
    rows: list[list[int]] = []
    for start in starts or [0]:
        row = [start]
        while len(row) < count and _runs_on(joints, extents, row[-1]):
            row.append((row[-1] + 1) % count)
        rows.append(row)
    return rows if any(extent is None for extent in extents) else []


def _runs_on(joints: Sequence[Joint], extents: Sequence[Extent | None], k: int) -> bool:
    k %= len(extents)
    return joints[k].smooth and extents[k] is None and extents[(k + 1) % len(extents)] is None


def _known_width(
    bodies: Sequence[Body],
    joints: Sequence[Joint],
    extents: Sequence[Extent | None],
    k: int,
    way: int,
    allowances: Allowances,
) -> float | None:
    """The allowance at the start (way 1) or end (-1) of a drawn body, where the old lines tell it."""
    body = bodies[k]
    joint = joints[k - 1] if way > 0 else joints[k]
    other = (k - way) % len(bodies)
    beyond = bodies[other].kept
    if joint.smooth and beyond is not None and extents[other] is not None:
        foot = allowances.foot(beyond.last if way > 0 else beyond.first, before=way > 0)
        return None if foot is None else foot.distance
    if joint.place is not None:
        return allowances.side(joint.place, way).allowance()
    if body.kept is not None:
        return allowances.side(body.kept.first if way > 0 else body.kept.last, way).allowance()
    return None


def _between(known: Sequence[tuple[float, float]], place: float) -> float:
    """Linear between known allowances (place, mm), constant past them."""
    places = [p for p, _ in known]
    k = bisect_left(places, place)
    if k == 0:
        return known[0][1]
    if k == len(known):
        return known[-1][1]
    (p0, d0), (p1, d1) = known[k - 1], known[k]
    return d0 + (d1 - d0) * (place - p0) / (p1 - p0)


def _mid_edge(body: Body, allowances: Allowances, lines: Lines) -> float:
    """The allowance in the middle of the old edge."""
    place = _old_middle(body, lines)
    foot = allowances.foot(place)
    return allowances.side(place, 1).allowance() if foot is None else foot.distance


def _old_middle(body: Body, lines: Lines) -> float:
    """The middle of the old stretch that a drawn body stands for: its element's, else its edge's."""
    old, _, new = lines
    stretch = new[body.ends[0]]
    same = [k for k, s in enumerate(old.stretches) if (s.edge, s.dart) == (stretch.edge, stretch.dart)]
    drawn = [k for k in same if old.stretches[k].source == stretch.source]
    index = next(iter((*drawn, *same)), 0)
    first, last = old.interval(index)
    return (first + last) / 2


def _owner(
    k: int,
    bodies: Sequence[Body],
    joints: Sequence[Joint],
    parts: Sequence[Part],
    allowances: Allowances,
    lines: Lines,
) -> int:
    """The cut line's stretch that the line beside a drawn body carries on."""
    edge = lines[2][bodies[k].ends[0]].edge
    beside_it: list[int] = []
    if joints[k - 1].smooth and parts[k - 1].owners:
        beside_it.append(parts[k - 1].owners[-1])
    after = (k + 1) % len(bodies)
    if joints[k].smooth and parts[after].owners:
        beside_it.append(parts[after].owners[0])
    named = [owner for owner in beside_it if lines[1].stretches[owner].edge == edge]
    if beside_it:
        return (named or beside_it)[0]
    foot = allowances.foot(_old_middle(bodies[k], lines))
    return 0 if foot is None else allowances.owner(foot.place)
