"""The page of common mistakes says what the command says."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "samples" / "mistakes"
PAGE = (FOLDER / "README.md").read_text("utf-8")
BLOCKS = re.findall(r"`([^`\n]+)`, exit code (\d+):\n\n```text\n(.*?)\n```", PAGE, re.DOTALL)


def test_every_mistake_has_its_place_on_the_page() -> None:
    assert len(BLOCKS) == 10
    assert {name for name, _, _ in BLOCKS} == {file.name for file in FOLDER.glob("*.yaml")}


def test_a_search_for_rules_does_not_find_them() -> None:
    assert list(FOLDER.glob("*.gape.yaml")) == []


@pytest.mark.parametrize(("name", "code", "said"), BLOCKS)
def test_the_page_has_the_real_message(name: str, code: str, said: str) -> None:
    command = [sys.executable, "-m", "transform", "apply", name]
    done = subprocess.run(command, cwd=FOLDER, capture_output=True, text=True, timeout=60)
    assert done.returncode == int(code)
    assert done.stdout == ""
    assert done.stderr.rstrip() == said
    assert not (FOLDER / "fixed").exists()


def test_the_drawing_that_is_right_is_understood(tmp_path: Path) -> None:
    rules = (FOLDER / "1-a-word-misspelt.yaml").read_text("utf-8").replace("remvals", "removals")
    (tmp_path / "right.yaml").write_text(rules, "utf-8")
    (tmp_path / "front-12.svg").write_bytes((FOLDER / "front-12.svg").read_bytes())
    command = [sys.executable, "-m", "transform", "apply", "right.yaml"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "fixed" / "front-12.svg").exists()
