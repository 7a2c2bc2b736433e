"""Bounding boxes in mm, exact for every kind of curve."""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from transform.geometry.motion import Affine
from transform.geometry.segments import Arc, Cubic, Quadratic, Segment
from transform.svg.document import Document
from transform.svg.lengths import read_length
from transform.svg.namespaces import XLINK
from transform.svg.problems import problem_at
from transform.svg.shapes import SHAPES, TEMPLATES, read_drawing
from transform.svg.viewport import length_at, matrix_of, opened_by, viewport_of

MOST_USES = 20_000
"""The most references that are followed to measure what is in a file."""


class Box(NamedTuple):
    """An upright box, mm."""

    xmin: float
    ymin: float
    xmax: float
    ymax: float

    @property
    def centre(self) -> complex:
        """Its middle."""
        return complex(self.xmin + self.xmax, self.ymin + self.ymax) / 2


def box_of_points(points: Iterable[complex]) -> Box | None:
    """The box around points; None where there are none."""
    found = list(points)
    if not found:
        return None
    xs, ys = [p.real for p in found], [p.imag for p in found]
    return Box(min(xs), min(ys), max(xs), max(ys))


def extremes(segment: Segment) -> Iterator[complex]:
    """Points of a segment among which are its outermost ones to all four sides."""
    yield segment.start
    yield segment.end
    if isinstance(segment, Arc):
        e = segment.ellipse()
        for quarter in (1, 1j):
            # x(a) or y(a) is greatest where the direction along the axis has no part square to it.
            axis = e.turn * quarter
            top = cmath.phase(complex(e.rx * axis.real, -e.ry * axis.imag))
            for angle in (top, top + math.pi):
                t = ((angle - e.first) * math.copysign(1, e.sweep)) % (2 * math.pi) / abs(e.sweep)
                if t < 1:
                    yield segment.point(t)
    elif isinstance(segment, Quadratic):
        a, b = segment.start - 2 * segment.control + segment.end, segment.control - segment.start
        for second, first in ((a.real, b.real), (a.imag, b.imag)):
            if second and 0 < (t := -first / second) < 1:
                yield segment.point(t)
    elif isinstance(segment, Cubic):
        p = segment
        a = p.end - 3 * p.control2 + 3 * p.control1 - p.start
        b, c = p.control2 - 2 * p.control1 + p.start, p.control1 - p.start
        for coefficients in ((a.real, b.real, c.real), (a.imag, b.imag, c.imag)):
            yield from (segment.point(t) for t in _roots(*coefficients) if 0 < t < 1)


_PAIR = r"[ \t\r\n\f]*([+-]?[0-9.]+)(?:[ \t\r\n\f]*,[ \t\r\n\f]*|[ \t\r\n\f]+|(?=-))([+-]?[0-9.]+)"
_BEGINS = {
    # Not a path that moves on at once: what a move alone draws is nothing.
    "path": ("d", re.compile(rf"[ \t\r\n\f]*[Mm]{_PAIR}[ \t\r\n\f]*(?=[LlHhVvCcSsQqTtAaZz])")),
    "polyline": ("points", re.compile(_PAIR + r"[ \t\r\n\f,]")),
    "polygon": ("points", re.compile(_PAIR + r"[ \t\r\n\f,]")),
}
_CORNERS = {"line": ("x1", "y1"), "rect": ("x", "y"), "circle": ("cx", "cy"), "ellipse": ("cx", "cy")}


def begin_of(document: Document, element: int) -> complex | None:
    """A point that lies in the box around a shape, in the shape's own units, read from its first numbers.

    None where these are not plain numbers, or where the element is no shape.
    """
    tag = document.tag(element)
    if tag in _BEGINS:
        name, pattern = _BEGINS[tag]
        found = pattern.match(document.get(element, name) or "")
        texts = None if found is None else found.groups()
    elif tag in _CORNERS:
        texts = tuple(document.get(element, name) or "0" for name in _CORNERS[tag])
    else:
        return None
    try:
        return None if texts is None else complex(float(texts[0]), float(texts[1]))
    except ValueError:
        return None


def bounds_of(document: Document, element: int, user_unit: float | None) -> Box | None:
    """The box, in mm, around all that an element draws: shapes, pictures, ``use``; of a group, all of it.

    A shape of no size gives its points. Text is not measured; None where there is nothing else.

    Raises:
        PatternError: where something inside cannot be read.
    """
    return box_of_points(_Measure(document, user_unit).points(element, Affine(), ()))


class _Measure:
    """One measuring. The references that are followed are counted: they can nest to any number."""

    def __init__(self, document: Document, user_unit: float | None) -> None:
        self.document = document
        self.user_unit = user_unit

    def points(self, element: int, onward: Affine, using: tuple[int, ...]) -> Iterator[complex]:
        """The outermost points of all that an element draws, mapped ``onward``."""
        document = self.document
        at, end = element, document.descendants(element).stop
        while at < end:
            tag = document.tag(at)
            if tag in TEMPLATES and at != element:
                at = document.descendants(at).stop
                continue
            if tag in SHAPES:
                yield from self._shape(at, onward)
            elif tag in ("image", "foreignObject"):
                yield from (onward(corner) for corner in self._corners(at))
            elif tag == "use":
                yield from self._used(at, onward, using)
            at += 1

    def _shape(self, element: int, onward: Affine) -> Iterator[complex]:
        for subpath in read_drawing(self.document, element, self.user_unit).subpaths:
            if not subpath.segments:
                yield onward(subpath.start)
            for segment in subpath.segments:
                for part in segment.mapped(onward):
                    yield from extremes(part)

    def _used(self, element: int, onward: Affine, using: tuple[int, ...]) -> Iterator[complex]:
        document, user_unit = self.document, self.user_unit
        x, y = (user_length(document, element, name, user_unit) for name in ("x", "y"))
        place = matrix_of(document, element, user_unit) @ Affine(e=x, f=y)
        target = target_of(document, element)
        followed = document.memo["followed"] = document.memo.get("followed", 0) + 1
        if target is None or target in using or target in document.ancestors(element):
            return
        if followed > MOST_USES:
            text = f"more than {MOST_USES} references would have to be followed to tell what this draws"
            raise problem_at(document, element, "reference", text)
        if document.tag(target) in ("symbol", "svg"):
            inside = opened_by(document, target, *self._room(element, target))
            if inside is None:
                yield onward(place(0j))
                return
            before = matrix_of(document, target, user_unit)
            yield from self.points(target, onward @ place @ inside @ before.inverse(), (*using, target))
            return
        around = document.parent(target)
        before = matrix_of(document, around, user_unit) if around is not None else Affine()
        yield from self.points(target, onward @ place @ before.inverse(), (*using, target))

    def _room(self, element: int, template: int) -> Iterator[float | None]:
        """Width and height that a ``use`` gives to what it draws: its own, else the template's, else all."""
        size = viewport_of(self.document, element, self.user_unit).size
        for name, axis in (("width", "x"), ("height", "y")):
            says = next(
                (each for each in (element, template) if self.document.get(each, name) not in (None, "auto")),
                None,
            )
            if says is None:
                yield size.of(axis)
                continue
            yield length_at(self.document, says, name, self.document.get(says, name) or "", axis, size)

    def _corners(self, element: int) -> list[complex]:
        matrix = matrix_of(self.document, element, self.user_unit)
        names = ("x", "y", "width", "height")
        x, y, width, height = (user_length(self.document, element, name, self.user_unit) for name in names)
        return [matrix(complex(x + dx, y + dy)) for dx in (0, width) for dy in (0, height)]


def target_of(document: Document, element: int) -> int | None:
    """The element that a ``use`` draws; None where it is not in this file."""
    reference = document.get(element, "href") or document.get(element, f"{{{XLINK}}}href") or ""
    return document.ids.get(reference[1:]) if reference.startswith("#") else None


def user_length(document: Document, element: int, name: str, user_unit: float | None) -> float:
    """A length (x, y, width or height) of an element in its own units; nought where it is left out.

    Of a list, as text may have one, it is the first.

    Raises:
        PatternError: where it is no length.
    """
    words = (document.get(element, name) or "").replace(",", " ").split()
    if not words or words == ["auto"]:
        return 0.0
    axis = "x" if name in ("x", "width") else "y"
    try:
        return read_length(words[0], axis, viewport_of(document, element, user_unit).size)
    except ValueError as error:
        raise problem_at(document, element, "length", f"{name}: {error}") from error


def _roots(a: float, b: float, c: float) -> list[float]:
    """Where a·t² + 2·b·t + c is nought."""
    if abs(a) <= 1e-12 * (abs(b) + abs(c)):
        return [-c / (2 * b)] if b else []
    square = b * b - a * c
    if square < 0:
        return []
    # The root without cancellation first, the other from their product.
    q = -(b + math.copysign(math.sqrt(square), b))
    return [q / a, *([c / q] if q else [])]
