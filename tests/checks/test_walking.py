"""Walking the seams."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.model import Position, Rules, Seam, Term
from rules.problems import UngapeError
from tests.builders import front, front_with_dart
from transform.checks.seams import WalkedSeam, walk
from transform.geometry.chain import Chain
from transform.geometry.segments import Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline, Stretch


def piece(name: str, length: float, edge: str = "side seam") -> Piece:
    """A piece with one edge of that length."""
    line = Stretch(Chain((Line(0j, complex(length)),)), edge)
    back = Stretch(Chain((Line(complex(length), 100j), Line(100j, 0j))), "rest")
    return replace(front(), name=name, stitching=Outline((line, back)))


def seam(**changes: object) -> Seam:
    usual = Seam(((Term("front", "side seam"),), (Term("back", "side seam"),)), where=Position(7, 5))
    return replace(usual, **changes)  # type: ignore[arg-type]


def walked(
    one: Seam, before: tuple[float, float], after: tuple[float, float]
) -> tuple[WalkedSeam, list[str]]:
    old = [piece("front", before[0]), piece("back", before[1])]
    new = {"front": piece("front", after[0]), "back": piece("back", after[1])}
    (found,), notices = walk(Rules(file="x", seams=(one,)), "12", ["12"], old, new)
    return found, [notice.kind for notice in notices]


@pytest.mark.parametrize(
    ("ease", "before", "after", "holds", "told"),
    [
        ((0, 0), (190, 190), (190, 191), True, False),
        ((0, 0), (190, 190), (190, 191.1), False, False),
        ((0, 0), (190, 192), (190, 192), True, True),
        ((0, 0), (190, 192), (190, 188.1), True, True),
        ((0, 0), (190, 192), (190, 192.2), False, False),
        ((10, 25), (400, 420), (400, 426), True, False),
        ((10, 25), (400, 420), (400, 426.1), False, False),
        ((10, 25), (400, 420), (400, 409), True, False),
        ((10, 25), (400, 420), (400, 408), False, False),
        ((10, 25), (400, 405), (400, 406), True, True),
    ],
)
def test_a_seam_holds_within_ease_by_tolerance_or_if_no_worse(
    ease: tuple[float, float],
    before: tuple[float, float],
    after: tuple[float, float],
    holds: bool,
    told: bool,
) -> None:
    found, notices = walked(seam(ease=ease), before, after)
    assert found.holds == holds
    assert notices == (["seam was off before"] if told else [])
    assert found.before == before
    assert found.after == after


lengths = st.floats(10, 500)


@given(lengths, lengths, lengths, lengths, st.floats(0, 5))
def test_what_is_equal_holds_and_swapping_sides_changes_nothing(
    a: float, b: float, c: float, d: float, tolerance: float
) -> None:
    found, _ = walked(seam(tolerance=tolerance), (a, b), (c, c))
    assert found.holds
    one, _ = walked(seam(tolerance=tolerance), (a, b), (c, d))
    other, _ = walked(seam(tolerance=tolerance), (b, a), (d, c))
    assert one.holds == other.holds


def test_sides_add_and_multiply() -> None:
    sides = (
        (Term("front", "side seam", 2), Term("back", "side seam")),
        (Term("sleeve", "cap"),),
    )
    before = [piece("front", 100), piece("back", 50), piece("sleeve", 260, "cap")]
    (found,), _ = walk(Rules(file="x", seams=(seam(join=sides, ease=(10, 10)),)), "12", ["12"], before, {})
    assert found.join == ("front/side seam x 2 + back/side seam", "sleeve/cap")
    assert found.after == (250, 260)
    assert found.holds


def test_darts_are_folded_out() -> None:
    sides = ((Term("Front", "side_seam"),), (Term("back", "side seam"),))
    plain, darted = front(), front_with_dart()
    before = [replace(darted, name="front"), replace(plain, name="back")]
    (found,), _ = walk(Rules(file="x", seams=(seam(join=sides),)), "12", ["12"], before, {})
    rows = darted.stitching.stretches
    assert [row.dart for row in rows if row.edge == "side seam" or row.dart] == [None, "bust dart", None]
    assert found.before[0] == pytest.approx(sum(r.chain.length for r in rows if r.edge == "side seam"))
    assert found.before[0] < found.before[1] - 20


def test_what_is_not_there_is_told_with_the_nearest_for_every_seam() -> None:
    rules = Rules(
        file="x.gape.yaml",
        seams=(
            seam(join=((Term("frnt", "side seam"),), (Term("back", "side seam"),))),
            seam(join=((Term("front", "sideseam"),), (Term("back", "side seam"),))),
            seam(join=((Term("front", "side seam"),), (Term("moon", "side seam"),))),
        ),
    )
    with pytest.raises(UngapeError) as caught:
        walk(rules, "12", ["12"], [piece("front", 9), piece("back", 9)], {})
    one, two, three = caught.value.problems
    assert (one.kind, one.exit, one.line, one.column) == ("unknown piece", 3, 7, 5)
    assert "did you mean front?" in one.text
    assert two.kind == "unknown edge"
    assert "side seam, rest" in two.text
    assert "did you mean side seam?" in two.text
    assert "did you mean" not in three.text
