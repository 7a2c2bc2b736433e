"""On which part of a piece a point lies, once a closing divides it; and which part is held."""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from functools import cached_property

import shapely

from transform.alter.closing import Closing, Mouth
from transform.geometry.chain import Chain, coordinates
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest

_STEP = 0.5
_ON_LINE = 1.0


def within(place: float, first: float, last: float, whole: float) -> bool:
    """Whether ``place`` lies from ``first`` on to ``last`` round an outline ``whole`` mm long."""
    return (place - first) % whole <= (last - first) % whole


def polygon_of(points: Sequence[complex]) -> shapely.Polygon:
    """The area that the way round some points encloses, made valid where it crosses itself."""
    return shapely.Polygon(coordinates(points)).buffer(0)


class Division:
    """How one closing divides the piece as it came: its wedge, its mouths, and the parts between them.

    ``bounds`` are the parts' outline intervals, in order from the wedge on round to the wedge again.
    """

    def __init__(self, closing: Closing, outline: Chain) -> None:
        """Divide the piece within ``outline`` (closed)."""
        self.closing = closing
        self.outline = outline
        whole = outline.length
        self.mouths: tuple[Mouth, ...] = tuple(
            sorted(closing.mouths, key=lambda mouth: (mouth.first - closing.high) % whole)
        )
        starts = [closing.high, *(mouth.last for mouth in self.mouths)]
        ends = [*(mouth.first for mouth in self.mouths), closing.low]
        self.bounds: tuple[tuple[float, float], ...] = tuple(zip(starts, ends, strict=True))

    @cached_property
    def polygons(self) -> tuple[shapely.Polygon, ...]:
        """The parts, flattened: only to judge on which of them a point lies."""
        return tuple(self._sector(first, last) for first, last in self.bounds)

    @cached_property
    def wedge(self) -> shapely.Polygon:
        """The wedge, flattened: as far as the pivot, or to where it comes out at the far side."""
        low, high = self.closing.low, self.closing.high
        if low == high:
            return shapely.Polygon()
        for mouth in self.mouths:
            if mouth.is_gone:
                near, far = (self.outline.cut(*ends) for ends in ((low, high), (mouth.first, mouth.last)))
                return polygon_of([*near.samples(_STEP), *far.samples(_STEP)])
        return self._sector(low, high)

    def _sector(self, first: float, last: float) -> shapely.Polygon:
        points = self.outline.cut(first, last).samples(_STEP)
        return polygon_of(points if self.closing.is_across else [*points, self.closing.pivot])

    def part_of(self, point: complex) -> int | None:
        """Index of the part on which ``point`` (as the pattern came) lies; None in the wedge.

        What lies outside the outline goes with the nearest place of the outline, what lies in the
        intake of a dart with the nearer leg.
        """
        place, distance = nearest(self.outline, point)
        if distance > _ON_LINE:
            for index, polygon in enumerate(self.polygons):
                if shapely.contains_xy(polygon, point.real, point.imag):
                    return index
            if shapely.contains_xy(self.wedge, point.real, point.imag):
                return None
            for index, mouth in enumerate(self.mouths):
                if self._in_intake(mouth, point):
                    return index if self._nearer_to_first_leg(mouth, point) else index + 1
        return self.part_at(place)

    def _in_intake(self, mouth: Mouth, point: complex) -> bool:
        if mouth.first == mouth.last or mouth.is_gone:
            return False
        return bool(shapely.contains_xy(self._sector(mouth.first, mouth.last), point.real, point.imag))

    def _nearer_to_first_leg(self, mouth: Mouth, point: complex) -> bool:
        pivot = self.closing.pivot
        first, last = (self.outline.point(place) - pivot for place in (mouth.first, mouth.last))
        away = point - pivot
        return abs(cmath.phase(away / first)) <= abs(cmath.phase(away / last))

    def part_at(self, place: float) -> int | None:
        """Index of the part that holds an outline place; None in the wedge."""
        whole = self.outline.length
        for index, (first, last) in enumerate(self.bounds):
            if within(place, first, last, whole):
                return index
        for index, mouth in enumerate(self.mouths):
            if not mouth.is_gone and within(place, mouth.first, mouth.last, whole):
                reach = (mouth.last - mouth.first) % whole
                return index if (place - mouth.first) % whole <= reach / 2 else index + 1
        return None

    def to_closure(self, point: complex, held: Sequence[bool]) -> tuple[int, Motion]:
        """For a point in the wedge: the part to whose leg it goes, and the turn that brings it there.

        The leg of the held part is preferred; else that of the part before the wedge.
        """
        index = 0 if held[0] else len(self.bounds) - 1
        leg = self.outline.point(self.closing.high if index == 0 else self.closing.low)
        pivot = self.closing.pivot
        return index, Motion.rotation(pivot, cmath.phase((leg - pivot) / (point - pivot)))

    def part_of_edge(self, intervals: Sequence[tuple[float, float]]) -> int | None:
        """The one part on which all of an edge lies; None where it lies on several."""
        parts: set[int | None] = set()
        for first, last in intervals:
            reach = (last - first) % self.outline.length or last - first
            parts.update(self.part_at(self.outline.wrap(first + reach * k / 32)) for k in range(1, 32))
        return parts.pop() if len(parts) == 1 else None

    def part_of_chain(self, chain: Chain) -> int | None:
        """The one part on which all of a line on the piece lies; None where it lies on several."""
        reach = chain.length
        parts = {self.part_of(chain.point(reach * k / 16)) for k in range(17)}
        return parts.pop() if len(parts) == 1 else None

    @property
    def largest(self) -> int:
        """The part with the largest area."""
        areas = [polygon.area for polygon in self.polygons]
        return areas.index(max(areas))
