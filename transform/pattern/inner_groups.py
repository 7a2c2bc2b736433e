"""Labelled groups inside a role's layer: pieces, or mere order among the shapes of one piece.

bodice > stitching line > front, back      pieces: they lie side by side
front > stitching line > upper, lower      order: only together do they close
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rules.labels import fold
from transform.pattern.sizes_and_roles import Leaf
from transform.pattern.vocabulary import Vocabulary
from transform.svg.bounds import Box

BoxOf = Callable[[Sequence[Leaf]], Box | None]
"""Gives the box of the closed line that leaves draw by themselves, None where they draw none."""


@dataclass(frozen=True)
class FileNames:
    """What the file's name says, and how names are spelled."""

    size: str | None
    piece: str | None
    vocabulary: Vocabulary


def size_of(leaf: Leaf, names: FileNames) -> str | None:
    """The size in which a leaf stands: the nearest that is said, else the file's."""
    for name in leaf.names():
        if name.size is not None:
            return names.vocabulary.size(name.size)
    return names.size


def piece_of_line(leaf: Leaf, inner: bool) -> str | None:
    """The name of the piece whose line a leaf draws."""
    if leaf.own is not None and leaf.own.role_words is not None:
        return leaf.own.role_words
    if inner:
        for around in leaf.around:
            if around.inside and around.name.words is not None:
                return around.name.words
    if leaf.layer_name is not None and leaf.layer_name.role_words is not None:
        return leaf.layer_name.role_words
    return next((a.name.words for a in leaf.around if not a.inside and a.name.words is not None), None)


def layers_of_pieces(
    leaves: Sequence[Leaf], lines: Sequence[Leaf], names: FileNames, box_of: BoxOf
) -> set[int]:
    """The layers whose labelled groups are pieces.

    They are where nothing around the layer names a piece; else the rules decide, then whether the groups lie
    side by side, then whether the group around holds other layers that know nothing of these groups.
    """
    by_layer: dict[int, list[Leaf]] = {}
    for leaf in lines:
        if leaf.layer is not None and leaf.layer != leaf.element:
            by_layer.setdefault(leaf.layer, []).append(leaf)
    found: set[int] = set()
    for layer, members in by_layer.items():
        groups: dict[str | None, dict[int | None, list[Leaf]]] = {}
        for leaf in members:
            groups.setdefault(size_of(leaf, names), {}).setdefault(_inner_group(leaf), []).append(leaf)
        if all(around is None for in_size in groups.values() for around in in_size):
            continue
        first = members[0]
        outer = names.piece or piece_of_line(first, inner=False)
        words = {inner for leaf in members if (inner := _inner_words(leaf)) is not None}
        knows = names.vocabulary.is_piece
        if outer is None:
            found.add(layer)
        elif names.piece is not None or first.layer_words is not None or knows(outer):
            continue
        elif (
            any(knows(word) for word in words)
            or any(_lie_side_by_side(in_size, box_of) for in_size in groups.values())
            or (
                all(_is_one_line(in_size, box_of) for in_size in groups.values())
                and _is_piece_of_its_own(layer, first, words, leaves)
            )
        ):
            found.add(layer)
    return found


def _inner_group(leaf: Leaf) -> int | None:
    return next((a.element for a in leaf.around if a.inside and a.name.words is not None), None)


def _inner_words(leaf: Leaf) -> str | None:
    return next((a.name.words for a in leaf.around if a.inside and a.name.words is not None), None)


def _is_piece_of_its_own(layer: int, first: Leaf, words: set[str], leaves: Sequence[Leaf]) -> bool:
    """Whether other layers have the groups of this one too, or the group around has no other layers."""
    outer = next(a.element for a in first.around if not a.inside and a.name.words is not None)
    folded = {fold(word) for word in words}
    beside = [
        leaf
        for leaf in leaves
        if leaf.role is not None and leaf.layer != layer and any(a.element == outer for a in leaf.around)
    ]
    return not beside or any(fold(_inner_words(leaf) or "") in folded for leaf in beside)


def _is_one_line(groups: dict[int | None, list[Leaf]], box_of: BoxOf) -> bool:
    """Whether there is one group, and it draws a closed line."""
    return len(groups) == 1 and None not in groups and box_of(*groups.values()) is not None


def _lie_side_by_side(groups: dict[int | None, list[Leaf]], box_of: BoxOf) -> bool:
    """Whether each of several groups draws a closed line, and not all within the largest of them."""
    if len(groups) < 2 or None in groups:
        return False
    boxes = [box for leaves in groups.values() if (box := box_of(leaves)) is not None]
    if len(boxes) < len(groups):
        return False
    largest = max(boxes, key=lambda box: abs(complex(box.xmax - box.xmin, box.ymax - box.ymin)))
    return any(
        box.xmin < largest.xmin
        or box.xmax > largest.xmax
        or box.ymin < largest.ymin
        or box.ymax > largest.ymax
        for box in boxes
    )
