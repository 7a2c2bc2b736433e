"""The first point of a shape, by which what lies elsewhere is passed over."""

from __future__ import annotations

import pytest

from transform.svg.bounds import begin_of, bounds_of
from transform.svg.document import read_document

SHAPES = (
    '<path d="M 10,20 C 30,40 50,60 70,80"/>',
    '<path d=" m-1.5-2 l 3 4 z"/>',
    '<polyline points="1,2 3,4"/>',
    '<polygon points="1 2 3 4 5 0"/>',
    '<line x1="1" y1="2" x2="30" y2="4"/>',
    '<rect x="1" y="2" width="3" height="4"/>',
    '<circle cx="1" cy="2" r="3"/>',
    '<ellipse cy="2" rx="3" ry="1"/>',
)


@pytest.mark.parametrize("shape", SHAPES)
def test_it_lies_in_the_box_around_the_shape(shape: str) -> None:
    document = read_document(f'<svg xmlns="http://www.w3.org/2000/svg">{shape}</svg>'.encode(), "x.svg")
    begin, box = begin_of(document, 1), bounds_of(document, 1, 1.0)
    assert begin is not None
    assert box is not None
    assert box.xmin <= begin.real <= box.xmax
    assert box.ymin <= begin.imag <= box.ymax


@pytest.mark.parametrize(
    "shape",
    [
        '<path d="M 1 2 M 30 40 L 5 6"/>',
        '<path d="M 1 2"/>',
        '<path d="1 2"/>',
        "<path/>",
        '<rect x="1mm" y="2" width="3" height="4"/>',
        '<circle cx="50%" cy="2" r="3"/>',
        '<polygon points="none"/>',
        "<text x='1' y='2'>a</text>",
    ],
)
def test_none_where_it_is_not_plain_to_see(shape: str) -> None:
    document = read_document(f'<svg xmlns="http://www.w3.org/2000/svg">{shape}</svg>'.encode(), "x.svg")
    assert begin_of(document, 1) is None
