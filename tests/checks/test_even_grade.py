"""An altered set is still a grade, or a notice says which size steps out of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.drawing import group, labelled_piece, page
from tests.repository import grade
from transform.checks.even_grade import Landmark, outliers, uneven
from transform.designs.batch import prepare, run
from transform.designs.orders import Options
from transform.designs.workers import workers
from transform.report.facts import DesignFacts

SIZES = ("8", "10", "12", "14", "16")
RULES = """\
ungape: 1
patterns: {patterns}
out: fixed
removals:
  - piece: front
    edge: neckline
    from: shoulder
    distance: {distance}
    removed: {removed}
    pivot: apex
    opens: {{new dart: bust dart, edge: side seam, from: armhole, distance: {below}}}
    line: {line}
linked:
  - {{piece: front facing, follows: front, along: neckline}}
"""


def design(
    folder: Path,
    ranks: Sequence[float] = (-2, -1, 0, 1, 2),
    *,
    nested: bool = False,
    apart: float = 0.0,
    distance: str = "65%",
    removed: str = "10",
    below: str = "60",
    line: str = "fair",
) -> Path:
    """Five sizes, so many steps of the grade from size 12; ``apart`` sets them apart on their sheets."""
    folder.mkdir(parents=True, exist_ok=True)
    bodies = []
    for number, (size, rank) in enumerate(zip(SIZES, ranks, strict=True)):
        front, _, facing = grade(rank)
        body = group(f"size {size}", labelled_piece(front), labelled_piece(facing))
        move = f"translate({apart * number * number}, 0)"
        bodies.append(f'<g transform="{move}">{body}</g>')
    if nested:
        (folder / "all.svg").write_text(page(*bodies), encoding="utf-8")
    for size, body in zip(SIZES, bodies, strict=True):
        if not nested:
            (folder / f"front-{size}.svg").write_text(page(body), encoding="utf-8")
    rules = folder / "x.gape.yaml"
    patterns = "all.svg" if nested else "front-{size}.svg"
    text = RULES.format(patterns=patterns, distance=distance, removed=removed, below=below, line=line)
    rules.write_text(text, encoding="utf-8")
    return rules


def told(rules: Path, *sizes: str, jobs: int = 1) -> list[tuple[str, str | None]]:
    """The sizes and pieces of which it is told that they step out of the grade."""
    facts = looked_at(rules, *sizes, jobs=jobs)
    return [(size.size, n.piece) for size, n in facts.notices if n.kind == "uneven grade"]


def looked_at(rules: Path, *sizes: str, jobs: int = 1) -> DesignFacts:
    options = Options(writes=True, dry_run=True, sizes=sizes)
    with workers(jobs) as pool:
        (facts,) = run(prepare([rules], options), options, pool)
    assert facts.problems == ()
    return facts


BOTH = [("12", "front"), ("12", "front facing")]


@pytest.mark.parametrize(
    "how",
    [
        {},
        {"removed": "{at: '12', amount: 10, step: 1.5}", "distance": "80", "line": "straight"},
        {"removed": "{at: '10', amount: 14, keep: angle}", "distance": "{at: '8', amount: 70, step: 4}"},
        {"removed": "{'8': 8, '10': 9, '12': 9, '14': 10, '16': 11}"},
        {"removed": "{'8': 1/4 in, '10': 5/16 in, '12': 5/16 in, '14': 5/16 in, '16': 3/8 in}"},
    ],
)
def test_what_is_asked_for_evenly_stays_even(how: dict[str, str], tmp_path: Path) -> None:
    assert told(design(tmp_path, **how)) == []  # type: ignore[arg-type]


@pytest.mark.parametrize("nested", [False, True])
@pytest.mark.parametrize("jobs", [1, 2])
def test_a_size_that_gets_twice_as_much_is_told(nested: bool, jobs: int, tmp_path: Path) -> None:
    removed = "{'8': 9, '10': 9.5, '12': 20, '14': 10.5, '16': 11}"
    rules = design(tmp_path, nested=nested, removed=removed)
    assert told(rules, jobs=jobs) == BOTH
    facts = looked_at(rules, jobs=jobs)
    (text,) = (n.text for _, n in facts.notices if n.kind == "uneven grade" and n.piece == "front")
    assert text.startswith("front in size 12 steps out of the grade between its neighbours")
    assert "seen from sizes 10 and 14" in text
    lost = [size.removals[0].shortened for size in facts.sizes]
    assert f"the length of neckline by {lost[2] - (lost[1] + lost[3]) / 2:.1f} mm" in text


def test_the_first_and_the_last_size_are_told_too(tmp_path: Path) -> None:
    rules = design(tmp_path, removed="{'8': 10, '10': 10, '12': 10, '14': 10, '16': 18}")
    assert told(rules) == [("16", "front"), ("16", "front facing")]
    rules = design(tmp_path, removed="{'8': 3, '10': 10, '12': 10, '14': 10, '16': 10}")
    assert told(rules) == [("8", "front"), ("8", "front facing")]


def test_a_dart_or_a_wedge_that_lies_elsewhere_in_one_size_is_told(tmp_path: Path) -> None:
    below = "{'8': 60, '10': 60, '12': 90, '14': 60, '16': 60}"
    assert told(design(tmp_path / "a", below=below)) == BOTH[:1]
    distance = "{'8': 80, '10': 81, '12': 64, '14': 83, '16': 84}"
    assert told(design(tmp_path / "b", distance=distance)) == BOTH


def test_breaks_that_were_there_before_are_no_fault(tmp_path: Path) -> None:
    broken = (-3, -2, -1.5, 3, 4.2)
    for removed in ("12", "{at: '12', amount: 12, keep: angle}"):
        assert told(design(tmp_path / removed[:2], broken, removed=removed)) == []
    removed = "{'8': 10, '10': 10, '12': 10, '14': 30, '16': 10}"
    assert told(design(tmp_path / "wrong", broken, removed=removed)) == [
        ("14", "front"),
        ("14", "front facing"),
    ]


def test_where_each_size_lies_on_its_sheet_is_all_the_same(tmp_path: Path) -> None:
    assert told(design(tmp_path / "even", apart=37.0)) == []
    removed = "{'8': 9, '10': 9.5, '12': 20, '14': 10.5, '16': 11}"
    assert told(design(tmp_path / "uneven", apart=37.0, removed=removed)) == BOTH


def test_only_neighbours_among_the_sizes_asked_for_are_compared(tmp_path: Path) -> None:
    rules = design(tmp_path, removed="{'8': 9, '10': 9.5, '12': 20, '14': 10.5, '16': 11}")
    assert told(rules, "12") == []
    assert told(rules, "12", "14") == []
    assert told(rules, "8", "12", "16") == []
    assert told(rules, "10", "12", "14") == BOTH


def row(*shifts: complex, hangs_on: Sequence[complex] = ()) -> list[Landmark]:
    on = hangs_on or [0.0] * len(shifts)
    return [Landmark(shift, (b,)) for shift, b in zip(shifts, on, strict=True)]


def test_what_it_hangs_on_may_be_as_uneven() -> None:
    assert outliers(row(0, 0, 5, 0, 0)) == [(2, 5)]
    assert outliers(row(0, 0, 5, 0, 0, hangs_on=(0, 0, 5j, 0, 0))) == []
    assert outliers(row(0, 0, 5, 0, 0, hangs_on=(0, 5, 0, 0, 0))) == [(2, 5)]
    assert outliers(row(0, 9, 0)) == [(1, 9)]


def test_a_step_in_the_row_is_told_where_it_is() -> None:
    assert outliers(row(0, 0, 0, 12, 12, 12)) == [(2, 6), (3, 6)]
    assert outliers(row(0, 0, 0, 12)) == [(3, 12)]


@given(
    count=st.integers(3, 12),
    start=st.complex_numbers(max_magnitude=50),
    step=st.complex_numbers(max_magnitude=20),
    jitter=st.lists(st.floats(-0.4, 0.4), min_size=12, max_size=12),
    place=st.integers(0, 11),
    off=st.floats(5, 60),
)
def test_one_size_in_a_row_that_is_even_but_for_digits(
    count: int, start: complex, step: complex, jitter: list[float], place: int, off: float
) -> None:
    shifts = [start + step * k + jitter[k] for k in range(count)]
    assert outliers(row(*shifts)) == []
    place %= count
    shifts[place] += 1j * off
    found = outliers(row(*shifts))
    # Of three or four, another one could as well be the one that is off.
    assert found
    if count > 4:
        assert [index for index, _ in found] == [place]
        assert found[0][1] == pytest.approx(off, abs=2.5)


def test_sizes_that_lack_the_piece_are_no_neighbours() -> None:
    even, off = Landmark(0, ()), Landmark(9, ())
    key = ("front", "the apex")
    rows = {"8": {key: even}, "10": {}, "12": {key: off}, "14": {key: even}, "16": {key: even}}
    assert [size for size, _ in uneven(rows, SIZES)] == ["14"]
    assert list(uneven({"8": {key: even}, "10": {key: off}}, SIZES)) == []
