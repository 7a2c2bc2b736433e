"""Two files that should be one: digits may differ, nothing else."""

from __future__ import annotations

import pytest

from transform.checks.comparing import Difference, differences, same_but_for_digits

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 {units} {units}">'
BODY = (
    '<g id="front" transform="rotate(30) translate(1 2)">'
    '<path id="neckline" style="stroke-width:0.5" d="M 1,2 C 3,4 5,6 7,8 L 9,10"/>'
    '<circle id="apex" cx="3" cy="4" r="1"/><text id="name" x="5" y="6">Size 12</text>'
    '<use id="logo" href="#apex" x="1"/></g>'
)


def svg(body: str = BODY, *, units: float = 100) -> bytes:
    return (HEAD.format(units=units) + body + "</svg>").encode()


def found(old: str, new: str, *, units: float = 100) -> list[Difference]:
    assert old in BODY
    return list(differences(svg(BODY.replace(old, new), units=units), svg(units=units), None))


def same(old: str, new: str, *, units: float = 100) -> bool:
    assert old in BODY
    answer = same_but_for_digits(svg(BODY.replace(old, new), units=units), svg(units=units), None)
    assert answer == (not found(old, new, units=units))
    return answer


def test_equal_files_are_the_same() -> None:
    assert same_but_for_digits(svg(), svg(), None)
    assert list(differences(svg(), svg(), None)) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("9,10", "9.0019,10"),
        ("9,10", "9.002,10"),
        ('x="5"', 'x="5.002"'),
        ("3,4 5", "3,4.0015 5"),
        ("M 1,2", "M 1.001,2"),
        ('cx="3"', 'cx="3.0019"'),
        ('x="5"', 'x="5.0019"'),
        ("rotate(30)", "rotate(30.0004)"),
        ("translate(1 2)", "translate(1.0001 2)"),
        ("0.5", "0.5019"),
    ],
)
def test_the_last_digits_may_differ(old: str, new: str) -> None:
    assert same(old, new)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("9,10", "9.003,10"),
        ("3,4 5", "3,4.003 5"),
        ('cx="3"', 'cx="3.003"'),
        ('r="1"', 'r="1.003"'),
        ('x="5"', 'x="5.003"'),
        ('x="1"', 'x="1.003"'),
        ("rotate(30)", "rotate(30.02)"),
        ("0.5", "0.51"),
        ("Size 12", "Size 14"),
        ("Size 12", "Gr. 12"),
        ("stroke-width", "stroke-Width"),
        ("9,10", "9 10"),
        ("L 9,10", "L 9,10 L 9,10"),
        ("L 9,10", "L 9,10 M 1,1 L 2,2"),
        ("C 3,4 5,6 7,8", "L 7,8"),
        (' id="neckline"', ""),
        ('<circle id="apex" cx="3" cy="4" r="1"/>', ""),
        ('<use id="logo" href="#apex" x="1"/>', ""),
        ("</g>", '<rect width="1" height="1"/></g>'),
    ],
)
def test_anything_more_is_a_difference(old: str, new: str) -> None:
    assert not same(old, new) or "9 10" in new


def test_what_counts_is_the_real_size() -> None:
    # 10 units to 100 mm: 0.0015 units are 0.015 mm; 10 000 units: 0.1 units are 0.001 mm.
    assert not same("9,10", "9.0015,10", units=10)
    assert same("9,10", "9.1,10", units=10_000)


def test_a_difference_tells_the_command_and_the_distance() -> None:
    (one,) = found("9,10", "9.5,10")
    assert (one.element, one.what) == ("front > neckline (line 1)", "command 3 (L)")
    assert one.mm == pytest.approx(0.5)
    assert str(one) == "front > neckline (line 1): command 3 (L): 0.500 mm"
    assert [d.what for d in found("M 1,2", "M 1.1,2")] == ["command 1 (M)", "command 2 (C)"]
    (text,) = found("Size 12", "Size 14")
    assert str(text) == "front > name (line 1): text is 'Size 14', should be 'Size 12'"
    (text,) = found("Size 12", "Cut two on the fold, of the lining too: Size 14")
    assert "text is 'Cut two" in str(text)
    old, new = (
        BODY.replace("Size 12", f"Cut two on the fold, of the lining too: Size {n}") for n in (12, 14)
    )
    (text,) = differences(svg(new), svg(old), None)
    assert "ng too: Size 14', should be '" in str(text)
    assert str(text).endswith("ng too: Size 12'")


def test_a_long_value_is_shortened() -> None:
    (one,) = found("stroke-width:0.5", "stroke-width:0.5;" + "x:y;" * 20)
    assert "…" in one.what


def test_what_cannot_be_read_is_told() -> None:
    (one,) = differences(b"<svg", svg(), None)
    assert "cannot be read" in str(one)


def test_what_cannot_be_measured_is_told_where_it_differs() -> None:
    plain = b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M 0,0 L 1,1"/></svg>'
    other = plain.replace(b"1,1", b"2,2")
    assert ["cannot be measured" in str(d) for d in differences(other, plain, None)] == [True]
    assert [d.mm for d in differences(other, plain, 10.0)] == [pytest.approx(200**0.5)]
    assert list(differences(plain + b"\n", plain, None)) == []
