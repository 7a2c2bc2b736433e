"""Corners of the cut line: of which kind they were, and the same kind drawn again.

extended          square             mirrored           round
----------.       ------.            side  | . hem      -------.
          |             |            ______|/__fold            .
----o     |       ----o :---.              |\\           ----o   |
    |     |           |     |       hem cut|_\\____         |   |
"""

from __future__ import annotations

import cmath
from dataclasses import dataclass
from enum import Enum

from transform.alter.cut_parts import Part, met, stepped
from transform.alter.cut_sides import ALIKE, Allowances, Side
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Arc, Line

_FARTHEST = 12.0
_SPECK = 0.05


class Kind(Enum):
    """How two parts of the cut line meet beside a joint of the stitching line."""

    PLAIN = "they run into each other"
    EXTENDED = "both are extended to where they meet"
    SQUARE = "one is cut off square"
    MIRRORED = "one is mirrored across the other's stitching line, to fold with it"
    ROUND = "by an arc about the corner of the stitching line"
    OTHER = "by a line of its own"


@dataclass(frozen=True)
class OldCorner:
    """A corner of the old cut line.

    ``ends`` are the cut line's places up to which it belongs to the side that arrives and from which it
    belongs to the one that leaves; ``between`` lies between them. ``by_first`` says which side a square
    corner is square to, or which side a mirrored one carries on (the side mirrored across the other).
    ``shift`` is how far (mm) a square cut lies past the joint along that side; None where it lies where
    the side's stitching line, drawn on, meets the other side's cut line. ``owner`` is the cut line's
    stretch that ``between`` belongs to.
    """

    kind: Kind
    ends: tuple[float, float]
    between: Chain
    owner: int
    by_first: bool
    shift: float | None
    point: complex
    tangents: tuple[complex, complex]


@dataclass(frozen=True)
class NewJoint:
    """A joint of the new stitching line: its point, the direction arriving and leaving, the allowances."""

    point: complex
    tangents: tuple[complex, complex]
    distances: tuple[float, float]

    @property
    def reach(self) -> float:
        """A corner is extended by at most this much, mm."""
        return _FARTHEST * max(abs(d) for d in self.distances) + 20.0


def old_corner(allowances: Allowances, place: float) -> OldCorner:
    """The cut line's corner beside ``place`` of the old stitching line.

    Raises:
        AllowanceError: where the cut line does not run beside the stitching line there.
    """
    stitching, cut = allowances.stitching, allowances.cut
    first, second = allowances.side(place, -1), allowances.side(place, 1)
    ends = first.end_on(cut), second.end_on(cut)
    joint = NewJoint(
        stitching.point(place),
        (stitching.tangent(place, before=True), stitching.tangent(place)),
        (first.allowance(), second.allowance()),
    )
    gap = (ends[1] - ends[0]) % cut.length
    between = Chain(())
    kind, by_first, shift = Kind.EXTENDED, True, None
    if _SPECK < gap <= cut.length / 2:
        between = cut.cut(*ends)
        kind, by_first, shift = _classified(between, cut, ends, (first, second), joint)
    elif cut.length / 2 < gap < cut.length - _SPECK:
        kind = Kind.PLAIN
    owner = allowances.owner(ends[0] + gap / 2)
    return OldCorner(kind, ends, between, owner, by_first, shift, joint.point, joint.tangents)


def _classified(
    between: Chain,
    cut: Chain,
    ends: tuple[float, float],
    sides: tuple[Side, Side],
    joint: NewJoint,
) -> tuple[Kind, bool, float | None]:
    """The kind, which side it goes by, and a square corner's shift."""
    length = joint.reach
    arriving = cut.cut(ends[0] - min(length, cut.length / 3), ends[0])
    leaving = cut.cut(ends[1], ends[1] + min(length, cut.length / 3))
    if _mirrors(between, arriving, joint.point, joint.tangents[1], joint.distances[0]):
        return Kind.MIRRORED, True, None
    if _mirrors(between.reversed(), leaving.reversed(), joint.point, joint.tangents[0], joint.distances[1]):
        return Kind.MIRRORED, False, None
    for by_first in (True, False):
        tangent = joint.tangents[0 if by_first else 1]
        along = [((p - joint.point) * tangent.conjugate()).real for p in between.samples(1.0)]
        if max(along) - min(along) <= ALIKE:
            shift = (max(along) + min(along)) / 2
            other = Part(leaving if by_first else arriving.reversed(), ())
            through = _drawn_on(joint.point, tangent, other.chain)
            if through is not None and abs(through - shift) <= ALIKE:
                return Kind.SQUARE, by_first, None
            return Kind.SQUARE, by_first, shift
    radii = [abs(p - joint.point) for p in between.samples(1.0)]
    mean = sum(joint.distances) / 2
    if max(abs(r - mean) for r in radii) <= ALIKE:
        return Kind.ROUND, True, None
    return Kind.OTHER, True, None


def _mirrors(between: Chain, side: Chain, point: complex, axis: complex, apart: float) -> bool:
    """Whether ``between``, run away from ``side``, is its mirror image across the line of ``axis``."""
    if apart <= ALIKE or abs(((between.start - point) * axis.conjugate()).imag) > ALIKE:
        return False
    image = _extended_start(side, between.length).moved(Motion.reflection(point, axis)).reversed()
    return all(nearest(image, p)[1] <= ALIKE for p in between.samples(1.0))


def _extended_start(chain: Chain, reach: float) -> Chain:
    tangent = chain.tangent(0.0)
    return Chain((Line(chain.start - tangent * (reach + 1.0), chain.start), *chain.segments))


def _drawn_on(point: complex, tangent: complex, other: Chain) -> float | None:
    """How far along ``tangent`` from ``point`` the start of ``other``, extended, is met, mm."""
    part = Part(other, (0,) * len(other.segments), kept=True).begun_on_line(point, tangent, 500.0)
    return None if part is None else ((part.chain.start - point) * tangent.conjugate()).real


def rebuilt(old: OldCorner | None, first: Part, second: Part, joint: NewJoint) -> tuple[Part, Part]:
    """The two parts made to meet at ``joint`` in the way of the old corner (None: extended).

    What lies between them is added to one of the parts.
    """
    done = None
    if old is not None:
        if old.kind is Kind.SQUARE:
            done = _square(old, first, second, joint)
        elif old.kind is Kind.MIRRORED:
            done = _mirrored(old, first, second, joint)
        elif old.kind is Kind.ROUND:
            done = _round(old, first, second, joint)
        elif old.kind is Kind.OTHER:
            done = _carried(old, first, second, joint)
    return done or met(first, second, joint.reach) or stepped(first, second, second.owners[0])


def _both_ways(old: OldCorner, first: Part, second: Part, joint: NewJoint) -> tuple[Part, Part, NewJoint]:
    """The corner looked at from the side it goes by: run backwards where that is the second."""
    if old.by_first:
        return first, second, joint
    tangents = -joint.tangents[1], -joint.tangents[0]
    turned = NewJoint(joint.point, tangents, joint.distances[::-1])
    return second.reversed(), first.reversed(), turned


def _as_before(old: OldCorner, pair: tuple[Part, Part]) -> tuple[Part, Part]:
    return pair if old.by_first else (pair[1].reversed(), pair[0].reversed())


def _square(old: OldCorner, first: Part, second: Part, joint: NewJoint) -> tuple[Part, Part] | None:
    near, far, joint = _both_ways(old, first, second, joint)
    tangent = joint.tangents[0]
    shift = old.shift
    if shift is None:
        shift = _drawn_on(joint.point, tangent, far.chain)
    elif not old.by_first:
        shift = -shift
    if shift is None:
        return None
    origin = joint.point + tangent * shift
    ended = near.ended_on_line(origin, 1j * tangent, joint.reach)
    begun = far.begun_on_line(origin, 1j * tangent, joint.reach)
    if ended is None or begun is None:
        return None
    return _as_before(old, stepped(ended, begun, old.owner))


def _mirrored(old: OldCorner, first: Part, second: Part, joint: NewJoint) -> tuple[Part, Part] | None:
    near, far, joint = _both_ways(old, first, second, joint)
    axis = joint.tangents[1]
    ended = near.ended_on_line(joint.point, axis, joint.reach)
    if ended is None:
        return None
    image = Part(
        ended.chain.moved(Motion.reflection(joint.point, axis)).reversed(),
        (old.owner,) * len(ended.owners),
    )
    pair = met(image, far, joint.reach)
    if pair is None:
        return None
    between, begun = pair
    chain = Chain((*ended.chain.segments, *between.chain.segments))
    longer = Part(chain, (*ended.owners, *between.owners), ended.kept, ended.still)
    return _as_before(old, (longer, begun))


def _round(old: OldCorner, first: Part, second: Part, joint: NewJoint) -> tuple[Part, Part] | None:
    normals = [-1j * tangent for tangent in joint.tangents]
    if cmath.phase(normals[1] / normals[0]) <= 0:
        return None
    ended = first.ended_on_line(joint.point, normals[0], joint.reach)
    begun = second.begun_on_line(joint.point, normals[1], joint.reach)
    if ended is None or begun is None:
        return None
    a, b = ended.chain.end, begun.chain.start
    radius = (abs(a - joint.point) + abs(b - joint.point)) / 2
    arc = Arc(a, b, radius, radius, 0.0, large=False, sweep=True)
    chain = Chain((arc, *begun.chain.segments))
    return ended, Part(chain, (old.owner, *begun.owners), begun.kept, begun.still)


def _carried(old: OldCorner, first: Part, second: Part, joint: NewJoint) -> tuple[Part, Part] | None:
    """The old corner's own line, turned by the mean of both sides' turns, between the two parts."""
    turns = [new / before for new, before in zip(joint.tangents, old.tangents, strict=True)]
    mean = turns[0] * cmath.sqrt(turns[1] / turns[0])
    motion = Motion(mean, joint.point - mean * old.point)
    segments = old.between.moved(motion).segments
    line = Part(Chain(segments), (old.owner,) * len(segments))
    before = met(first, line, joint.reach) or stepped(first, line, old.owner)
    after = met(before[1], second, joint.reach) or stepped(before[1], second, old.owner)
    chain = Chain((*after[0].chain.segments, *after[1].chain.segments))
    return before[0], Part(chain, (*after[0].owners, *after[1].owners), second.kept, second.still)
