"""What a new element takes from the elements beside it: id, label, style."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from transform.svg.document import Document
from transform.svg.labels import LabelKind, label_kind
from transform.svg.namespaces import INKSCAPE

_STYLE = (
    "class",
    "style",
    *("fill", "fill-opacity", "fill-rule", "opacity", "color", "display", "visibility"),
    *("stroke", "stroke-width", "stroke-opacity", "stroke-dasharray", "stroke-dashoffset"),
    *("stroke-linecap", "stroke-linejoin", "stroke-miterlimit", "vector-effect", "paint-order"),
    *("marker", "marker-start", "marker-mid", "marker-end", "shape-rendering", "color-interpolation"),
    *("mix-blend-mode", "isolation", "pointer-events"),
)
_NOT_PLAIN = re.compile(r"[\x00-,/:-@\[-^`{-\xb6\U000f0000-\U0010ffff]")
"""What is none of ``A-Za-z0-9._-`` and no sign of a script."""


@dataclass(frozen=True, slots=True)
class NewLabel:
    """How a new element is labelled: by these attributes (``id`` is among them), or by a ``<title>``."""

    attributes: Mapping[str, str]
    title: str | None = None


def new_id(document: Document, wish: str, taken: Collection[str] = ()) -> str:
    """An id that neither the document nor ``taken`` uses, made of ``wish`` and reading as it.

    Spaces become ``_``, what an id cannot hold ``_xH…_``; a counter is added where the id is in use.

    >>> from transform.svg.document import read_document
    >>> new_id(read_document(b'<svg><g id="bust_dart"/></svg>', "x.svg"), "bust dart")
    'bust_dart-2'
    """
    plain = _NOT_PLAIN.sub(lambda found: f"_x{ord(found[0]):X}_", "_".join(wish.split())) or "_"
    if plain[0].isdigit() or plain[0] in "-.":
        plain = f"_x{ord(plain[0]):X}_{plain[1:]}"
    name, count = plain, 1
    while name in document.ids or name in taken:
        count += 1
        name = f"{plain}-{count}"
    return name


def style_of(document: Document, element: int) -> dict[str, str]:
    """The attributes that say how an element looks, as written: class, style, stroke and their like."""
    node = document.node(element)
    return {name: value for name in _STYLE if (value := node.get(name)) is not None}


def label_attribute(document: Document, neighbour: int, label: str, taken: Collection[str] = ()) -> NewLabel:
    """The label of a new element, of the kind that its neighbour's label is (or what is around that)."""
    kinds = (kind for each in _near(document, neighbour) if (kind := label_kind(document, each)) is not None)
    kind = next(kinds, None)
    if kind is None:
        kind = LabelKind.INKSCAPE if INKSCAPE in document.root.nsmap.values() else LabelKind.ID
    name = new_id(document, label, taken)
    if kind is LabelKind.ID:
        return NewLabel({"id": name})
    if kind is LabelKind.TITLE:
        return NewLabel({"id": name}, label)
    return NewLabel({"id": name, str(kind): label})


def _near(document: Document, element: int) -> Iterator[int]:
    yield element
    parent = document.parent(element)
    if parent is not None:
        yield from document.children(parent)
        yield parent
        yield from document.ancestors(parent)
