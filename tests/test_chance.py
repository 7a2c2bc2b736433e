"""Bodices drafted by chance; `python -m tests.chance` makes more of them."""

from __future__ import annotations

import pytest

from tests.chance import drafted, tried


@pytest.mark.parametrize("begin", [0, 12, 24])
def test_no_bodice_drafted_by_chance_breaks_a_law(begin: int) -> None:
    told: list[str] = []
    became = tried(range(begin, begin + 12), told.append)
    assert told == []
    assert became["altered"] >= 8


def test_a_seed_always_drafts_the_same() -> None:
    assert drafted(5) == drafted(5)
    assert drafted(5) != drafted(6)
