"""One piece in one size, put together from its lines, its marks and the rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import chain as every

from rules.labels import fold
from rules.model import EdgePath, Rules
from transform.geometry.chain import Chain, chain_of
from transform.pattern.carried_in import CarriedIn, TooTightError, allowances, carried_in
from transform.pattern.dart_marks import mark_centres
from transform.pattern.darts import (
    DartLines,
    NoDartError,
    begun_beside_darts,
    dart_of,
    drawn_in_darts,
    lies_within,
    with_mouth,
    with_whole_mouths,
)
from transform.pattern.drawn_lines import Drawings, LineSource
from transform.pattern.edges import with_labelled_darts, with_ruled_edges
from transform.pattern.gathering import Gathered
from transform.pattern.inner_groups import FileNames
from transform.pattern.items import ItemMaker, mark_items
from transform.pattern.marks import Mark, apexes_of, fold_of, grain_of, marks_of, named_corners
from transform.pattern.model import Dart, Item, Piece, Role
from transform.pattern.outline import Outline
from transform.pattern.problems import Complaints
from transform.pattern.sizes_and_roles import Leaf
from transform.pattern.sources import PieceSource
from transform.pattern.splits import with_splits
from transform.svg.shapes import Drawing


class PieceReader:
    """Reads one piece; complaints are noted, and what can be read is."""

    def __init__(
        self,
        gathered: Gathered,
        lines: Mapping[Role, LineSource],
        rules: Rules,
        names: FileNames,
        drawings: Drawings,
        complaints: Complaints,
        sizes: Sequence[str],
    ) -> None:
        """``sizes`` is the order of the design's sizes."""
        self.gathered = gathered
        self.lines = lines
        self.rules = rules
        self.names = names
        self.vocabulary = names.vocabulary
        self.drawings = drawings
        self.complaints = complaints
        self.sizes = sizes
        self.shared = frozenset(leaf.element for leaf in gathered.shared)
        self.leaves = [*gathered.others, *gathered.shared]
        self.drawn = lines.get(Role.STITCHING_LINE) or lines[Role.CUT_LINE]

    def read(self) -> PieceSource | None:
        """The piece; None where it cannot be put together, after complaints."""
        before = len(self.complaints.problems)
        corner_marks = self._marks(Role.CORNER_MARKS)
        outline = self.drawn.outline
        corners = named_corners(corner_marks, outline.chain, self.drawn.role.value, self.complaints)
        outline, _ = begun_beside_darts(self._with_edges(replace(outline, corners=corners)))
        darts, within = self._darts(outline)
        for dart in darts:
            if dart.elements:
                outline = with_mouth(outline, dart)
        outline, darts = begun_beside_darts(outline, darts)
        outline, drawers = with_whole_mouths(outline)
        fold_line = self._fold(outline)
        carried = self._carried_in(outline, darts, fold_line)
        if carried is None or len(self.complaints.problems) > before:
            return None
        grain = grain_of(self._chains(Role.GRAINLINE))
        maker = ItemMaker(self.drawings, self.vocabulary, carried.outline.chain, grain)
        apex_marks = self._marks(Role.APEX_MARK)
        items = mark_items(maker, [*corner_marks, *apex_marks], corners, self.shared)
        items.update(self._other_items(maker, items, {e for dart in darts for e in dart.elements}, within))
        piece = self._piece(outline, carried, items, apexes_of(apex_marks), grain, fold_line)
        return self._source(piece, replace(self.drawn, outline=outline, drawers=drawers), items)

    def _piece(
        self,
        outline: Outline,
        carried: CarriedIn,
        items: Mapping[int, tuple[Item, tuple[int, ...]]],
        apexes: Mapping[str, complex],
        grain: tuple[complex, complex] | None,
        fold_line: Chain | None,
    ) -> Piece:
        cut = self.lines.get(Role.CUT_LINE)
        stitched = Role.STITCHING_LINE in self.lines
        return Piece(
            name=self.gathered.name,
            size=self.gathered.size,
            file=self.drawings.document.name,
            label_path=self.drawings.document.path_of_labels(self.drawn.layer),
            stitching=carried.outline,
            stitching_drawn=stitched,
            cut=(cut.outline if stitched else outline) if cut is not None else None,
            darts=carried.darts,
            items=tuple(items[element][0] for element in sorted(items)),
            apexes=apexes,
            grain=grain,
            fold=fold_line,
        )

    def _source(
        self, piece: Piece, drawn: LineSource, items: Mapping[int, tuple[Item, tuple[int, ...]]]
    ) -> PieceSource:
        """``drawn`` is the line with the marks on it, as it was understood."""
        lines = {role: drawn if line is self.drawn else line for role, line in self.lines.items()}
        drawings: dict[int, Drawing] = {}
        for line in lines.values():
            for element in (*line.subpaths, *line.leftover):
                drawings[element] = with_splits(self.drawings.of(element), line.outline)
        dart_elements = [element for dart in piece.darts for element in dart.elements]
        for element in (*items, *dart_elements):
            if element not in drawings and element in self.drawings.known:
                drawings[element] = self.drawings.of(element)
        own = [leaf.element for leaf in self.gathered.others if leaf.role is Role.DARTS]
        shared = {d.name for d in piece.darts if any(element in self.shared for element in d.elements)}
        return PieceSource(
            document=self.drawings.document,
            piece=piece,
            lines=lines,
            drawings=drawings,
            item_subpaths={element: subpaths for element, (_, subpaths) in items.items()},
            dart_layer=max(own, default=None),
            shared_darts=frozenset(shared),
            new_layer_label=self._unsaid(),
            new_shape_labels=self._said_by_shapes(),
            unused_edges=bool(self._ruled_edges()) and self._is_labelled(self.lines[self.drawn.role].outline),
            user_unit=self.rules.user_unit,
        )

    def _unsaid(self) -> str | None:
        """What the groups around the outline's layer do not say of its piece and size."""
        leaf = next(leaf for leaf in self.gathered.lines if leaf.role is self.drawn.role)
        outside = [around.name for around in leaf.around if not around.inside]
        nearest_words = next((name.words for name in outside if name.words is not None), None)
        said = nearest_words is not None and fold(self.vocabulary.name(nearest_words)) == fold(
            self.gathered.name
        )
        words: list[str] = []
        if not said and self.names.piece is None:
            words.append(self.gathered.name)
        size = self.gathered.size
        if size is not None and size != self.names.size and not any(name.size for name in outside):
            words.append(f"size {size}")
        return " ".join(words) or None

    def _said_by_shapes(self) -> dict[int, str]:
        """By element of a line, what it says itself of piece, role and size, and no group around it does."""
        found: dict[int, str] = {}
        for leaf in self.gathered.lines:
            own, role = leaf.own, leaf.role
            if own is None or role is None:
                continue
            words: list[str] = []
            if own.role_words is not None:
                words.append(self.gathered.name)
            if leaf.layer == leaf.element:
                words.append(role.value)
            if own.size is not None and self.gathered.size not in (None, self.names.size):
                words.append(f"size {self.gathered.size}")
            if words:
                found[leaf.element] = " ".join(words)
        return found

    def _marks(self, role: Role) -> list[Mark]:
        return marks_of(self.leaves, role, self.drawings.document, self.drawings.user_unit, self.vocabulary)

    def _chains(self, role: Role) -> list[Chain]:
        shapes = [leaf for leaf in self.leaves if leaf.role is role and leaf.is_shape]
        return [c for leaf in shapes for c in self.drawings.of(leaf.element).chains if c.segments]

    def _with_edges(self, outline: Outline) -> Outline:
        paths = self._ruled_edges()
        if paths and not self._is_labelled(outline):
            return with_ruled_edges(
                outline,
                paths,
                self.vocabulary.is_dart,
                lambda kind, text: self.complaints.refusal(self.drawn.layer, kind, text),
            )
        return with_labelled_darts(outline, self.vocabulary.is_dart)

    def _is_labelled(self, outline: Outline) -> bool:
        """Whether every shape of the outline says itself which edge it is."""
        return all(stretch.edge is not None for stretch in outline.stretches)

    def _ruled_edges(self) -> list[EdgePath]:
        """The rules' edges of this piece, every name in the one spelling."""
        name = self.vocabulary.name
        found = [
            path
            for piece, paths in self.rules.edges.items()
            if fold(name(piece)) == fold(self.gathered.name)
            for path in paths
        ]
        return [
            replace(
                path, name=name(path.name), stretches=tuple(tuple(map(name, row)) for row in path.stretches)
            )
            for path in found
        ]

    def _darts(self, outline: Outline) -> tuple[list[Dart], set[int]]:
        """The darts of the piece; and elements of darts that lie within it and have no mouth."""
        found: list[Dart] = []
        within: set[int] = set()
        for lines in self._dart_lines():
            if lies_within(lines, outline.chain):
                within.update(lines.elements)
                continue
            try:
                found.append(dart_of(lines, outline, self.drawn.role.value))
            except NoDartError as error:
                self.complaints.say(lines.elements[0], "dart", str(error))
        known = {fold(dart.name) for dart in found}
        found.extend(dart for dart in drawn_in_darts(outline) if fold(dart.name) not in known)
        return found, within

    def _dart_lines(self) -> list[DartLines]:
        """What the darts layer draws, by name; a dart without a name is called dart, or by number."""
        groups: dict[str, list[Leaf]] = {}
        nameless: list[Leaf] = []
        for leaf in self.leaves:
            if leaf.role is Role.DARTS and leaf.is_shape:
                if leaf.label is None:
                    nameless.append(leaf)
                else:
                    groups.setdefault(self.vocabulary.name(leaf.label), []).append(leaf)
        for number, leaf in enumerate(nameless, 1):
            groups[f"dart {number}" if len(nameless) > 1 else "dart"] = [leaf]
        found: list[DartLines] = []
        for name, leaves in groups.items():
            shapes = [[c for c in self.drawings.of(leaf.element).chains if c.segments] for leaf in leaves]
            chains = tuple(chain for shape in shapes for chain in shape)
            if chains:
                elements = tuple(leaf.element for leaf in leaves)
                found.append(DartLines(name, elements, chains, mark_centres(shapes)))
        return found

    def _fold(self, outline: Outline) -> Chain | None:
        drawn = fold_of(self._chains(Role.FOLD_LINE))
        if drawn is not None:
            return drawn
        named = [s.chain for s in outline.stretches if s.edge is not None and self._names_fold(s.edge)]
        return chain_of(named) if named else None

    def _names_fold(self, edge: str) -> bool:
        return self.vocabulary.roles.get(fold(edge)) is Role.FOLD_LINE

    def _carried_in(
        self, outline: Outline, darts: Sequence[Dart], fold_line: Chain | None
    ) -> CarriedIn | None:
        if Role.STITCHING_LINE in self.lines:
            return CarriedIn(outline, tuple(darts))

        def of_edge(edge: str | None) -> float:
            return 0.0 if edge is not None and self._names_fold(edge) else self._allowance(edge)

        try:
            return carried_in(outline, darts, allowances(outline, of_edge), fold_line)
        except TooTightError as error:
            self.complaints.say(self.drawn.layer, "allowance", str(error))
            return None

    def _allowance(self, edge: str | None) -> float:
        """The rules' allowance of an edge in this size, mm."""
        asked = self.rules.allowance
        if asked is None:
            return 0.0
        amount = asked.default
        if edge is not None:
            name = self.vocabulary.name
            for key, by_edge in asked.by_edge.items():
                piece, slash, rest = key.partition("/")
                if fold(name(rest if slash else key)) != fold(edge):
                    continue
                if slash and fold(name(piece)) == fold(self.gathered.name):
                    amount = by_edge
                    break
                amount = amount if slash else by_edge
        return 0.0 if amount is None else amount.at(self.gathered.size or "", self.sizes)

    def _other_items(
        self,
        maker: ItemMaker,
        marks: Mapping[int, tuple[Item, tuple[int, ...]]],
        dart_elements: set[int],
        within: set[int],
    ) -> dict[int, tuple[Item, tuple[int, ...]]]:
        found: dict[int, tuple[Item, tuple[int, ...]]] = {}
        for leaf in self.leaves:
            if leaf.element in marks or (leaf.element in dart_elements and leaf.element not in within):
                continue
            found[leaf.element] = maker.item(leaf, shared=leaf.element in self.shared)
        by_element = {leaf.element: leaf for leaf in self.gathered.lines}
        for element, subpaths in every.from_iterable(line.leftover.items() for line in self.lines.values()):
            leaf = replace(by_element[element], role=None)
            found[element] = maker.item(leaf, shared=False, subpaths=subpaths)
        return found
