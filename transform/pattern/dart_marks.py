"""A dart that is marked, not drawn: small shapes of one name at its leg ends and its point."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from transform.geometry.chain import Chain
from transform.geometry.motion import STAY, Motion
from transform.pattern.model import Dart
from transform.svg.bounds import Box, box_of_points, extremes

FEWEST = 3
"""Leg end, point, leg end."""
LARGEST = 10.0
"""A shape that is wider or higher than this (mm) is a line of the dart, not a mark."""
_SAME_PLACE = 1e-9


def mark_centres(shapes: Sequence[Sequence[Chain]]) -> tuple[complex, ...]:
    """The centre of each shape, where the shapes are marks: small, and apart; else nothing.

    Lines that make up a dart touch, however small the dart is.
    """
    boxes = [
        box_of_points(p for chain in shape for s in chain.segments for p in extremes(s)) for shape in shapes
    ]
    found = [box for box in boxes if box is not None and _size(box) <= LARGEST]
    if len(found) < max(FEWEST, len(boxes)) or any(_touch(a, b) for a, b in combinations(found, 2)):
        return ()
    return tuple(box.centre for box in found)


def motion_of_mark(centre: complex, old: Dart, new: Dart) -> Motion:
    """How a mark goes with the leg end, the point or the mouth's middle that it stands at.

    It turns with the line from the point to it; the point's own mark with the middle line.
    """
    ways = [*zip(old.legs, new.legs, strict=True), (_middle(old), _middle(new))]
    places = [*ways, (old.point, new.point)]
    before, after = min(places, key=lambda place: abs(place[0] - centre))
    if abs(after - before) <= _SAME_PLACE:
        return STAY
    way = (before, after) if (before, after) in ways else ways[-1]
    turn = (way[1] - new.point) / (way[0] - old.point)
    turn /= abs(turn)
    return Motion(turn, after - turn * before)


def _middle(dart: Dart) -> complex:
    return (dart.legs[0] + dart.legs[1]) / 2


def _size(box: Box) -> float:
    return max(box.xmax - box.xmin, box.ymax - box.ymin)


def _touch(a: Box, b: Box) -> bool:
    return a.xmin <= b.xmax and b.xmin <= a.xmax and a.ymin <= b.ymax and b.ymin <= a.ymax
