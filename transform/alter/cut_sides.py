"""Where the cut line runs beside the stitching line, how far off, and as far as what.

cut line    ----------------q      A side is looked at from a joint of the stitching line
               ^   ^   ^    :      inwards: the allowance is measured on the outward normals,
               |   |   |    :      and the cut line belongs to the side for as long as it keeps
stitching   ---x---x---x----o      that distance from the side, drawn on past the joint.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Sequence
from dataclasses import dataclass

from transform.geometry.chain import SNAP, Chain, chain_of
from transform.geometry.meeting import line_meets
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line
from transform.pattern.corners import corners_of
from transform.pattern.outline import Outline

FARTHEST = 80.0
"""No allowance is wider than this, mm."""
ALIKE = 0.2
"""The cut line belongs to a side where it keeps its distance to this, mm."""
_INSIDE = 0.3
_PARALLEL = math.cos(math.radians(20))
_REACH = 60.0
_BEYOND = 1000.0
_PIECE = 5.0
_VERTEX = math.cos(math.radians(0.5))
_PLACES = (0.0, 0.08, 0.2, 0.35, 0.5, 0.65, 0.8, 0.95)
_STEEPEST = 0.3
_DRIFT = 0.05
_TURNED = 0.03
_PAST = 150.0


class AllowanceError(ValueError):
    """The cut line does not run beside the stitching line at ``place``; the text is for the person."""

    def __init__(self, place: complex, text: str) -> None:
        """Keep the place beside the text."""
        super().__init__(text)
        self.place = place


@dataclass(frozen=True, slots=True)
class Foot:
    """Where an outward normal of the stitching line meets the cut line: its length and the cut's place.

    ``slant`` is the sine of the angle between the two lines there.
    """

    distance: float
    place: float
    slant: float


def foot(stitching: Chain, cut: Chain, place: float, *, before: bool = False) -> Foot | None:
    """The foot on ``cut`` of the normal at ``place``; None where the cut line does not run beside it."""
    origin, tangent = stitching.point(place), stitching.tangent(place, before=before)
    for distance, q in line_meets(cut, origin, -1j * tangent, FARTHEST):
        if not -_INSIDE <= distance <= FARTHEST:
            continue
        turns = [cut.tangent(q, before=b) * tangent.conjugate() for b in (False, True)]
        along = max(turns, key=lambda turn: turn.real)
        if along.real > _PARALLEL:
            return Foot(distance, q, abs(along.imag))
    return None


@dataclass(frozen=True)
class Side:
    """One side of a joint of the stitching line.

    ``way`` is 1 for the side that leaves the joint, -1 for the one that arrives. ``reference`` runs away
    from the joint, which lies at its place ``zero``; before that it is the line's own continuation while
    smooth, and then its tangent. ``feet`` are (place from the joint, inwards positive; foot), ascending.
    """

    way: int
    reference: Chain
    zero: float
    feet: tuple[tuple[float, Foot], ...]

    def allowance(self, x: float = 0.0) -> float:
        """The allowance ``x`` mm inwards from the joint: linear between the feet and past them, mm."""
        return _linear(self.feet, x)

    def end_on(self, cut: Chain) -> float:
        """The place of ``cut``, past the joint as it may be, up to which it belongs to this side."""
        middle = max(x for x, _ in self.feet) / 2
        x, start = next((pair for pair in self.feet if pair[0] >= middle), self.feet[-1])
        limit = min(x + 12 * start.distance + _PAST, cut.length / 3)
        if self.way > 0:
            ahead = cut.cut(start.place - limit, start.place).reversed()
        else:
            ahead = cut.cut(start.place, start.place + limit)
        reached = 0.0
        for index in range(len(ahead.segments)):
            begin, end = ahead.begin_of(index), ahead.ends[index]
            count = max(1, math.ceil((end - begin) / _PIECE))
            done = next((k for k in range(count) if not self._alike(ahead, begin, end, k, count)), count)
            if done == count:
                reached = end
                continue
            if index == 0 or not _is_vertex(ahead, begin):
                reached = begin + (end - begin) * done / count
            break
        return cut.wrap(start.place - self.way * reached)

    def _alike(self, ahead: Chain, begin: float, end: float, k: int, count: int) -> bool:
        """Whether piece ``k`` of the segment from ``begin`` to ``end`` keeps its distance."""
        for part in (0.5, 1.0):
            point = ahead.point(begin + (end - begin) * (k + part) / count)
            place, distance = nearest(self.reference, point)
            if abs(distance - self.allowance(place - self.zero)) > ALIKE:
                return False
        return True


def _is_vertex(chain: Chain, place: float) -> bool:
    return (chain.tangent(place) * chain.tangent(place, before=True).conjugate()).real < _VERTEX


@dataclass(frozen=True)
class Allowances:
    """The stitching line and the cut line as they came.

    ``breaks`` are the places of the stitching line at which its sides end; ``begins`` those at which the
    cut line's stretches begin.
    """

    stitching: Chain
    cut: Chain
    breaks: tuple[float, ...]
    begins: tuple[float, ...]

    def owner(self, place: float) -> int:
        """The stretch of the cut line on which ``place`` lies."""
        return max(0, bisect.bisect_right(self.begins, self.cut.wrap(place) + SNAP) - 1)

    def foot(self, place: float, *, before: bool = False) -> Foot | None:
        """See `foot`."""
        return foot(self.stitching, self.cut, place, before=before)

    def own_foot(self, place: float, way: int) -> Foot | None:
        """The foot at the start (1) or end (-1) of a side; None where it is on another side's line."""
        found = self.foot(place, before=way < 0)
        if found is None or abs(found.distance - self.side(place, way).allowance()) > ALIKE:
            return None
        return found

    def side(self, place: float, way: int) -> Side:
        """The side that leaves (1) or arrives at (-1) ``place`` of the stitching line.

        Raises:
            AllowanceError: where the cut line nowhere runs beside it.
        """
        whole = self.stitching.length
        place = self.stitching.wrap(place)
        inner = min(self._room(place, way), _REACH)
        outer = 0.0 if self._is_break(place) else min(self._room(place, -way), _REACH)
        inside = _run(self.stitching, place, way, inner)
        outside = _run(self.stitching, place, -way, outer).reversed()
        line = chain_of((outside, inside))
        before = Line(line.start - line.tangent(0.0) * _BEYOND, line.start)
        feet = []
        for x in (*(-outer * k for k in reversed(_PLACES[1:]) if outer), *(inner * k for k in _PLACES)):
            found = self.foot((place + way * x) % whole, before=way < 0)
            if found is not None:
                feet.append((x, found))
        if not feet:
            raise self._no_relation((place + way * inner / 2) % whole)
        agreed = _agreed(feet, inner / 2)
        return Side(way, chain_of(((before,), line)), _BEYOND + outside.length, agreed)

    def _is_break(self, place: float) -> bool:
        whole = self.stitching.length
        return any(min(abs(b - place), whole - abs(b - place)) < 1e-3 for b in self.breaks)

    def _room(self, place: float, way: int) -> float:
        """How far the line runs on from ``place`` before a side ends, mm."""
        whole = self.stitching.length
        gaps = [(way * (b - place)) % whole for b in self.breaks]
        return min((gap for gap in gaps if 1e-3 < gap < whole - 1e-3), default=whole / 2)

    def _no_relation(self, place: float) -> AllowanceError:
        point, tangent = self.stitching.point(place), self.stitching.tangent(place)
        at = f"({point.real:.1f}, {point.imag:.1f})"
        inside = [far for far, _ in line_meets(self.cut, point, -1j * tangent) if -FARTHEST < far < -_INSIDE]
        if inside:
            text = (
                f"the cut line runs {-max(inside):.1f} mm inside the stitching line at {at}; "
                "it must lie on it or outside it"
            )
        else:
            text = (
                f"the cut line does not run beside the stitching line at {at}: no allowance of up to "
                f"{FARTHEST:.0f} mm is found there, so it cannot be redrawn"
            )
        return AllowanceError(point, text)


def _linear(feet: Sequence[tuple[float, Foot]], x: float) -> float:
    """The allowance at ``x`` by the feet about it, ascending: linear between them and past them, mm."""
    if len(feet) == 1:
        return feet[0][1].distance
    places = [place for place, _ in feet]
    k = min(max(bisect.bisect_left(places, x), 1), len(places) - 1)
    (x0, f0), (x1, f1) = feet[k - 1], feet[k]
    return f0.distance + (f1.distance - f0.distance) / (x1 - x0) * (x - x0)


def _agreed(feet: Sequence[tuple[float, Foot]], middle: float) -> tuple[tuple[float, Foot], ...]:
    """The feet that go on steadily from the most parallel one; those near a corner may be another side's."""
    start = min(range(len(feet)), key=lambda k: (round(feet[k][1].slant, 2), abs(feet[k][0] - middle)))
    kept = [feet[start]]
    for step in (1, -1):
        k = start + step
        while 0 <= k < len(feet):
            x, found = feet[k]
            near = kept[-2:] if step > 0 else kept[:2]
            drift = (_STEEPEST if len(kept) == 1 else _DRIFT) * abs(x - feet[k - step][0])
            turned = found.slant > max(other.slant for _, other in kept) + _TURNED
            if turned or abs(found.distance - _linear(near, x)) > ALIKE + drift:
                break
            kept.insert(len(kept) if step > 0 else 0, feet[k])
            k += step
    return tuple(kept)


def _run(chain: Chain, place: float, way: int, reach: float) -> Chain:
    """The chain from ``place`` on, ``reach`` mm forwards (1) or backwards (-1), running away from it."""
    if reach < SNAP:
        return Chain(())
    return chain.cut(place, place + reach) if way > 0 else chain.cut(place - reach, place).reversed()


def allowances_of(stitching: Outline, cut: Outline) -> Allowances:
    """What `Allowances` says of two outlines: sides end at corners and where the names change."""
    rows = stitching.stretches
    named = [
        begin
        for k, begin in enumerate(stitching.begins)
        if (rows[k - 1].edge, rows[k - 1].dart) != (rows[k].edge, rows[k].dart) or rows[k].drawn_in
    ]
    breaks: Sequence[float] = [*corners_of(stitching.chain), *named]
    return Allowances(stitching.chain, cut.chain, tuple(breaks), cut.begins)
