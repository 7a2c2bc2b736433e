"""Files and rules made by chance; `python -m tests.fuzz` is the larger form."""

from __future__ import annotations

from tests.fuzz import fuzz


def test_what_chance_makes_is_never_a_fault_of_ours() -> None:
    tally = fuzz(120)
    assert tally.inputs >= 115
    assert tally.wrong == []
    assert tally.became["written"] > 3
