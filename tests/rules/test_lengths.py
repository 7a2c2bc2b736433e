"""Lengths as people write them, and amounts that differ by size."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.lengths import Fixed, KeptAngle, PerSize, Sign, Stepped, format_length, read_length
from rules.problems import RulesError


@pytest.mark.parametrize(
    ("text", "units", "mm"),
    [
        ("12 mm", "in", 12),
        ("1.2 cm", "mm", 12),
        ("1.1 cm", "mm", 11),
        ("1/2 in", "mm", 12.7),
        ('1 3/8"', "mm", 34.925),
        ("1 3/8 ″", "mm", 34.925),
        ("5/8 in", "mm", 15.875),
        ("⅝ in", "mm", 15.875),
        ("1⅜”", "mm", 34.925),
        ("1 ⅜ in.", "mm", 34.925),
        ("1-3/8 in", "mm", 34.925),
        ("10-½", "in", 266.7),
        ("-½ in", "mm", -12.7),
        ("5 / 8  inch", "mm", 15.875),
        ("2 inches", "mm", 50.8),
        ("5/8", "in", 15.875),
        ("-3mm", "mm", -3),
        ("+3", "mm", 3),
        (".5", "mm", 0.5),
        ("7.", "cm", 70),
        ("1e1", "mm", 10),
        ("25E-1", "cm", 25),
        ("12\u00a0mm", "in", 12),
        (12, "cm", 120),
        (1.1, "cm", 11),
        (1e-07, "mm", 1e-7),
    ],
)
def test_lengths_as_people_write_them(text: str | float, units: str, mm: float) -> None:
    assert read_length(text, units) == mm


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "a length is a number"),
        ("mm", "a length is a number"),
        ("ten mm", "a length is a number"),
        ("½½ in", "a length is a number"),
        ("1.5½ in", "a length is a number"),
        ("½2 in", "a length is a number"),
        ("1--3/8 in", "a length is a number"),
        ("1 2 mm", "a length is a number"),
        ("1_0", "a length is a number"),
        ("१२ mm", "a length is a number"),
        (".inf", "a length is a number"),
        (float("inf"), "a length is a number"),
        (float("nan"), "a length is a number"),
        ("1/2/3", "a length is a number"),
        ("5 ft", "'ft' is no unit here; the units are mm, cm and in"),
        ("5 MM", "'MM' is no unit here"),
        ("1,5 cm", "a decimal point is needed, not a comma: `1.5 cm`"),
        ("1/0 in", "divided by 0"),
        ("100001", "at most 100 m"),
        ("1e999", "at most 100 m"),
        ("9" * 5000, "a length is a number"),
    ],
)
def test_what_is_no_length(text: str | float, words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)):
        read_length(text, "mm")


@pytest.mark.parametrize(
    ("mm", "units", "text"),
    [
        (15.875, "in", "5/8 in"),
        (34.925, "in", "1 3/8 in"),
        (-25.4, "in", "-1 in"),
        (10, "in", "0.394 in"),
        (-0.001, "in", "0.000 in"),
        (12, "cm", "1.20 cm"),
        (12, "mm", "12.0 mm"),
        (-0.01, "mm", "0.0 mm"),
    ],
)
def test_lengths_for_people(mm: float, units: str, text: str) -> None:
    assert format_length(mm, units) == text


@given(st.integers(0, 40), st.integers(1, 15), st.sampled_from([2, 4, 8, 16]))
def test_fractions_of_an_inch_are_exact_and_come_back(whole: int, part: int, of: int) -> None:
    mm = read_length(f"{whole} {part}/{of} in", "mm")
    assert mm == float((whole + Fraction(part, of)) * Fraction("25.4"))
    assert read_length(format_length(mm, "in"), "mm") == mm


@given(st.decimals(0, 9999, places=4), st.sampled_from(["mm", "cm"]))
def test_decimals_are_the_nearest_number_to_what_is_written(number: object, unit: str) -> None:
    exact = Fraction(str(number)) * (10 if unit == "cm" else 1)
    assert read_length(f"{number} {unit}", "in") == float(exact)


@given(st.floats(-90000, 90000), st.sampled_from(["mm", "cm", "in"]))
def test_what_is_told_is_what_is_meant(mm: float, units: str) -> None:
    told = read_length(format_length(mm, units), "mm")
    assert told == pytest.approx(mm, abs={"mm": 0.0501, "cm": 0.0501, "in": 0.0128}[units])


def test_amounts_by_size() -> None:
    sizes = ["10", "12", "14"]
    assert Stepped("12", 10.0, 0.5).at("14", sizes) == 10.5
    assert Stepped("12", 10.0, 0.5).at("10", sizes) == 9.5
    assert Fixed(3).at("10", sizes) == 3
    assert KeptAngle("12", 4.0).plain() == Fixed(4.0)


def test_sizes_compare_as_labels_do() -> None:
    assert PerSize({"10": 3.0, "Tall XL": 4.0}).at("10", ["10"]) == 3.0
    assert PerSize({"10": 3.0, "Tall XL": 4.0}).at("tall_xl", []) == 4.0
    assert Stepped("s", 10.0, 1.0).at("M", ["S", "M"]) == 11.0


def test_a_size_without_an_entry() -> None:
    with pytest.raises(RulesError, match="size 14 has no entry here; there are entries for: 10") as caught:
        PerSize({"10": 3.0}, ("x.yaml", 7, 5)).at("14", [])
    (problem,) = caught.value.problems
    assert (problem.kind, problem.file, problem.line, problem.column) == ("missing size", "x.yaml", 7, 5)
    with pytest.raises(RulesError, match="size '99'"):
        Stepped("99", 10.0, 0.5).at("14", ["14"])
    with pytest.raises(RulesError, match="size 14"):
        Stepped("12", 10.0, 0.5).at("14", ["12"])


@pytest.mark.parametrize(
    ("sign", "allowed"), [(Sign.ANY, "abc"), (Sign.NOT_BELOW_ZERO, "ab"), (Sign.ABOVE_ZERO, "a")]
)
def test_steps_that_lead_too_low(sign: Sign, allowed: str) -> None:
    amount = Stepped("a", 1.0, -1.0, ("x.yaml", 7, 5), sign)
    for size in "abc":
        if size in allowed:
            assert amount.at(size, "abc") == 1.0 - "abc".index(size)
        else:
            with pytest.raises(
                RulesError, match=f"x.yaml:7:5: wrong value: the steps lead to .* mm in size {size}"
            ):
                amount.at(size, "abc")
