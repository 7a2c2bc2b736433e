"""The example workflow and the hooks call the command as it is."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest
import yaml

from tests.small_designs import make_design
from transform.command.cli import app
from transform.command.entry import run_guarded

ROOT = Path(__file__).parents[2]
WORKFLOW = yaml.safe_load((ROOT / "samples/workflow.yml").read_text("utf-8"))
HOOKS = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))


def commands() -> list[str]:
    steps = [step["run"] for job in WORKFLOW["jobs"].values() for step in job["steps"] if "run" in step]
    hooks = [f"{hook['entry']} {' '.join(hook['args'])}" for hook in HOOKS]
    return [command for command in (*steps, *hooks) if command.startswith("ungape ")]


def test_there_is_a_step_and_two_hooks() -> None:
    assert len(commands()) == 3
    assert [hook["id"] for hook in HOOKS] == ["ungape-check", "ungape-apply"]


@pytest.mark.parametrize("command", commands())
def test_what_they_call_works(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make_design(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert run_guarded(app, ["apply"]) == 0
    code = run_guarded(app, shlex.split(command)[1:])
    # The design of the tests has notices, which nobody accepted.
    assert code == (1 if "--strict" in command else 0)
    asked = [word for word in shlex.split(command) if word.endswith((".xml", ".json", ".html"))]
    assert all((tmp_path / name).stat().st_size for name in asked)
