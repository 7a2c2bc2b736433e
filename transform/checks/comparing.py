"""Two files that should be one: where they differ, element by element, and by how much at real size.

Numbers may differ in their last digits from machine to machine; so what is drawn is compared in mm, and other
numbers as they stand. Everything else has to be equal byte for byte.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from rules.problems import UngapeError
from transform.geometry.segments import Segment
from transform.svg.document import Document, read_document
from transform.svg.shapes import Drawing, is_shape, read_drawing
from transform.svg.viewport import matrix_of

TOLERANCE_MM = 0.002
_MOST_MM = TOLERANCE_MM + 1e-9
"""The tolerance itself is within it, whatever the difference of two decimals comes to in binary."""
_NUMBER = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_NUMBER_BYTES = re.compile(_NUMBER.pattern.encode())
_SHAPE = {"d", "points", "x", "y", "width", "height", "cx", "cy", "r", "rx", "ry", "x1", "y1", "x2", "y2"}
_PLACING = {"transform", "transform-origin", "x", "y", "width", "height", "viewBox"}
_LONGEST = 40
"""More characters of a value are not shown."""
_REACH_MM = 200.0
"""A thing that is placed by a matrix is taken to reach this far from its own point."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Where two files differ: the labels to the element (empty: the file), what, and by how much (mm).

    ``mm`` is None where it is no matter of distance.
    """

    element: str
    what: str
    mm: float | None = None

    def __str__(self) -> str:
        """In one line."""
        distance = f": {self.mm:.3f} mm" if self.mm is not None else ""
        return f"{self.element}: {self.what}{distance}" if self.element else f"{self.what}{distance}"


def same_but_for_digits(found: bytes, wanted: bytes, user_unit: float | None) -> bool:
    """Whether two files differ in nothing but numbers, and by no more than 0.002 mm."""
    if found == wanted:
        return True
    if _NUMBER_BYTES.sub(b"0", found) != _NUMBER_BYTES.sub(b"0", wanted):
        return False
    return next(differences(found, wanted, user_unit), None) is None


def differences(found: bytes, wanted: bytes, user_unit: float | None) -> Iterator[Difference]:
    """Every difference of what stands in a file from what should stand there.

    ``user_unit`` is the length of a user unit, mm, for files without a real size.
    """
    try:
        old, new = read_document(found, "found"), read_document(wanted, "wanted")
    except UngapeError as error:
        yield Difference("", f"cannot be read: {error.problems[0].text}")
        return
    for a, b in zip(old.elements, new.elements, strict=False):
        if old.tag(a) != new.tag(b) or _depth(old, a) != _depth(new, b):
            yield Difference(new.path_of_labels(b), f"another element stands there: {old.path_of_labels(a)}")
            return
        yield from _element(old, new, a, user_unit)
    if len(old) != len(new):
        more, what = (old, "is too many") if len(old) > len(new) else (new, "is missing")
        yield Difference(more.path_of_labels(min(len(old), len(new))), what)


def _depth(document: Document, element: int) -> int:
    return sum(1 for _ in document.ancestors(element))


def _element(old: Document, new: Document, element: int, user_unit: float | None) -> Iterator[Difference]:
    """How one element differs, itself and where it lies."""
    where = new.path_of_labels(element)
    one, other = old.node(element), new.node(element)
    drawn = is_shape(new, element)
    measured = _SHAPE if drawn else _PLACING
    for name in dict.fromkeys([*map(str, one.attrib), *map(str, other.attrib)]):
        a, b = one.get(name), other.get(name)
        if a == b or (name in measured | _PLACING and a is not None and b is not None and _alike(a, b)):
            continue
        if a is None or b is None or not _close(a, b):
            yield Difference(where, f"{name} is {_unlike(a, b)}")
    for what in ("text", "tail"):
        a, b = (getattr(node, what) or "" for node in (one, other))
        if a != b and not _close(a, b):
            yield Difference(where, f"text is {_unlike(a, b)}")
    try:
        if drawn:
            yield from _drawing(
                where, read_drawing(old, element, user_unit), read_drawing(new, element, user_unit)
            )
        elif new.tag(element) in ("text", "tspan", "use", "image"):
            yield from _placing(where, old, new, element, user_unit)
    except UngapeError as error:
        if any(one.get(name) != other.get(name) for name in measured):
            yield Difference(where, f"cannot be measured: {error.problems[0].text}")


def _alike(one: str, other: str) -> bool:
    """Whether two values differ in numbers only."""
    return _NUMBER.sub("0", one) == _NUMBER.sub("0", other)


def _close(one: str, other: str) -> bool:
    """Whether two values differ in nothing but numbers, by no more than 0.002 as they stand."""
    return _alike(one, other) and all(
        abs(float(a) - float(b)) <= _MOST_MM
        for a, b in zip(_NUMBER.findall(one), _NUMBER.findall(other), strict=True)
        if a != b
    )


def _unlike(is_now: str | None, should_be: str | None) -> str:
    """Both values, long ones from a little before the first character in which they differ."""
    begin = 0
    if is_now is not None and should_be is not None and max(len(is_now), len(should_be)) > _LONGEST:
        pairs = enumerate(zip(is_now, should_be, strict=False))
        unlike = next((place for place, (a, b) in pairs if a != b), min(len(is_now), len(should_be)))
        begin = max(0, unlike - _LONGEST // 2)
    return f"{_short(is_now, begin)}, should be {_short(should_be, begin)}"


def _short(text: str | None, begin: int) -> str:
    if text is None:
        return "missing"
    shown = text[begin : begin + _LONGEST - 3]
    before, after = "…" if begin else "", "…" if len(text) > begin + len(shown) else ""
    return repr(text if len(text) <= _LONGEST else f"{before}{shown}{after}")


def _drawing(where: str, old: Drawing, new: Drawing) -> Iterator[Difference]:
    """Command by command, the way in which both are drawn."""
    count = 0
    for a, b in zip(old.subpaths, new.subpaths, strict=False):
        if abs(a.start - b.start) > _MOST_MM:
            yield Difference(where, f"command {count + 1} (M)", abs(a.start - b.start))
        for one, other in zip(a.commands, b.commands, strict=False):
            count += 1
            if len(one.segments) != len(other.segments) or any(
                type(s) is not type(t) for s, t in zip(one.segments, other.segments, strict=True)
            ):
                yield Difference(where, f"command {count} draws something else")
                continue
            apart = max(map(_apart, one.segments, other.segments), default=0.0)
            if apart > _MOST_MM:
                yield Difference(where, f"command {count} ({other.command.letter})", apart)
        if len(a.commands) != len(b.commands):
            yield Difference(where, f"has {len(a.commands)} commands, should have {len(b.commands)}")
    if len(old.subpaths) != len(new.subpaths):
        yield Difference(where, f"has {len(old.subpaths)} subpaths, should have {len(new.subpaths)}")


def _apart(one: Segment, other: Segment) -> float:
    """The largest distance between points of two segments of one kind, mm."""
    points = [abs(a - b) for a, b in zip(one.controls(), other.controls(), strict=False)]
    return max(*points, abs(one.point(0.5) - other.point(0.5)))


def _placing(
    where: str, old: Document, new: Document, element: int, user_unit: float | None
) -> Iterator[Difference]:
    """A thing that is placed by its own point and a matrix."""
    one, other = (matrix_of(document, element, user_unit) for document in (old, new))
    begin, end = (_own_point(document, element) for document in (old, new))
    reach = _REACH_MM / other.scale
    apart = max(abs(one(begin + step) - other(end + step)) for step in (0j, reach + 0j, 1j * reach))
    if apart > _MOST_MM:
        yield Difference(where, "lies elsewhere", apart)


def _own_point(document: Document, element: int) -> complex:
    numbers = [_NUMBER.match((document.get(element, name) or "0").strip()) for name in ("x", "y")]
    x, y = (float(number[0]) if number else 0.0 for number in numbers)
    return complex(x, y)
