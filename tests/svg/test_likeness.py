"""What new elements take from the elements beside them."""

from __future__ import annotations

from xml.sax.saxutils import quoteattr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.svg.making import document
from transform.svg.document import read_document
from transform.svg.labels import fold, is_automatic, label_of
from transform.svg.likeness import NewLabel, label_attribute, new_id, style_of
from transform.svg.namespaces import INKSCAPE

LABEL = f"{{{INKSCAPE}}}label"


def test_ids_are_new_and_read_as_they_were_wished() -> None:
    doc = document('<g id="bust_dart"/><g id="bust_dart-2"/>')
    assert new_id(doc, "bust dart") == "bust_dart-3"
    assert new_id(doc, "bust dart", taken={"bust_dart-3"}) == "bust_dart-4"
    assert new_id(doc, "front (left)") == "front__x28_left_x29_"
    assert new_id(doc, "12") == "_x31_2"
    assert new_id(doc, " ") == "_"
    assert new_id(doc, "Brustabnäher") == "Brustabnäher"


@given(st.text(min_size=1, max_size=12).filter(lambda text: fold(text) and not is_automatic(text)))
def test_an_id_reads_as_its_wish(wish: str) -> None:
    name = new_id(document("<g/>"), wish)
    doc = document(f"<g id={quoteattr(name)}/>")
    label = label_of(doc, 1)
    assert label is None or fold(label) == fold(wish) or "_x" in wish


def test_style_is_copied_as_written() -> None:
    doc = document(
        '<path class="a b" style="fill:none; stroke:red" stroke-width="2" '
        'd="M0 0" id="x" transform="scale(2)"/>'
    )
    assert style_of(doc, 1) == {"class": "a b", "style": "fill:none; stroke:red", "stroke-width": "2"}


@pytest.mark.parametrize(
    ("body", "neighbour", "expected"),
    [
        ('<path inkscape:label="x"/>', 1, NewLabel({"id": "bust_dart", LABEL: "bust dart"})),
        ('<path data-name="x"/>', 1, NewLabel({"id": "bust_dart", "data-name": "bust dart"})),
        ("<path><title>x</title></path>", 1, NewLabel({"id": "bust_dart"}, "bust dart")),
        ('<path id="x"/>', 1, NewLabel({"id": "bust_dart"})),
        ('<g><path/><path id="x"/></g>', 2, NewLabel({"id": "bust_dart"})),
        ('<g data-name="x"><path/></g>', 2, NewLabel({"id": "bust_dart", "data-name": "bust dart"})),
        ('<g id="x"><g><path/></g></g>', 3, NewLabel({"id": "bust_dart"})),
        ("<path/>", 1, NewLabel({"id": "bust_dart", LABEL: "bust dart"})),
        ("<path/>", 0, NewLabel({"id": "bust_dart", LABEL: "bust dart"})),
    ],
)
def test_labels_are_of_the_neighbours_kind(body: str, neighbour: int, expected: NewLabel) -> None:
    assert label_attribute(document(body), neighbour, "bust dart") == expected


def test_without_any_label_or_namespace_the_id_is_the_label() -> None:
    doc = read_document(b"<svg><path/></svg>", "n.svg")
    assert label_attribute(doc, 1, "bust dart") == NewLabel({"id": "bust_dart"})
