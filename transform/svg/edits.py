"""Edits of attributes and elements, each in the manner of what stands beside it."""

from __future__ import annotations

import re
from collections.abc import Mapping

from transform.svg.document import Document
from transform.svg.namespaces import INKSCAPE, SODIPODI, XLINK, XML
from transform.svg.problems import problem_at
from transform.svg.splice import Edit

_LAST_LINE = re.compile(r"(?:\r\n|\r|\n)[ \t]*\Z")
_USUAL = {INKSCAPE: "inkscape", SODIPODI: "sodipodi", XLINK: "xlink"}
_LOOK_BACK = 8192


def escape(text: str, quote: str = "") -> str:
    """``text`` as XML writes it; in an attribute between ``quote``, line ends and tabs by reference."""
    text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("\r", "&#13;")
    if quote:
        text = text.replace(quote, "&quot;" if quote == '"' else "&apos;")
        text = text.replace("\n", "&#10;").replace("\t", "&#9;")
    return text


def set_attribute(document: Document, element: int, name: str, value: str) -> list[Edit]:
    """Give an attribute (local or ``{namespace}local``) a value: in its place, or behind the last one.

    Raises:
        PatternError: where its value comes out of an entity.
    """
    tag = document.start_tag(element)
    attribute = document.attribute(element, name)
    if attribute is not None and attribute.span is not None:
        new = escape(value, attribute.quote)
        return [] if new == attribute.raw else [Edit(*attribute.span, new)]
    if attribute is not None and attribute.outer is not None:
        text = f"{attribute.name} comes out of an entity, so it has no characters that could be changed"
        raise problem_at(document, element, "entity", f"{text}: resolve the entities when saving")
    written, declarations = qualified(document, element, name)
    space = " "
    if tag.attributes and (outer := tag.attributes[-1].outer) is not None:
        found = re.match(r"[ \t\r\n]+", document.data[outer[0] : outer[1]].decode(document.encoding.codec))
        space = found[0] if found else space
    return [
        Edit(
            tag.attributes_end,
            tag.attributes_end,
            f'{declarations}{space}{written}="{escape(value, chr(34))}"',
        )
    ]


def remove_attribute(document: Document, element: int, name: str) -> list[Edit]:
    """Take an attribute away with the white space before it; nothing where there is none."""
    document.start_tag(element)
    attribute = document.attribute(element, name)
    if attribute is None or attribute.outer is None:
        return []
    return [Edit(*attribute.outer, "")]


def rename(document: Document, element: int, name: str) -> list[Edit]:
    """Give an element another local name, in its start tag and its end tag; the prefix stays."""
    tag = document.start_tag(element)
    prefix = tag.name.rpartition(":")[0]
    new = f"{prefix}:{name}" if prefix else name
    length = len(document.encoding.encode(tag.name))
    edits = [Edit(tag.name_end - length, tag.name_end, new)]
    if not tag.empty:
        begin = document.end_tag(element)[0] + len(document.encoding.encode("</"))
        edits.append(Edit(begin, begin + length, new))
    return edits


def remove_element(document: Document, element: int) -> list[Edit]:
    """Take an element away, with the line break and indentation before it."""
    start = document.start_tag(element).start
    return [Edit(start - _size(document, _line_before(document, start)), document.end_tag(element)[1], "")]


def insert_after(document: Document, element: int, xml: str) -> list[Edit]:
    """Put an element's text behind another element, indented as that is."""
    line = _line_before(document, document.start_tag(element).start)
    end = document.end_tag(element)[1]
    return [Edit(end, end, line + xml)]


def insert_child(document: Document, parent: int, xml: str, *, first: bool = False) -> list[Edit]:
    """Put an element's text into another element, behind its last child element or before all its content."""
    tag = document.start_tag(parent)
    children = [child for child in document.children(parent) if not document.from_entity(child)]
    if first:
        line = _line_before(document, document.start_tag(children[0]).start) if children else ""
        line = line or _child_line(document, parent)
        if not tag.empty and (children or document.data[tag.end : document.end_tag(parent)[0]].strip()):
            return [Edit(tag.end, tag.end, line + xml)]
    elif children:
        return insert_after(document, children[-1], xml)
    line = _child_line(document, parent)
    closing = _line_before(document, tag.start) or ("" if not line else document_line(document))
    if tag.empty:
        slash = tag.end - _size(document, "/>")
        return [
            Edit(slash, tag.end, ">"),
            Edit(tag.end, tag.end, line + xml),
            Edit(tag.end, tag.end, f"{closing}</{tag.name}>", rank=1),
        ]
    end = document.end_tag(parent)[0]
    before = _line_before(document, end)
    place = end - _size(document, before)
    edits = [Edit(place, place, line + xml)]
    return edits if before or not line else [*edits, Edit(place, place, closing, rank=1)]


def element_text(
    document: Document,
    parent: int,
    tag: str,
    attributes: Mapping[str, str],
    content: str = "",
    *,
    title: str | None = None,
) -> str:
    """The text of a new drawing element that is to stand in ``parent``.

    Attribute names are local or ``{namespace}local``; ``content`` is XML text, before it a ``<title>``
    where one is given. Prefixes are those in force at ``parent``.
    """
    prefix = drawing_prefix(document, parent)
    words = [f"<{prefix}{tag}"]
    declared: set[str] = set()
    for name, value in attributes.items():
        written, declarations = qualified(document, parent, name)
        if declarations in declared:
            declarations = ""
        declared.add(declarations)
        words.append(f'{declarations} {written}="{escape(value, chr(34))}"')
    inside = (f"<{prefix}title>{escape(title)}</{prefix}title>" if title is not None else "") + content
    words.append(f">{inside}</{prefix}{tag}>" if inside else "/>")
    return "".join(words)


def drawing_prefix(document: Document, element: int) -> str:
    """The prefix of drawing elements inside an element, with its colon; empty where they have none."""
    spaces = document.node(element).nsmap
    if document.namespace is None or spaces.get(None) == document.namespace:
        return ""
    return next(
        (f"{prefix}:" for prefix, space in spaces.items() if prefix and space == document.namespace), ""
    )


def qualified(document: Document, element: int, name: str) -> tuple[str, str]:
    """An attribute's name as it is written inside an element, and the declaration that it needs first.

    The declaration begins with a space; it is empty where the prefix is in force already.
    """
    namespace, _, local = name.rpartition("}")
    namespace = namespace[1:]
    if not namespace:
        return local, ""
    if namespace == XML:
        return f"xml:{local}", ""
    spaces = document.node(element).nsmap
    for prefix, space in spaces.items():
        if prefix and space == namespace:
            return f"{prefix}:{local}", ""
    prefix = _USUAL.get(namespace, "ns")
    while prefix in spaces:
        prefix += "1"
    return f"{prefix}:{local}", f' xmlns:{prefix}="{escape(namespace, chr(34))}"'


def document_line(document: Document) -> str:
    """The line end that the file uses first; empty where all of it is one line."""
    codec = document.encoding.codec
    places = [(document.data.find(end.encode(codec)), end) for end in ("\r\n", "\n", "\r")]
    found = [(place, -len(end), end) for place, end in places if place >= 0]
    return min(found)[2] if found else ""


def _child_line(document: Document, parent: int) -> str:
    """The line break and indentation that a first child of ``parent`` should get."""
    own = _line_before(document, document.start_tag(parent).start)
    if not own:
        own = document_line(document) if parent == 0 else ""
        return own + "  " if own else ""
    around = document.parent(parent)
    outer = _line_before(document, document.start_tag(around).start) if around is not None else ""
    if around == 0:
        outer = outer or document_line(document)
    step = own[len(outer) :] if outer and own.startswith(outer) and own != outer else ""
    return own + (step or ("\t" if "\t" in own else "  "))


def _line_before(document: Document, place: int) -> str:
    """The line break and indentation that stand right before a byte; empty where other things do."""
    codec = document.encoding.codec
    first = max(len(document.encoding.mark), place - _LOOK_BACK)
    text = document.data[first:place].decode(codec, "replace")
    line = _LAST_LINE.search(text[len(text.rstrip(" \t\r\n")) :])
    return line[0] if line else ""


def _size(document: Document, text: str) -> int:
    return len(document.encoding.encode(text))
