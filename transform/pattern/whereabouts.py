"""Where on the sheet elements and pieces lie: for what no label assigns to a piece."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from transform.geometry.chain import coordinates
from transform.pattern.drawn_lines import Drawings, LineSource
from transform.pattern.gathering import Gathered, Key
from transform.pattern.model import Role
from transform.pattern.sizes_and_roles import Leaf
from transform.svg.begins import begins_of
from transform.svg.bounds import begin_of, bounds_of, box_of_points
from transform.svg.placing import anchor_of
from transform.svg.problems import PatternError
from transform.svg.tag_places import Flags, Places
from transform.svg.viewport import matrix_of

BESIDE = 8.0
"""A mark belongs to the outline around it, or to one at most this far (mm) away."""
_FLAT = 1.0


_MOST_CROSSING = 3000
"""Of a line with more points than these that crosses itself only the box around it is looked at."""


def _area(points: Sequence[complex]) -> shapely.Polygon:
    polygon = shapely.Polygon(coordinates(points)) if len(points) > 2 else shapely.Polygon()
    if polygon.is_valid:
        return polygon
    return polygon.buffer(0) if len(points) <= _MOST_CROSSING else shapely.box(*polygon.bounds)


class Ground:
    """The area of a piece, flattened: only to judge what lies on it."""

    def __init__(self, lines: Mapping[Role, LineSource]) -> None:
        """The area within the cut line, or within the stitching line where there is none."""
        line = lines.get(Role.CUT_LINE) or lines[Role.STITCHING_LINE]
        points = line.outline.chain.samples(_FLAT)
        self.polygon = _area(points)
        self.area = float(self.polygon.area)
        self.wide = self.polygon.buffer(1.0)
        self.box = box_of_points(points)
        shapely.prepare(self.wide)

    def is_far_from(self, point: complex) -> bool:
        """Whether a point lies farther from the box around the piece than any mark may."""
        box = self.box
        if box is None:
            return True
        across = box.xmin - BESIDE <= point.real <= box.xmax + BESIDE
        return not (across and box.ymin - BESIDE <= point.imag <= box.ymax + BESIDE)

    def are_near(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> Flags:
        """By point whether it lies no farther from the box around the piece than a mark may."""
        box = self.box
        if box is None:
            return np.zeros(len(x), dtype=np.bool_)
        across = (box.xmin - BESIDE <= x) & (x <= box.xmax + BESIDE)
        return across & (box.ymin - BESIDE <= y) & (y <= box.ymax + BESIDE)


class Whereabouts:
    """Where elements lie, each measured once."""

    def __init__(self, drawings: Drawings, grounds: Mapping[Key, Ground]) -> None:
        """``drawings`` are those of the document; ``grounds`` the areas of the pieces that have lines."""
        self.drawings = drawings
        self.grounds = grounds
        self._begins: dict[int, complex | None] = {}
        self._anchors: dict[int, complex | None] = {}
        self._corners: dict[int, list[tuple[float, float]]] = {}

    def look_at(self, elements: Sequence[int]) -> None:
        """Where these elements begin, as far as it is plain to see, learned of all at once."""
        if not elements:
            return
        document, user_unit = self.drawings.document, self.drawings.user_unit
        begins = begins_of(document, np.array(elements, dtype=np.int64), user_unit)
        for element, (x, y) in zip(elements, begins.tolist(), strict=True):
            if x == x and y == y:
                self._begins[element] = complex(x, y)

    def maybe_near(self, elements: Places, pieces: Sequence[Gathered]) -> Flags:
        """By element whether it may lie on one of the pieces: most of a sheet begins elsewhere."""
        grounds = [ground for each in pieces if (ground := self.grounds.get(each.key)) is not None]
        if not grounds:
            return np.zeros(len(elements), dtype=np.bool_)
        x, y = begins_of(self.drawings.document, elements, self.drawings.user_unit).T
        near: Flags = np.isnan(x) | np.isnan(y)
        for ground in grounds:
            near |= ground.are_near(x, y)
        return near

    def nearness(self, leaf: Leaf, gathered: Gathered) -> tuple[float, float] | None:
        """How far (mm) a mark is from a piece, and the piece's area in mm².

        What is no mark must lie in the piece as a whole. None where the leaf does not lie on the piece.
        """
        ground = self.grounds.get(gathered.key)
        if ground is None:
            return None
        # Most of a sheet lies elsewhere, which its first point tells without reading the rest.
        begin = self._begin(leaf.element) if leaf.role is None else None
        if begin is not None and ground.is_far_from(begin):
            return None
        anchor = self._anchor(leaf.element)
        if anchor is None or ground.is_far_from(anchor):
            return None
        if leaf.role is not None:
            distance = float(shapely.distance(ground.polygon, shapely.Point(anchor.real, anchor.imag)))
            return (distance, ground.area) if distance <= BESIDE else None
        corners = self._around(leaf.element, anchor)
        return (0.0, ground.area) if all(shapely.contains_xy(ground.wide, x, y) for x, y in corners) else None

    def _begin(self, element: int) -> complex | None:
        """The point with which a shape begins, in mm; None where it is not plain to see."""
        if element not in self._begins:
            document, user_unit = self.drawings.document, self.drawings.user_unit
            begin = begin_of(document, element)
            try:
                self._begins[element] = (
                    None if begin is None else matrix_of(document, element, user_unit)(begin)
                )
            except PatternError:
                self._begins[element] = None
        return self._begins[element]

    def _anchor(self, element: int) -> complex | None:
        if element not in self._anchors:
            try:
                anchor = anchor_of(self.drawings.document, element, self.drawings.user_unit)
            except PatternError:
                # What cannot be measured is nobody's; it stays as it is.
                anchor = None
            self._anchors[element] = anchor
        return self._anchors[element]

    def _around(self, element: int, anchor: complex) -> list[tuple[float, float]]:
        if element not in self._corners:
            box = bounds_of(self.drawings.document, element, self.drawings.user_unit)
            corners = [(anchor.real, anchor.imag)]
            if box is not None:
                corners = [(x, y) for x in (box.xmin, box.xmax) for y in (box.ymin, box.ymax)]
            self._corners[element] = corners
        return self._corners[element]
