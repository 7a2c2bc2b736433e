"""Real sizes, nested viewports, transforms; what moves by CSS is refused."""

from __future__ import annotations

import pytest
from hypothesis import given

from tests.svg.making import MILLIMETRES, document, first
from tests.svg.strategies import matrices, transform_text
from transform.geometry.motion import Affine
from transform.svg.document import read_document
from transform.svg.lengths import MM_PER_PX, Size, read_length, real_length
from transform.svg.problems import PatternError
from transform.svg.transforms import read_transform, rotation, write_transform
from transform.svg.viewport import matrix_of, viewport_of


def close(one: Affine, other: Affine) -> bool:
    pairs = zip(
        (one.a, one.b, one.c, one.d, one.e, one.f),
        (other.a, other.b, other.c, other.d, other.e, other.f),
        strict=True,
    )
    return all(abs(a - b) < 1e-9 for a, b in pairs)


@pytest.mark.parametrize(
    ("attributes", "matrix"),
    [
        (MILLIMETRES, Affine()),
        ('width="96" height="96"', Affine(a=MM_PER_PX, d=MM_PER_PX)),
        ('width="1in"', Affine(a=MM_PER_PX, d=MM_PER_PX)),
        ('width="1in" height="100%"', Affine(a=MM_PER_PX, d=MM_PER_PX)),
        ('width="10cm" height="10cm" viewBox="0 0 100 100"', Affine()),
        ('width="100mm" viewBox="0 0 100 50"', Affine()),
        ('height="100mm" width="auto" viewBox="0 0 50 100"', Affine()),
        ('width="100mm" height="100mm" viewBox="-10 -20 100 100"', Affine(e=10, f=20)),
        ('width="100mm" height="200mm" viewBox="0,0 100,100"', Affine(f=50)),
        ('width="400Q" height="1in" viewBox="0 0 100 25.4"', Affine()),
        ('width="72pt" height="6pc" viewBox="0 0 25.4 25.4"', Affine()),
    ],
)
def test_real_sizes(attributes: str, matrix: Affine) -> None:
    doc = document("<g/>", attributes)
    assert close(matrix_of(doc, 1, None), matrix)
    # A file that has a real size needs no user unit, and takes none.
    assert close(matrix_of(doc, 1, 7.0), matrix)


def test_millimetres_are_exact() -> None:
    assert matrix_of(document("<g/>"), 1, None) == Affine()


@pytest.mark.parametrize(
    "attributes",
    [
        "",
        'width="100%" height="100%" viewBox="0 0 9 9"',
        'viewBox="0 0 100 100"',
        'width="20em" height="20em"',
        'width="100mm" height="100%" viewBox="0 0 9 9"',
        'width="0" height="0"',
        'width="-5" height="9" viewBox="0 0 9 9"',
        'width="x" height="9" viewBox="0 0 9 9"',
    ],
)
def test_no_real_size_asks_for_a_user_unit(attributes: str) -> None:
    doc = document("<g/>", attributes)
    with pytest.raises(PatternError, match="user unit: 1 mm"):
        matrix_of(doc, 1, None)
    assert matrix_of(doc, 1, 2.0).a == 2.0


def test_a_user_unit_counts_from_the_corner_of_the_view_box() -> None:
    doc = document("<g/>", 'viewBox="10 20 100 100"')
    assert matrix_of(doc, 1, 2.0)(10 + 20j) == 0
    assert viewport_of(doc, 1, 2.0).size == Size(100, 100)


def test_nested_viewports() -> None:
    doc = document(
        '<svg x="10" y="20" width="50%" height="100" viewBox="0 0 50 10" '
        'preserveAspectRatio="xMinYMax slice">'
        '<svg x="10%" y="10%"><g/></svg></svg>'
        '<svg x="5mm"><g/></svg>',
        'width="200mm" height="200mm" viewBox="0 0 200 200"',
    )
    # 100 × 100 for 50 × 10, sliced: ten times as large, aligned at its lower left.
    assert close(matrix_of(doc, 1, None), Affine(a=10, d=10, e=10, f=20))
    assert close(matrix_of(doc, 3, None), Affine(a=10, d=10, e=60, f=30))
    assert viewport_of(doc, 3, None).size == Size(50, 10)
    assert close(matrix_of(doc, 5, None), Affine(e=5 * 96 / 25.4))


def test_a_nested_viewport_in_a_drawing_without_size() -> None:
    doc = document('<svg x="3"><g/></svg><svg viewBox="0 0 9 9"><g/></svg><svg width="50%"/>', "")
    assert close(matrix_of(doc, 2, 1.0), Affine(e=3))
    for element, says in ((4, "no real size"), (5, "a share of a drawing")):
        with pytest.raises(PatternError, match=says):
            matrix_of(doc, element, 1.0)


@pytest.mark.parametrize(
    ("text", "scale", "shift"),
    [
        ("xMidYMid", 1, 50j),
        (None, 1, 50j),
        ("xMinYMin meet", 1, 0),
        ("xMaxYMax", 1, 100j),
        ("xMidYMid slice", 2, -50),
        ("xMinYMin slice", 2, 0),
        ("xMaxYMax slice", 2, -100),
        ("defer xMidYMin", 1, 0),
    ],
)
def test_letterboxes(text: str | None, scale: float, shift: complex) -> None:
    ratio = f'preserveAspectRatio="{text}"' if text else ""
    doc = document("<g/>", f'width="100mm" height="200mm" viewBox="0 0 100 100" {ratio}')
    shift = complex(shift)
    assert close(matrix_of(doc, 1, None), Affine(a=scale, d=scale, e=shift.real, f=shift.imag))


def test_stretched_to_fit() -> None:
    doc = document("<g/>", 'width="100mm" height="200mm" viewBox="10 10 100 100" preserveAspectRatio="none"')
    assert close(matrix_of(doc, 1, None), Affine(a=1, d=2, e=-10, f=-20))


@pytest.mark.parametrize(
    ("attributes", "says"),
    [
        ('width="9mm" height="9mm" viewBox="0 0 9"', "four numbers"),
        ('width="9mm" height="9mm" viewBox="0 0 0 9"', "four numbers"),
        ('width="9mm" height="9mm" viewBox="0 0 9 x"', "viewBox: 'x' is no length"),
        (
            'width="9mm" height="9mm" viewBox="0 0 9 9" preserveAspectRatio="middle"',
            "'middle': allowed is none",
        ),
        ('width="9mm" height="9mm" transform="scale(2)"', "move it to a <g>"),
        ('width="9mm" height="9mm" style="width: 9cm"', "width: 9cm stands in its style"),
    ],
)
def test_roots_that_cannot_be_read(attributes: str, says: str) -> None:
    with pytest.raises(PatternError) as caught:
        matrix_of(document("<g/>", attributes), 1, None)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ('<g transform="scale(0)"><path/></g>', "flattened"),
        ('<g transform="matrix(1 1 1 1 0 0)"><path/></g>', "flattened"),
        ('<g transform="scale(1e200)"><path/></g>', "flattened"),
        ('<svg width="0" height="5" viewBox="0 0 9 9"><path/></svg>', "no room"),
        ('<svg width="9em"><path/></svg>', "unit 'em'"),
        ('<g transform="translate(1px)"><path/></g>', "does not hold numbers alone"),
        ('<g transform="rotate(1 2)"><path/></g>', "where 1 or 3 are allowed"),
        ('<g transform="turn(1)"><path/></g>', "'turn' is no transform function"),
        ('<g transform="scale(2) oops"><path/></g>', "'oops' is no transform function"),
        ('<g transform="translate(1e999)"><path/></g>', "too far away"),
        ('<g transform="translate(1_0)"><path/></g>', "numbers alone"),
        ('<g transform="rotate(1)" transform-origin="x y"><path/></g>', "transform-origin: 'x' is no length"),
        ('<g style="transform: scale(2)"><path/></g>', "transform: scale(2) stands in its style attribute"),
        ('<g style="fill:red;TRANSFORM:scale(2)"><path/></g>', "stands in its style attribute"),
        ('<g style="rotate: 3deg"><path/></g>', "rotate: 3deg"),
        ('<style>.a{transform:scale(2)}</style><g class="a"><path/></g>', "transform stands in a <style>"),
        ('<style>@media print{g .b{transform:scale(2)}}</style><g><path class="b"/></g>', "<style>"),
        ("<style>path:has(a){transform:scale(2)}</style><g><path/></g>", "<style>"),
        (
            '<foreignObject><q xmlns="urn:h"><svg xmlns="http://www.w3.org/2000/svg"><path/></svg></q></foreignObject>',
            "not SVG",
        ),
    ],
)
def test_what_cannot_be_placed_says_why_and_where(body: str, says: str) -> None:
    doc = document(body)
    with pytest.raises(PatternError) as caught:
        matrix_of(doc, first(doc, "path"), None)
    assert says in str(caught.value)
    assert caught.value.problems[0].line == 1
    assert caught.value.problems[0].element


@pytest.mark.parametrize(
    "body",
    [
        '<g style="transform:none"><path/></g>',
        '<g style="-inkscape-transform:x; fill:url(#transform:x)"><path/></g>',
        "<g style=\"font-family:'transform:x;'\"><path/></g>",
        "<style>.a{transform:scale(2)}</style><g><path/></g>",
        "<style>/* .b */ path:hover{transform:scale(2)}</style><g><path/></g>",
        "<style>@font-face{src:x} @keyframes k{from{transform:scale(2)}}</style><path/>",
        "<style>@import 'x'; .a{fill:red} }{</style><path/>",
        "<style>path{transform:none;stroke:red}</style><path/>",
        "<style>a{fill:red} /* path{transform:scale(2)} */ b{x:1}</style><path/>",
        "<style>a{fill:red} /* path{transform:scale(2)}</style><path/>",
        "<style>a{fill:red} }} b{x:none}</style><path/>",
    ],
)
def test_css_that_moves_nothing_is_no_matter(body: str) -> None:
    doc = document(body)
    assert matrix_of(doc, first(doc, "path"), None) == Affine()


def test_transforms_on_the_way_are_all_counted() -> None:
    doc = document(
        '<g transform="translate(10 20)"><g transform="scale(2)"><g transform="rotate(90)"/></g></g>'
    )
    assert matrix_of(doc, 3, None)(1 + 0j) == 10 + 22j


@pytest.mark.parametrize(
    ("text", "matrix"),
    [
        ("", Affine()),
        ("none", Affine()),
        (" translate(1) ", Affine(e=1)),
        ("translate(1,-2)", Affine(e=1, f=-2)),
        ("translate(1-2)", Affine(e=1, f=-2)),
        ("scale(2)", Affine(a=2, d=2)),
        ("scale(2 .5)", Affine(a=2, d=0.5)),
        ("rotate(90)", Affine(0, 1, -1, 0)),
        ("rotate(-90)", Affine(0, -1, 1, 0)),
        ("rotate(180 1 2)", Affine(-1, 0, 0, -1, 2, 4)),
        ("skewX(45)", Affine(c=1)),
        ("skewY(45)", Affine(b=1)),
        ("matrix(1 2 3 4 5 6)", Affine(1, 2, 3, 4, 5, 6)),
        ("translate(1)scale(2)", Affine(2, 0, 0, 2, 1)),
        ("translate(1),,\n scale(2)", Affine(2, 0, 0, 2, 1)),
        ("  matrix  (  1  0 0  1 \t8 .5e1  )   ", Affine(e=8, f=5)),
    ],
)
def test_transform_lists(text: str, matrix: Affine) -> None:
    assert close(read_transform(text), matrix)


@pytest.mark.parametrize(
    ("origin", "fixed"),
    [
        ("10 20", 10 + 20j),
        ("50% 25%", 500 + 250j),
        ("center", 500 + 500j),
        ("left", 500j),
        ("top", 500 + 0j),
        ("bottom right", 1000 + 1000j),
        ("right bottom", 1000 + 1000j),
        ("top center", 500 + 0j),
        ("10mm", 10 * 96 / 25.4 + 500j),
        ("5 6 0", 5 + 6j),
    ],
)
def test_transform_origin(origin: str, fixed: complex) -> None:
    doc = document(f'<g transform="rotate(30)" transform-origin="{origin}"/>')
    assert matrix_of(doc, 1, None)(fixed) == pytest.approx(fixed)


@given(matrices())
def test_a_written_transform_is_read_back(matrix: Affine) -> None:
    assert close(read_transform(transform_text(matrix)), matrix)
    assert close(read_transform(write_transform(matrix, 12)), matrix)


def test_quarter_turns_are_exact() -> None:
    assert [rotation(90.0 * k).a for k in range(-1, 5)] == [0, 1, 0, -1, 0, 1]
    assert write_transform(Affine(e=0.5, f=-2), 3) == "translate(0.5 -2)"


def test_lengths() -> None:
    size = Size(300, 400)
    assert read_length("50%", "x", size) == 150
    assert read_length("50%", "y", size) == 200
    assert read_length("100%", "r", size) == pytest.approx((300**2 + 400**2) ** 0.5 / 2**0.5)
    assert read_length(" 1e1PX ", "x", size) == 10
    for text in ("", "1 2", "1px2", "1_0", "５", "1e999", "5%%", "3vw"):
        with pytest.raises(ValueError, match=r"\S"):
            read_length(text, "x", size)
    with pytest.raises(ValueError, match="a share"):
        read_length("5%", "r", Size(None, 3))
    assert real_length("2cm") == 20
    assert real_length("1e999mm") is None


def test_deep_nesting_needs_no_deep_recursion() -> None:
    doc = read_document(
        b'<svg width="9mm" height="9mm">' + b'<g transform="translate(1)">' * 250 + b"</g>" * 250 + b"</svg>",
        "d.svg",
    )
    assert matrix_of(doc, 250, None).e == pytest.approx(250 * MM_PER_PX)
