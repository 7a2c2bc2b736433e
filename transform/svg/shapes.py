"""Drawings: what a shape of SVG draws, in mm, command by command, so that it can be written back.

Path, rect, circle, ellipse, line, polyline and polygon; ``use`` is none of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import cast

from transform.geometry.chain import Chain
from transform.geometry.motion import Affine
from transform.geometry.segments import Arc, Line, Segment
from transform.svg.css import refuse_css
from transform.svg.document import Document
from transform.svg.lengths import Size, read_length
from transform.svg.pathdata import Command, PathDataError, read_path, read_points
from transform.svg.problems import PatternError, problem_at
from transform.svg.viewport import viewport_of

SHAPES = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon")
TEMPLATES = (
    "defs",
    "symbol",
    "clipPath",
    "mask",
    "marker",
    "pattern",
    "linearGradient",
    "radialGradient",
    "filter",
)
"""Elements whose content is not drawn where it stands."""
FARTHEST = 100_000.0
"""Nothing that is read lies farther than this (mm) from the corner of the sheet."""
NOTHING = 1e-9
"""What is shorter than this (mm) has no length."""
CLOSED = 2e-7
"""A subpath whose ends lie nearer than this (mm) is closed by ``Z`` without a line: so near are points
that were rounded when they were written."""


@dataclass(frozen=True, slots=True)
class DrawnCommand:
    """One command and what it draws in mm; nothing for a move, and for what has no length.

    ``command`` is the command in the drawing's own units. ``span`` are its characters in the
    attribute's value (``d`` or ``points``); None for the basic shapes that have no such list. An arc
    that the matrix distorts is several cubics.
    """

    command: Command
    span: tuple[int, int] | None
    segments: tuple[Segment, ...]


@dataclass(frozen=True)
class Subpath:
    """One subpath; ``closed`` where it ends in ``Z``; ``start`` is its first point in mm."""

    commands: tuple[DrawnCommand, ...]
    closed: bool
    start: complex

    @cached_property
    def segments(self) -> tuple[Segment, ...]:
        """Everything that it draws, in mm; a closing line too, where ``Z`` draws one."""
        return tuple(segment for command in self.commands for segment in command.segments)

    @cached_property
    def chain(self) -> Chain:
        """Everything that it draws, as a chain in mm."""
        return Chain(self.segments, self.closed)


@dataclass(frozen=True)
class Drawing:
    """A shape of a document: ``matrix`` leads from its own units to mm."""

    element: int
    tag: str
    matrix: Affine
    subpaths: tuple[Subpath, ...]

    @property
    def chains(self) -> tuple[Chain, ...]:
        """The chains of the subpaths, in mm."""
        return tuple(subpath.chain for subpath in self.subpaths)

    def with_split(self, segment: Segment, parts: Sequence[Segment]) -> Drawing:
        """The same drawing where ``segment`` is known as ``parts``, laid end to end.

        Where all parts stand in a new chain unaltered, one after the other, the writer knows that the
        command did not change.

        Raises:
            KeyError: where no command draws that segment.
        """
        for s, subpath in enumerate(self.subpaths):
            for c, command in enumerate(subpath.commands):
                for k, drawn in enumerate(command.segments):
                    if drawn == segment:
                        segments = (*command.segments[:k], *parts, *command.segments[k + 1 :])
                        changed = replace(command, segments=segments)
                        commands = (*subpath.commands[:c], changed, *subpath.commands[c + 1 :])
                        new = Subpath(commands, subpath.closed, subpath.start)
                        return replace(self, subpaths=(*self.subpaths[:s], new, *self.subpaths[s + 1 :]))
        raise KeyError(segment)


def is_shape(document: Document, element: int) -> bool:
    """Whether the element is one of the seven shapes."""
    return document.tag(element) in SHAPES


def is_template(document: Document, element: int) -> bool:
    """Whether the element is, or stands in, something that is not drawn where it stands (``defs``, …)."""
    return any(document.tag(each) in TEMPLATES for each in (element, *document.ancestors(element)))


def read_drawing(document: Document, element: int, user_unit: float | None) -> Drawing:
    """What a shape draws, in mm of the root viewport.

    Raises:
        PatternError: where the element is no shape, its geometry cannot be read or comes from CSS, or
            it has no matrix to mm.
    """
    key = ("drawing", element, user_unit)
    if key not in document.memo:
        document.memo[key] = _read_drawing(document, element, user_unit)
    return cast(Drawing, document.memo[key])


def _read_drawing(document: Document, element: int, user_unit: float | None) -> Drawing:
    tag = document.tag(element)
    if tag not in SHAPES:
        text = f"<{tag}> is no shape; shapes are {', '.join(SHAPES)}"
        raise problem_at(document, element, "not a shape", text)
    refuse_css(document, element)
    viewport = viewport_of(document, element, user_unit)
    if tag == "path":
        commands = _path_commands(document, element)
    elif tag in ("polyline", "polygon"):
        commands = _point_commands(document, element, closed=tag == "polygon")
    else:
        commands = _basic_commands(document, element, tag, viewport.size)
    try:
        subpaths = _subpaths(commands, viewport.content, tag)
        near = all(_is_near(segment) for subpath in subpaths for segment in subpath.segments)
    except OverflowError:
        near = False
    if not near:
        text = f"a line that leads farther than {FARTHEST / 1000:.0f} m away: no pattern is so large"
        raise problem_at(document, element, "too far away", text)
    return Drawing(element, tag, viewport.content, subpaths)


def _is_near(segment: Segment) -> bool:
    """Whether nothing of the segment lies farther than `FARTHEST` from the corner of the sheet."""
    points = [segment.point(k / 8) for k in range(9)] if isinstance(segment, Arc) else segment.controls()
    return all(-FARTHEST <= p.real <= FARTHEST and -FARTHEST <= p.imag <= FARTHEST for p in points)


def path_data_error(document: Document, element: int, name: str, error: PathDataError) -> PatternError:
    """The error of an attribute, at the very character."""
    line, column = document.position(element)
    attribute = document.attribute(element, name)
    if attribute is not None and attribute.span is not None:
        raw = attribute.raw[: attribute.raw_index(error.offset)]
        line, column = document.position_at(attribute.span[0] + len(document.encoding.encode(raw)))
    text = f"{name}: {error}"
    return problem_at(document, element, "path data", text, line=line, column=column)


def _path_commands(document: Document, element: int) -> list[tuple[Command, tuple[int, int] | None]]:
    try:
        return [(command, command.span) for command in read_path(document.get(element, "d") or "")]
    except PathDataError as error:
        raise path_data_error(document, element, "d", error) from error


def _point_commands(
    document: Document, element: int, *, closed: bool
) -> list[tuple[Command, tuple[int, int] | None]]:
    try:
        points = read_points(document.get(element, "points") or "")
    except PathDataError as error:
        raise path_data_error(document, element, "points", error) from error
    commands: list[tuple[Command, tuple[int, int] | None]] = []
    before = points[0][0] if points else 0j
    for place, (point, span) in enumerate(points):
        commands.append((Command("L" if place else "M", False, span, before, point), span))
        before = point
    if closed and points:
        commands.append((Command("Z", False, (0, 0), before, points[0][0]), None))
    return commands


def _basic_commands(
    document: Document, element: int, tag: str, size: Size
) -> list[tuple[Command, tuple[int, int] | None]]:
    def read(name: str, axis: str, default: str | None = "0") -> float | None:
        text = document.get(element, name)
        text = default if text is None or text == "auto" else text
        if text is None:
            return None
        try:
            value = read_length(text, axis, size)
        except ValueError as error:
            raise problem_at(document, element, "length", f"{name}: {error}") from error
        if value < 0 and name in ("width", "height", "r", "rx", "ry"):
            raise problem_at(document, element, "length", f"{name}: {text!r} is below nought")
        return value

    def length(name: str, axis: str) -> float:
        return read(name, axis) or 0.0

    if tag == "line":
        points = complex(length("x1", "x"), length("y1", "y")), complex(length("x2", "x"), length("y2", "y"))
        return _plain([Line(*points)], points[0], closed=False)
    if tag == "rect":
        corner = complex(length("x", "x"), length("y", "y"))
        sides = complex(length("width", "x"), length("height", "y"))
        rx, ry = read("rx", "x", None), read("ry", "y", None)
        rx, ry = (ry if rx is None else rx) or 0.0, (rx if ry is None else ry) or 0.0
        radii = min(rx, sides.real / 2), min(ry, sides.imag / 2)
        return _rect(corner, sides, complex(*radii) if all(radii) else 0j)
    centre = complex(length("cx", "x"), length("cy", "y"))
    if tag == "circle":
        return _ellipse(centre, length("r", "r"), length("r", "r"))
    rx, ry = read("rx", "x", None), read("ry", "y", None)
    return _ellipse(centre, (ry if rx is None else rx) or 0.0, (rx if ry is None else ry) or 0.0)


def _rect(corner: complex, sides: complex, radii: complex) -> list[tuple[Command, tuple[int, int] | None]]:
    """SVG 2, 10.2: from the upper left corner to the right and round; quarter ellipses at the corners."""
    w, h = sides.real + 0j, sides.imag * 1j
    rx, ry = radii.real + 0j, radii.imag * 1j
    if not radii:
        a, b, c, d = corner, corner + w, corner + w + h, corner + h
        return _plain([Line(a, b), Line(b, c), Line(c, d), Line(d, a)], corner, closed=True)
    stops = [
        (corner + rx, corner + w - rx),
        (corner + w + ry, corner + w + h - ry),
        (corner + w + h - rx, corner + h + rx),
        (corner + h - ry, corner + ry),
    ]
    segments: list[Segment] = []
    for place, (first, last) in enumerate(stops):
        following = stops[(place + 1) % 4][0]
        segments += [Line(first, last), Arc(last, following, radii.real, radii.imag, 0.0, False, True)]
    return _plain(segments, stops[0][0], closed=True)


def _ellipse(centre: complex, rx: float, ry: float) -> list[tuple[Command, tuple[int, int] | None]]:
    """SVG 2, 10.3 and 10.4: from the right end of the x axis through the y axis and round."""
    stops = [centre + rx, centre + ry * 1j, centre - rx, centre - ry * 1j]
    segments: list[Segment] = []
    for place, first in enumerate(stops):
        last = stops[(place + 1) % 4]
        segments.append(Arc(first, last, rx, ry, 0.0, False, True) if rx and ry else Line(first, last))
    return _plain(segments, stops[0], closed=True)


def _plain(
    segments: Sequence[Segment], start: complex, *, closed: bool
) -> list[tuple[Command, tuple[int, int] | None]]:
    commands: list[tuple[Command, tuple[int, int] | None]] = [
        (Command("M", False, (0, 0), start, start), None)
    ]
    for segment in segments:
        arc = (segment.rx, segment.ry, 0.0, False, True) if isinstance(segment, Arc) else None
        letter = "A" if arc else "L"
        commands.append((Command(letter, False, (0, 0), segment.start, segment.end, (), arc), None))
    if closed:
        commands.append((Command("Z", False, (0, 0), start, start), None))
    return commands


def _subpaths(
    commands: Sequence[tuple[Command, tuple[int, int] | None]], matrix: Affine, tag: str
) -> tuple[Subpath, ...]:
    found: list[Subpath] = []
    current: list[DrawnCommand] = []
    start = 0j

    def finish(*, closed: bool) -> None:
        if current:
            found.append(Subpath(tuple(current), closed, start))
            current.clear()

    for command, span in commands:
        if command.kind == "M":
            finish(closed=False)
        if not current:
            start = matrix(command.end if command.kind == "M" else command.start)
        current.append(DrawnCommand(command, span, _drawn(command, matrix)))
        if command.kind == "Z":
            finish(closed=True)
    finish(closed=False)
    return tuple(found)


def _drawn(command: Command, matrix: Affine) -> tuple[Segment, ...]:
    segment = command.segment()
    if segment is None:
        return ()
    drawn = segment.mapped(matrix)
    start = drawn[0].start
    if isinstance(segment, Arc):
        # An arc between points that all but meet is next to nothing, or else nearly the whole ellipse.
        vanishes = abs(drawn[-1].end - start) <= NOTHING and not segment.large
    else:
        near = CLOSED if command.kind == "Z" else NOTHING
        vanishes = all(abs(point - start) <= near for point in drawn[0].controls())
    return () if vanishes else drawn
