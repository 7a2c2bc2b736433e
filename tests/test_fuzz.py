"""Files and rules made by chance; `python -m tests.fuzz` is the larger form."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fuzz import Tally, fuzz, judge
from tests.side_by_side import side_by_side

PARTS, EACH = 4, 250


def part(seed: int) -> Tally:
    """So many inputs of one seed."""
    return fuzz(EACH, seed)


def test_what_chance_makes_is_never_a_fault_of_ours() -> None:
    tallies = side_by_side(part, range(PARTS))
    assert sum(tally.inputs for tally in tallies) >= 0.99 * PARTS * EACH
    assert [wrong for tally in tallies for wrong in tally.wrong] == []
    assert all(tally.became["written"] > 20 for tally in tallies)


def test_an_input_that_goes_wrong_is_shown(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("tests.fuzz.run_design", broken)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    tally = Tally()
    judge(b"design: odd", {}, tally, "change 3 of seed 7", told=False)
    (wrong,) = tally.wrong
    assert "change 3 of seed 7" in wrong
    assert "ZeroDivisionError" in wrong
    assert "b'design: odd'" in wrong
    (kept,) = tmp_path.glob("fuzz-input-*/*")
    assert kept.read_bytes() == b"design: odd"
