"""The examples in docstrings are true."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
WITH_EXAMPLES = sorted(
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for room in ("rules", "transform", "samples")
    for path in (ROOT / room).rglob("*.py")
    if ">>> " in path.read_text("utf-8")
)


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_the_examples_in_docstrings_are_true(name: str) -> None:
    failed, tried = doctest.testmod(importlib.import_module(name))
    assert tried
    assert failed == 0
