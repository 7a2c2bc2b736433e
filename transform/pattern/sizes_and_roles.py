"""Where every drawn element stands: in which size, in which role's layer, under which labelled groups.

Sizes, pieces and roles may nest in any order; a group that is none of these is passed through. Inside a
role's layer no further roles are sought.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from transform.pattern.labelled import Named, named
from transform.pattern.model import Role
from transform.pattern.vocabulary import Vocabulary
from transform.svg.document import Document
from transform.svg.shapes import SHAPES, TEMPLATES

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
class _State:
    """What holds inside a group."""

    role: Role | None = None
    layer: int | None = None
    layer_name: Named | None = None
    around: tuple[Around, ...] = ()


def leaves_of(
    document: Document, vocabulary: Vocabulary, found: Mapping[int, Sequence[tuple[str, ...]]]
) -> list[Leaf]:
    """Every element that draws something, in document order; what ``display:none`` hides too."""
    leaves: list[Leaf] = []
    within, called = vocabulary.without_roles(), document.called
    states: dict[int, _State] = {}
    for element in document.elements:
        parent = document.parent(element)
        state = _State() if parent is None else states.get(parent)
        tag = document.tag(element)
        if state is None or tag in TEMPLATES:
            continue
        if tag not in GROUPS and tag not in LEAVES:
            continue
        name = None
        if element in called or element in found:
            name = named(document, element, vocabulary if state.role is None else within, found)
        if tag in GROUPS:
            states[element] = _inside(state, element, name)
        else:
            leaves.append(_leaf(state, element, tag, name))
    return leaves


def _inside(state: _State, element: int, name: Named | None) -> _State:
    if name is None:
        return state
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
