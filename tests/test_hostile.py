"""Hostile drawings, rules and names, all but the large ones; `python -m tests.hostile` tries every one."""

from __future__ import annotations

import os
from functools import cache

import pytest

from tests.hostile.cases import LARGE, Case
from tests.hostile.drawings import drawings
from tests.hostile.running import in_a_child, listening, try_whole
from tests.hostile.writings import writings
from tests.side_by_side import side_by_side

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be split here")


@cache
def cases() -> list[Case]:
    """All of them. Those that take long are told apart by what was measured (`tests.hostile.cases`)."""
    # The children find loaded what every run needs.

    return [*drawings(), *writings()]


def tried(number: int) -> list[str]:
    """What is not as it must be with one of the cases."""
    case = cases()[number]
    with listening() as (server, asked):
        runs = try_whole(case, server, asked, in_a_child)
    return [f"{name}: {case.name}: {one}" for name, _, wrong in runs for one in wrong]


def test_no_hostile_file_does_any_harm() -> None:
    small = [number for number, case in enumerate(cases()) if case.name not in LARGE]
    assert len(small) > 500
    assert [one for wrong in side_by_side(tried, small, at_once=10) for one in wrong] == []


def test_the_large_ones_are_in_the_list() -> None:
    names = [case.name for case in cases()]
    assert set(names) >= LARGE
    assert len(names) == len(set(names))
