"""A band made shorter or longer along its length: a slab taken out where it runs straight, the rest shifted.

fixed end   x0   x1          far end
+-----------+----+-----------+         what lies before x0 stays, what lies after x1 is shifted by
|           |////|           |         the slab's width; straight lines across it only get shorter,
+-----------+----+-----------+         curves are cut at both its sides and joined
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely

from transform.alter.new_outline import new_outline
from transform.alter.problems import Asked
from transform.alter.runs import NewStretch, Run
from transform.geometry.chain import Chain, coordinates, part
from transform.geometry.joining import with_start
from transform.geometry.meeting import line_meets, line_meets_segment
from transform.geometry.motion import STAY, Motion
from transform.geometry.segments import Line, Segment
from transform.pattern.altered import AlteredPiece, Change, Moved, Redrawn, Shifted
from transform.pattern.model import Item, Piece, Role, Way
from transform.pattern.outline import Outline

_STEP = 2.0
LENGTHWISE = 0.02
"""A line that leaves the band's direction by less than this (tangent of the angle) runs along it."""
_SAME_DIRECTION = math.radians(3.0)
_JOINED = 0.02
_IN_PROPORTION = (Role.NOTCHES, Role.GRAINLINE)


@dataclass(frozen=True, slots=True)
class Band:
    """A band's frame: ``along`` (unit) from the end that stays to the far end, and where it begins and ends.

    ``first`` and ``last`` are the least and the largest distance along ``along``, mm; ``length`` is that of
    its middle line. ``half`` where a fold lies across the end that stays, so that half of it is drawn.
    """

    along: complex
    first: float
    last: float
    length: float
    half: bool

    def at(self, point: complex) -> float:
        """How far along the band a point lies, mm."""
        return (point * self.along.conjugate()).real


def band_of(piece: Piece) -> Band:
    """The frame of a piece that is a band."""
    chain = piece.stitching.chain
    along = _direction(chain)
    half = False
    if piece.fold is not None:
        way = piece.fold.end - piece.fold.start
        if abs((way * along.conjugate()).real) < 0.5 * abs(way):
            along, half = _from_fold(chain, along, piece.fold)
    points = [(p * along.conjugate()) for p in chain.samples(_STEP)]
    xs, ys = [p.real for p in points], [p.imag for p in points]
    middle = complex(min(xs), (min(ys) + max(ys)) / 2) * along
    meets = [distance for distance, _ in line_meets(chain, middle, along)]
    return Band(along, min(xs), max(xs), max(meets) - min(meets), half)


def _direction(chain: Chain) -> complex:
    """The longer side of the least rectangle around, or the longest straight line that runs the same way."""
    box = shapely.Polygon(coordinates(chain.samples(_STEP))).minimum_rotated_rectangle
    corners = [complex(x, y) for x, y in shapely.get_coordinates(box)]
    side = max((b - a for a, b in pairwise(corners)), key=abs)
    ways = [s.end - s.start for s in chain.segments if isinstance(s, Line)]
    alike = [w for w in ways if abs(math.sin(_angle(w, side))) < math.sin(_SAME_DIRECTION)]
    along = max(alike, key=abs, default=side)
    along /= abs(along)
    return along if (round(along.real, 9), along.imag) > (0, 0) else -along


def _angle(one: complex, other: complex) -> float:
    return math.atan2((one * other.conjugate()).imag, (one * other.conjugate()).real)


def _from_fold(chain: Chain, along: complex, fold: Chain) -> tuple[complex, bool]:
    """The direction away from a fold across the band, and whether the fold lies at its end."""
    xs = [(p * along.conjugate()).real for p in chain.samples(_STEP)]
    place = (fold.point(fold.length / 2) * along.conjugate()).real
    if place > (min(xs) + max(xs)) / 2:
        along, place, xs = -along, -place, [-x for x in xs]
    return along, place - min(xs) < 1.0


def shortened(asked: Asked, band: Band, loss: float) -> AlteredPiece:
    """The asked piece, a band, made ``loss`` mm shorter (longer where negative).

    Raises:
        AlterError: where it runs straight nowhere for so long.
    """
    piece = asked.piece
    slab = _Slab(band, _free_place(asked, band, max(loss, 0.0)), loss)
    cut = None if piece.cut is None else _outline(asked, piece.cut, slab)
    items = {item.element: change for item, change in _items(asked, slab)}
    return AlteredPiece(piece, _outline(asked, piece.stitching, slab), cut, items)


@dataclass(frozen=True, slots=True)
class _Slab:
    band: Band
    begin: float
    width: float

    @property
    def end(self) -> float:
        return self.begin + max(self.width, 0.0)

    @property
    def shift(self) -> Motion:
        return Motion(shift=-self.width * self.band.along)

    def place(self, point: complex) -> complex:
        """Where a point of a line goes; within the slab, to its near side."""
        x = self.band.at(point)
        if x <= self.begin:
            return point
        return self.shift(point) if x >= self.end else point - (x - self.begin) * self.band.along

    def in_proportion(self, point: complex) -> Motion:
        """The shift of a mark that keeps its share of the band's length."""
        span = self.band.last - self.band.first
        share = min(1.0, max(0.0, (self.band.at(point) - self.band.first) / span))
        return Motion(shift=-self.width * share * self.band.along) if share else STAY

    def motion(self, point: complex) -> Motion:
        """The motion of the part on which a point lies."""
        return self.shift if self.band.at(point) > (self.begin + self.end) / 2 else STAY


def _free_place(asked: Asked, band: Band, width: float) -> float:
    """Where the slab begins: as near to the middle as the ends and the joins allow."""
    spans = sorted(_obstacles(asked.piece, band))
    gaps, begin = [], -math.inf
    for first, last in spans:
        if begin > -math.inf and first - begin > width:
            gaps.append((begin, first))
        begin = max(begin, last)
    goal = (band.first + band.last - width) / 2
    places = [min(max(goal, first), last - width) for first, last in gaps]
    if not places:
        raise asked.refusal(
            "no room in the strip",
            f"{width:.1f} mm have to come out, but between its ends, joins and crossing lines the strip runs "
            "straight nowhere for so long",
        )
    return min(places, key=lambda place: abs(place - goal))


def _obstacles(piece: Piece, band: Band) -> Iterator[tuple[float, float]]:
    """Spans along the band in which something does not run along it."""
    chains = [piece.stitching.chain]
    chains.extend(chain for item in piece.items if _is_line(item) for chain in item.chains)
    if piece.cut is not None:
        chains.append(piece.cut.chain)
    for chain in chains:
        for segment in chain.segments:
            controls = [c * band.along.conjugate() for c in segment.controls()]
            xs, ys = [c.real for c in controls], [c.imag for c in controls]
            if max(ys) - min(ys) > LENGTHWISE * (max(xs) - min(xs)):
                yield min(xs), max(xs)


def _is_line(item: Item) -> bool:
    return item.way is Way.CUT and not item.shared and item.role not in _IN_PROPORTION


def _outline(asked: Asked, outline: Outline, slab: _Slab) -> Outline:
    stretches = [
        NewStretch(
            (Run(_line(asked, stretch.chain, slab)),),
            stretch.edge,
            stretch.dart,
            stretch.drawn_in,
            stretch.source,
            stretch.flipped,
        )
        for stretch in outline.stretches
    ]
    return new_outline(outline, stretches, slab.in_proportion)


def _line(asked: Asked, chain: Chain, slab: _Slab) -> Chain:
    """A line after the change; what does not move stays the very same."""
    found: list[Segment] = []
    for segment in chain.segments:
        found.extend(_segment(segment, slab))
    done: list[Segment] = []
    for segment in found:
        gap = abs(segment.start - done[-1].end) if done else 0.0
        if gap > _JOINED and slab.width > 0:
            raise asked.refusal("no room in the strip", "the strip does not run straight where it is cut")
        if gap > 1e-9:
            if slab.width < 0:
                done.append(Line(done[-1].end, segment.start))
            else:
                segment = with_start(Chain((segment,)), done[-1].end).segments[0]
        done.append(segment)
    return replace(chain, segments=tuple(done))


def _segment(segment: Segment, slab: _Slab) -> Iterable[Segment]:
    xs = [slab.band.at(c) for c in segment.controls()]
    if max(xs) <= slab.begin:
        return (segment,)
    if min(xs) >= slab.end:
        return (segment.moved(slab.shift),)
    if isinstance(segment, Line):
        return (Line(slab.place(segment.start), slab.place(segment.end)),)
    return _around_slab(segment, slab)


def _around_slab(segment: Segment, slab: _Slab) -> Sequence[Segment]:
    """What a curve has before and after the slab."""
    across = 1j * slab.band.along
    sides = {slab.begin, slab.end}
    cuts = sorted(t for x in sides for t in line_meets_segment(segment, x * slab.band.along, across))
    found: list[Segment] = []
    for t, u in zip([0.0, *cuts], [*cuts, 1.0], strict=True):
        if u - t < 1e-9:
            continue
        piece = part(segment, t, u)
        x = slab.band.at(piece.point(0.5))
        if x < slab.begin:
            found.append(piece)
        elif x > slab.end:
            found.append(piece.moved(slab.shift))
    return found


def _items(asked: Asked, slab: _Slab) -> Iterator[tuple[Item, Change]]:
    for item in asked.piece.items:
        if item.shared:
            continue
        if _is_line(item):
            change = _changed_line(asked, item, slab)
            if change is not None:
                yield item, change
            continue
        in_proportion = item.role in _IN_PROPORTION
        motion = slab.in_proportion(item.place) if in_proportion else slab.motion(item.place)
        if not motion.is_identity:
            yield item, Shifted(motion.shift) if item.way is Way.UPRIGHT else Moved(motion)


def _changed_line(asked: Asked, item: Item, slab: _Slab) -> Change | None:
    xs = [slab.band.at(c) for chain in item.chains for s in chain.segments for c in s.controls()]
    if not xs or max(xs) <= slab.begin:
        return None
    if min(xs) >= slab.end:
        return Moved(slab.shift)
    return Redrawn(tuple((_line(asked, chain, slab),) for chain in item.chains))
