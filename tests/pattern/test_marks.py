"""Grainlines, fold lines, corner marks and other marks, from how they are drawn."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.pattern.sketches import (
    CORNERS,
    corner_marks,
    dart_layer,
    front,
    labelled_line,
    layer,
    path,
    polygon,
    read,
)
from transform.geometry.chain import Chain
from transform.geometry.segments import Cubic, Line
from transform.pattern.marks import fold_of, grain_of
from transform.pattern.model import Role, Way


def line(*points: complex) -> Chain:
    return Chain(tuple(Line(a, b) for a, b in pairwise(points)))


@pytest.mark.parametrize(
    ("chains", "ends"),
    [
        ([line(0j, 200j)], (0j, 200j)),
        ([line(-5 + 8j, 0j, 5 + 8j), line(0j, 90j, 200j), line(-5 + 192j, 200j, 5 + 192j)], (0j, 200j)),
        ([polygon(-5 + 8j, 0j, 5 + 8j), line(2j, 190j)], (2j, 190j)),
        ([line(0j, 80j, 80j + 30, 300j)], (80j + 30, 300j)),
        ([Chain((Cubic(0j, 10j, 20j, 30j), Cubic(30j, 40j, 50j, 100j)))], (30j, 100j)),
        ([line(0j, 50j, 0.01j)], (0j, 50j)),
        ([], None),
    ],
    ids=["plain", "arrow", "filled arrow", "bent", "curves", "there and back", "none"],
)
def test_the_grain_is_the_longest_straight_line(
    chains: list[Chain], ends: tuple[complex, complex] | None
) -> None:
    assert grain_of(chains) == ends


def test_the_fold_line_is_the_longest_line_of_its_layer() -> None:
    bracket = line(20 + 10j, 0 + 10j, 0 + 300j, 20 + 300j)
    assert fold_of([line(0j, 5j), bracket]) == bracket
    assert fold_of([polygon(0j, 4 + 0j, 4 + 90j, 90j)]) == line(4 + 0j, 4 + 90j)
    assert fold_of([]) is None


def test_marks_without_a_label_name_no_corner() -> None:
    marks = layer(
        "corner marks", '<circle cx="0" cy="60" r="1"/>', path(line(69 + 0j, 71 + 0j), "neck point")
    )
    (piece,) = read(front(labelled_line(), dart_layer(), marks)).pieces
    assert piece.stitching.corners.keys() == {"neck point"}
    assert [item.corner for item in piece.items] == [None, "neck point"]


def test_a_corner_drawn_as_a_cross_of_two_shapes_is_one_mark() -> None:
    cross = layer("corner marks", path(line(68 + 0j, 72 + 0j), "neck"), path(line(70 - 2j, 70 + 2j), "neck"))
    (piece,) = read(front(labelled_line(), dart_layer(), cross)).pieces
    assert piece.stitching.chain.point(piece.stitching.corners["neck"]) == 70
    assert [item.place for item in piece.items] == [70 + 0j, 70 + 0j]
    assert {item.way for item in piece.items} == {Way.WHOLE}


def test_an_empty_mark_is_no_mark() -> None:
    marks = layer("apex mark", '<use href="#nothing"/>', '<g id="g1"/>')
    (piece,) = read(front(labelled_line(), dart_layer(), marks)).pieces
    assert piece.apexes == {}
    assert [(item.role, item.way) for item in piece.items] == [(Role.APEX_MARK, Way.TRANSFORM)]


def test_text_in_a_role_s_layer_is_text() -> None:
    notes = layer("grainline", '<text x="42" y="200">grain</text>') + layer(
        "stitching line", '<text x="50" y="50">sew here</text>', '<image x="5" y="70" width="4" height="4"/>'
    )
    both = labelled_line().replace("</g>", '<text x="50" y="50">sew here</text></g>')
    (piece,) = read(front(both, dart_layer(), notes)).pieces
    assert [(item.role, item.way) for item in piece.items] == [
        (Role.STITCHING_LINE, Way.UPRIGHT),
        (Role.GRAINLINE, Way.UPRIGHT),
        (Role.STITCHING_LINE, Way.UPRIGHT),
        (Role.STITCHING_LINE, Way.TRANSFORM),
    ]


def test_corner_marks_of_every_corner_are_found() -> None:
    (piece,) = read(front(labelled_line(), dart_layer(), corner_marks())).pieces
    chain = piece.stitching.chain
    found = {name: chain.point(place) for name, place in piece.stitching.corners.items()}
    assert found == pytest.approx(CORNERS)
