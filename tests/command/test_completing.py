"""The sizes that a shell offers."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.small_designs import front_file, make_design, rules_text
from transform.command.completing import known_sizes

ROOT = Path(__file__).parents[2]


def test_sizes_come_from_the_names_of_the_files(tmp_path: Path) -> None:
    make_design(tmp_path, ("8", "10"))
    assert known_sizes([tmp_path]) == ["8", "10"]


def test_sizes_come_from_the_rules_where_they_name_them(tmp_path: Path) -> None:
    rules = make_design(tmp_path, ("8", "10"), head='sizes: ["10"]')
    assert known_sizes([rules]) == ["10"]


def test_files_that_no_size_names_are_looked_into(tmp_path: Path) -> None:
    (tmp_path / "all.svg").write_text(front_file("XL"), "utf-8")
    (tmp_path / "x.gape.yaml").write_text(rules_text(patterns="all.svg"), "utf-8")
    assert known_sizes([tmp_path]) == ["XL"]


def test_what_cannot_be_read_has_no_sizes(tmp_path: Path) -> None:
    (tmp_path / "a.gape.yaml").write_text("removals: [", "utf-8")
    (tmp_path / "b.gape.yaml").mkdir()
    (tmp_path / "c.gape.yaml").write_text(rules_text(patterns="none-{size}.svg"), "utf-8")
    assert known_sizes([tmp_path, tmp_path / "nowhere"]) == []


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("ungape apply --size ", "8 10 12"),
        ("ungape check shell --size ", "12"),
        ("ungape apply shell skirt --size 1", "10 12"),
    ],
)
def test_a_shell_offers_the_sizes_of_what_was_named(words: str, offered: str, tmp_path: Path) -> None:
    make_design(tmp_path / "shell", ("12",))
    make_design(tmp_path / "skirt", ("8", "10"))
    last = len(words.split()) - (0 if words.endswith(" ") else 1)
    done = subprocess.run(
        [sys.executable, "-m", "transform"],
        env={
            **os.environ,
            "PYTHONPATH": str(ROOT),
            "_UNGAPE_COMPLETE": "complete_bash",
            "COMP_WORDS": words,
            "COMP_CWORD": str(last),
        },
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.stdout.split() == offered.split()
