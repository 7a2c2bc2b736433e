"""Tags told by their looks are those that the parsers find, whatever stands between and inside them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from tests.svg.making import NAMESPACES
from transform.svg import tag_places
from transform.svg.document import Document, read_document
from transform.svg.parsing import MOST_ELEMENTS, tag_events
from transform.svg.structure import structure_of_events
from transform.svg.tag_places import is_plain, signs_of

NAMES = (
    "g",
    "path",
    "title",
    "inkscape:page",
    "linearGradient",
    "sodipodi:namedview",
    "svg",
    "длинная-линия",
)
VALUES = ("", "a", "a > b", "id='x'", "</g>", "/", "x = y", "<", "it's")
BETWEEN = (
    *("", "\n", " text > text = ", "]] >", "<!---->", "<!-- <g id='no'> > = -->", "<?go <g> label='x' ?>"),
    *("<![CDATA[<g a='1'></g> ]] > ]]>", "<!-- - > <![CDATA[ -->", "&lt;g&gt;"),
)
ATTRIBUTES = (
    *("id", "label", "data-name", "inkscape:label", "width", "xml:lang", "inkscape:id", "inkscape:grid"),
    *("xmlns", "xmlns:inkscape", "xmlns:other"),
)


@st.composite
def elements(draw: st.DrawFn, depth: int = 0) -> str:
    """An element with any attributes, what is in it, and what stands behind it."""
    name, words = draw(st.sampled_from(NAMES)), ""
    for attribute in draw(st.lists(st.sampled_from(ATTRIBUTES), unique=True, max_size=3)):
        blank = draw(st.sampled_from((" ", "\n", "  ")))
        quote = draw(st.sampled_from("\"'"))
        value = draw(st.sampled_from(VALUES)).replace("<", "&lt;").replace(quote, "")
        around = draw(st.sampled_from(("=", "=", " = ", "\t=")))
        if "xmlns" in attribute:
            value = "urn:z" if value or ":" in attribute else ""
        words += f"{blank}{attribute}{around}{quote}{value}{quote}"
    behind = draw(st.sampled_from(BETWEEN))
    if draw(st.booleans()):
        return f"<{name}{words}{draw(st.sampled_from(('', ' ')))}/>{behind}"
    inner = draw(st.lists(elements(depth=depth + 1), max_size=3)) if depth < 3 else []
    first = draw(st.sampled_from(BETWEEN))
    return f"<{name}{words}>{first}{''.join(inner)}</{name}{draw(st.sampled_from(('', ' ')))}>{behind}"


@st.composite
def files(draw: st.DrawFn) -> bytes:
    """A whole file, with and without what may stand around the root."""
    before = draw(st.sampled_from(("", "<?xml version='1.0'?>", "\ufeff", "<!DOCTYPE svg>", "<!-- <g> -->")))
    if draw(st.booleans()):
        before += (
            "<!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' \"http://x/>.dtd\" >\n"
            if "!" not in before
            else ""
        )
    inner = "".join(draw(st.lists(elements(), max_size=4)))
    return f"{before}<svg {NAMESPACES}>{draw(st.sampled_from(BETWEEN))}{inner}</svg>\n<!-- > -->".encode()


def expected_tag(document: Document, node: etree._Element) -> str:
    prefix, tag = f"{{{document.namespace}}}", str(node.tag)
    return tag[len(prefix) :] if tag.startswith(prefix) else ("" if tag[0] == "{" else "{}") + tag


def agrees(document: Document) -> None:
    assert document.attribute_places is not None
    events = tag_events(document.data, document.encoding, "x.svg")
    assert document.structure == structure_of_events(events)
    nodes = list(document.root.iter("*"))
    assert [document.node(element) for element in document.elements] == nodes
    assert [document.tag(element) for element in document.elements] == [
        expected_tag(document, node) for node in nodes
    ]
    first = {node.get("id"): element for element, node in reversed(list(enumerate(nodes)))}
    assert document.ids == {name: element for name, element in first.items() if name is not None}
    labels = ("id", "data-name", "{http://www.inkscape.org/namespaces/inkscape}label")
    named = {e for e, node in enumerate(nodes) if any(node.get(label) for label in labels)}
    titled = {document.parent(element) for element in document.tagged("title")}
    assert named | titled <= document.called


@given(files())
def test_tags_by_their_looks_are_those_of_the_parsers(data: bytes) -> None:
    agrees(read_document(data, "x.svg"))


def test_many_elements_of_another_prefix_are_told_at_once_unless_it_is_declared_anew() -> None:
    rows = "<inkscape:page/>" * 600
    agrees(read_document(f"<svg {NAMESPACES}>{rows}</svg>".encode(), "x.svg"))
    anew = f'<g xmlns:inkscape="urn:other">{rows}</g>{rows}'
    agrees(read_document(f"<svg {NAMESPACES}>{anew}</svg>".encode(), "x.svg"))


def test_signs_at_the_borders_of_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tag_places, "_BLOCK", 7)
    agrees(read_document(f"<svg {NAMESPACES}><g id='a'><path/></g></svg>".encode(), "x.svg"))


def test_what_is_not_told_by_its_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    for data, plain in (
        (b"<svg><g/></svg>", True),
        (b"<!DOCTYPE svg SYSTEM 'x>y'><svg/>", True),
        (b"<!DOCTYPE svg [<!ENTITY a 'b'>]><svg/>", False),
        (b"<!DOCTYPE svg [ ]><svg/>", False),
        (b"<svg/><", True),
        (b"<svg>" + b"<g/>" * MOST_ELEMENTS + b"</svg>", False),
    ):
        signs = signs_of(data)
        assert signs is not None
        assert is_plain(data, signs, MOST_ELEMENTS) is plain
    monkeypatch.setattr(tag_places, "MOST_SIGNS", 3)
    assert signs_of(b"<svg/>") is not None
    assert signs_of(b"<svg></svg>") is None
    # It is read all the same.
    assert len(read_document(b"<svg><g/></svg>", "x.svg")) == 2
