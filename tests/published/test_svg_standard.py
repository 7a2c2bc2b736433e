"""Drawings against the text of the standards.

SVG 2 (W3C Candidate Recommendation, 2018) unless another one is named; the section stands beside each
check. Numbers are those of the standard, or follow from its formulas by plain arithmetic.
"""

from __future__ import annotations

import math

import pytest

from tests.svg.making import document
from transform.geometry.motion import Affine
from transform.geometry.segments import Arc, Line
from transform.svg.lengths import MM_PER_PX, Size, read_length
from transform.svg.pathdata import Command, read_path
from transform.svg.shapes import read_drawing
from transform.svg.transforms import read_transform
from transform.svg.viewport import matrix_of


def numbers(matrix: Affine) -> tuple[float, ...]:
    return matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("96px", 1),
        ("96", 1),
        ("1in", 1),
        ("2.54cm", 1),
        ("25.4mm", 1),
        ("101.6Q", 1),
        ("72pt", 1),
        ("6pc", 1),
    ],
)
def test_units(text: str, inches: float) -> None:
    """8.9 Units, and CSS Values 3, 6.2: 1in is 2.54cm is 96px; a point is 1/72, a pica 1/6 of it."""
    assert read_length(text, "x", Size(None, None)) == pytest.approx(96 * inches)
    assert read_length(text, "x", Size(None, None)) * MM_PER_PX == pytest.approx(25.4 * inches)


def test_per_cents() -> None:
    """8.9 Units: of the width, of the height, else of the diagonal divided by the root of two."""
    size = Size(400, 300)
    assert read_length("10%", "x", size) == 40
    assert read_length("10%", "y", size) == 30
    assert read_length("10%", "r", size) == pytest.approx(50 / math.sqrt(2))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("matrix(1 2 3 4 5 6)", (1, 2, 3, 4, 5, 6)),
        ("translate(3)", (1, 0, 0, 1, 3, 0)),
        ("translate(3 4)", (1, 0, 0, 1, 3, 4)),
        ("scale(3)", (3, 0, 0, 3, 0, 0)),
        ("scale(3 4)", (3, 0, 0, 4, 0, 0)),
        ("rotate(30)", (math.cos(math.pi / 6), 0.5, -0.5, math.cos(math.pi / 6), 0, 0)),
        ("rotate(90 10 20)", (0, 1, -1, 0, 30, 10)),
        ("skewX(30)", (1, 0, math.tan(math.pi / 6), 1, 0, 0)),
        ("skewY(30)", (1, math.tan(math.pi / 6), 0, 1, 0, 0)),
    ],
)
def test_transform_functions(text: str, expected: tuple[float, ...]) -> None:
    """CSS Transforms 1, “Mathematical description of transform functions”; SVG 1.1, 7.6 for turns."""
    assert numbers(read_transform(text)) == pytest.approx(expected)


def test_a_list_of_transforms_is_as_good_as_nested_groups() -> None:
    """SVG 1.1, 7.5, with the example's matrix, given there to three digits."""
    inside = '<g transform="rotate(-45)"><g transform="translate(130,160)"/></g>'
    nested = document(f'<g transform="translate(50,90)">{inside}</g>')
    in_one = read_transform("translate(50,90) rotate(-45) translate(130,160)")
    assert numbers(matrix_of(nested, 3, None)) == pytest.approx(numbers(in_one))
    assert numbers(in_one)[:4] == pytest.approx((0.707, -0.707, 0.707, 0.707), abs=5e-4)
    assert numbers(in_one)[4:] == pytest.approx((255.03, 111.21), abs=0.05)


@pytest.mark.parametrize(
    ("align", "scale", "x", "y"),
    [
        ("xMinYMin meet", 0.75, 0, 0),
        ("xMidYMid meet", 0.75, (50 - 22.5) / 2, 0),
        ("xMaxYMax meet", 0.75, 50 - 22.5, 0),
        ("xMinYMin slice", 5 / 3, 0, 0),
        ("xMinYMid slice", 5 / 3, 0, (30 - 200 / 3) / 2),
        ("xMinYMax slice", 5 / 3, 0, 30 - 200 / 3),
    ],
)
def test_preserve_aspect_ratio(align: str, scale: float, x: float, y: float) -> None:
    """8.2 (equivalent transform) and 8.7: the picture of 30 × 40 in a viewport of 50 × 30."""
    attributes = f'width="50mm" height="30mm" viewBox="0 0 30 40" preserveAspectRatio="{align}"'
    assert numbers(matrix_of(document("<g/>", attributes), 1, None)) == pytest.approx(
        (scale, 0, 0, scale, x, y)
    )


def test_the_view_box_moves_and_stretches() -> None:
    """8.2 and 8.6: scaled by the ratio of the sizes, with ``none`` one for each axis; then shifted."""
    attributes = 'width="300mm" height="200mm" viewBox="10 20 1500 1000"'
    assert numbers(matrix_of(document("<g/>", attributes), 1, None)) == pytest.approx(
        (0.2, 0, 0, 0.2, -2, -4)
    )
    stretched = attributes.replace("1000", "500") + ' preserveAspectRatio="none"'
    expected = (0.2, 0, 0, 0.4, -2, -8)
    assert numbers(matrix_of(document("<g/>", stretched), 1, None)) == pytest.approx(expected)


def arc_of(command: Command) -> Arc:
    segment = command.segment()
    assert isinstance(segment, Arc)
    return segment


@pytest.mark.parametrize(
    ("flags", "centre", "first", "sweep"),
    [
        ("0,0", 225 + 75j, 180, -90),
        ("0,1", 125 + 125j, -90, 90),
        ("1,0", 125 + 125j, -90, -270),
        ("1,1", 225 + 75j, 180, 270),
    ],
)
def test_arc_flags(flags: str, centre: complex, first: float, sweep: float) -> None:
    """9.3.8, the figure of four arcs from (125,75) to (225,125); B.2.4 for centre and angles."""
    ellipse = arc_of(read_path(f"M 125,75 a100,50 0 {flags} 100,50")[1]).ellipse()
    assert ellipse.centre == pytest.approx(centre)
    assert math.degrees(ellipse.sweep) == pytest.approx(sweep)
    assert math.cos(ellipse.first - math.radians(first)) == pytest.approx(1)


def test_radii_too_small_are_scaled_up() -> None:
    """B.2.5, steps 2 and 3: both by the same factor, until there is just one solution."""
    ellipse = arc_of(read_path("M 0 0 A 1 2 0 0 1 20 0")[1]).ellipse()
    assert (ellipse.rx, ellipse.ry) == pytest.approx((10, 20))
    assert ellipse.centre == pytest.approx(10 + 0j)
    assert abs(ellipse.sweep) == pytest.approx(math.pi)
    turned = arc_of(read_path("M 0 0 A 3 1 90 0 1 20 0")[1]).ellipse()
    assert (turned.rx, turned.ry) == pytest.approx((30, 10))


def test_radii_out_of_range() -> None:
    """9.5.1: none is a line, a negative one counts without its sign, equal ends are left out."""
    line, nothing, negative = read_path("M 0 0 A 0 9 30 1 1 5 5 A 9 9 0 1 1 5 5 A -9 -7 0 0 1 9 9")[1:]
    assert line.segment() == Line(0j, 5 + 5j)
    assert nothing.segment() is None
    assert (arc_of(negative).rx, arc_of(negative).ry) == (9, 7)


def test_numbers_take_all_that_they_can() -> None:
    """9.3.9: ``M 100-200`` is (100, -200), ``M 0.6.5`` is (0.6, 0.5)."""
    assert read_path("M 100-200")[0].end == 100 - 200j
    assert read_path("M 0.6.5")[0].end == 0.6 + 0.5j


def test_further_pairs_of_a_move_are_lines() -> None:
    """9.3.3: relative after ``m``, absolute after ``M``; a first ``m`` is absolute."""
    assert [c.end for c in read_path("m 10 10 5 0 0 5 M 1 1 2 2")] == [
        10 + 10j,
        15 + 10j,
        15 + 15j,
        1 + 1j,
        2 + 2j,
    ]
    assert [c.kind for c in read_path("m 10 10 5 0 0 5 M 1 1 2 2")] == list("MLLML")


def test_after_closing_a_new_subpath_begins_at_the_same_point() -> None:
    """9.3.4: when no move follows ``Z``."""
    doc = document('<path d="M 10 10 H 20 V 20 Z L 5 5"/>')
    one, two = read_drawing(doc, 1, None).subpaths
    assert (one.closed, two.closed) == (True, False)
    assert two.segments == (Line(10 + 10j, 5 + 5j),)


@pytest.mark.parametrize(
    ("text", "control"),
    [
        ("M 100 200 C 100 100 250 100 250 200 S 400 300 400 200", 250 + 300j),
        ("M 200 300 S 250 200 300 300", 200 + 300j),
        ("M 200 300 Q 400 50 600 300 T 1000 300", 800 + 550j),
        ("M 200 300 T 1000 300", 200 + 300j),
        ("M 0 0 Q 400 50 600 300 S 5 5 6 6", 600 + 300j),
    ],
)
def test_reflected_control_points(text: str, control: complex) -> None:
    """9.3.6 and 9.3.7, with the examples cubic01 and quad01: the reflection, or the current point."""
    assert read_path(text)[-1].controls[0] == control


@pytest.mark.parametrize(
    ("shape", "path"),
    [
        # 10.2, the equivalent path of a rect; 10.3 and 10.4, of circle and ellipse
        ('<rect x="5" y="6" width="30" height="20"/>', "M5 6H35V26H5V6Z"),
        (
            '<rect x="5" y="6" width="30" height="20" rx="4" ry="3"/>',
            "M9 6H31A4 3 0 0 1 35 9V23A4 3 0 0 1 31 26H9A4 3 0 0 1 5 23V9A4 3 0 0 1 9 6Z",
        ),
        (
            '<rect x="5" y="6" width="30" height="20" rx="99"/>',
            "M20 6A15 10 0 0 1 35 16A15 10 0 0 1 20 26A15 10 0 0 1 5 16A15 10 0 0 1 20 6Z",
        ),
        ('<circle cx="9" cy="9" r="4"/>', "M13 9A4 4 0 0 1 9 13A4 4 0 0 1 5 9A4 4 0 0 1 9 5A4 4 0 0 1 13 9Z"),
        (
            '<ellipse cx="9" cy="9" rx="4" ry="2"/>',
            "M13 9A4 2 0 0 1 9 11A4 2 0 0 1 5 9A4 2 0 0 1 9 7A4 2 0 0 1 13 9Z",
        ),
        # 10.5 to 10.7
        ('<line x1="1" y1="2" x2="3" y2="4"/>', "M1 2L3 4"),
        ('<polyline points="1,2 3,4 5,6"/>', "M1 2L3 4L5 6"),
        ('<polygon points="1,2 3,4 5,6"/>', "M1 2L3 4L5 6Z"),
    ],
)
def test_basic_shapes_are_their_equivalent_paths(shape: str, path: str) -> None:
    """Chapter 10, Basic shapes."""
    (basic,) = read_drawing(document(shape), 1, None).chains
    (equivalent,) = read_drawing(document(f'<path d="{path}"/>'), 1, None).chains
    assert basic.closed == equivalent.closed
    assert len(basic.segments) == len(equivalent.segments)
    for one, other in zip(basic.segments, equivalent.segments, strict=True):
        assert type(one) is type(other)
        for t in (0.0, 0.3, 1.0):
            assert abs(one.point(t) - other.point(t)) < 1e-12
