"""A document read as pattern pieces, with all that is needed to write them back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from rules.labels import fold
from rules.model import Find, Rules
from rules.problems import Problem, nearest
from transform.pattern.drawn_lines import Drawings, LineSource, closed_box, read_line
from transform.pattern.gathering import Gathered, gather_lines, gather_others
from transform.pattern.inner_groups import FileNames, size_of
from transform.pattern.labelled import found_labels
from transform.pattern.model import Piece, Role
from transform.pattern.piece_reading import PieceReader
from transform.pattern.problems import Complaints
from transform.pattern.settling import LINES, settled
from transform.pattern.sizes_and_roles import Drawn, Leaf, leaves_of
from transform.pattern.sources import PieceSource
from transform.pattern.vocabulary import Vocabulary, vocabulary_of
from transform.pattern.whereabouts import Ground, Whereabouts
from transform.sizes import natural_order
from transform.svg.bounds import target_of
from transform.svg.document import Document
from transform.svg.labels import label_of
from transform.svg.problems import PatternError

NOTHING_NEEDED = "lies in no piece: it stays as it is"
"""What is said of an element that seems to be meant for no piece."""


@dataclass(frozen=True, slots=True)
class Placed:
    """What an element was taken for, and why."""

    element: int
    what: str
    why: str


@dataclass(frozen=True, slots=True)
class Unplaced:
    """What could not be placed (None: it is no element of this file), and what would be needed."""

    element: int | None
    what: str
    needed: str


@dataclass(frozen=True)
class Reading:
    """The pieces of one file in document order, each with its source.

    ``apart`` is what belongs to no piece, ``idle`` are the entries of ``find`` that match nothing, ``found``
    the labels that ``find`` gives, by element.
    """

    document: Document
    pieces: tuple[Piece, ...]
    sources: tuple[PieceSource, ...]
    apart: Drawn
    idle: tuple[Find, ...]
    names: FileNames
    found: Mapping[int, Sequence[tuple[str, ...]]]

    @property
    def sizes(self) -> tuple[str, ...]:
        """The sizes that the file holds, in natural order."""
        return tuple(natural_order(piece.size for piece in self.pieces if piece.size is not None))

    @cached_property
    def left(self) -> tuple[Leaf, ...]:
        """The leaves that belong to no piece, in document order."""
        leaves = [*self.apart.leaves]
        for crowd in self.apart.crowds:
            leaves += (crowd.leaf(self.document, element) for element in crowd.elements.tolist())
        return tuple(sorted(leaves, key=lambda leaf: leaf.element))

    @cached_property
    def placed(self) -> tuple[Placed, ...]:
        """What every element of a piece was taken for."""
        return tuple(each for source in self.sources for each in _placed(source, self))

    @cached_property
    def unplaced(self) -> tuple[Unplaced, ...]:
        """What could not be placed, and what would be needed."""
        idle = [
            Unplaced(None, f"find: {entry.label}", f"{entry.selector!r} matches nothing in this file")
            for entry in self.idle
        ]
        return (
            *idle,
            *(Unplaced(leaf.element, _what(leaf), _needed(leaf, self)) for leaf in self.left),
        )

    def source_of(self, piece: Piece) -> PieceSource:
        """Where a piece came from.

        Raises:
            KeyError: where it is none of this reading's pieces.
        """
        for source in self.sources:
            if source.piece is piece:
                return source
        raise KeyError(piece.name)


def read_pieces(
    document: Document,
    rules: Rules,
    *,
    size: str | None = None,
    piece: str | None = None,
    sizes: Sequence[str] = (),
) -> Reading:
    """The pieces of a document.

    ``size`` and ``piece`` are what the file's name says, None where it says nothing; ``sizes`` is the order
    of the design's sizes, for allowances that grow with them. A piece outside all sizes has size None.

    Raises:
        UngapeError: with every problem of the file.
    """
    reading, problems = examine_pieces(document, rules, size=size, piece=piece, sizes=sizes)
    if problems:
        raise PatternError(problems)
    return reading


def examine_pieces(
    document: Document,
    rules: Rules,
    *,
    size: str | None = None,
    piece: str | None = None,
    sizes: Sequence[str] = (),
) -> tuple[Reading, tuple[Problem, ...]]:
    """The pieces that can be read, and every problem of the file: for those who want to see both.

    Raises:
        UngapeError: where a selector of the rules cannot be read.
    """
    vocabulary = vocabulary_of(rules, size)
    found, idle = found_labels(document, rules)
    drawn = settled(leaves_of(document, vocabulary, found))
    names = FileNames(size, vocabulary.name(piece) if piece is not None else None, vocabulary)
    complaints = Complaints(document)
    drawings = Drawings(document, rules.user_unit)
    pieces: list[Piece] = []
    sources: list[PieceSource] = []
    apart = Drawn((), ())
    with complaints.kept():
        gathered = gather_lines(
            drawn.leaves, names, lambda group: closed_box(group, drawings, vocabulary), complaints
        )
        lines = {key: _lines(each, drawings, vocabulary, complaints) for key, each in gathered.items()}
        grounds = {key: Ground(found_lines) for key, found_lines in lines.items() if found_lines}
        apart = gather_others(drawn, document, names, gathered, Whereabouts(drawings, grounds))
        order = (
            tuple(sizes) or rules.sizes or tuple(natural_order(g.size for g in gathered.values() if g.size))
        )
        for key, each in gathered.items():
            if lines[key]:
                with complaints.kept():
                    reader = PieceReader(each, lines[key], rules, names, drawings, complaints, order)
                    read = reader.read()
                    if read is not None:
                        pieces.append(read.piece)
                        sources.append(read)
    reading = Reading(document, tuple(pieces), tuple(sources), apart, tuple(idle), names, found)
    return reading, complaints.ordered()


def _lines(
    gathered: Gathered, drawings: Drawings, vocabulary: Vocabulary, complaints: Complaints
) -> dict[Role, LineSource]:
    """The outlines of a piece by role; empty where one of them cannot be read."""
    found: dict[Role, LineSource] = {}
    for role in LINES:
        leaves = [leaf for leaf in gathered.lines if leaf.role is role]
        if leaves:
            source: LineSource | None = None
            with complaints.kept():
                source = read_line(role, leaves, drawings, vocabulary, complaints)
            if source is None:
                return {}
            found[role] = source
    return found


def _placed(source: PieceSource, reading: Reading) -> Iterator[Placed]:
    piece = source.piece
    of = f"{piece.name}, size {piece.size}" if piece.size is not None else f"{piece.name}, outside all sizes"
    for role, line in source.lines.items():
        label = label_of(reading.document, line.layer)
        layer = f"the layer {label!r}" if label is not None else "its role's layer"
        for element in line.subpaths:
            edges = list(
                dict.fromkeys(s.edge for s in line.outline.stretches if s.source == element and s.edge)
            )
            what = f"{role.value} of {of}" + (f": {', '.join(edges)}" if edges else "")
            why = "carries the role itself" if element == line.layer else f"drawn in {layer}"
            yield Placed(element, what, why + _by_find(reading, element))
    for dart in piece.darts:
        for element in dart.elements:
            yield Placed(element, f"dart {dart.name} of {of}", "its leg ends lie on the outline")
    for item in piece.items:
        kind = item.role.value if item.role is not None else "inner line or note"
        name = f" {item.label}" if item.label else ""
        if item.shared:
            why = "stands outside all sizes: serves every size, is never moved"
        else:
            named = _names_piece(reading, item.element, piece.name)
            why = "stands in the piece's group" if named else "lies on the piece"
        yield Placed(item.element, f"{kind}{name} of {of}", why + _by_find(reading, item.element))


def _by_find(reading: Reading, element: int) -> str:
    """Which labels of ``find`` have a say in where an element belongs."""
    paths = (
        path
        for each in (element, *reading.document.ancestors(element))
        for path in reading.found.get(each, ())
    )
    said = dict.fromkeys("/".join(path) for path in paths)
    return f", by find: {', '.join(said)}" if said else ""


def _names_piece(reading: Reading, element: int, piece: str) -> bool:
    """Whether a label on the way to an element says the piece."""
    vocabulary, document = reading.names.vocabulary, reading.document
    if reading.names.piece is not None:
        return True
    for each in (element, *document.ancestors(element)):
        own = label_of(document, each)
        labels = [*(part for path in reading.found.get(each, ()) for part in path), *([own] if own else [])]
        if any(
            fold(vocabulary.name(vocabulary.meaning(label).words or "")) == fold(piece) for label in labels
        ):
            return True
    return False


def _what(leaf: Leaf) -> str:
    if leaf.role is not None:
        return f"{leaf.role.value}" + (f" {leaf.label}" if leaf.label else "")
    return f"<{leaf.tag}>" + (f" {leaf.label}" if leaf.label else "")


def _needed(leaf: Leaf, reading: Reading) -> str:
    """What would be needed to place a leaf that belongs to no piece."""
    names = reading.names
    if leaf.tag == "use" and (drawn := _line_by_reference(reading, leaf.element)) is not None:
        return (
            f"draws {reading.document.path_of_labels(drawn)} by reference: an outline that is to be altered "
            "must stand there itself, so unlink it"
        )
    said = [leaf.own.words if leaf.own is not None else None, *(around.name.words for around in leaf.around)]
    for words in said:
        if words is not None and (short := names.vocabulary.ends_in_a_role(words)) is not None:
            return (
                f"{words!r} ends in {short!r}: a role of one word must be a label by itself, so put it into "
                "a group of that label"
            )
    for around in leaf.around:
        word = around.name.words
        # The words of groups only: a drawing has as many shapes as it likes, and each has an id.
        near = nearest(word, names.vocabulary.roles) if word is not None else None
        if near is not None:
            return f"{word!r} is no role; did you mean {near!r}?"
    if leaf.role is not None:
        size = size_of(leaf, names)
        within = f" in size {size}" if size is not None else ""
        return f"no piece{within} is labelled around it, and it lies on none: put it into its piece's group"
    return NOTHING_NEEDED


def _line_by_reference(reading: Reading, element: int) -> int | None:
    """The outline that a ``use`` draws, by its own label or by that of a group within what it draws."""
    document = reading.document
    target = target_of(document, element)
    if target is None:
        return None
    for each in (target, *document.descendants(target)):
        label = label_of(document, each)
        if label is not None and reading.names.vocabulary.meaning(label).role in LINES:
            return int(each)
    return None
