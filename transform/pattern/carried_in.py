"""The stitching line of a piece that draws only its cut line: carried in by the allowance, edge by edge.

cut line    ____________          Smooth parts are drawn beside the cut line and joined again at the
           |  ________  |         corners: trimmed where they cross, extended straight where they do
           | |        | |         not. A dart's leg ends lie where its legs cross the carried line.
"""

from __future__ import annotations

import cmath
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from transform.geometry.chain import Chain, chain_of
from transform.geometry.joining import join
from transform.geometry.meeting import line_meets
from transform.geometry.nearest import nearest
from transform.geometry.offset import offset_chain
from transform.geometry.segments import Line, direction
from transform.pattern.corners import CORNER, turns
from transform.pattern.dividing import snapped
from transform.pattern.model import Dart
from transform.pattern.outline import Outline, Stretch

_FARTHEST = 12.0
"""A corner is extended by at most this many allowances."""
_SAME = 1e-6
_FIT = 1e-5
"""The carried line is measured but never drawn: there is no need for few cubics."""
_ON_FOLD = 1.0
_AT_JOINT = 0.05
_PARALLEL = 0.1


class TooTightError(ValueError):
    """An edge for which the allowance leaves no room: its name and the allowance, mm."""

    def __init__(self, edge: str, allowance: float) -> None:
        """Say which edge it is."""
        self.edge, self.allowance = edge, allowance
        super().__init__(f"{edge} is too short or bends too tightly to be carried in by {allowance:.1f} mm")


@dataclass(frozen=True)
class CarriedIn:
    """The carried line with the cut line's names, and its darts."""

    outline: Outline
    darts: tuple[Dart, ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """A smooth part of the cut line: from its place on, ``apart`` mm to be carried in, and where it went."""

    stretch: int
    place: float
    apart: float
    turn: float
    chain: Chain


def allowances(outline: Outline, of_edge: Callable[[str | None], float]) -> list[float]:
    """The allowance of every stretch, mm: a mouth has that of the edge before it, a drawn leg none."""
    found: list[float | None] = [
        None if s.dart is not None and not s.drawn_in else 0.0 if s.drawn_in else of_edge(s.edge)
        for s in outline.stretches
    ]
    for index, apart in enumerate(found):
        if apart is None:
            before = next(
                (found[k] for k in range(index - 1, index - 1 - len(found), -1) if found[k] is not None), 0.0
            )
            found[index] = before
    return [apart or 0.0 for apart in found]


def carried_in(
    outline: Outline, darts: Sequence[Dart], by_stretch: Sequence[float], fold_line: Chain | None = None
) -> CarriedIn:
    """The line ``by_stretch`` mm within ``outline``, its stretches named alike, drawn by no element.

    What lies on ``fold_line`` is not carried in.

    Raises:
        TooTightError: where an edge leaves nothing when it is carried in.
    """
    if not any(by_stretch):
        same = tuple(replace(s, source=None, flipped=False) for s in outline.stretches)
        return CarriedIn(Outline(same, outline.corners), tuple(darts))
    outline, darts = _bridged(outline, darts)
    smooth = [_carried(part, outline) for part in _parts(outline, by_stretch, fold_line)]
    parts = _joined(_opened(smooth, outline, {dart.name: dart for dart in darts}), outline)
    begins: dict[int, float] = {}
    corners: list[tuple[float, float]] = []
    place = 0.0
    for part in parts:
        begins.setdefault(part.stretch, place)
        corners.append((part.place, place))
        place += part.chain.length
    chain = chain_of((part.chain for part in parts), closed=True)
    carried_darts = tuple(_dart(dart, outline, chain, begins, corners) for dart in darts)
    stretches = _stretches(outline, chain, begins)
    shift = begins[0]
    whole = chain.length
    corners = [*((outline.begins[index], place) for index, place in begins.items()), *corners]
    named = {
        name: (_carried_place(place, outline, chain, corners) - shift) % whole
        for name, place in outline.corners.items()
    }
    moved = tuple(
        replace(d, mouth=((d.mouth[0] - shift) % whole, (d.mouth[1] - shift) % whole)) for d in carried_darts
    )
    return CarriedIn(Outline(tuple(stretches), named), moved)


def _bridged(outline: Outline, darts: Sequence[Dart]) -> tuple[Outline, tuple[Dart, ...]]:
    """The outline with every mouth straight: a cap is far too tight to be carried in, and never measured."""
    rows = tuple(
        replace(s, chain=Chain((Line(s.chain.start, s.chain.end),)))
        if s.dart is not None and not s.drawn_in and s.chain.segments
        else s
        for s in outline.stretches
    )
    bridged = Outline(rows)

    def moved(place: float) -> float:
        index = max(k for k, begin in enumerate(outline.begins) if begin <= place + _SAME)
        length = rows[index].chain.length
        return bridged.begins[index] + min(place - outline.begins[index], length)

    corners = {name: moved(place) for name, place in outline.corners.items()}
    straight = tuple(
        replace(d, mouth=(moved(d.mouth[0]), moved(d.mouth[1])), capped=d.capped and d.drawn_in)
        for d in darts
    )
    return replace(bridged, corners=corners), straight


def _parts(outline: Outline, by_stretch: Sequence[float], fold_line: Chain | None) -> list[_Part]:
    """The smooth parts of all stretches; ``turn`` is the turn at a part's start."""
    found: list[_Part] = []
    for index, stretch in enumerate(outline.stretches):
        begin = outline.begins[index]
        inner = [place for place, turn in turns(stretch.chain) if abs(turn) > CORNER]
        for first, last in pairwise([0.0, *inner, stretch.chain.length]):
            chain = stretch.chain.cut(first, last)
            if chain.segments:
                folded = fold_line is not None and _lies_on(chain, fold_line)
                apart = 0.0 if folded else by_stretch[index]
                found.append(_Part(index, begin + first, apart, 0.0, chain))
    if len(found) == 1:
        (part,) = found
        half = part.chain.length / 2
        found = [
            replace(part, chain=part.chain.cut(0.0, half)),
            replace(part, place=part.place + half, chain=part.chain.cut(half, part.chain.length)),
        ]
    return [replace(part, turn=_turn(found[k - 1].chain, part.chain)) for k, part in enumerate(found)]


def _lies_on(chain: Chain, fold_line: Chain) -> bool:
    """Whether a part of the cut line lies along the fold line.

    The fold line may be drawn shorter, longer, or past one end only: it tells by the half of it, or more,
    that is beside the part.
    """
    short, long = (chain, fold_line) if chain.length <= fold_line.length else (fold_line, chain)
    middle = short.tangent(short.length / 2)
    place, _ = nearest(long, short.point(short.length / 2))
    if abs((middle.conjugate() * long.tangent(place)).imag) > _PARALLEL:
        return False
    beside = sum(nearest(long, short.point(short.length * k / 8))[1] <= _ON_FOLD for k in range(9))
    return beside >= (9 if short is chain else 5)


def _turn(before: Chain, after: Chain) -> float:
    return cmath.phase(direction(after.segments[0], 0.0) / direction(before.segments[-1], 1.0))


def _is_mouth(part: _Part, outline: Outline) -> bool:
    stretch = outline.stretches[part.stretch]
    return stretch.dart is not None and not stretch.drawn_in


def _opened(parts: list[_Part], outline: Outline, darts: Mapping[str, Dart]) -> list[_Part]:
    """The parts with every mouth straight between its leg ends, where the legs cross the lines beside it.

    The lines beside it are lengthened straight as far as the legs.
    """
    for index, part in enumerate(parts):
        dart = darts.get(outline.stretches[part.stretch].dart or "")
        if not _is_mouth(part, outline) or dart is None:
            continue
        before, after = parts[index - 1], parts[(index + 1) % len(parts)]
        reach = _FARTHEST * part.apart + part.chain.length
        last, first = before.chain.segments[-1], after.chain.segments[0]
        ahead = Line(last.end, last.end + direction(last, 1.0) * reach)
        behind = Line(first.start - direction(first, 0.0) * reach, first.start)
        arriving = before.chain.joined(Chain((ahead,)))
        leaving = Chain((behind,)).joined(after.chain)
        low = _where_leg_crosses(dart.point, dart.legs[0], arriving)
        high = _where_leg_crosses(dart.point, dart.legs[1], leaving)
        arriving, leaving = arriving.cut(0.0, low), leaving.cut(high, leaving.length)
        parts[index - 1] = replace(before, chain=arriving)
        parts[index] = replace(part, chain=Chain((Line(arriving.end, leaving.start),)))
        parts[(index + 1) % len(parts)] = replace(after, chain=leaving)
    return parts


def _carried(part: _Part, outline: Outline) -> _Part:
    if _is_mouth(part, outline):
        return part
    try:
        return replace(part, chain=offset_chain(part.chain, -part.apart, _FIT))
    except ValueError as error:
        raise _too_tight(part, outline) from error


def _too_tight(part: _Part, outline: Outline) -> TooTightError:
    stretch = outline.stretches[part.stretch]
    return TooTightError(stretch.edge or stretch.dart or "a part of the outline without a name", part.apart)


def _joined(parts: list[_Part], outline: Outline) -> list[_Part]:
    """The parts made to meet, round the outline; steps between different allowances are drawn square."""
    for index in range(len(parts)):
        before, after = parts[index - 1], parts[index]
        if _is_mouth(before, outline) or _is_mouth(after, outline):
            # They meet already, at the leg ends.
            continue
        reach = _FARTHEST * max(before.apart, after.apart) + 1.0
        joined = None
        if abs(after.turn) > CORNER or abs(before.apart - after.apart) < _SAME:
            joined = join(before.chain, after.chain, reach)
            if joined is None:
                raise _too_tight(min(before, after, key=lambda part: part.chain.length), outline)
        else:
            step = Line(before.chain.end, after.chain.start)
            joined = before.chain, Chain((step, *after.chain.segments))
        parts[index - 1] = replace(before, chain=joined[0])
        parts[index] = replace(after, chain=joined[1])
    return parts


def _carried_place(
    place: float, outline: Outline, chain: Chain, corners: Sequence[tuple[float, float]]
) -> float:
    """Where a place of the cut line went: from joint to joint, else straight across the allowance."""
    whole = outline.chain.length
    for old, new in corners:
        gap = abs(old - place) % whole
        if min(gap, whole - gap) < 1e-4:
            return new
    return nearest(chain, outline.chain.point(place))[0]


def _dart(
    dart: Dart,
    outline: Outline,
    chain: Chain,
    begins: dict[int, float],
    corners: Sequence[tuple[float, float]],
) -> Dart:
    index = next((k for k, s in enumerate(outline.stretches) if s.dart == dart.name), None)
    if dart.drawn_in:
        mouth = tuple(_carried_place(place, outline, chain, corners) for place in dart.mouth)
    elif index is None:
        mouth = tuple(_where_leg_crosses(dart.point, leg, chain) for leg in dart.legs)
    else:
        mouth = begins[index], begins[(index + 1) % len(outline.stretches)]
    first, last = mouth
    return replace(dart, mouth=(first, last), legs=(chain.point(first), chain.point(last)))


def _where_leg_crosses(point: complex, leg: complex, chain: Chain) -> float:
    """The place of the carried line on the leg, at a joint of the line where one is near."""
    met = line_meets(chain, point, leg - point)
    ahead = [(distance, place) for distance, place in met if distance > 0]
    if not ahead:
        return nearest(chain, leg)[0]
    reach = abs(leg - point)
    _, place = min(ahead, key=lambda pair: abs(pair[0] - reach))
    return snapped(chain, place, _AT_JOINT)


def _stretches(outline: Outline, chain: Chain, begins: dict[int, float]) -> list[Stretch]:
    count = len(outline.stretches)
    found: list[Stretch] = []
    for index, stretch in enumerate(outline.stretches):
        first, last = begins[index], begins[(index + 1) % count]
        found.append(replace(stretch, chain=chain.cut(first, last), source=None, flipped=False))
    return found
