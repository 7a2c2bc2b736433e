"""What lies on a piece and follows it: inner lines, notches, marks, text, pictures, references."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from transform.geometry.chain import Chain
from transform.geometry.nearest import nearest
from transform.pattern.drawn_lines import Drawings
from transform.pattern.marks import Mark
from transform.pattern.model import Item, Role, Way
from transform.pattern.sizes_and_roles import Leaf
from transform.pattern.vocabulary import Vocabulary
from transform.svg.bounds import box_of_points, extremes
from transform.svg.placing import anchor_of

_LINES = (None, Role.FOLD_LINE, Role.CUT_LINE, Role.STITCHING_LINE, Role.DARTS)
"""Roles of lines that are cut where a leg crosses them; what marks a place moves as a whole."""
_STEP = 1.0


class ItemMaker:
    """Makes the items of one piece."""

    def __init__(
        self,
        drawings: Drawings,
        vocabulary: Vocabulary,
        outline: Chain,
        grain: tuple[complex, complex] | None,
    ) -> None:
        """``outline`` is the line on which notches stand, ``grain`` the grainline's ends."""
        self.drawings = drawings
        self.vocabulary = vocabulary
        self.outline = outline
        self.grain = grain

    def item(
        self,
        leaf: Leaf,
        *,
        shared: bool,
        place: complex | None = None,
        corner: str | None = None,
        subpaths: Iterable[int] | None = None,
    ) -> tuple[Item, tuple[int, ...]]:
        """The item of a leaf, and the subpaths of its element whose lines the item has.

        ``place`` is that of the mark to which the leaf belongs; ``subpaths`` are the only ones that are
        meant.
        """
        chains: dict[int, Chain] = {}
        if leaf.is_shape:
            drawn = self.drawings.of(leaf.element).chains
            wanted = range(len(drawn)) if subpaths is None else subpaths
            chains = {k: drawn[k] for k in wanted if drawn[k].segments}
        words = leaf.label
        item = Item(
            element=leaf.element,
            role=leaf.role,
            label=self.vocabulary.name(words) if words is not None else None,
            way=_way(leaf),
            place=self._place(leaf, chains) if place is None else place,
            chains=tuple(chains.values()),
            shared=shared,
            corner=corner,
        )
        return item, tuple(chains)

    def _place(self, leaf: Leaf, chains: Mapping[int, Chain]) -> complex:
        if leaf.role is Role.GRAINLINE and self.grain is not None and leaf.is_shape:
            return (self.grain[0] + self.grain[1]) / 2
        points = [point for chain in chains.values() for point in chain.samples(_STEP)]
        if leaf.role is Role.NOTCHES and points:
            return min(points, key=lambda point: nearest(self.outline, point)[1])
        box = box_of_points(p for chain in chains.values() for s in chain.segments for p in extremes(s))
        if box is not None:
            return box.centre
        return anchor_of(self.drawings.document, leaf.element, self.drawings.user_unit)


def _way(leaf: Leaf) -> Way:
    if leaf.tag == "text":
        return Way.UPRIGHT
    if not leaf.is_shape:
        return Way.TRANSFORM
    if leaf.role in _LINES:
        return Way.CUT
    return Way.WHOLE if leaf.tag == "path" else Way.TRANSFORM


def mark_items(
    maker: ItemMaker, marks: Sequence[Mark], corners: Mapping[str, float], shared: frozenset[int]
) -> dict[int, tuple[Item, tuple[int, ...]]]:
    """The items of marks, by element: all shapes of one mark have the mark's place."""
    found: dict[int, tuple[Item, tuple[int, ...]]] = {}
    for mark in marks:
        for leaf in mark.leaves:
            corner = mark.label if leaf.role is Role.CORNER_MARKS and mark.label in corners else None
            found[leaf.element] = maker.item(
                leaf, shared=leaf.element in shared, place=mark.centre, corner=corner
            )
    return found
