"""Where every drawn element stands: in which size, in which role's layer, under which labelled groups.

Sizes, pieces and roles may nest in any order; a group that is none of these is passed through. Inside a
role's layer no further roles are sought.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from transform.pattern.labelled import Named, named
from transform.pattern.model import Role
from transform.pattern.vocabulary import Vocabulary
from transform.svg.document import Document
from transform.svg.shapes import SHAPES
from transform.svg.tag_places import Places

GROUPS = ("svg", "g", "a", "switch")
LEAVES = (*SHAPES, "text", "image", "use", "foreignObject")


@dataclass(frozen=True, slots=True)
class Around:
    """A labelled group around an element; ``inside`` where it stands within the role's layer."""

    element: int
    name: Named
    inside: bool


@dataclass(frozen=True, slots=True)
class Leaf:
    """One drawn element and where it stands.

    ``layer`` is the element that carries the role (the leaf itself, where it is a single shape) and
    ``layer_name`` what that element is called. ``around`` are the labelled groups around the leaf, the
    nearest first, the layer left out. ``own`` is what the leaf itself is called.
    """

    element: int
    tag: str
    role: Role | None
    layer: int | None
    layer_name: Named | None
    around: tuple[Around, ...]
    own: Named | None

    @property
    def is_shape(self) -> bool:
        """Whether it is one of the seven shapes."""
        return self.tag in SHAPES

    @property
    def label(self) -> str | None:
        """What the leaf is called in its layer: its own words, else those of the nearest group in it."""
        if self.own is not None and self.own.words is not None:
            return self.own.words
        for around in self.around:
            if around.inside and around.name.words is not None:
                return around.name.words
        return None

    @property
    def layer_words(self) -> str | None:
        """The words that stand before the role in the layer's label."""
        return self.layer_name.role_words if self.layer_name is not None else None

    def names(self) -> tuple[Named, ...]:
        """Everything that is said on the way from the leaf to the root, the nearest first."""
        inside = [around.name for around in self.around if around.inside]
        outside = [around.name for around in self.around if not around.inside]
        own = [self.own] if self.own is not None else []
        layer = [self.layer_name] if self.layer_name is not None and self.layer != self.element else []
        return (*own, *inside, *layer, *outside)


@dataclass(frozen=True, slots=True)
class Crowd:
    """Leaves in no role's layer whose own labels say no size and no role, all in the same labelled groups.

    ``elements`` are all of them in document order; ``like`` is such a leaf, and but for element, tag and its
    name it says what any of them would.
    """

    like: Leaf
    elements: Places
    vocabulary: Vocabulary

    def leaf(self, document: Document, element: int) -> Leaf:
        """One of them."""
        name = named(document, element, self.vocabulary, {})
        return Leaf(element, document.tag(element), None, None, None, self.like.around, name)


@dataclass(frozen=True, slots=True)
class Drawn:
    """Every element that draws something: those that something is said of one by one, in document order."""

    leaves: Sequence[Leaf]
    crowds: Sequence[Crowd]


@dataclass(frozen=True, slots=True)
class _State:
    """What holds inside a group."""

    role: Role | None = None
    layer: int | None = None
    layer_name: Named | None = None
    around: tuple[Around, ...] = ()


def leaves_of(
    document: Document, vocabulary: Vocabulary, found: Mapping[int, Sequence[tuple[str, ...]]]
) -> Drawn:
    """Every element that draws something; what ``display:none`` hides too."""
    groups = document.are_tagged(*GROUPS)
    shown = ~document.are_inside(~groups)
    called = np.zeros(len(document), dtype=np.bool_)
    called[[*document.called, *found]] = True
    within = vocabulary.without_roles()

    def name_of(state: _State, element: int) -> Named | None:
        return named(document, element, vocabulary if state.role is None else within, found)

    states, owners = [_State()], np.zeros(len(document), dtype=np.int64)
    open_until: list[tuple[int, int]] = [(0, len(document))]
    for element in np.flatnonzero(groups & shown & called).tolist():
        while element >= open_until[-1][1]:
            open_until.pop()
        state = states[open_until[-1][0]]
        name = name_of(state, element)
        if name is not None:
            end = document.descendants(element).stop
            open_until.append((len(states), end))
            owners[element:end] = len(states)
            states.append(_inside(state, element, name))
    leaf = document.are_tagged(*LEAVES) & shown
    in_role = np.array([state.role is not None for state in states])[owners]
    by_find = np.zeros(len(document), dtype=np.bool_)
    by_find[list(found)] = True
    # The label of most shapes only tells one from another.
    called &= in_role | by_find | ~leaf | ~document.without_words(vocabulary.telling)
    leaves: list[Leaf] = []
    for element in np.flatnonzero(leaf & (called | in_role)).tolist():
        state = states[owners[element]]
        name = name_of(state, element) if called[element] else None
        if name is not None or state.role is not None:
            leaf[element] = False
            leaves.append(_leaf(state, element, document.tag(element), name))
    crowds: list[Crowd] = []
    apart = np.flatnonzero(leaf)
    for owner, elements in _by_owner(apart, owners[apart]):
        first = int(elements[0])
        like = _leaf(states[owner], first, document.tag(first), None)
        crowds.append(Crowd(like, elements, vocabulary))
    return Drawn(leaves, crowds)


def _by_owner(elements: Places, of: Places) -> Iterator[tuple[int, Places]]:
    """The elements by what holds around them, which is told by number."""
    order = np.argsort(of, kind="stable")
    borders = np.flatnonzero(np.diff(of[order])) + 1
    for places in np.split(order, borders):
        if len(places):
            yield int(of[places[0]]), elements[places]


def _inside(state: _State, element: int, name: Named) -> _State:
    if name.role is not None:
        return _State(name.role, element, name, state.around)
    around = Around(element, name, inside=state.role is not None)
    return _State(state.role, state.layer, state.layer_name, (around, *state.around))


def _leaf(state: _State, element: int, tag: str, name: Named | None) -> Leaf:
    if state.role is not None:
        return Leaf(element, tag, state.role, state.layer, state.layer_name, state.around, name)
    role = name.role if name is not None and (tag in SHAPES or tag == "use") else None
    if role is None:
        return Leaf(element, tag, None, None, None, state.around, name)
    return Leaf(element, tag, role, element, name, state.around, name)
