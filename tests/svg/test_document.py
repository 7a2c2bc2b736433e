"""Bytes to elements: encodings, entities, positions, bounds, and nothing lost on the way."""

from __future__ import annotations

import codecs
import gc
import resource
import sys
import time
from pathlib import Path

import pytest
from lxml import etree

from tests.svg.making import document, first
from tests.svg.realfiles import files, name_of, needs_realfiles
from transform.svg import parsing
from transform.svg.document import Document, read_document
from transform.svg.edits import set_attribute
from transform.svg.problems import PatternError, problem_at
from transform.svg.splice import splice
from transform.svg.tags import read_start_tag

SVG = 'xmlns="http://www.w3.org/2000/svg"'


def refusal(data: bytes) -> str:
    with pytest.raises(PatternError) as caught:
        read_document(data, "bad.svg")
    assert all(problem.exit == 3 and problem.file == "bad.svg" for problem in caught.value.problems)
    return str(caught.value)


@needs_realfiles
@pytest.mark.parametrize("path", files(), ids=name_of)
def test_every_real_file_is_read_and_nothing_asked_gives_its_very_bytes(path: Path) -> None:
    data = path.read_bytes()
    doc = read_document(data, path.name)
    assert splice(doc, []) == data
    for element in doc.elements:
        if doc.from_entity(element):
            continue
        assert etree.QName(doc.node(element)).localname == doc.start_tag(element).name.rpartition(":")[2]
        begin, end = doc.end_tag(element)
        assert doc.start_tag(element).end <= end
        assert begin <= end
        for name in doc.node(element).attrib:
            attribute = doc.attribute(element, str(name))
            assert attribute is not None
            assert attribute.value == doc.get(element, str(name))
            if attribute.span is not None:
                assert data[slice(*attribute.span)].decode(doc.encoding.codec) == attribute.raw


@needs_realfiles
@pytest.mark.parametrize("path", files(), ids=name_of)
def test_one_attribute_changed_leaves_all_bytes_outside_its_value(path: Path) -> None:
    data = path.read_bytes()
    doc = read_document(data, path.name)
    for element in doc.elements:
        attribute = doc.attribute(element, "d") or doc.attribute(element, "id")
        if attribute is None or attribute.span is None:
            continue
        local = attribute.name
        changed = splice(doc, set_attribute(doc, element, local, 'M 1 2 "Ж" <'))
        begin, end = attribute.span
        assert changed[:begin] == data[:begin]
        assert changed[len(changed) - (len(data) - end) :] == data[end:]
        assert read_document(changed, path.name).get(element, local) == 'M 1 2 "Ж" <'
        break


@needs_realfiles
def test_what_comes_out_of_an_entity_is_told_apart() -> None:
    by_name = {path.name: path for path in files()}
    doc = read_document(by_name["coords-viewattr-01-b.svg"].read_bytes(), "v.svg")
    borrowed = [element for element in doc.elements if doc.from_entity(element)]
    assert {doc.tag(element) for element in borrowed} >= {"rect", "circle", "path"}
    path = next(element for element in borrowed if doc.tag(element) == "path")
    with pytest.raises(PatternError, match="comes out of an entity"):
        set_attribute(doc, path, "d", "M 0 0")
    assert doc.attribute(path, "d") is not None
    assert doc.attribute(path, "d").span is None  # type: ignore[union-attr]


def test_an_attribute_that_uses_an_entity_is_read_but_not_changed() -> None:
    data = b'<!DOCTYPE svg [<!ENTITY red "fill:red">]><svg><g style="&red;" id="a&amp;b"/></svg>'
    doc = read_document(data, "e.svg")
    style = doc.attribute(1, "style")
    assert style is not None
    assert style.value == "fill:red"
    assert style.span is None
    with pytest.raises(PatternError, match="entity"):
        set_attribute(doc, 1, "style", "fill:none")
    assert splice(doc, set_attribute(doc, 1, "id", "c")) == data.replace(b"a&amp;b", b"c")


def test_a_default_of_the_document_type_has_no_bytes() -> None:
    doc = read_document(b'<!DOCTYPE svg [<!ATTLIST g fill CDATA "red">]><svg><g/></svg>', "e.svg")
    attribute = doc.attribute(1, "fill")
    assert attribute is not None
    assert (attribute.value, attribute.span) == ("red", None)
    assert splice(doc, set_attribute(doc, 1, "fill", "none")).endswith(b'<svg><g fill="none"/></svg>')


def test_elements_of_an_entity_keep_the_namespace_and_prefixes_around_them() -> None:
    data = (
        f"<!DOCTYPE svg [<!ENTITY r \"<use xlink:href='#a'/>\">]><svg {SVG} "
        'xmlns:xlink="http://www.w3.org/1999/xlink"><g/>&r;</svg>'
    )
    doc = read_document(data.encode(), "e.svg")
    assert [doc.tag(element) for element in doc.elements] == ["svg", "g", "use"]
    assert [doc.from_entity(element) for element in doc.elements] == [False, False, True]


def test_structure() -> None:
    doc = document("<g><a/><a><b/></a></g><g/>")
    assert [doc.tag(element) for element in doc.elements] == ["svg", "g", "a", "a", "b", "g"]
    assert doc.children(0) == (1, 5)
    assert doc.children(1) == (2, 3)
    assert list(doc.descendants(1)) == [2, 3, 4]
    assert list(doc.ancestors(4)) == [3, 1, 0]
    assert doc.parent(0) is None
    assert len(doc) == 6


def test_foreign_elements_keep_their_namespace_in_their_tag() -> None:
    doc = document('<x:y xmlns:x="urn:z"/><q xmlns=""/><svg:g xmlns:svg="http://www.w3.org/2000/svg"/>')
    assert [doc.tag(element) for element in (1, 2, 3)] == ["{urn:z}y", "{}q", "g"]
    bare = read_document(b'<svg><g/><x:y xmlns:x="urn:z"/></svg>', "bare.svg")
    assert bare.namespace is None
    assert [bare.tag(element) for element in bare.elements] == ["svg", "g", "{urn:z}y"]


def test_lines_and_columns_count_characters_and_every_kind_of_line_end() -> None:
    data = "<svg>\r\n<g/>\r\n\n<g/>\r\t<é/><g/></svg>"
    for encoding, mark in (("utf-8", b""), ("utf-8", codecs.BOM_UTF8), ("utf-16-le", codecs.BOM_UTF16_LE)):
        doc = read_document(mark + data.encode(encoding), "l.svg")
        assert [doc.position(element) for element in doc.elements] == [(1, 1), (2, 1), (4, 1), (5, 2), (5, 6)]


def test_raw_indices_follow_references_and_line_ends() -> None:
    doc = read_document(b'<svg><path d="M&#32;1\r\n2&#x0A;L\t3&#9;4"/></svg>', "r.svg")
    attribute = doc.attribute(1, "d")
    assert attribute is not None
    assert attribute.value == "M 1 2\nL 3\t4"
    assert attribute.raw_between(0, 3) == "M&#32;1"
    assert attribute.raw_between(3, 5) == "\r\n2"
    assert attribute.raw_between(5, 7) == "&#x0A;L"
    assert attribute.raw_between(0, len(attribute.value)) == attribute.raw


def test_attributes_are_found_whatever_their_prefix() -> None:
    doc = read_document(
        b'<svg xmlns:i="http://www.inkscape.org/namespaces/inkscape">'
        b"<g label=\"no\" i:label='yes' xml:space='x'/></svg>",
        "p.svg",
    )
    label = doc.attribute(1, "{http://www.inkscape.org/namespaces/inkscape}label")
    assert label is not None
    assert (label.name, label.value, label.quote) == ("i:label", "yes", "'")
    space = doc.attribute(1, "{http://www.w3.org/XML/1998/namespace}space")
    assert space is not None
    assert space.span is not None
    assert doc.attribute(1, "label").value == "no"  # type: ignore[union-attr]
    assert doc.attribute(1, "{urn:other}label") is None


@pytest.mark.parametrize(
    ("declared", "codec", "text"),
    [
        ("UTF-8", "utf-8", "Ж"),
        ("utf8", "utf-8", "Ж"),
        ("US-ASCII", "ascii", "z"),
        ("ISO-8859-1", "latin-1", "é"),
        ("iso-8859-15", "iso8859-15", "€"),
        ("Windows-1251", "cp1251", "Ж"),
        ("windows-1252", "cp1252", "€"),
        ("KOI8-R", "koi8-r", "Ж"),
        ("macintosh", "mac-roman", "é"),
    ],
)
def test_encodings(declared: str, codec: str, text: str) -> None:
    data = f'<?xml version="1.0" encoding="{declared}"?>\n<svg><g id="{text}"/></svg>'.encode(codec)
    doc = read_document(data, "e.svg")
    assert doc.get(1, "id") == text
    changed = splice(doc, set_attribute(doc, 1, "id", text + "\u4e00\u00a0"))
    assert read_document(changed, "e.svg").get(1, "id") == text + "\u4e00\u00a0"
    assert changed.startswith(data[: data.index(b'id="') + 4])


@pytest.mark.parametrize(
    ("codec", "mark"), [("utf-16-le", codecs.BOM_UTF16_LE), ("utf-16-be", codecs.BOM_UTF16_BE)]
)
def test_wide_encodings(codec: str, mark: bytes) -> None:
    text = '<?xml version="1.0" encoding="UTF-16"?>\n<svg>\n  <g id="Ж\U0001f9f5"  x="1"/><a/></svg>'
    doc = read_document(mark + text.encode(codec), "w.svg")
    assert doc.get(1, "id") == "Ж\U0001f9f5"
    changed = splice(doc, set_attribute(doc, 1, "x", "ж"))
    assert changed == mark + text.replace('x="1"', 'x="ж"').encode(codec)
    for spelled in ("ucs-2", codec, "nonsense"):
        assert len(read_document(mark + text.replace("UTF-16", spelled).encode(codec), "w.svg")) == 3


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b" \n", "empty"),
        (b"\x1f\x8b\x08\x00", "compressed"),
        (b"version https://git-lfs.github.com/spec/v1\noid sha256:0", "Git LFS pointer"),
        (b"PK\x03\x04", "zip archive"),
        (b"%PDF-1.7", "PDF"),
        (b"hello", "no XML"),
        (b"<svg><g>", "ends too early"),
        (b"<svg><g></svg>", "mismatched tag"),
        (b"<svg>\n\0</svg>", "bad.svg:2: unreadable file: the file holds NUL"),
        ("<svg>\0</svg>".encode("utf-16"), "well-formed"),
        (b'<svg id="\xff"/>', "1:10"),
        (b"<html><svg/></html>", "<html>, not <svg>"),
        (b'<svg xmlns="urn:x"/>', "not <svg>"),
        (b'<svg a="1" a="2"/>', "duplicate attribute"),
        (b'<svg><g x:y="1"/></svg>', "prefix x"),
        (b"<svg>&none;</svg>", "undefined entity"),
        (b'<!DOCTYPE svg SYSTEM "x.dtd"><svg>&none;</svg>', "'none' not defined"),
        ("<svg/>".encode("utf-16-be"), "UTF-16 without a byte-order mark"),
        ("<svg/>".encode("utf-32"), "UTF-32"),
        (b'<?xml version="1.0" encoding="shift_jis"?><svg/>', "shift_jis"),
        (b'<?xml version="1.0" encoding="nonsense"?><svg/>', "nonsense"),
        (b'<?xml version="1.0" encoding="utf-16"?><svg/>', "UTF-16 declared"),
        (
            codecs.BOM_UTF8 + b'<?xml version="1.0" encoding="iso-8859-1"?><svg/>',
            "byte-order mark says UTF-8",
        ),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_reason(data: bytes, says: str) -> None:
    assert says in refusal(data)


def entities(levels: int) -> str:
    return "".join(f'<!ENTITY l{k} "{f"&l{k - 1};" * 10}">' for k in range(1, levels + 1))


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (f'<!DOCTYPE svg [<!ENTITY l0 "lol">{entities(11)}]><svg>&l11;</svg>', "multiply"),
        (f'<!DOCTYPE svg [<!ENTITY l0 "lol">{entities(9)}]><svg id="&l9;"/>', "multiply"),
        (f'<!DOCTYPE svg [<!ENTITY a "{"<g/>" * 20000}">]><svg>{"&a;" * 300}</svg>', "multiply"),
        (f"<svg>{'<g>' * 100_000}{'</g>' * 100_000}</svg>", "too deep"),
        (f"<svg>{'<g/>' * 1_000_000}</svg>", "more than 250000 elements"),
        (f'<svg id="{"x" * 20_000_000}"/>', "too long"),
        (f"<svg><!--{'x' * 11_000_000}--></svg>", "comments is too long"),
        (f"<svg>{' ' * 41 * 2**20}</svg>", "at most 40 MB"),
    ],
    ids=[
        "entity bomb",
        "bomb in an attribute",
        "elements",
        "deep",
        "million",
        "attribute",
        "comment",
        "size",
    ],
)
def test_hostile_files_are_refused_in_bounded_time_and_memory(data: str, says: str) -> None:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    started = time.process_time()
    assert says in refusal(data.encode())
    # Tracing for coverage makes every call of a handler many times as slow.
    assert time.process_time() - started < (5 if sys.gettrace() is None else 60)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 500 * 1024


@pytest.mark.parametrize(
    "data",
    [
        b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]><svg><text>&x;</text></svg>',
        b'<!DOCTYPE svg [<!ENTITY % x SYSTEM "file:///etc/hostname"> %x;]><svg/>',
    ],
)
def test_nothing_is_fetched_from_outside(data: bytes) -> None:
    assert "not defined" in refusal(data)


def test_a_tag_too_many_by_entities_is_counted() -> None:
    data = f'<!DOCTYPE svg [<!ENTITY a "{"<g/>" * 10000}">]><svg>{"&a;" * 60}</svg>'
    assert "multiply" in refusal(data.encode()) or "more than" in refusal(data.encode())


def test_reading_costs_little_more_than_the_parser_itself() -> None:
    rows = (
        f'<path id="e{k}" style="fill:none" d="M{k}.5 0 l3.5 4.5 {k}.25 2h4z c1 2 3 4 5 6"/>'
        for k in range(99_000)
    )
    data = f"<svg {SVG}>{''.join(rows)}</svg>".encode()

    def parse() -> bytes:
        return etree.tostring(etree.fromstring(data))

    def read() -> Document:
        return read_document(data, "large.svg")

    def best(work: object) -> float:
        times = []
        for _ in range(4):
            started = time.perf_counter()
            work()  # type: ignore[operator]
            times.append(time.perf_counter() - started)
        return min(times)

    # As in a fresh process: what the other tests left behind is not gone through again and again.
    gc.collect()
    gc.freeze()
    try:
        # Roughly 1.5; more where every call is traced for coverage.
        assert best(read) < (3 if sys.gettrace() is None else 8) * best(parse)
    finally:
        gc.unfreeze()


def test_labels_lead_to_an_element_in_messages() -> None:
    doc = document('<g inkscape:label="size 12">\n<g id="front"><path id="path7"/></g></g>')
    assert doc.path_of_labels(first(doc, "path")) == 'size 12 > front > <path id="path7"> (line 2)'
    assert doc.path_of_labels(2) == "size 12 > front (line 2)"
    assert doc.path_of_labels(0) == "<svg> (line 1)"


def test_what_is_no_start_tag() -> None:
    assert read_start_tag("x", 0, "utf-8") is None
    assert read_start_tag("<g id=", 0, "utf-8") is None


def test_problems_of_the_whole_file() -> None:
    (problem,) = problem_at(document("<g/>"), None, "kind", "text").problems
    assert (problem.file, problem.line, problem.element) == ("test.svg", None, "")


def test_disagreeing_readers_are_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    tree = parsing.tree_of

    def other(*arguments: object) -> etree._Element:
        root = tree(*arguments)  # type: ignore[arg-type]
        etree.SubElement(root, "g")
        return root

    monkeypatch.setattr(parsing, "tree_of", other)
    assert "entities" in refusal(b"<svg/>")
