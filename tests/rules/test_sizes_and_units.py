"""Amounts by size against the sizes of the design, in the file's units."""

from __future__ import annotations

import math

import pytest

from rules.lengths import Fixed, KeptAngle, PerSize, Sign, Stepped
from rules.model import Allowance, Rules, Seam
from rules.problems import Problem, RulesError
from rules.reading import read_rules_text
from tests.rules.examples import GRADED, SMALL


def read(head: str, amount: str = "10") -> Rules:
    return read_rules_text(
        SMALL.replace("out: fixed", f"out: fixed\n{head}").replace("d: 10", f"d: {amount}"), "x"
    )


def problem(head: str, amount: str = "10") -> Problem:
    with pytest.raises(RulesError) as caught:
        read(head, amount)
    (found,) = caught.value.problems
    return found


def allowance(text: str, head: str = "") -> Allowance:
    found = read(f"{head}allowance: {text}").allowance
    assert found is not None
    return found


def test_units_count_wherever_they_stand() -> None:
    rules = read_rules_text(SMALL + "units: in\nuser unit: 16 mm\n", "x")
    assert rules.removals[0].distance == Fixed(1270)
    assert rules.user_unit == 16
    assert read("units: cm", "0o14").removals[0].amount == Fixed(120)


def test_a_size_of_the_design_without_an_entry() -> None:
    found = problem("sizes: [8, 10, 12]", "{10: 9, 14: 11}")
    assert (found.kind, found.line) == ("missing size", 6)
    assert found.text == "sizes 8, 12 have no entry here; there are entries for: 10, 14"
    assert "size 8 has no entry" in problem("sizes: [8, 10]", "{10: 9}").text
    amount = read("sizes: [S, M]", "{s: 9, m: 10, l: 11}").removals[0].amount
    assert isinstance(amount, PerSize)
    assert [amount.at(size, ["S", "M"]) for size in "SM"] == [9, 10]


def test_a_size_that_the_design_does_not_have() -> None:
    found = problem("sizes: [10, 12]", "{at: 112, amount: 10, keep: angle}")
    assert (found.kind, found.column) == ("unknown size", 80)
    assert found.text == "there is no size '112'; `sizes` has: 10, 12; did you mean 12?"
    assert "did you mean" not in problem("sizes: [10, 12]", "{at: X, amount: 10, step: 1}").text
    assert read("sizes: [X L, M]", "{at: x_l, amount: 10, keep: angle}").removals[0].amount == KeptAngle(
        "X L", 10
    )
    assert read("", "{at: x_l, amount: 10, keep: angle}").removals[0].amount == KeptAngle("x_l", 10)


def test_steps_that_lead_to_nothing() -> None:
    found = problem("sizes: [8, 10, 12]", "{at: 12, amount: 10, step: 5}")
    assert (found.kind, found.text) == (
        "wrong value",
        "the steps lead to 0 mm in size 8; this must be more than 0",
    )
    amount = read("sizes: [8, 10, 12]", "{at: 12, amount: 10, step: 4}").removals[0].amount
    assert amount == Stepped("12", 10, 4, ("x", 6, 75), Sign.ABOVE_ZERO)


def test_a_pinch_is_doubled_in_every_way_of_writing_it() -> None:
    def pinched(amount: str) -> object:
        return read_rules_text(SMALL.replace("removed: 10", f"pinched: {amount}"), "x").removals[0].amount

    assert pinched("1/2 in") == Fixed(25.4)
    assert pinched("{a: 1, b: 2}") == PerSize({"a": 2, "b": 4}, ("x", 5, 75))
    assert pinched("{at: a, amount: 1, step: 0.5}") == Stepped("a", 2, 1, ("x", 5, 75), Sign.ABOVE_ZERO)
    assert pinched("{at: a, amount: 1, keep: angle}") == KeptAngle("a", 2)


@pytest.mark.parametrize(
    ("head", "keys"), [("sizes: [a, b c]\n", ("a", "b_C")), ("", ("10", "00", "3XL", "xs", "32B"))]
)
def test_an_allowance_by_size(head: str, keys: tuple[str, ...]) -> None:
    found = allowance(f"{{{', '.join(f'{key}: 1 cm' for key in keys)}}}", head)
    assert isinstance(found.default, PerSize)
    assert found.default.by_size == dict.fromkeys(keys, 10)


def test_an_allowance_by_edge() -> None:
    found = allowance("{neckline: 6 mm, front/hem: {S: 30, M: 40}}")
    assert found.default is None
    assert found.by_edge == {"neckline": Fixed(6), "front/hem": PerSize({"S": 30, "M": 40}, ("x", 4, 40))}
    assert problem("allowance: {}").kind == "wrong value"
    assert problem("allowance: {at: 12, step: 1}").text == "`amount` is missing here"


def test_seams_that_differ_by_size() -> None:
    by_size, growing, plain = read_rules_text(GRADED, "x").seams
    sizes = ["S", "M", "L"]
    assert math.isnan(by_size.ease[0])
    assert math.isnan(by_size.tolerance)
    assert [by_size.at(size, sizes).ease for size in sizes] == [(0, 0), (3.175, 6.35), (6.35, 9.525)]
    tolerances = [by_size.at(size, sizes).tolerance for size in sizes]
    assert tolerances == pytest.approx([1.190625, 1.5875, 1.984375])
    ends = [growing.at(size, sizes).ease for size in sizes]
    assert ends == [(28.575, 41.275), (25.4, 38.1), pytest.approx((22.225, 34.925))]
    assert growing.at("S", sizes).tolerance == 1
    assert plain.at("S", sizes) is plain
    assert plain.ease == (-3.175, -3.175)
    assert isinstance(by_size.at("M", sizes), Seam)
    with pytest.raises(RulesError, match="size XL has no entry"):
        by_size.at("XL", sizes)


@pytest.mark.parametrize(
    ("ease", "words"),
    [
        ("1 .. 2 cm", "give a unit at both ends"),
        ("1 .. 2 .. 3", "ease is a length, or a range"),
        ("{S: 1}", "sizes M, L have no entry"),
        ("{S: 1, M: x, L: 2}", "ease is a length, or a range"),
        ("{at: S, amount: 1}", "`step` is missing"),
        ("{at: Q, amount: 1, step: 1}", "there is no size 'Q'"),
        ("[1, 2]", "found a list; ease is"),
        ("", "found nothing; ease is"),
    ],
)
def test_ease_that_is_none(ease: str, words: str) -> None:
    found = problem(f"sizes: [S, M, L]\nseams: [{{join: [a/b, c/d], ease: {ease}}}]")
    assert words in found.text
    assert found.line == 5
