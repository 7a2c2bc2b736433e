"""A sample design killed while it is written: nothing is lost. `python -m tests.kills` is the larger form."""

from __future__ import annotations

import os

import pytest

from tests.kills import kill


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be split here")
def test_killed_while_it_writes_nothing_is_lost() -> None:
    counted = kill(runs=0, writes=30, designs=("shell",))
    assert counted.total() == 30
    assert any(left == "old set" for _, left in counted)
