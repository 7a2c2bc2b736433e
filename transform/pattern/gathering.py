"""Which elements belong to which piece in which size."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

import numpy as np

from rules.labels import fold
from transform.pattern.inner_groups import BoxOf, FileNames, layers_of_pieces, piece_of_line, size_of
from transform.pattern.problems import Complaints
from transform.pattern.settling import LINES
from transform.pattern.sizes_and_roles import Around, Crowd, Drawn, Leaf
from transform.svg.document import Document
from transform.svg.tag_places import Flags, Places

Key = tuple[str | None, str]
"""A piece: its size (None outside all sizes) and its folded name."""


@dataclass
class Gathered:
    """The elements of one piece in one size; ``shared`` stand outside all sizes and serve every size."""

    name: str
    size: str | None
    lines: list[Leaf] = field(default_factory=list)
    others: list[Leaf] = field(default_factory=list)
    shared: list[Leaf] = field(default_factory=list)

    @property
    def key(self) -> Key:
        """What it is known by."""
        return self.size, fold(self.name)


def gather_lines(
    leaves: Sequence[Leaf],
    names: FileNames,
    box_of: BoxOf,
    complaints: Complaints,
) -> dict[Key, Gathered]:
    """Every piece that has a cut line or a stitching line, with the leaves of these.

    ``box_of`` gives the box of the closed line that leaves draw by themselves, None where they draw none.
    """
    lines = [leaf for leaf in leaves if leaf.role in LINES and (leaf.is_shape or leaf.tag == "use")]
    inner = layers_of_pieces(leaves, lines, names, box_of)
    found: dict[Key, Gathered] = {}
    told: set[str] = set()

    def disagrees(leaf: Leaf, text: str) -> None:
        # A file under another size's name is one mistake, not one for each of its lines.
        if text not in told:
            told.add(text)
            complaints.say(leaf.layer if leaf.layer is not None else leaf.element, "names disagree", text)

    for leaf in lines:
        if leaf.tag == "use":
            text = (
                "the outline is drawn by reference (<use>), so altering it would alter every copy: unlink it"
            )
            complaints.say(leaf.element, "outline by reference", text)
            continue
        size, name = size_of(leaf, names), piece_of_line(leaf, leaf.layer in inner)
        if names.size is not None and size != names.size:
            text = f"stands in size {size}, but the file's name says size {names.size}: they must agree"
            disagrees(leaf, text)
            continue
        if (
            names.piece is not None
            and name is not None
            and fold(names.vocabulary.name(name)) != fold(names.piece)
        ):
            text = f"belongs to piece {name}, but the file's name says {names.piece}: they must agree"
            disagrees(leaf, text)
            continue
        name = names.piece if names.piece is not None else name
        if name is None:
            text = "belongs to no piece: put it into a group labelled with the piece's name"
            complaints.say(
                leaf.layer if leaf.layer is not None else leaf.element, "piece without a name", text
            )
            continue
        name = names.vocabulary.name(name)
        gathered = found.setdefault((size, fold(name)), Gathered(name, size))
        gathered.lines.append(_without_piece(leaf, gathered, names))
    return found


def _without_piece(leaf: Leaf, gathered: Gathered, names: FileNames) -> Leaf:
    """The leaf of a piece, the groups in its layer that name the piece no longer naming what is in them."""

    piece = fold(gathered.name)

    def plain(around: Around) -> Around:
        words = around.name.words
        if not around.inside or words is None or fold(names.vocabulary.name(words)) != piece:
            return around
        return replace(around, name=replace(around.name, words=None))

    return replace(leaf, around=tuple(map(plain, leaf.around)))


def named_pieces(leaf: Leaf, names: FileNames, known: Container[str]) -> str | None:
    """The folded name of the piece to which the labels around a leaf assign it; None where none does."""
    said: list[str | None] = [leaf.own.role_words] if leaf.own is not None else []
    said += [around.name.words for around in leaf.around if around.inside]
    if leaf.layer_name is not None:
        said.append(leaf.layer_name.role_words)
    said += [around.name.words for around in leaf.around if not around.inside]
    for words in said:
        if words is not None and fold(names.vocabulary.name(words)) in known:
            return fold(names.vocabulary.name(words))
    return None


class _Said:
    """Size and piece of each leaf by the labels around it; those of one group share the answer."""

    def __init__(self, names: FileNames, known: Container[str]) -> None:
        self.names = names
        self.known = known
        self._around: tuple[Around, ...] | None = None
        self._shared: tuple[str | None, str | None] = (None, None)

    def of(self, leaf: Leaf) -> tuple[str | None, str | None]:
        """The size, and the folded name of the piece."""
        if leaf.own is not None or leaf.layer is not None:
            return self._of(leaf)
        if leaf.around is not self._around:
            self._around, self._shared = leaf.around, self._of(leaf)
        return self._shared

    def _of(self, leaf: Leaf) -> tuple[str | None, str | None]:
        return size_of(leaf, self.names), named_pieces(leaf, self.names, self.known)


class Lying(Protocol):
    """Where leaves and pieces lie."""

    def nearness(self, leaf: Leaf, gathered: Gathered) -> tuple[float, float] | None:
        """How near a leaf lies to a piece (the least wins), None where it does not lie on it."""

    def look_at(self, elements: Sequence[int]) -> None:
        """Learn of these elements at once where they lie."""

    def maybe_near(self, elements: Places, pieces: Sequence[Gathered]) -> Flags:
        """By element whether it may lie on one of the pieces: none of the others does."""


def gather_others(
    drawn: Drawn, document: Document, names: FileNames, pieces: dict[Key, Gathered], lying: Lying
) -> Drawn:
    """Give every other leaf to its piece: by the labels around it, else by where it lies.

    A leaf outside all sizes is given to its piece in every size, as shared. Returned are the leaves that
    belong to no piece.
    """
    taken = {leaf.element for gathered in pieces.values() for leaf in gathered.lines}
    said = _Said(names, {name for _, name in pieces})
    leaves = [leaf for leaf in drawn.leaves if leaf.element not in taken]
    apart: list[Crowd] = []
    for crowd in drawn.crowds:
        size, name = said.of(crowd.like)
        asked = np.ones(len(crowd.elements), dtype=np.bool_)
        if name is None:
            asked = lying.maybe_near(crowd.elements, _of_size(crowd.like, size, pieces))
        leaves += (crowd.leaf(document, element) for element in crowd.elements[asked].tolist())
        apart.append(replace(crowd, elements=crowd.elements[~asked]))
    leaves.sort(key=lambda leaf: leaf.element)
    lying.look_at([leaf.element for leaf in leaves if leaf.role is None and _may_lie(leaf, said, pieces)])
    left: list[Leaf] = []
    for leaf in leaves:
        if leaf.role in LINES and leaf.tag == "use":
            continue
        size, name = said.of(leaf)
        if name is not None:
            fitting = [g for key, g in pieces.items() if key[1] == name]
        else:
            fitting = _nearest_in_each_size(leaf, _of_size(leaf, size, pieces), lying)
        own = [g for g in fitting if g.size == size]
        for gathered in own:
            gathered.others.append(_without_piece(leaf, gathered, names))
        if not own and size is None and leaf.role not in LINES:
            for gathered in fitting:
                gathered.shared.append(_without_piece(leaf, gathered, names))
        if not fitting or not (own or size is None):
            left.append(leaf)
    return Drawn(left, apart)


def _may_lie(leaf: Leaf, said: _Said, pieces: Mapping[Key, Gathered]) -> bool:
    """Whether it is to be asked where a leaf lies."""
    size, name = said.of(leaf)
    return name is None and bool(_of_size(leaf, size, pieces))


def _of_size(leaf: Leaf, size: str | None, pieces: Mapping[Key, Gathered]) -> list[Gathered]:
    """The pieces to one of which a leaf may belong by where it lies: of a mark outside all sizes, all.

    What is no mark and serves every size would never move: there is nothing to find out.
    """
    return [g for g in pieces.values() if g.size == size or (size is None and leaf.role is not None)]


def _nearest_in_each_size(leaf: Leaf, pieces: Sequence[Gathered], lying: Lying) -> list[Gathered]:
    best: dict[str | None, tuple[tuple[float, float], Gathered]] = {}
    for gathered in pieces:
        near = lying.nearness(leaf, gathered)
        if near is not None and (gathered.size not in best or near < best[gathered.size][0]):
            best[gathered.size] = near, gathered
    return [gathered for _, gathered in best.values()]
