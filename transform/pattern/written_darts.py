"""Darts drawn anew in the darts layer: old ones by the way their point and leg ends went."""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from transform.geometry.chain import Chain, chain_of
from transform.geometry.joining import with_end
from transform.geometry.meeting import line_meets
from transform.geometry.motion import Affine
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line
from transform.pattern.darts import ON_OUTLINE
from transform.pattern.model import Dart

_NODE = 0.6
"""A joint this near (mm) to the point or a leg end of a dart is it."""


@dataclass(frozen=True, slots=True)
class CutLines:
    """The cut line before and after, to which legs drawn on into the allowance are drawn again."""

    old: Chain
    new: Chain


def redrawn_dart(chain: Chain, old: Dart, new: Dart, cut: CutLines | None) -> Chain:
    """A line of a dart after the dart has changed.

    It is divided at the point and the leg ends; every part goes by the similarity that takes its two ends
    to where they are now. Loose ends go with the leg, or the middle line, along which they lie.
    """
    pairs = _landmarks(old, new)
    image = _NodeImages(old, new)
    parts: list[Chain] = []
    for part in _divided(chain, [before for before, _ in pairs]):
        known = [image.of(end) for end in (part.start, part.end)]
        if known[0] is not None and known[1] is not None and abs(part.end - part.start) > _NODE:
            similarity = _similarity((part.start, part.end), (known[0], known[1]))
        else:
            similarity = _loose(part, old, new)
        parts.append(_mapped(part, similarity))
    joined = _connected(parts, chain.closed)
    return _to_cut_line(chain, joined, cut) if cut is not None else joined


def new_dart_chain(dart: Dart, cut: Chain | None) -> Chain:
    """Leg end, point, leg end; the legs drawn on to ``cut`` where it is given."""
    ends = [leg if cut is None else _drawn_on(dart.point, leg, cut) for leg in dart.legs]
    return Chain((Line(ends[0], dart.point), Line(dart.point, ends[1])))


def _drawn_on(origin: complex, leg: complex, cut: Chain) -> complex:
    """A leg's end drawn on to where its line meets the cut line first beyond it."""
    reach = abs(leg - origin) - ON_OUTLINE
    met = line_meets(cut, origin, leg - origin)
    return next((cut.point(place) for distance, place in met if distance >= reach), leg)


def _landmarks(old: Dart, new: Dart) -> list[tuple[complex, complex]]:
    return [(old.point, new.point), *zip(old.legs, new.legs, strict=True)]


class _NodeImages:
    """Where a drawn joint goes that stands for the point or a leg end, though it may lie a little off it."""

    def __init__(self, old: Dart, new: Dart) -> None:
        self._nodes: list[tuple[complex, complex, complex]] = [(old.point, new.point, 1 + 0j)]
        for before, after in zip(old.legs, new.legs, strict=True):
            factor = (after - new.point) / (before - old.point)
            self._nodes.append((before, after, factor))

    def of(self, point: complex) -> complex | None:
        """The image of a joint; None where it is none of the dart's."""
        before, after, factor = min(self._nodes, key=lambda node: abs(node[0] - point))
        return after + (point - before) * factor if abs(before - point) <= _NODE else None


def _divided(chain: Chain, nodes: Sequence[complex]) -> list[Chain]:
    """The chain as open parts between joints that are nodes."""
    segments = chain.segments
    cuts = [
        k
        for k, segment in enumerate(segments)
        if k and any(abs(segment.start - node) <= _NODE for node in nodes)
    ]
    bounds = [0, *cuts, len(segments)]
    return [Chain(segments[a:b]) for a, b in pairwise(bounds)]


def _similarity(before: tuple[complex, complex], after: tuple[complex, complex]) -> Affine:
    """The map that takes two points to two points, turning and scaling."""
    factor = (after[1] - after[0]) / (before[1] - before[0])
    shift = after[0] - factor * before[0]
    return Affine(factor.real, factor.imag, -factor.imag, factor.real, shift.real, shift.imag)


def _loose(part: Chain, old: Dart, new: Dart) -> Affine:
    """The similarity of the leg, or of the middle line, along which a part lies."""
    far = max((part.start, part.end), key=lambda point: abs(point - old.point))
    ways = [
        *zip(old.legs, new.legs, strict=True),
        ((old.legs[0] + old.legs[1]) / 2, (new.legs[0] + new.legs[1]) / 2),
    ]

    def off(way: tuple[complex, complex]) -> float:
        return abs(cmath.phase((far - old.point) / (way[0] - old.point))) if far != old.point else 0.0

    before, after = min(ways, key=off)
    return _similarity((old.point, before), (new.point, after))


def _mapped(part: Chain, similarity: Affine) -> Chain:
    if similarity == Affine():
        return part
    return Chain(tuple(piece for segment in part.segments for piece in segment.mapped(similarity)))


def _connected(parts: Sequence[Chain], closed: bool) -> Chain:
    """The parts end to end; rounding apart they meet already."""
    done: list[Chain] = []
    for part, following in zip(parts, [*parts[1:], None], strict=True):
        done.append(part if following is None else with_end(part, following.start))
    if closed:
        done[-1] = with_end(done[-1], done[0].start)
    return chain_of(done, closed=closed)


def _to_cut_line(old_chain: Chain, chain: Chain, cut: CutLines) -> Chain:
    """The line with those straight ends that lay on the cut line drawn to the new one."""
    if chain.closed:
        return chain
    segments = list(chain.segments)
    first, last = segments[0], segments[-1]
    if isinstance(first, Line) and nearest(cut.old, old_chain.start)[1] <= ON_OUTLINE:
        segments[0] = Line(_on_cut_line(first.end, first.start, cut.new), first.end)
        last = segments[-1]
    if isinstance(last, Line) and nearest(cut.old, old_chain.end)[1] <= ON_OUTLINE:
        segments[-1] = Line(last.start, _on_cut_line(last.start, last.end, cut.new))
    return Chain(tuple(segments))


def _on_cut_line(origin: complex, end: complex, cut: Chain) -> complex:
    """Where the line from ``origin`` through ``end`` meets the cut line: the place nearest to ``end``."""
    ahead = [cut.point(place) for distance, place in line_meets(cut, origin, end - origin) if distance > 0]
    return min(ahead, key=lambda point: abs(point - end), default=end)
