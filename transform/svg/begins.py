"""Points at which many shapes and texts begin, all at once: most of a sheet lies elsewhere, which they tell.

For shapes as `bounds.begin_of` tells it one by one, for texts their anchor.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from transform.svg.attribute_places import AttributePlaces
from transform.svg.document import Document
from transform.svg.number_places import behind_blanks, read_numbers, read_pairs, stands
from transform.svg.problems import PatternError
from transform.svg.tag_places import Flags, Places
from transform.svg.viewport import matrix_of

_FIRST_COMMANDS = b"LlHhVvCcSsQqTtAaZz"
_CORNERS = (
    (("rect", "text"), (b"x", b"y")),
    (("line",), (b"x1", b"y1")),
    (("circle", "ellipse"), (b"cx", b"cy")),
)


def begins_of(document: Document, elements: Places, user_unit: float | None) -> NDArray[np.float64]:
    """By element x and y (mm) of a point in its box, or of its anchor; NaN where it is not plain to see."""
    places = document.attribute_places
    own = np.full((len(document), 2), np.nan)
    if places is not None:
        asked = np.zeros(len(document), dtype=np.bool_)
        asked[elements] = True
        asked &= ~(places.odd | places.may_have(b"transform"))
        _fill_paths(own, places, asked & document.are_tagged("path"))
        _fill_points(own, places, asked & document.are_tagged("polyline", "polygon"))
        for tags, names in _CORNERS:
            wanted = asked & document.are_tagged(*tags)
            for axis, name in enumerate(names):
                _fill_coordinates(own[:, axis], places, name, wanted)
    x, y = own[elements].T
    parents = np.frombuffer(document.structure.parents, dtype=np.int64)[elements]
    groups, of = np.unique(parents, return_inverse=True)
    rows = np.array([_row(document, group, user_unit) for group in groups.tolist()]).reshape(-1, 6)
    a, b, c, d, e, f = rows[of].T
    # In the very order in which one point is mapped by itself.
    return np.stack((a * x + c * y + e, b * x + d * y + f), axis=1)


def _row(document: Document, element: int, user_unit: float | None) -> tuple[float, ...]:
    try:
        m = matrix_of(document, element, user_unit)
    except PatternError:
        return (np.nan,) * 6
    return m.a, m.b, m.c, m.d, m.e, m.f


def _fill_paths(own: NDArray[np.float64], places: AttributePlaces, those: Flags) -> None:
    elements, begins = places.values(b"d", those)
    begins = behind_blanks(places.every, begins)
    pairs, ends = read_pairs(places.every, behind_blanks(places.every, begins + 1))
    # Not a path that moves on at once: what a move alone draws is nothing.
    draws = stands(places.every, behind_blanks(places.every, ends), _FIRST_COMMANDS)
    plain = stands(places.every, begins, b"Mm") & draws
    own[elements[plain]] = pairs[plain]


def _fill_points(own: NDArray[np.float64], places: AttributePlaces, those: Flags) -> None:
    elements, begins = places.values(b"points", those)
    pairs, ends = read_pairs(places.every, behind_blanks(places.every, begins))
    plain = stands(places.every, ends, b" \t\r\n,")
    own[elements[plain]] = pairs[plain]


def _fill_coordinates(own: NDArray[np.float64], places: AttributePlaces, name: bytes, those: Flags) -> None:
    elements, begins = places.values(name, those)
    numbers, ends = read_numbers(places.every, behind_blanks(places.every, begins))
    plain = stands(places.every, behind_blanks(places.every, ends), b'"')
    own[elements[plain]] = numbers[plain]
