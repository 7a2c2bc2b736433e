"""The label of an element: where it is written, what of it counts, and how labels compare."""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import StrEnum
from typing import TYPE_CHECKING

from rules.labels import fold as fold
from transform.svg.namespaces import INKSCAPE

if TYPE_CHECKING:
    from transform.svg.document import Document


class LabelKind(StrEnum):
    """Where a label is written, in the order in which they count."""

    INKSCAPE = f"{{{INKSCAPE}}}label"
    DATA_NAME = "data-name"
    TITLE = "title"
    ID = "id"


WRITTEN = (LabelKind.INKSCAPE.value, LabelKind.DATA_NAME.value, LabelKind.ID.value)
"""The attributes that may hold a label."""
_ENCODED = re.compile(r"_x([0-9A-Fa-f]{1,6})_")
_COUNTER = re.compile(r"(.+?)(?:_[0-9]+_|-[0-9]+)")
_RUNS = re.compile(r"[\s_-]+")

_COUNTED = (
    "g svg path rect circle ellipse line polyline polygon text tspan textpath use image layer group "
    "compound vector curve shape object rectangle union subtract intersect exclude star frame mask "
    "ebene calque capa livello camada laag lager lag taso warstwa vrstva strat слой шар "
    "レイヤー 图层 圖層 레이어"
)
_NUMBERED = (
    "defs metadata namedview clippath lineargradient radialgradient gradient filter marker pattern symbol "
    "style script title desc switch stop xmlid svgid"
)
_AUTOMATIC = re.compile(
    rf"<?(?:clip[ _-]?path[ _-]?group|mask[ _-]?group|{'|'.join(_COUNTED.split())})>?"
    r"[ _-]?[0-9]+(?:[ _-][0-9]+)*_?"
    rf"|(?:{'|'.join(_NUMBERED.split())})[_-]?[0-9]+(?:[_-][0-9]+)*_?"
    # What some programs write where the counting begins, and what they make of an object without a name.
    r"|group|vector|_?<[^<>]*>_?(?:[ _-]?[0-9]+_?)*|_(?:group|path|clipping_path|compound_path)_"
    r"|_[0-9]+_?",
    re.IGNORECASE,
)


def is_automatic(name: str) -> bool:
    """Whether a drawing program counted this name up by itself, so that it says nothing.

    >>> [is_automatic(name) for name in ("g12", "Layer_3", "front", "size 12")]
    [True, True, False, False]
    """
    return _AUTOMATIC.fullmatch(name.strip()) is not None


def decode_id(name: str) -> str:
    """An id with ``_xH…_`` read as the code points that they stand for.

    >>> decode_id("stitching_x20_line")
    'stitching line'
    """

    def character(found: re.Match[str]) -> str:
        code = int(found[1], 16)
        return chr(code) if code < 0x110000 and not 0xD800 <= code < 0xE000 else found[0]

    return _ENCODED.sub(character, name)


def words_in_ids(words: Iterable[str]) -> re.Pattern[bytes]:
    """Finds words (folded) in ids as written, with quotes between them, and what does not read as written."""
    plain = dict.fromkeys(word for word in words if word.isascii())
    any_word = b"|".join(re.escape(word.encode()) for word in plain)
    return re.compile(
        rb'(?<![^"\s_-])(?:' + any_word + rb')(?![^"\s_-])|_x[0-9a-f]|[&\x80-\xff]', re.IGNORECASE
    )


def label_of(document: Document, element: int) -> str | None:
    """The label of an element; None where it has none."""
    found = _label(document, element)
    return found[1] if found else None


def label_kind(document: Document, element: int) -> LabelKind | None:
    """Where the label of an element is written; None where it has none."""
    found = _label(document, element)
    return found[0] if found else None


def path_of_labels(document: Document, element: int) -> str:
    """``size 12 > front > stitching line > neckline (line 40)``: the labels on the way, and the line.

    An element without a label is named by its tag and its id.
    """
    names = [name for around in document.ancestors(element) if (name := label_of(document, around))]
    own = label_of(document, element)
    if own is None:
        own = f"<{document.tag(element)}>"
        if (identity := document.get(element, "id")) is not None:
            own = f'<{document.tag(element)} id="{identity}">'
    return " > ".join([*reversed(names), own]) + f" (line {document.position(element)[0]})"


def _label(document: Document, element: int) -> tuple[LabelKind, str] | None:
    if element not in document.called:
        return None
    key = ("label", element)
    if key not in document.memo:
        document.memo[key] = _find(document, element)
    found: tuple[LabelKind, str] | None = document.memo[key]
    return found


def _find(document: Document, element: int) -> tuple[LabelKind, str] | None:
    node = document.node(element)
    for kind in (LabelKind.INKSCAPE, LabelKind.DATA_NAME):
        text = node.get(kind.value)
        if text and (text := text.strip()) and not is_automatic(text):
            return kind, text
    for title in document.titles.get(element, ()):
        text = " ".join(document.text(title).split())
        if text and not is_automatic(text):
            return LabelKind.TITLE, text
    name = node.get("id")
    if not name or element == 0 or is_automatic(name):
        return None
    while (counted := _COUNTER.fullmatch(name)) and counted[1] in document.ids:
        name = counted[1]
    text = decode_id(name).strip()
    return (LabelKind.ID, text) if text and not is_automatic(text) else None
