"""Where shapes and texts begin, told of all at once: just what is told of each by itself, or nothing."""

from __future__ import annotations

import cmath

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.svg.making import document
from transform.svg.begins import begins_of
from transform.svg.bounds import begin_of
from transform.svg.document import Document, read_document
from transform.svg.number_places import read_numbers
from transform.svg.placing import anchor_of
from transform.svg.problems import PatternError
from transform.svg.viewport import matrix_of

NUMBERS = (
    *(
        "0",
        "-0",
        "12",
        "-3.5",
        "+.25",
        "7.",
        "0.1",
        "123456789.123456",
        "3e2",
        "1.5.5",
        "1234567890.12345678",
    ),
    *("nan", "inf", "1_0", " 4 ", "5mm", "50%", "", "&#49;2", ".", "-", "0000000000000000001"),
)
BETWEEN = (" ", ",", " , ", "\n", "", "-", "     ", "&#32;")
PATHS = ("M{0}{1}{2} L 5 6", "m {0}{1}{2}z", "{0}{1}{2}", "M{0}{1}{2} M 1 2", " M {0}{1}{2}")
LISTS = ("{0}{1}{2} 5,6", "{0}{1}{2}", " {0}{1}{2},7 8")
SHAPES = {
    "path": ("d",),
    "polyline": ("points",),
    "polygon": ("points",),
    "rect": ("x", "y"),
    "text": ("x", "y"),
    "line": ("x1", "y1"),
    "circle": ("cx", "cy"),
    "ellipse": ("cx", "cy"),
    "use": ("x", "y"),
}
OTHERS = (
    "",
    ' id="a"',
    " style=\"fill:none; d='M 1 1 L'\"",
    " style='x=\"8\"'",
    ' data-x="1"',
    ' transform="scale(2)"',
)


@st.composite
def shapes(draw: st.DrawFn) -> str:
    """A shape or a text, its coordinates written in any way."""
    tag = draw(st.sampled_from(sorted(SHAPES)))
    numbers, between = st.sampled_from(NUMBERS), st.sampled_from(BETWEEN)
    words = draw(st.sampled_from(OTHERS))
    for name in SHAPES[tag]:
        value = draw(numbers)
        if name in ("d", "points"):
            form = draw(st.sampled_from(PATHS if name == "d" else LISTS))
            value = form.format(value, draw(between), draw(numbers))
        blank, quote = draw(st.sampled_from((" ", "\n"))), draw(st.sampled_from('""\''))
        equals = draw(st.sampled_from(("=", "=", "=", " = ")))
        if draw(st.integers(0, 9)):
            words += f"{blank}{name}{equals}{quote}{value}{quote}"
    inside = draw(st.sampled_from(("", 'x="9" y="9"')))
    return f"<{tag}{words}>{inside}</{tag}>"


def by_itself(doc: Document, element: int) -> complex | None:
    """What is told of one element: where it begins, or the anchor of a text."""
    try:
        if doc.tag(element) == "text":
            return anchor_of(doc, element, None)
        begin = begin_of(doc, element)
        return None if begin is None else matrix_of(doc, element, None)(begin)
    except PatternError:
        return None


@given(
    st.lists(shapes(), min_size=1, max_size=8), st.sampled_from(("", ' transform="matrix(.1 3 2 .7 9 1)"'))
)
def test_what_is_told_at_once_is_what_is_told_of_each(rows: list[str], moved: str) -> None:
    doc = document(f"<g{moved}>{''.join(rows)}</g>")
    elements = [each for each in doc.elements if doc.tag(each) in SHAPES]
    for element, (x, y) in zip(elements, begins_of(doc, np.array(elements), None).tolist(), strict=True):
        if not (cmath.isnan(complex(x, y))):
            assert complex(x, y) == by_itself(doc, element)


@pytest.mark.parametrize(
    "shape",
    [
        '<path d="M 10.5,-20 C 30,40 50,60 70,80"/>',
        '<path style="fill:none" d=" m-1.5-2l 3 4 z"/>',
        '<polyline points="1,2 3,4"/>',
        '<polygon points="1 2 3 4 5 0"/>',
        '<line x2="30" x1="1" y1="2" y2="4"/>',
        '<rect rx="7" x="1" y=" 2 " width="3" height="4"/>',
        '<circle cx="1" cy="2" r="3"/>',
        '<text x="3" y="4">letters</text>',
    ],
)
def test_of_what_is_plain_to_see_it_is_told(shape: str) -> None:
    doc = document(shape)
    ((x, y),) = begins_of(doc, np.array([1]), None).tolist()
    assert complex(x, y) == by_itself(doc, 1)


@pytest.mark.parametrize(
    "shape",
    [
        '<path d="M1 2 L3 4" transform="scale(2)"/>',
        "<path d='M1 2 L3 4'/>",
        '<path d ="M1 2 L3 4"/>',
        '<rect x="1" width="3" height="4"/>',
        '<rect x="1mm" y="2" width="3" height="4"/>',
        '<use x="1" y="2"/>',
        "<style>path{d:none}</style>",
    ],
)
def test_of_nothing_else(shape: str) -> None:
    assert np.isnan(begins_of(document(shape), np.array([1]), None)).any()


def test_nothing_is_told_where_a_group_has_no_matrix_or_the_file_is_not_plain() -> None:
    shape = '<path d="M1 2 L3 4"/>'
    flat = document(f'<g transform="scale(0)">{shape}</g>')
    assert np.isnan(begins_of(flat, np.array([2]), None)).all()
    typed = read_document(f"<!DOCTYPE svg [<!ENTITY a 'b'>]><svg>{shape}</svg>".encode(), "x.svg")
    assert np.isnan(begins_of(typed, np.array([1]), 1.0)).all()
    assert len(begins_of(flat, np.array([], dtype=np.int64), None)) == 0


@given(st.lists(st.floats(-1e9, 1e9), min_size=1), st.integers(0, 5))
def test_numbers_are_read_to_the_last_digit(numbers: list[float], decimals: int) -> None:
    texts = [f"{number:.{decimals}f}" for number in numbers]
    places = np.cumsum([0, *(len(text) + 1 for text in texts)])[:-1]
    every = np.frombuffer(" ".join([*texts, ""]).encode(), dtype=np.uint8)
    values, ends = read_numbers(every, places)
    assert values.tolist() == [float(text) for text in texts]
    assert ends.tolist() == [place + len(text) for place, text in zip(places.tolist(), texts, strict=True)]
