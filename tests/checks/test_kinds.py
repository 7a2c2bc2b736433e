"""The list of kinds is closed: what the code says of kind is in it, and nothing else is."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import rules.problems
import transform.pattern.problems
from transform.checks.kinds import ERRORS, NOTICES

ROOT = Path(__file__).parents[2]
PLACES = {
    "Problem": 0,
    "Notice": 0,
    "refusal": 0,
    "wrong": 1,
    "problem": 0,
    "say": 1,
    "problem_at": 2,
    "_stale": 1,
    "_fault": 0,
}
"""The argument that is the kind, by the name of what is called."""


def _texts(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _texts(node.body)
        yield from _texts(node.orelse)


def _said(wanted: set[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for room in ("rules", "transform"):
        for path in sorted((ROOT / room).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                if not isinstance(node, ast.Call):
                    continue
                name = getattr(node.func, "attr", getattr(node.func, "id", ""))
                if name not in wanted:
                    continue
                given = [keyword.value for keyword in node.keywords if keyword.arg == "kind"]
                given = given or node.args[PLACES[name] : PLACES[name] + 1]
                for argument in given:
                    found.update((text, f"{path.name}:{node.lineno}") for text in _texts(argument))
    return found


def test_every_kind_of_error_is_listed() -> None:
    said = _said(set(PLACES) - {"Notice"})
    assert len(said) > 50
    missing = {kind: place for kind, place in said.items() if kind not in ERRORS}
    assert not missing


def test_the_kinds_of_other_rooms_are_listed() -> None:
    assert set(rules.problems.KINDS) | set(transform.pattern.problems.KINDS) <= set(ERRORS)


def test_every_kind_of_notice_is_listed() -> None:
    said = _said({"Notice"})
    assert len(said) > 8
    missing = {kind: place for kind, place in said.items() if kind not in NOTICES}
    assert not missing


@pytest.mark.parametrize("kinds", [ERRORS, NOTICES])
def test_nothing_is_listed_that_nobody_says(kinds: dict[str, str]) -> None:
    text = "".join(
        path.read_text("utf-8")
        for room in ("rules", "transform")
        for path in (ROOT / room).rglob("*.py")
        if path.name not in ("kinds.py", "notices.py")
    )
    # What is unknown is said as a word of its own.
    idle = [
        kind for kind in kinds if f'"{kind}"' not in text and f'"{kind.removeprefix("unknown ")}"' not in text
    ]
    assert not idle


def test_the_readme_tells_every_notice() -> None:
    told = re.findall(r"^\| `([a-z' -]+)` \| (.+) \|$", (ROOT / "README.md").read_text("utf-8"), re.MULTILINE)
    assert dict(told) == NOTICES
    assert list(NOTICES) == sorted(NOTICES)


def test_kinds_have_meanings_in_words() -> None:
    assert not set(ERRORS) & set(NOTICES) - {"left-over file"}
    for kind, meaning in {**ERRORS, **NOTICES}.items():
        assert kind == kind.strip()
        assert kind == "viewBox" or kind.islower()
        assert len(meaning) > 10
