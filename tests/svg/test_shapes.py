"""What shapes draw, in mm; what is refused; boxes."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings

from tests.strategies import segments
from tests.svg.making import document, drawn, first
from tests.svg.strategies import matrices
from transform.geometry.measure import length
from transform.geometry.motion import Affine
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment
from transform.svg.bounds import MOST_USES, Box, bounds_of, box_of_points, extremes
from transform.svg.document import read_document
from transform.svg.problems import PatternError
from transform.svg.shapes import is_shape, is_template, read_drawing

IN_PX = 'width="960" height="480"'


def ends(shape: str, attributes: str = IN_PX) -> list[complex]:
    """The corners of a drawing in px, its first point first."""
    _, drawing = drawn(shape, attributes)
    chain = drawing.chains[0]
    back = drawing.matrix.inverse()
    points = [chain.start, *(segment.end for segment in chain.segments)]
    return [complex(round(back(p).real, 9), round(back(p).imag, 9)) for p in points]


@pytest.mark.parametrize(
    ("shape", "points"),
    [
        ('<rect x="1" y="2" width="3" height="4"/>', [1 + 2j, 4 + 2j, 4 + 6j, 1 + 6j, 1 + 2j]),
        ('<rect width="10%" height="10%"/>', [0j, 96 + 0j, 96 + 48j, 48j, 0j]),
        ('<rect x="1in" width="25.4mm" height="72pt"/>', [96 + 0j, 192 + 0j, 192 + 96j, 96 + 96j, 96 + 0j]),
        ('<rect width="10" height="6" rx="2"/>',
         [2 + 0j, 8 + 0j, 10 + 2j, 10 + 4j, 8 + 6j, 2 + 6j, 4j, 2j, 2 + 0j]),
        ('<rect width="10" height="6" ry="9"/>', [5 + 0j, 10 + 3j, 5 + 6j, 3j, 5 + 0j]),
        ('<rect width="10" height="6" rx="0" ry="2"/>', [0j, 10 + 0j, 10 + 6j, 6j, 0j]),
        ('<rect width="10" height="6" rx="auto" ry="auto"/>', [0j, 10 + 0j, 10 + 6j, 6j, 0j]),
        ('<circle cx="5" cy="6" r="2"/>', [7 + 6j, 5 + 8j, 3 + 6j, 5 + 4j, 7 + 6j]),
        ('<ellipse cx="5" cy="6" rx="2" ry="1"/>', [7 + 6j, 5 + 7j, 3 + 6j, 5 + 5j, 7 + 6j]),
        ('<ellipse cx="5" cy="6" ry="1"/>', [6 + 6j, 5 + 7j, 4 + 6j, 5 + 5j, 6 + 6j]),
        ('<line x1="1" y1="50%" x2="2"/>', [1 + 240j, 2 + 0j]),
        ('<polyline points="1,2 3,4 5 6"/>', [1 + 2j, 3 + 4j, 5 + 6j]),
        ('<polygon points="1,2 3,4 5 6"/>', [1 + 2j, 3 + 4j, 5 + 6j, 1 + 2j]),
        ('<path d="m1 2 2 2z"/>', [1 + 2j, 3 + 4j, 1 + 2j]),
    ],
)  # fmt: skip
def test_shapes_are_drawn_as_the_standard_says(shape: str, points: list[complex]) -> None:
    assert ends(shape) == points


def test_closed_and_open() -> None:
    for shape, closed in (
        ('<rect width="1" height="1"/>', True), ('<circle r="1"/>', True), ('<line x2="1"/>', False),
        ('<polyline points="0 0 1 1"/>', False), ('<polygon points="0 0 1 1"/>', True),
        ('<path d="M0 0H1z"/>', True),
    ):  # fmt: skip
        _, drawing = drawn(shape)
        assert drawing.chains[0].closed is closed
        assert drawing.subpaths[0].closed is closed


def test_curves_keep_their_kind_and_arcs_become_cubics_only_where_distorted() -> None:
    _, drawing = drawn(
        '<path transform="rotate(30) scale(-2 2)" d="M0 0L5 0Q5 5 9 9C1 2 3 4 5 6A9 5 0 0 1 0 0"/>'
    )
    assert [type(segment) for segment in drawing.chains[0].segments] == [Line, Quadratic, Cubic, Arc]
    _, drawing = drawn('<path transform="skewX(30)" d="M0 0A9 5 0 0 1 5 5"/>')
    assert {type(segment) for segment in drawing.chains[0].segments} == {Cubic}


def test_what_has_no_length_draws_nothing_but_stays_a_command() -> None:
    _, drawing = drawn('<path d="M1 1l0 0h0 c0 0 0 0 0 0 a5 5 0 0 1 0 0 A5 5 0 0 1 1 1 L2 2 L1 1z M5 5z"/>')
    one, two = drawing.subpaths
    assert len(one.commands) == 9
    assert len(one.segments) == 2
    assert one.commands[-1].segments == ()
    assert (two.segments, two.start, two.closed) == ((), 5 + 5j, True)


def test_an_arc_that_all_but_closes_is_an_ellipse_and_no_point() -> None:
    _, drawing = drawn('<path d="M0 0 A 50 50 0 1 1 0 1e-10 M0 0 A50 50 0 0 1 0 1e-10"/>')
    assert length(drawing.chains[0].segments[0]) == pytest.approx(100 * math.pi, rel=1e-6)
    assert drawing.chains[1].segments == ()


def test_marks_of_no_size_are_data() -> None:
    for shape in (
        '<circle cx="5" cy="6"/>',
        '<rect x="5" y="6"/>',
        '<path d="M5 6"/>',
        '<line x1="5" y1="6" x2="5" y2="6"/>',
    ):
        doc, drawing = drawn(shape)
        assert drawing.chains[0].segments == ()
        assert drawing.subpaths[0].start == 5 + 6j
        assert bounds_of(doc, 1, None) == Box(5, 6, 5, 6)
    doc, drawing = drawn('<rect x="5" y="6" width="7"/>')
    assert bounds_of(doc, 1, None) == Box(5, 6, 12, 6)
    _, drawing = drawn('<ellipse rx="7" ry="0"/>')
    assert drawing.chains[0].length == 28
    _, drawing = drawn("<path/>")
    assert drawing.subpaths == ()
    assert drawn("<polygon/>")[1].subpaths == ()


@pytest.mark.parametrize(
    ("shape", "says"),
    [
        ("<g/>", "<g> is no shape; shapes are path, rect"),
        ('<use href="#a"/>', "<use> is no shape"),
        ('<rect width="-1" height="1"/>', "width: '-1' is below nought"),
        ('<circle r="1em"/>', "r: '1em' has the unit 'em'; known are px, mm"),
        ('<circle cx="a"/>', "cx: 'a' is no length"),
        ('<path d="M0 0 L 1"/>', "d: character 9: found the end, where a number (2 of 2 of L) is allowed"),
        ('<polyline points="1 2 3"/>', "points: character 6: found the end"),
        ("<path style=\"d:path('M0 0')\"/>", "d: path('M0 0') stands in its style attribute"),
        ('<circle r="1" style="r: 5px"/>', "r: 5px stands in its style attribute"),
        ('<rect width="1" height="1" transform="scale(0 1)"/>', "flattened"),
    ],
)
def test_what_cannot_be_drawn_says_why(shape: str, says: str) -> None:
    with pytest.raises(PatternError) as caught:
        drawn(shape)
    assert says in str(caught.value)


def test_a_style_that_says_nothing_of_a_shape_is_no_matter() -> None:
    _, drawing = drawn('<line x2="5" style="r:5px;d:none;width:3px"/>')
    assert drawing.chains[0].length == 5


def test_errors_in_data_stand_at_their_very_character() -> None:
    for encoding in ("utf-8", "utf-16"):
        text = "<svg width='9' height='9'>\n <g id='é'/>\n <path id='é' d='M 0 0\n&#10; L é'/></svg>"
        doc = read_document(text.encode(encoding), "e.svg")
        with pytest.raises(PatternError) as caught:
            read_drawing(doc, 2, None)
        problem = caught.value.problems[0]
        assert (problem.line, problem.column) == (4, 9)
    entity = read_document(
        b"<!DOCTYPE svg [<!ENTITY e 'x'>]><svg width='9' height='9'><path d='&e;'/></svg>", "e.svg"
    )
    with pytest.raises(PatternError) as caught:
        read_drawing(entity, 1, None)
    assert caught.value.problems[0].column == 59


def test_templates() -> None:
    doc = document("<defs><g><path/></g></defs><clipPath><path/></clipPath><g><path/></g>")
    paths = [element for element in doc.elements if is_shape(doc, element)]
    assert [is_template(doc, element) for element in paths] == [True, True, False]
    assert is_template(doc, 1)
    assert not is_template(doc, 0)


@given(segments())
@settings(deadline=None)
def test_boxes_are_exact(segment: Segment) -> None:
    box = box_of_points(extremes(segment))
    assert box is not None
    tried = box_of_points(segment.point(k / 2000) for k in range(2001))
    assert tried is not None
    outside = (tried.xmin - box.xmin, tried.ymin - box.ymin, box.xmax - tried.xmax, box.ymax - tried.ymax)
    assert min(outside) >= -1e-9
    assert max(outside) <= 1e-4 * length(segment)


def test_boxes_of_groups_pictures_and_references() -> None:
    doc = document(
        '<g id="all"><path d="M0 0 L 10 10"/><image x="20" y="-5" width="5" height="5"/>'
        '<defs><g id="t" transform="scale(2)"><circle cx="50" cy="50" r="1"/></g></defs>'
        '<use xlink:href="#t" x="100"/><text x="900">t</text></g>'
    )
    assert bounds_of(doc, 1, None) == pytest.approx(Box(0, -5, 202, 102))
    assert bounds_of(doc, first(doc, "use"), None) == pytest.approx(Box(198, 98, 202, 102))
    assert bounds_of(doc, first(doc, "g") + 4, None) == pytest.approx(Box(98, 98, 102, 102))
    assert bounds_of(doc, first(doc, "text"), None) is None
    assert box_of_points([]) is None
    assert Box(1, 2, 3, 6).centre == 2 + 4j


def test_references_that_cannot_be_followed() -> None:
    doc = document(
        '<symbol id="s"><path d="M0 0 9 9"/></symbol><use href="#s" x="3" y="4"/>'
        '<use href="#none"/><use href="x#s"/>'
        '<g id="loop"><use href="#loop"/></g><use id="self" href="#self"/>'
        '<g id="one"><use href="#two"/></g><g id="two"><path d="M0 0 1 1"/><use href="#one"/></g>'
    )
    uses = [element for element in doc.elements if doc.tag(element) == "use"]
    boxes = [bounds_of(doc, use, None) for use in uses]
    assert boxes[:5] == [Box(3, 4, 12, 13), None, None, None, None]
    assert boxes[5] == Box(0, 0, 1, 1)


@pytest.mark.parametrize(
    ("template", "use", "box"),
    [
        ('<symbol id="s" viewBox="0 0 10 10">{}</symbol>', 'width="20" height="20"', (102, 54, 106, 62)),
        ('<symbol id="s" viewBox="0 0 10 10">{}</symbol>', 'width="40" height="20"', (112, 54, 116, 62)),
        ('<symbol id="s" viewBox="-5 -5 10 10">{}</symbol>', 'width="10" height="10"', (106, 57, 108, 61)),
        (
            '<symbol id="s" viewBox="0 0 10 10" width="20" height="20">{}</symbol>',
            "",
            (102, 54, 106, 62),
        ),
        (
            '<symbol id="s" viewBox="0 0 10 10" preserveAspectRatio="none">{}</symbol>',
            'width="10" height="30"',
            (101, 56, 103, 68),
        ),
        ('<symbol id="s" x="7" transform="scale(2)">{}</symbol>', 'width="9"', (116, 54, 120, 62)),
        ('<g transform="scale(3)"><symbol id="s">{}</symbol></g>', "", (101, 52, 103, 56)),
        (
            '<defs><svg id="s" viewBox="0 0 10 10" width="30" height="30">{}</svg></defs>',
            'width="20" height="20"',
            (102, 54, 106, 62),
        ),
        (
            '<defs><svg id="s" viewBox="0 0 10 10" width="20" height="20">{}</svg></defs>',
            'height="auto"',
            (102, 54, 106, 62),
        ),
        ('<symbol id="s" viewBox="0 0 5 5">{}</symbol>', 'width="0"', (100, 50, 100, 50)),
    ],
)
def test_a_reference_opens_a_viewport_of_its_own(template: str, use: str, box: tuple[float, ...]) -> None:
    doc = document(template.format('<path d="M1 2H3V6"/>') + f'<use href="#s" x="100" y="50" {use}/>')
    assert bounds_of(doc, first(doc, "use"), None) == pytest.approx(box)


def test_the_whole_document_can_be_a_target() -> None:
    doc = document('<use href="#root"/><path d="M0 0 1 1"/>', 'id="root" width="9mm" height="9mm"')
    assert bounds_of(doc, 1, None) is None


def test_multiplying_references_are_refused() -> None:
    groups = "".join(f'<g id="g{k}">' + f'<use href="#g{k - 1}"/>' * 10 + "</g>" for k in range(1, 9))
    doc = document(f'<defs><path id="g0" d="M0 0 1 1"/>{groups}</defs><use href="#g8"/>')
    last = max(element for element in doc.elements if doc.tag(element) == "use")
    with pytest.raises(PatternError, match=f"more than {MOST_USES} references"):
        bounds_of(doc, last, None)


@given(matrices())
@settings(deadline=None)
def test_the_box_of_a_circle_under_any_matrix(matrix: Affine) -> None:
    circle = Arc(10 + 0j, -10 + 0j, 10, 10, 0, False, True), Arc(-10 + 0j, 10 + 0j, 10, 10, 0, False, True)
    box = box_of_points(p for arc in circle for part in arc.mapped(matrix) for p in extremes(part))
    assert box is not None
    assert box.xmax - box.xmin == pytest.approx(20 * math.hypot(matrix.a, matrix.c), rel=1e-6)
    assert box.ymax - box.ymin == pytest.approx(20 * math.hypot(matrix.b, matrix.d), rel=1e-6)
