"""Labels that can be read in two ways, decided by what stands around and inside them.

``size 32 B`` is a size of that name where the piece is named further in, else piece B in size 32.
``pocket M`` is the pocket in size M where nothing else on the way says a size, else a piece of that name.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rules.labels import fold
from transform.pattern.labelled import Named
from transform.pattern.model import Role
from transform.pattern.sizes_and_roles import Around, Drawn, Leaf
from transform.pattern.vocabulary import Meaning

LINES = (Role.CUT_LINE, Role.STITCHING_LINE)
_SHORT = 2


def settled(drawn: Drawn) -> Drawn:
    """The leaves with every label read in one way only."""
    # What is said of one of a crowd is said of all.
    leaves = [*drawn.leaves, *(crowd.like for crowd in drawn.crowds)]
    asking = _asking(leaves)
    decided: dict[int, Named] = {}
    for element, (name, other) in asking.items():
        inside = [leaf for leaf in leaves if _is_under(leaf, element)]
        if name.size is not None:
            takes = _named_elsewhere(inside, element, name)
        else:
            takes = not any(each.size is not None for leaf in inside for each in leaf.names())
        if takes:
            words = other.words if name.role is None and other.role is None else None
            role_words = other.words if other.role is not None else name.role_words
            decided[element] = Named(other.size, other.role or name.role, role_words, words)
        else:
            decided[element] = replace(name, instead=None)
    if not decided:
        return drawn
    crowds = [replace(crowd, like=_with(crowd.like, decided)) for crowd in drawn.crowds]
    return Drawn([_with(leaf, decided) for leaf in drawn.leaves], crowds)


def _asking(leaves: Sequence[Leaf]) -> dict[int, tuple[Named, Meaning]]:
    """The elements whose label can be read in two ways: both of them."""
    found: dict[int, tuple[Named, Meaning]] = {}

    def look(element: int | None, name: Named | None) -> None:
        if element is not None and name is not None and name.instead is not None:
            found[element] = name, name.instead

    groups: tuple[Around, ...] = ()
    for leaf in leaves:
        look(leaf.element, leaf.own)
        # The leaves of one group come one after the other, and share what is said around them.
        if leaf.around is not groups:
            groups = leaf.around
            for around in groups:
                look(around.element, around.name)
        look(leaf.layer, leaf.layer_name)
    return found


def _is_under(leaf: Leaf, element: int) -> bool:
    return element in (leaf.element, leaf.layer) or any(around.element == element for around in leaf.around)


def _named_elsewhere(inside: Sequence[Leaf], element: int, name: Named) -> bool:
    """Whether every line inside has its piece from a label further in (for a short word: from any other)."""
    lines = [leaf for leaf in inside if leaf.role in LINES]
    if not lines or name.words is None:
        return False
    short = len(name.words) <= _SHORT
    for leaf in lines:
        found: list[str | None] = []
        if leaf.layer_name is not None and leaf.layer != element:
            found.append(leaf.layer_name.role_words)
        for around in leaf.around:
            if around.element == element:
                if not short:
                    break
                continue
            found.append(around.name.words)
        words = [word for word in found if word is not None and fold(word) != fold(name.words)]
        if not words:
            return False
    return True


def _with(leaf: Leaf, decided: dict[int, Named]) -> Leaf:
    return replace(
        leaf,
        own=decided.get(leaf.element, leaf.own),
        layer_name=decided.get(leaf.layer, leaf.layer_name) if leaf.layer is not None else None,
        around=tuple(
            replace(around, name=decided.get(around.element, around.name)) for around in leaf.around
        ),
    )
