"""A repository of designs in one run, one of them broken."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.repository import FILES, STYLES, write_repository
from transform.command.cli import app
from transform.command.entry import run_guarded


def run(command: str, folder: Path, *arguments: str) -> tuple[int, dict[str, Any]]:
    report = folder.parent / "report.json"
    code = run_guarded(app, [command, str(folder), "--quiet", "--report", str(report), *arguments])
    return code, json.loads(report.read_text("utf-8"))


def test_every_design_is_done_but_the_broken_one(tmp_path: Path) -> None:
    shelf = tmp_path / "patterns"
    designs = write_repository(shelf, len(STYLES) + 1)
    broken = designs[-1]
    drawing = next(broken.parent.glob("*-12.svg"))
    good = drawing.read_text("utf-8")
    drawing.write_text(good.replace("C", "C x", 1), encoding="utf-8")
    code, report = run("apply", shelf, "--jobs", "2")
    assert code == 3
    assert [(error["file"], error["kind"]) for error in report["errors"]] == [(drawing.name, "path data")]
    assert [bool(design["sizes"]) for design in report["designs"]] == [True, True, True, False]
    for rules in designs[:-1]:
        assert len(list(rules.parent.glob("*.svg"))) == FILES
        assert len(list((rules.parent / "fixed").glob("*.svg"))) == FILES
    assert not (broken.parent / "fixed").exists()
    kinds = {n["kind"] for design in report["designs"] for size in design["sizes"] for n in size["notices"]}
    assert kinds <= {"edge lost less"}

    drawing.write_text(good, encoding="utf-8")
    code, report = run("check", shelf, "--size", "12")
    assert code == 1
    assert {error["kind"] for error in report["errors"]} == {"missing file"}
    assert {error["file"].partition("/")[0] for error in report["errors"]} == {"fixed"}
