"""Elements moved by their transform, and the points that say where they lie."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import motions, points
from tests.svg.making import MILLIMETRES, document, element_of, first
from tests.svg.strategies import matrices, transform_text
from transform.geometry.motion import STAY, Affine, Motion
from transform.svg.document import read_document
from transform.svg.numbers import CLOSE
from transform.svg.placing import anchor_of, turn_element
from transform.svg.problems import PatternError
from transform.svg.splice import splice
from transform.svg.viewport import matrix_of

FAR = 3000
"""Everything within this (mm) is placed exactly."""


@given(matrices(), st.none() | matrices(), st.sampled_from(["", "10 20", "left"]), motions(), points)
@settings(deadline=None)
def test_everything_within_three_metres_is_placed(
    around: Affine, own: Affine | None, origin: str, motion: Motion, place: complex
) -> None:
    transform = f'transform="{transform_text(own)}"' if own else ""
    fixed = f'transform-origin="{origin}"' if origin else ""
    doc = document(f'<g transform="{transform_text(around)}"><use id="u" {transform} {fixed} x="1"/></g>')
    again = read_document(splice(doc, turn_element(doc, 2, motion, None)), "t.svg")
    before, after = matrix_of(doc, 2, None), matrix_of(again, 2, None)
    local = before.inverse()(place * FAR / 708)
    assert abs(after(local) - motion(before(local))) < CLOSE


@given(matrices(), points)
@settings(deadline=None)
def test_a_shift_never_turns(around: Affine, shift: complex) -> None:
    doc = document(
        f'<g transform="{transform_text(around)}"><text x="1" y="2" transform="rotate(30)">t</text></g>'
    )
    edits = turn_element(doc, 2, Motion(shift=shift), None)
    again = read_document(splice(doc, edits), "t.svg")
    if shift:
        assert (again.get(2, "transform") or "").startswith("translate(")
        assert (again.get(2, "transform") or "").endswith(" rotate(30)")
    assert abs(anchor_of(again, 2, None) - anchor_of(doc, 2, None) - shift) < CLOSE


@pytest.mark.parametrize(
    ("element", "expected"),
    [
        ("<g/>", '<g transform="translate(3 4)"/>'),
        ('<g transform=" "/>', '<g transform="translate(3 4)"/>'),
        ("<g transform='none'/>", "<g transform='translate(3 4)'/>"),
        ("<g transform='scale(2)&#10;' id='a'/>", "<g transform='translate(3 4) scale(2)&#10;' id='a'/>"),
    ],
)
def test_what_a_transform_says_already_stays(element: str, expected: str) -> None:
    doc = document(element)
    again = read_document(splice(doc, turn_element(doc, 1, Motion(shift=3 + 4j), None)), "t.svg")
    assert element_of(again) == expected


def test_to_stay_is_no_edit_and_the_root_never_moves() -> None:
    doc = document("<g/>")
    assert turn_element(doc, 1, STAY, None) == []
    assert turn_element(doc, 1, Motion(shift=1e-12j), None) == []
    with pytest.raises(ValueError, match="never moved"):
        turn_element(doc, 0, Motion(shift=1j), None)
    with pytest.raises(PatternError, match="no real size"):
        turn_element(document("<g/>", ""), 1, Motion(shift=1j), None)


def test_a_transform_out_of_an_entity_is_refused() -> None:
    data = f'<!DOCTYPE svg [<!ENTITY t "scale(2)">]><svg {MILLIMETRES}><g transform="&t;"/></svg>'
    doc = read_document(data.encode(), "e.svg")
    with pytest.raises(PatternError, match="entity"):
        turn_element(doc, 1, Motion(shift=1j), None)


@pytest.mark.parametrize(
    ("body", "tag", "anchor"),
    [
        ('<text x="3" y="4">t</text>', "text", 3 + 4j),
        ('<text x="3 5,7" y="4mm">t</text>', "text", 3 + 4j * 96 / 25.4),
        (
            '<text transform="scale(2)"><tspan x="3" y="4">t</tspan><tspan x="9" y="9"/></text>',
            "text",
            6 + 8j,
        ),
        ('<text y="1"><tspan x="3" y="4">t</tspan></text>', "text", 3 + 1j),
        ("<text>t</text>", "text", 0j),
        ('<text x="5"><tspan x="3" y="4">t</tspan></text>', "tspan", 3 + 4j),
        ('<image x="10" y="20" width="4" height="6"/>', "image", 12 + 23j),
        ('<image x="10" y="20"/>', "image", 10 + 20j),
        ('<defs><circle id="c" cx="5" r="1"/></defs><use href="#c" x="1" y="2"/>', "use", 6 + 2j),
        ('<symbol id="c"/><use href="#c" x="1" y="2"/>', "use", 1 + 2j),
        ('<use href="#gone" x="1" y="2" transform="scale(2)"/>', "use", 2 + 4j),
        ('<rect width="4" height="6"/>', "rect", 2 + 3j),
        ('<g><text x="3" y="4">t</text></g>', "g", 3 + 4j),
        ('<g transform="translate(1 2)"/>', "g", 1 + 2j),
        ('<svg x="10" y="20"><title/></svg>', "svg", 10 + 20j),
    ],
)
def test_anchors(body: str, tag: str, anchor: complex) -> None:
    doc = document(body)
    element = next(i for i in doc.elements if i and doc.tag(i) == tag)
    assert anchor_of(doc, element, None) == pytest.approx(anchor)


def test_an_anchor_that_cannot_be_read() -> None:
    doc = document('<text x="3em">t</text>')
    with pytest.raises(PatternError, match="unit 'em'"):
        anchor_of(doc, first(doc, "text"), None)
