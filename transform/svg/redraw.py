"""New chains in the place of old subpaths: as edits that leave untouched commands their characters."""

from __future__ import annotations

from collections.abc import Sequence

from transform.geometry.chain import Chain
from transform.geometry.segments import Line
from transform.svg.document import Document
from transform.svg.edits import remove_attribute, remove_element, rename, set_attribute
from transform.svg.matching import Close, Drawn, Kept, Move, Step, closes, is_unaltered, steps_of
from transform.svg.namespaces import INKSCAPE, SODIPODI
from transform.svg.numbers import decimals_for, format_number
from transform.svg.pen import Pen, path_text
from transform.svg.problems import problem_at
from transform.svg.shapes import Drawing, Subpath
from transform.svg.splice import Edit
from transform.svg.tags import Attribute

_GEOMETRY = {
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "line": ("x1", "y1", "x2", "y2"),
    "polyline": ("points",),
    "polygon": ("points",),
}
_CONTRADICTING = (
    *(f"{{{INKSCAPE}}}{name}" for name in ("original-d", "path-effect", "original", "href", "radius")),
    *(f"{{{INKSCAPE}}}{name}" for name in ("flatsided", "rounded", "randomized")),
    *(f"{{{INKSCAPE}}}{name}" for name in ("connector-type", "connection-start", "connection-end")),
    *(f"{{{SODIPODI}}}{name}" for name in ("nodetypes", "type", "cx", "cy", "rx", "ry", "start", "end")),
    *(f"{{{SODIPODI}}}{name}" for name in ("open", "arc-type", "sides", "r1", "r2", "arg1", "arg2")),
    *(f"{{{SODIPODI}}}{name}" for name in ("expansion", "revolution", "radius", "argument", "t0")),
)


def contradicting(document: Document, element: int) -> tuple[str, ...]:
    """An editor's own copies of a shape's geometry, by the names as written: `redraw` drops them.

    They would undo a new shape, or say something else than it does.
    """
    found = (document.attribute(element, name) for name in _CONTRADICTING)
    return tuple(attribute.name for attribute in found if attribute is not None)


def redraw(document: Document, drawing: Drawing, new: Sequence[Sequence[Chain]]) -> list[Edit]:
    """The edits that draw ``new``: for each old subpath the chains (mm) that stand in its place.

    No chain drops the subpath, several split it. A shape of which nothing is left is removed. Lines,
    polylines and polygons stay what they are where the new chain allows it; other basic shapes become
    a path. A closed chain ends in ``Z``, save where the old subpath met itself without one.

    Raises:
        PatternError: where the shape has no bytes of its own.
        ValueError: where ``new`` does not fit the drawing, or a chain has a gap: a fault of ours.
    """
    if len(new) != len(drawing.subpaths):
        raise ValueError(f"{len(new)} lists of chains for {len(drawing.subpaths)} subpaths")
    if all(is_unaltered(old, chains) for old, chains in zip(drawing.subpaths, new, strict=True)):
        return []
    element = drawing.element
    if not any(new):
        return remove_element(document, element)
    steps = [steps_of(old, chains) for old, chains in zip(drawing.subpaths, new, strict=True)]
    if drawing.tag == "path":
        edits = _redraw_path(document, drawing, steps)
    elif drawing.tag == "line" and _is_one_line(new[0]):
        edits = _redraw_line(document, drawing, new[0][0])
    elif drawing.tag in ("polyline", "polygon") and _stays_points(drawing, new):
        edits = _redraw_points(document, drawing, steps[0][0])
    else:
        edits = rename(document, element, "path")
        for name in _GEOMETRY[drawing.tag]:
            edits += remove_attribute(document, element, name)
        text = path_text([chain for chains in new for chain in chains], drawing.matrix)
        edits += set_attribute(document, element, "d", text)
    if edits:
        for name in _CONTRADICTING:
            edits += remove_attribute(document, element, name)
    return edits


def _redraw_path(document: Document, drawing: Drawing, steps: list[list[list[Step]]]) -> list[Edit]:
    attribute = _written(document, drawing.element, "d")
    pen = Pen(drawing.matrix, attribute)
    for subpath, chains in zip(drawing.subpaths, steps, strict=True):
        for chain in chains:
            pen.follow(subpath, chain)
    commands = [command.command for subpath in drawing.subpaths for command in subpath.commands]
    head = attribute.raw_between(0, commands[0].span[0])
    tail = attribute.raw[attribute.raw_index(commands[-1].span[1]) :]
    return _replace(attribute, head + pen.text() + tail)


def _redraw_line(document: Document, drawing: Drawing, chain: Chain) -> list[Edit]:
    old, new = drawing.subpaths[0], chain.segments[0]
    inverse, decimals = drawing.matrix.inverse(), decimals_for(drawing.matrix)
    known = old.segments[0] if old.segments else Line(old.start, old.start)
    edits: list[Edit] = []
    for number, before, after in ((1, known.start, new.start), (2, known.end, new.end)):
        if before == after:
            continue
        point = inverse(after)
        for axis, value in (("x", point.real), ("y", point.imag)):
            text = format_number(value, decimals)
            name = f"{axis}{number}"
            if text != (document.get(drawing.element, name) or "0"):
                edits += set_attribute(document, drawing.element, name, text)
    return edits


def _is_one_line(chains: Sequence[Chain]) -> bool:
    if len(chains) != 1 or chains[0].closed or len(chains[0].segments) != 1:
        return False
    return isinstance(chains[0].segments[0], Line)


def _stays_points(drawing: Drawing, new: Sequence[Sequence[Chain]]) -> bool:
    if len(new[0]) != 1:
        return False
    chain = new[0][0]
    straight = all(isinstance(segment, Line) for segment in chain.segments)
    return straight and closes(drawing.subpaths[0], chain) == drawing.subpaths[0].closed


def _redraw_points(document: Document, drawing: Drawing, steps: list[Step]) -> list[Edit]:
    """The list of points, the characters of those that did not move kept."""
    attribute = _written(document, drawing.element, "points")
    subpath = drawing.subpaths[0]
    inverse, decimals = drawing.matrix.inverse(), decimals_for(drawing.matrix)
    parts: list[str] = []
    copied: int | None = None
    spans = [command.span for command in subpath.commands if command.span is not None]
    for step in steps:
        if isinstance(step, Close):
            break
        span, end = _vertex(subpath, step)
        if span is None:
            point = inverse(end)
            x, y = format_number(point.real, decimals), format_number(point.imag, decimals)
            parts.append(f"{' ' if parts else ''}{x},{y}")
            copied = None
            continue
        if copied is not None and not attribute.value[copied : span[0]].strip(" \t\r\n\f,"):
            parts.append(attribute.raw_between(copied, span[1]))
        else:
            parts.append((" " if parts else "") + attribute.raw_between(*span))
        copied = span[1]
    head = attribute.raw_between(0, spans[0][0])
    tail = attribute.raw[attribute.raw_index(spans[-1][1]) :]
    return _replace(attribute, head + "".join(parts) + tail)


def _vertex(subpath: Subpath, step: Move | Kept | Drawn) -> tuple[tuple[int, int] | None, complex]:
    """The characters of the point to which a step leads, None for a new one, and the point in mm."""
    if isinstance(step, Move):
        return subpath.commands[0].span if step.kept else None, step.point
    if isinstance(step, Drawn):
        return None, step.segment.end
    return subpath.commands[step.index].span, step.segments[-1].end if step.segments else 0j


def _written(document: Document, element: int, name: str) -> Attribute:
    attribute = document.attribute(element, name)
    if attribute is None or attribute.span is None:
        document.start_tag(element)
        text = f"{name} comes out of an entity of the document type, so it has no characters of its own"
        raise problem_at(document, element, "entity", f"{text}: resolve the entities when saving")
    return attribute


def _replace(attribute: Attribute, raw: str) -> list[Edit]:
    if raw == attribute.raw or attribute.span is None:
        return []
    return [Edit(*attribute.span, raw)]
