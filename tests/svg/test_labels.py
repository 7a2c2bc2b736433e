"""Labels: where they are written, what of them counts, how they compare."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.svg.making import document
from transform.svg.counted_ids import counted_ids
from transform.svg.document import read_document
from transform.svg.labels import (
    LabelKind,
    decode_id,
    fold,
    is_automatic,
    label_kind,
    label_of,
    words_in_ids,
)


@pytest.mark.parametrize(
    ("element", "label", "kind"),
    [
        (
            '<g inkscape:label="a" data-name="b" id="d"><title>c</title></g>',
            "a",
            LabelKind.INKSCAPE,
        ),
        ('<g inkscape:label=" " data-name="b" id="d"><title>c</title></g>', "b", LabelKind.DATA_NAME),
        ('<g data-name="" id="d"><title> c\n c </title></g>', "c c", LabelKind.TITLE),
        ('<g id="d"><g><title>deeper</title></g></g>', "d", LabelKind.ID),
        ('<g id="d"><title> </title><title>second</title></g>', "second", LabelKind.TITLE),
        ("<g/>", None, None),
        ('<g id="g12"/>', None, None),
        ('<g id="Layer_3"/>', None, None),
        ('<g inkscape:label="Layer 1" id="front"/>', "front", LabelKind.ID),
        ('<g id="stitching_x20_line"/>', "stitching line", LabelKind.ID),
        ('<g id="_x31_2"/>', "12", LabelKind.ID),
        ('<g id="_x0031_2_x000020_A"/>', "12 A", LabelKind.ID),
        ('<g id="Layer_x0020_1"/>', None, None),
        ('<g id="a_x110000_b"/>', "a_x110000_b", LabelKind.ID),
    ],
)
def test_labels(element: str, label: str | None, kind: LabelKind | None) -> None:
    doc = document(element)
    assert label_of(doc, 1) == label
    assert label_kind(doc, 1) == kind


def test_copy_counters_are_dropped_only_beside_their_original() -> None:
    ids = ["front", "front_1_", "front_00000123456789012345_", "front-2", "front-2-1", "sleeve_1_", "size-12"]
    doc = document("".join(f'<g id="{name}"/>' for name in ids))
    labels = [label_of(doc, element) for element in range(1, 8)]
    assert labels == ["front", "front", "front", "front", "front", "sleeve_1_", "size-12"]


def test_counters_go_before_decoding() -> None:
    doc = document('<g id="cut_x20_line"/><g id="cut_x20_line_2_"/><g id="path7"/><g id="path7-5"/>')
    assert [label_of(doc, element) for element in range(1, 5)] == ["cut line", "cut line", None, None]


def test_the_roots_id_is_no_label_but_a_nested_ones_is() -> None:
    doc = read_document(b'<svg id="front"><svg id="back"/></svg>', "r.svg")
    assert [label_of(doc, element) for element in (0, 1)] == [None, "back"]
    assert label_of(read_document(b"<svg><title>size 12</title></svg>", "r.svg"), 0) == "size 12"


@pytest.mark.parametrize(
    "name",
    [
        "g12",
        "path9",
        "tspan3",
        "Layer_3",
        "svg5",
        "layer1",
        "Layer 1",
        "rect10-2",
        "path9-5-3",
        "text1234",
        "Group 1",
        "Vector_2",
        "Vector",
        "Group",
        "Ebene_1",
        "Calque 2",
        "XMLID_12_",
        "SVGID_1_",
        "_x3C_",
        "<Path>",
        "<Group>_2",
        "_Group_",
        "_Clipping_Path_",
        "linearGradient1234",
        "_509361176",
        "g1234-5",
        "Path 9",
        "namedview5",
    ],
)
def test_counted_names_say_nothing(name: str) -> None:
    assert is_automatic(decode_id(name)) or name == "_x3C_"


@pytest.mark.parametrize(
    "name",
    [
        "front",
        "size 12",
        "12",
        "XS",
        "S1",
        "dart 2",
        "bust dart 1",
        "piece 3",
        "left front",
        "A1",
        "pattern 2",
        "neckline",
        "line",
        "grainline",
        "layered skirt 2",
        "collar stand",
        "ä",
        "part1",
    ],
)
def test_names_of_people_are_labels(name: str) -> None:
    assert not is_automatic(name)


def test_folding() -> None:
    assert fold("Stitching_Line") == fold(" stitching -  line ") == "stitching line"
    assert fold("E\u0301TE\u0301") == fold("éTÉ".upper()) == "été"
    assert fold("Straße") == fold("STRASSE")
    assert fold("size\u00a012") == "size 12"


@given(st.text(max_size=20))
def test_folding_twice_is_folding_once(text: str) -> None:
    assert fold(fold(text)) == fold(text)
    assert fold(f"_{text}-") == fold(text)


COUNTED = st.one_of(
    st.from_regex(r"[A-Za-z]{1,9}[_-]?[0-9]{1,30}(-[0-9]{1,3}){0,3}-?", fullmatch=True),
    st.builds("{}{}".format, st.sampled_from(("path", "g", "Layer", "mark")), st.integers(0, 10**9)),
    st.sampled_from(
        ("front", "path", "g12_", "path1-", "path-1", "&#112;ath1", "12", "", "path1--2", "a" * 40)
    ),
)


@given(st.lists(COUNTED, max_size=6))
def test_ids_that_a_program_counted_up_are_told_at_once_and_no_others(names: list[str]) -> None:
    doc = document("".join(f'<path id="{name}"/><path d="" id = "{name}"/>' for name in names))
    places = doc.attribute_places
    assert places is not None
    counted = counted_ids(places, ~places.odd)
    for element in doc.elements:
        if counted[element]:
            assert is_automatic(doc.get(element, "id") or "")
    silent = [e for e in doc.elements if doc.get(e, "id") in ("path1", "g12", "Layer3", "path10-2")]
    assert all(counted[e] for e in silent if not places.odd[e])
    assert doc.ids == {doc.get(e, "id"): e for e in reversed(doc.elements) if doc.get(e, "id") is not None}


def test_plain_counted_ids_are_no_labels_of_the_document() -> None:
    doc = document('<path id="path12-3"/><g id="g7"><title>front</title></g><path id="paths1"/><g id="g8"/>')
    assert doc.called == {2, 4}
    words = [one + other for one in "abcdefghij" for other in "abcdefghijklmnopqrst"]
    many = document("".join(f'<path id="{word}1"/>' for word in words))
    assert len(many.called) == 200


WORDS = ("front", "size", "8", "cut", "line", "sizes", "0x8", "Ж", "_x20_", "&amp;", "é", "CUT")


@given(st.lists(st.sampled_from(WORDS), max_size=4), st.sampled_from(("-", "_", " ", "  ", "")))
def test_no_word_is_missed_in_an_id(words: list[str], between: str) -> None:
    name = between.join(words)
    doc = document(f'<g id="other"/><path id="{name}"/><path id=\'{name}\'/><g id="z"/>')
    looked_for = ["cut", "8", "size"]
    without = doc.without_words(words_in_ids(looked_for))
    assert without[1]
    assert not without[3]
    if without[2]:
        assert set(fold(label_of(doc, 2) or "").split()).isdisjoint(looked_for)
        assert label_of(doc, 2) == (name.strip() or None)
    told = document(f'<path id="{name}" inkscape:label="cut"/><path id="{name}"><title>cut</title></path>')
    assert not told.without_words(words_in_ids(looked_for)).any()
