"""Edits of attributes and elements: in the manner of what stands beside them, all else untouched."""

from __future__ import annotations

import pytest

from tests.svg.making import document, element_of
from transform.svg.document import Document, read_document
from transform.svg.edits import (
    element_text,
    escape,
    insert_after,
    insert_child,
    remove_attribute,
    remove_element,
    rename,
    set_attribute,
)
from transform.svg.namespaces import INKSCAPE, SODIPODI, XML
from transform.svg.problems import PatternError
from transform.svg.splice import Edit, splice

PRETTY = b"""<?xml version="1.0"?>\r
<svg>\r
\t<g id="a">\r
\t\t<path id="p"/>\r
\r
\t\t<path id="q" />\r
\t</g>\r
\t<g id="b"></g>\r
\t<g id="c"/>\r
</svg>\r
"""


def pretty() -> Document:
    return read_document(PRETTY, "p.svg")


def test_without_edits_the_bytes_are_the_same_object() -> None:
    doc = pretty()
    assert splice(doc, []) is doc.data


def test_edits_are_made_in_order_of_place_and_insertions_in_order_of_asking() -> None:
    doc = read_document(b"<svg><g/></svg>", "s.svg")
    edits = [
        Edit(9, 9, "3"),
        Edit(5, 9, b"<a/>"),
        Edit(5, 5, "1"),
        Edit(5, 5, "2"),
        Edit(9, 9, "last", 1),
        Edit(9, 9, "4"),
    ]
    assert splice(doc, edits) == b"<svg>12<a/>34last</svg>"


def test_the_same_edit_is_made_once_and_overlaps_are_refused() -> None:
    doc = read_document(b"<svg><g/></svg>", "s.svg")
    twice = [
        Edit(5, 9, ""),
        Edit(5, 9, ""),
        Edit(9, 9, "x", 1),
        Edit(9, 9, "x", 1),
        Edit(9, 9, "y"),
        Edit(9, 9, "y"),
    ]
    assert splice(doc, twice) == b"<svg>yyx</svg>"
    for other in (Edit(5, 9, "z"), Edit(6, 7, ""), Edit(6, 6, "z")):
        with pytest.raises(ValueError, match="edits overlap at byte"):
            splice(doc, [Edit(5, 9, ""), other])


def test_what_the_encoding_cannot_hold_is_written_by_reference() -> None:
    doc = read_document(b"<?xml version='1.0' encoding='iso-8859-1'?><svg id='\xe9'/>", "l.svg")
    assert splice(doc, set_attribute(doc, 0, "id", "é €")).endswith(b"<svg id='\xe9 &#8364;'/>")


def test_insertions_copy_indentation_and_line_ends() -> None:
    doc = pretty()
    after = splice(doc, insert_after(doc, 2, "<x/>"))
    assert after == PRETTY.replace(b'<path id="p"/>', b'<path id="p"/>\r\n\t\t<x/>')
    last = splice(doc, insert_child(doc, 1, "<x/>"))
    assert last == PRETTY.replace(b'<path id="q" />', b'<path id="q" />\r\n\t\t<x/>')
    leading = splice(doc, insert_child(doc, 1, "<x/>", first=True))
    assert leading == PRETTY.replace(b'<g id="a">', b'<g id="a">\r\n\t\t<x/>')


def test_children_of_elements_without_any() -> None:
    doc = pretty()
    both = [*insert_child(doc, 5, "<x/>"), *insert_child(doc, 4, "<y/>"), *insert_child(doc, 5, "<z/>")]
    expected = PRETTY.replace(b'<g id="c"/>', b'<g id="c">\r\n\t\t<x/>\r\n\t\t<z/>\r\n\t</g>')
    expected = expected.replace(b'<g id="b"></g>', b'<g id="b">\r\n\t\t<y/>\r\n\t</g>')
    assert splice(doc, both) == expected
    first = splice(doc, insert_child(doc, 5, "<x/>", first=True))
    assert b'<g id="c">\r\n\t\t<x/>\r\n\t</g>' in first


@pytest.mark.parametrize(
    ("data", "child", "expected"),
    [
        (b"<svg/>", 0, b"<svg><x/></svg>"),
        (b"<svg\n/>", 0, b"<svg\n>\n  <x/>\n</svg>"),
        (b"<svg></svg>", 0, b"<svg><x/></svg>"),
        (b"<svg><g/></svg>", 1, b"<svg><g><x/></g></svg>"),
        (b"<svg><g>\n  </g></svg>", 1, b"<svg><g><x/>\n  </g></svg>"),
        (b"<svg>\n    <g>\n    </g>\n</svg>", 1, b"<svg>\n    <g>\n        <x/>\n    </g>\n</svg>"),
        (
            b"<svg>\n <g>\n   <g/>\n </g>\n</svg>",
            2,
            b"<svg>\n <g>\n   <g>\n     <x/>\n   </g>\n </g>\n</svg>",
        ),
        (b"<svg>\n <g><!-- c --></g>\n</svg>", 1, b"<svg>\n <g><!-- c -->\n  <x/>\n </g>\n</svg>"),
        (b"<svg><g>text</g></svg>", 1, b"<svg><g>text<x/></g></svg>"),
    ],
)
def test_children_in_files_of_all_manners(data: bytes, child: int, expected: bytes) -> None:
    doc = read_document(data, "c.svg")
    assert splice(doc, insert_child(doc, child, "<x/>")) == expected


def test_a_first_child_stands_before_text_too() -> None:
    doc = read_document(b"<svg><g>text</g></svg>", "t.svg")
    assert splice(doc, insert_child(doc, 1, "<x/>", first=True)) == b"<svg><g><x/>text</g></svg>"


def test_elements_go_with_the_line_they_stand_on() -> None:
    doc = pretty()
    assert splice(doc, remove_element(doc, 3)) == PRETTY.replace(b'\r\n\t\t<path id="q" />', b"")
    assert splice(doc, remove_element(doc, 1)).startswith(b'<?xml version="1.0"?>\r\n<svg>\r\n\t<g id="b">')
    edits = [*remove_element(doc, 3), *insert_after(doc, 3, "<x/>"), *insert_after(doc, 3, "<y/>")]
    assert b"\r\n\t\t<x/>\r\n\t\t<y/>\r\n\t</g>" in splice(doc, edits)


def test_attributes_are_set_in_place_or_behind_the_last() -> None:
    doc = document("<path\n   id='a'\n   d=\"M\"/><g/>")
    assert element_of_after(doc, set_attribute(doc, 1, "id", "it's \"&<>\n\t\r")) == (
        '<path\n   id=\'it&apos;s "&amp;&lt;&gt;&#10;&#9;&#13;\'\n   d="M"/>'
    )
    assert element_of_after(doc, set_attribute(doc, 1, "x", '"1"')) == (
        '<path\n   id=\'a\'\n   d="M"\n   x="&quot;1&quot;"/>'
    )
    assert set_attribute(doc, 1, "id", "a") == []
    two = [*set_attribute(doc, 2, "a", "1"), *set_attribute(doc, 2, "b", "2")]
    assert splice(doc, two).endswith(b'<g a="1" b="2"/></svg>')


def element_of_after(doc: Document, edits: list[Edit]) -> str:
    return element_of(read_document(splice(doc, edits), "after.svg"))


def test_attributes_with_a_namespace_get_its_prefix_declared_or_in_force() -> None:
    doc = document("<g/>")
    assert (
        element_of_after(doc, set_attribute(doc, 1, f"{{{INKSCAPE}}}label", "a")) == '<g inkscape:label="a"/>'
    )
    assert element_of_after(doc, set_attribute(doc, 1, f"{{{XML}}}space", "a")) == '<g xml:space="a"/>'
    bare = read_document(b'<svg xmlns:inkscape="urn:other"><g/></svg>', "b.svg")
    assert element_of_after(bare, set_attribute(bare, 1, f"{{{INKSCAPE}}}label", "a")) == (
        f'<g xmlns:inkscape1="{INKSCAPE}" inkscape1:label="a"/>'
    )
    assert element_of_after(bare, set_attribute(bare, 1, "{urn:z}q", "a")) == '<g xmlns:ns="urn:z" ns:q="a"/>'


def test_attributes_go_with_the_space_before_them() -> None:
    doc = document("<path\n   id='a'\n   d=\"M\" /><g/>")
    assert element_of_after(doc, remove_attribute(doc, 1, "id")) == '<path\n   d="M" />'
    assert remove_attribute(doc, 1, "x") == []
    entity = read_document(b'<!DOCTYPE svg [<!ENTITY e "x">]><svg><g a="&e;" b="1"/></svg>', "e.svg")
    assert splice(entity, remove_attribute(entity, 1, "a")).endswith(b'<svg><g b="1"/></svg>')


def test_elements_are_renamed_in_both_tags_and_keep_their_prefix() -> None:
    doc = read_document(
        b'<s:svg xmlns:s="http://www.w3.org/2000/svg"><s:rect ><a/></s:rect\n></s:svg>', "r.svg"
    )
    assert b"<s:path ><a/></s:path\n>" in splice(doc, rename(doc, 1, "path"))
    bare = read_document(b"<svg><rect/></svg>", "r.svg")
    assert splice(bare, rename(bare, 1, "path")) == b"<svg><path/></svg>"


def test_new_elements_are_written_in_the_prefix_of_their_place() -> None:
    label = f"{{{INKSCAPE}}}label"
    doc = document("<g/>")
    assert (
        element_text(doc, 1, "path", {"d": "M", label: 'a "b"'})
        == '<path d="M" inkscape:label="a &quot;b&quot;"/>'
    )
    assert element_text(doc, 1, "g", {}, "<a/>", title="x < y") == "<g><title>x &lt; y</title><a/></g>"
    prefixed = read_document(b'<s:svg xmlns:s="http://www.w3.org/2000/svg"/>', "s.svg")
    assert element_text(prefixed, 0, "path", {}, title="t") == "<s:path><s:title>t</s:title></s:path>"
    bare = read_document(b"<svg/>", "b.svg")
    assert element_text(bare, 0, "g", {label: "a", f"{{{INKSCAPE}}}x": "b", f"{{{SODIPODI}}}y": "c"}) == (
        f'<g xmlns:inkscape="{INKSCAPE}" inkscape:label="a" inkscape:x="b" '
        f'xmlns:sodipodi="{SODIPODI}" sodipodi:y="c"/>'
    )


def test_elements_out_of_an_entity_are_not_edited() -> None:
    doc = read_document(b'<!DOCTYPE svg [<!ENTITY e "<g><a/></g>">]><svg>&e;</svg>', "e.svg")
    for edit in (
        lambda: remove_element(doc, 1),
        lambda: insert_after(doc, 1, "<x/>"),
        lambda: insert_child(doc, 1, "<x/>"),
        lambda: rename(doc, 1, "a"),
        lambda: remove_attribute(doc, 1, "a"),
    ):
        with pytest.raises(PatternError, match="comes out of an entity"):
            edit()
    assert splice(doc, insert_child(doc, 0, "<x/>")).endswith(b"<svg>&e;<x/></svg>")


def test_escaping() -> None:
    assert escape("a<b>&'\"\r\n") == "a&lt;b&gt;&amp;'\"&#13;\n"
    assert escape("'\"", "'") == '&apos;"'


def test_wide_encodings_are_edited_in_place() -> None:
    text = '<?xml version="1.0" encoding="UTF-16"?>\n<svg>\n  <g id="Ж"/>\n</svg>'
    doc = read_document(b"\xff\xfe" + text.encode("utf-16-le"), "w.svg")
    edits = [*insert_after(doc, 1, "<x/>"), *rename(doc, 1, "path"), *set_attribute(doc, 1, "d", "ж")]
    expected = text.replace('<g id="Ж"/>', '<path id="Ж" d="ж"/>\n  <x/>')
    assert splice(doc, edits) == b"\xff\xfe" + expected.encode("utf-16-le")
