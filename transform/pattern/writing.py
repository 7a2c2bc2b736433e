"""An altered piece as edits of the elements that draw it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Line
from transform.pattern.altered import AlteredPiece, Change, Redrawn, Removed, Shifted
from transform.pattern.corners import REACH
from transform.pattern.dart_marks import mark_centres, motion_of_mark
from transform.pattern.model import Dart, Item, Piece, Role, Way
from transform.pattern.outline import Outline, Stretch
from transform.pattern.problems import Complaints
from transform.pattern.reading import Reading
from transform.pattern.sources import PieceSource
from transform.pattern.written_darts import CutLines, new_dart_chain, redrawn_dart
from transform.pattern.written_lines import NewShape, written_lines
from transform.svg.document import Document
from transform.svg.edits import element_text, insert_after, remove_element
from transform.svg.likeness import NewLabel, label_attribute, new_id, style_of
from transform.svg.pen import path_text
from transform.svg.placing import turn_element
from transform.svg.problems import PatternError, problem_at
from transform.svg.redraw import redraw
from transform.svg.shapes import Drawing, is_shape
from transform.svg.splice import Edit
from transform.svg.viewport import matrix_of

_REDRAWN_AS_THEY_ARE = ("path", "line", "polyline", "polygon")

Lines = dict[int, dict[int, tuple[Chain, ...]]]
"""By element and subpath the chains that take its place."""


def edits_for(
    document: Document, reading: Reading, piece: Piece, altered: AlteredPiece, taken: set[str] | None = None
) -> list[Edit]:
    """The edits that write one altered piece; none where nothing is altered.

    ``taken`` are ids that other edits of the document use already; those used here are added.

    Raises:
        PatternError: where something cannot be written.
    """
    return _Writer(document, reading.source_of(piece), altered, set() if taken is None else taken).edits()


class _Writer:
    def __init__(
        self, document: Document, source: PieceSource, altered: AlteredPiece, taken: set[str]
    ) -> None:
        self.document = document
        self.source = source
        self.piece = source.piece
        self.altered = altered
        self.taken = taken
        self.lines: Lines = {}
        self.new_shapes: list[NewShape] = []
        self.found: list[Edit] = []

    def edits(self) -> list[Edit]:
        self._refuse_marks_left_behind()
        for role, outline in self._outlines():
            lines, shapes = written_lines(self.source.lines[role], outline, self.source.drawings)
            self.lines.update(lines)
            self.new_shapes.extend(shapes)
        by_element = {item.element: item for item in self.piece.items}
        for element in sorted(self.altered.items):
            self._item(by_element[element], self.altered.items[element])
        for name in sorted(self.altered.darts):
            self._dart(self.altered.darts[name])
        for dart in self.piece.darts:
            if dart.name in self.altered.darts_gone:
                self._dart_gone(dart)
        for element in sorted(self.lines):
            drawing = self.source.drawings[element]
            self.found += redraw(self.document, drawing, _with(drawing, self.lines[element]))
        for shape in self.new_shapes:
            self._new_shape(shape)
        return self.found

    def _outlines(self) -> list[tuple[Role, Outline]]:
        found: list[tuple[Role, Outline]] = []
        if self.altered.stitching is not None and self.piece.stitching_drawn:
            found.append((Role.STITCHING_LINE, self.altered.stitching))
        if self.altered.cut is not None and Role.CUT_LINE in self.source.lines:
            found.append((Role.CUT_LINE, self._with_drawn_darts(self.altered.cut)))
        return found

    def _with_drawn_darts(self, cut: Outline) -> Outline:
        """The new cut line; where it alone draws the piece and a dart was drawn into it, still drawn so."""
        if self.piece.stitching_drawn:
            return cut
        points = {dart.name: dart.point for dart in self.piece.darts if dart.drawn_in}
        points.update((dart.name, dart.point) for dart in self.altered.darts.values() if dart.name in points)
        stretches: list[Stretch] = []
        for stretch in cut.stretches:
            point = points.get(stretch.dart or "")
            if point is not None and not stretch.drawn_in and stretch.chain.segments:
                legs = Line(stretch.chain.start, point), Line(point, stretch.chain.end)
                stretch = replace(stretch, chain=Chain(legs), drawn_in=True)
            stretches.append(stretch)
        return replace(cut, stretches=tuple(stretches))

    def _refuse_marks_left_behind(self) -> None:
        """Corner marks outside all sizes never move: where their corner goes, they would mean nothing."""
        old, new = self.piece.stitching, self.altered.stitching
        complaints = Complaints(self.document)
        for item in self.piece.items:
            name = item.corner
            if not item.shared or name is None or new is None or name not in new.corners:
                continue
            gone = abs(new.chain.point(new.corners[name]) - old.chain.point(old.corners[name]))
            if gone > REACH:
                text = (
                    f"corner mark {name} stands outside all sizes, so it never moves, but its corner moves "
                    f"by {gone:.1f} mm in size {self.piece.size}: draw the corner marks in each size"
                )
                complaints.say(item.element, "corner mark", text)
        if complaints.problems:
            raise PatternError(complaints.ordered())

    # Items -------------------------------------------------------------------------------------

    def _item(self, item: Item, change: Change) -> None:
        element = item.element
        drawing = self.source.drawings.get(element)
        is_part_of_line = any(element in line.subpaths for line in self.source.lines.values())
        if isinstance(change, Redrawn):
            self._lines_of(item, change.chains)
        elif isinstance(change, Removed):
            if drawing is not None:
                self._lines_of(item, [()] * len(item.chains))
            else:
                self.found += remove_element(self.document, element)
        elif isinstance(change, Shifted) or item.way is Way.UPRIGHT:
            vector = change.vector if isinstance(change, Shifted) else change.motion(item.place) - item.place
            self._turn(element, Motion(shift=vector))
        elif drawing is not None and (
            is_part_of_line or (item.way is not Way.TRANSFORM and drawing.tag in _REDRAWN_AS_THEY_ARE)
        ):
            self._lines_of(item, [(chain.moved(change.motion),) for chain in item.chains])
        else:
            self._turn(element, change.motion)

    def _turn(self, element: int, motion: Motion) -> None:
        self.found += turn_element(self.document, element, motion, self.source.user_unit)

    def _lines_of(self, item: Item, chains: Sequence[tuple[Chain, ...]]) -> None:
        subpaths = self.source.item_subpaths[item.element]
        self.lines.setdefault(item.element, {}).update(zip(subpaths, chains, strict=True))

    # Darts -------------------------------------------------------------------------------------

    def _dart(self, dart: Dart) -> None:
        old = next((each for each in self.piece.darts if each.name == dart.name), None)
        if old is None:
            if not dart.drawn_in:
                self._new_dart(dart)
            return
        if (old.point, old.legs) == (dart.point, dart.legs):
            return
        self._refuse_shared(old)
        drawings = self.source.drawings
        centres = mark_centres([drawings[element].chains for element in old.elements])
        if centres:
            for element, centre in zip(old.elements, centres, strict=True):
                self._dart_mark(element, motion_of_mark(centre, old, dart))
            return
        cut = self._cut_lines()
        for element in old.elements:
            drawing = drawings[element]
            self.lines[element] = {
                number: (redrawn_dart(subpath.chain, old, dart, cut),)
                for number, subpath in enumerate(drawing.subpaths)
                if subpath.segments
            }

    def _dart_gone(self, dart: Dart) -> None:
        """A dart that was taken out is drawn no more."""
        if dart.elements:
            self._refuse_shared(dart)
        for element in dart.elements:
            subpaths = self.source.drawings[element].subpaths
            self.lines[element] = {number: () for number, each in enumerate(subpaths) if each.segments}

    def _refuse_shared(self, dart: Dart) -> None:
        if dart.name in self.source.shared_darts:
            text = (
                f"dart {dart.name} stands outside all sizes, so it cannot change in one of them: "
                "draw it in each size"
            )
            raise problem_at(self.document, dart.elements[0], "shared dart", text)

    def _dart_mark(self, element: int, motion: Motion) -> None:
        drawing = self.source.drawings[element]
        if motion.is_identity:
            return
        if drawing.tag not in _REDRAWN_AS_THEY_ARE:
            self._turn(element, motion)
            return
        self.lines[element] = {
            number: (subpath.chain.moved(motion),)
            for number, subpath in enumerate(drawing.subpaths)
            if subpath.segments
        }

    def _cut_lines(self) -> CutLines | None:
        if self.piece.cut is None:
            return None
        new = self.altered.cut if self.altered.cut is not None else self.piece.cut
        return CutLines(self.piece.cut.chain, new.chain)

    def _new_dart(self, dart: Dart) -> None:
        cut = self._cut_lines()
        chain = new_dart_chain(dart, cut.new if cut is not None and not self.piece.stitching_drawn else None)
        beside = self.source.dart_layer
        if beside is not None:
            self.found += insert_after(self.document, beside, self._shape_text(beside, dart.name, chain))
            return
        self._new_dart_layer(dart, chain)

    def _new_dart_layer(self, dart: Dart, chain: Chain) -> None:
        """A darts layer beside that of the outline, with the one dart in it."""
        document = self.document
        line = self.source.lines.get(Role.STITCHING_LINE) or self.source.lines[Role.CUT_LINE]
        layer, shape = line.layer, min(line.subpaths)
        parent = document.parent(layer)
        around = 0 if parent is None else parent
        is_group = not is_shape(document, layer)
        label = self._label(layer, Role.DARTS.value)
        attributes = {**label.attributes, **(_look(document, layer) if is_group else {})}
        matrix = matrix_of(document, layer, self.source.user_unit)
        name = self._label(shape, dart.name)
        style = style_of(document, shape) if is_group else _look(document, shape)
        inner = element_text(
            document,
            around,
            "path",
            {**name.attributes, **style, "d": path_text([chain], matrix)},
            title=name.title,
        )
        if self.source.new_layer_label is not None:
            words = self._label(layer, self.source.new_layer_label)
            inner = element_text(document, around, "g", words.attributes, inner, title=words.title)
        self.found += insert_after(
            document, layer, element_text(document, around, "g", attributes, inner, title=label.title)
        )

    # New shapes --------------------------------------------------------------------------------

    def _new_shape(self, shape: NewShape) -> None:
        text = self._shape_text(shape.neighbour, shape.name, shape.chain)
        words = self.source.new_shape_labels.get(shape.neighbour)
        if words is not None:
            label = self._label(shape.neighbour, words)
            parent = self.document.parent(shape.neighbour) or 0
            text = element_text(self.document, parent, "g", label.attributes, text, title=label.title)
        self.found += insert_after(self.document, shape.neighbour, text)

    def _shape_text(self, neighbour: int, name: str | None, chain: Chain) -> str:
        """A new path beside a shape, that looks like it and is labelled in its way."""
        document = self.document
        parent = document.parent(neighbour)
        label = self._label(neighbour, name) if name is not None else NewLabel({"id": self._id("line")})
        matrix = matrix_of(document, neighbour, self.source.user_unit)
        attributes = {**label.attributes, **_look(document, neighbour), "d": path_text([chain], matrix)}
        return element_text(document, parent or 0, "path", attributes, title=label.title)

    def _label(self, neighbour: int, words: str) -> NewLabel:
        label = label_attribute(self.document, neighbour, words, self.taken)
        self.taken.update(value for name, value in label.attributes.items() if name == "id")
        return label

    def _id(self, wish: str) -> str:
        name = new_id(self.document, wish, self.taken)
        self.taken.add(name)
        return name


def _look(document: Document, element: int) -> dict[str, str]:
    """How an element looks, and the transform in which its lines are as wide as they are."""
    transform = {
        name: value
        for name in ("transform", "transform-origin")
        if (value := document.get(element, name)) is not None
    }
    return {**style_of(document, element), **transform}


def _with(drawing: Drawing, lines: Mapping[int, tuple[Chain, ...]]) -> list[tuple[Chain, ...]]:
    """The chains of every subpath: the new ones, or what is there."""
    return [lines.get(number, (subpath.chain,)) for number, subpath in enumerate(drawing.subpaths)]
