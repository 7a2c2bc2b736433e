"""CSS that would move or draw things: found, so that it can be refused by name.

Only the attributes of SVG are read as geometry. A property that says otherwise, in a ``style`` attribute
or in a ``<style>`` element, must not be overlooked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from transform.svg.document import Document
from transform.svg.problems import PatternError, problem_at
from transform.svg.select import SelectorError, select

MOVING = ("transform", "transform-origin", "transform-box", "translate", "rotate", "scale", "offset-path")
"""Properties that move what is drawn."""
DRAWING = {
    "path": ("d",),
    "rect": ("x", "y", "width", "height", "rx", "ry"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
    "svg": ("x", "y", "width", "height"),
    "image": ("x", "y", "width", "height"),
    "use": ("x", "y"),
}
"""By element: the properties that say where or how large it is."""

MOST_RULES = 100
"""Of more rules that move or draw things than these it is not asked what they match: everything."""
_DEEPEST = 50
_ALL = frozenset(MOVING).union(*DRAWING.values())
_DECLARATION = re.compile(
    r"(?:^|;)\s*([A-Za-z-]+)\s*:((?:[^;\"'()]|\"[^\"]*\"|'[^']*'|\((?:[^()\"']|\"[^\"]*\"|'[^']*')*\))*)"
)
_WORTH_READING = re.compile(rf"(?:^|[;{{\s])(?:{'|'.join(sorted(_ALL))})\s*:", re.IGNORECASE)
_BLOCK = re.compile(r"[{}]")


def refuse_css(document: Document, element: int) -> None:
    """Refuse an element that CSS moves, or whose place or size CSS gives.

    Raises:
        PatternError: with the property and where it stands.
    """
    relevant = (*MOVING, *DRAWING.get(document.tag(element), ()))
    style = document.get(element, "style")
    if style and _WORTH_READING.search(style):
        for name, value in declarations(style):
            if name in relevant and value != "none":
                raise _refused(document, element, f"{name}: {value}", "its style attribute")
    for name, matched in _sheets(document):
        if name in relevant and element in matched:
            raise _refused(document, element, name, "a <style> element")


def declarations(style: str) -> Iterator[tuple[str, str]]:
    """Property (in small letters) and value of each declaration of a style."""
    for found in _DECLARATION.finditer(_without_comments(style)):
        yield found[1].lower(), found[2].strip()


def style_rules(document: Document) -> Iterator[str]:
    """The selectors of every rule of the document's style sheets, as written."""
    for element in document.tagged("style"):
        yield from (prelude for prelude, _ in _blocks(_without_comments(document.text(element))))


def _refused(document: Document, element: int, what: str, where: str) -> PatternError:
    text = (
        f"{what} stands in {where}: geometry and transforms from CSS are not read. "
        "Write them as attributes of the element"
    )
    return problem_at(document, element, "geometry in css", text)


def _sheets(document: Document) -> list[tuple[str, frozenset[int]]]:
    """Each property that moves or draws in a style sheet, and the elements it is given to."""
    if "sheets" not in document.memo:
        document.memo["sheets"] = [
            found
            for element in document.tagged("style")
            for found in _rules(document, document.text(element))
        ]
    sheets: list[tuple[str, frozenset[int]]] = document.memo["sheets"]
    return sheets


def _rules(document: Document, sheet: str) -> Iterator[tuple[str, frozenset[int]]]:
    if not _WORTH_READING.search(sheet):
        return
    count = 0
    for prelude, body in _blocks(_without_comments(sheet)):
        names = {name for name, value in declarations(body) if name in _ALL and value != "none"}
        if names:
            count += 1
            everything = count > MOST_RULES
            matched = frozenset(document.elements) if everything else _matched(document, prelude)
            yield from ((name, matched) for name in sorted(names))
            if everything:
                return


def _without_comments(text: str) -> str:
    parts: list[str] = []
    at = 0
    while (begin := text.find("/*", at)) >= 0:
        parts.append(text[at:begin])
        end = text.find("*/", begin + 2)
        if end < 0:
            return " ".join(parts)
        at = end + 2
    parts.append(text[at:])
    return " ".join(parts).replace("<!--", " ").replace("-->", " ")


def _blocks(sheet: str) -> Iterator[tuple[str, str]]:
    """Selector and declarations of every rule, those inside ``@media`` and the like too."""
    preludes: list[str] = []
    at = 0
    for found in _BLOCK.finditer(sheet):
        before = sheet[at : found.start()]
        at = found.end()
        if found[0] == "{":
            preludes.append(before.rpartition(";")[2].strip())
            if len(preludes) > _DEEPEST:
                return
        elif preludes:
            prelude = preludes.pop()
            if not prelude.startswith("@") and not any(p.startswith("@keyframes") for p in preludes):
                yield prelude, before


def _matched(document: Document, selector: str) -> frozenset[int]:
    try:
        return frozenset(select(document, selector))
    except SelectorError:
        # A selector that is beyond us: of a moment (:hover) it says nothing about a still drawing.
        passing = re.search(r":(?:hover|active|focus|target|visited|link|before|after)", selector)
        return frozenset() if passing else frozenset(document.elements)
