"""Findings as workflow commands."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from tests.report.figures import ELEMENT, OFF, STALE, UNKNOWN, WIDE, design, report, size
from transform.command.telling import Outputs, finish
from transform.report.annotations import workflow_commands


def test_all_well_says_nothing() -> None:
    accepted = replace(WIDE, accepted=True)
    assert list(workflow_commands(report(design(size(notices=(accepted,)))), Path())) == []


def test_everything_that_needs_a_person_has_a_line() -> None:
    off = design(size(seams=(OFF,), notices=(WIDE,)), stale=(STALE,))
    found = list(
        workflow_commands(report(design(sizes=(), problems=(ELEMENT,)), off, problems=(UNKNOWN,)), Path())
    )
    assert [line.partition("::")[2].partition("::")[0] for line in found] == [
        "error file=summer.gape.yaml,line=7,col=3,title=unknown word",
        "error file=wardrobe/b-12.svg,line=40,col=7,title=gap",
        "error file=wardrobe/summer.gape.yaml,title=stale file",
        "error file=wardrobe/summer.gape.yaml,title=seam does not hold",
        "warning file=wardrobe/summer.gape.yaml,title=wide dart",
    ]
    assert found[1].endswith("::the line has a gap of 3.0 mm (in size 12 > front (line 40))")
    assert found[4].endswith("::bust dart of front takes in 45.0 mm (size 12)")


def test_strict_makes_errors_of_notices() -> None:
    (found,) = workflow_commands(report(design(size(notices=(WIDE,))), strict=True), Path())
    assert found.startswith("::error ")


def test_characters_that_mean_something_are_coded() -> None:
    bad = replace(UNKNOWN, file="a,b:c%.yaml", text="50% of\nit\x1b", kind="x::y")
    (found,) = workflow_commands(report(problems=(bad,)), Path())
    assert found == "::error file=a%2Cb%3Ac%25.yaml,line=7,col=3,title=x%3A%3Ay::50%25 of%0Ait\\x1b"


def test_a_problem_of_no_file_names_none() -> None:
    (found,) = workflow_commands(
        report(problems=(replace(UNKNOWN, file="", line=None, column=None),)), Path()
    )
    assert found.startswith("::error title=unknown word::")


def test_files_are_named_from_the_root_of_the_repository(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "patterns").mkdir()
    monkeypatch.chdir(tmp_path / "patterns")
    monkeypatch.setenv("GITHUB_WORKSPACE", str(tmp_path))
    stream = io.StringIO()
    console = Console(file=stream, width=200)
    finish(report(design(sizes=(), problems=(ELEMENT,))), Outputs(console, annotations=True))
    assert "::error file=patterns/wardrobe/b-12.svg,line=40" in stream.getvalue()
    (outside,) = workflow_commands(report(problems=(replace(UNKNOWN, file="/elsewhere/x.yaml"),)), tmp_path)
    assert "file=/elsewhere/x.yaml" in outside
