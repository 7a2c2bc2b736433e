"""The outline that the shapes of a layer draw, and the inner lines that are left over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from transform.pattern.edges import outline_of
from transform.pattern.loops import DrawnLine, Link, closes_itself, gaps_of, largest_loop
from transform.pattern.model import Role
from transform.pattern.outline import Outline, Stretch
from transform.pattern.problems import Complaints
from transform.pattern.sizes_and_roles import Leaf
from transform.pattern.vocabulary import Vocabulary
from transform.svg.bounds import Box, box_of_points, extremes
from transform.svg.document import Document
from transform.svg.shapes import Drawing, read_drawing


@dataclass
class Drawings:
    """What the shapes of a document draw, each read once."""

    document: Document
    user_unit: float | None
    known: dict[int, Drawing] = field(default_factory=dict)

    def of(self, element: int) -> Drawing:
        """What a shape draws.

        Raises:
            PatternError: where it cannot be read.
        """
        if element not in self.known:
            self.known[element] = read_drawing(self.document, element, self.user_unit)
        return self.known[element]


@dataclass(frozen=True)
class LineSource:
    """An outline as the file draws it: the subpaths of each element that are part of it, in its order.

    ``layer`` is the element that carries the role; ``leftover`` are subpaths of the same elements or of
    others in the layer that are inner lines. ``drawers`` are by dart the elements that draw its legs into
    the outline, where several do: the outline holds these as one stretch.
    """

    role: Role
    outline: Outline
    layer: int
    subpaths: Mapping[int, tuple[int, ...]]
    leftover: Mapping[int, tuple[int, ...]]
    drawers: Mapping[str, tuple[Stretch, ...]] = field(default_factory=dict)


def drawn_lines(leaves: Sequence[Leaf], drawings: Drawings, vocabulary: Vocabulary) -> list[DrawnLine]:
    """Every subpath of the leaves that draws something, named by its edge."""
    found: list[DrawnLine] = []
    for leaf in leaves:
        words = leaf.label
        label = vocabulary.name(words) if words is not None else None
        for number, chain in enumerate(drawings.of(leaf.element).chains):
            if chain.segments:
                found.append(DrawnLine(leaf.element, number, chain, label))
    return found


def closed_box(leaves: Sequence[Leaf], drawings: Drawings, vocabulary: Vocabulary) -> Box | None:
    """The box of the closed line that leaves draw by themselves; None where they draw none."""
    lines = drawn_lines(leaves, drawings, vocabulary)
    loop = largest_loop(lines)
    return None if loop is None else _box([lines[link.line] for link in loop])


def read_line(
    role: Role, leaves: Sequence[Leaf], drawings: Drawings, vocabulary: Vocabulary, complaints: Complaints
) -> LineSource | None:
    """The one outline among the leaves of a role; None after a complaint.

    Every layer is looked at by itself first; shapes that carry the role one by one make a line together.
    """
    by_layer: dict[int, list[Leaf]] = {}
    for leaf in leaves:
        by_layer.setdefault(leaf.layer if leaf.layer is not None else leaf.element, []).append(leaf)
    lines: list[DrawnLine] = []
    loops: list[tuple[Link, ...]] = []
    homes: list[int] = []
    for layer, members in by_layer.items():
        drawn = drawn_lines(members, drawings, vocabulary)
        loop = largest_loop(drawn)
        if loop is not None:
            loops.append(tuple(Link(link.line + len(lines), link.flipped) for link in loop))
            homes.append(layer)
        lines.extend(drawn)
    if len(loops) > 1:
        places = "; ".join(complaints.document.path_of_labels(home) for home in homes)
        text = f"{len(loops)} elements could be the {role} of one piece and size: {places}; only one may be"
        complaints.say(homes[1], "two outlines", text)
        return None
    if not loops:
        together = largest_loop(lines)
        if together is None:
            _say_open(role, next(iter(by_layer)), lines, complaints)
            return None
        loops, homes = [together], [lines[together[0].line].element]
    return _source(role, lines, loops[0], homes[0], complaints)


def _source(
    role: Role, lines: Sequence[DrawnLine], loop: Sequence[Link], layer: int, complaints: Complaints
) -> LineSource | None:
    used = {link.line for link in loop}
    rest = [line for k, line in enumerate(lines) if k not in used]
    open_rest = [line for line in rest if not closes_itself(line.chain)]
    box, around = _box(open_rest), _box([lines[k] for k in used])
    if box is not None and around is not None and _size(box) > _size(around):
        # What is closed is smaller than what is left open: the outline itself has a gap.
        _say_open(role, layer, open_rest, complaints)
        return None
    outline, links = outline_of(lines, loop)
    subpaths: dict[int, tuple[int, ...]] = {}
    for link in links:
        line = lines[link.line]
        subpaths[line.element] = (*subpaths.get(line.element, ()), line.subpath)
    leftover: dict[int, tuple[int, ...]] = {}
    for line in rest:
        leftover[line.element] = (*leftover.get(line.element, ()), line.subpath)
    return LineSource(role, outline, layer, subpaths, leftover)


def _say_open(role: Role, layer: int, lines: Sequence[DrawnLine], complaints: Complaints) -> None:
    gaps = gaps_of(lines)
    if not gaps:
        complaints.say(layer, "no outline", f"the {role} draws no closed line")
        return
    document = complaints.document
    for gap in gaps:
        one, other = lines[gap.first], lines[gap.second]
        a, b = gap.points
        between = _called(one, document)
        if one != other:
            between += f" and {_called(other, document)}"
        text = (
            f"the {role} is open between {between}: a gap of {gap.width:.2f} mm from "
            f"({a.real:.2f}, {a.imag:.2f}) to ({b.real:.2f}, {b.imag:.2f}); at most 0.2 mm is allowed"
        )
        complaints.say(one.element, "gap", text)


def _called(line: DrawnLine, document: Document) -> str:
    if line.label is not None:
        return line.label
    return f"<{document.tag(line.element)}> in line {document.position(line.element)[0]}"


def _box(lines: Sequence[DrawnLine]) -> Box | None:
    return box_of_points(point for line in lines for s in line.chain.segments for point in extremes(s))


def _size(box: Box) -> float:
    return abs(complex(box.xmax - box.xmin, box.ymax - box.ymin))
