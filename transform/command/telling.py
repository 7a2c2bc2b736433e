"""Telling what a run has to tell: to the person, and to the files that were asked for."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console

from rules.problems import Problem
from transform.report.annotations import workflow_commands
from transform.report.facts import Report
from transform.report.json_report import report_text
from transform.report.terminal import console_for, show


@dataclass(frozen=True)
class Outputs:
    """How a run tells what it has to tell."""

    console: Console
    quiet: bool = False
    strict: bool = False
    annotations: bool = False
    """Whether findings are said as workflow commands too."""
    write: tuple[tuple[Path, Callable[[Report], str]], ...] = ()
    """Files to write, each with what makes its text of the report."""


def outputs(
    report: Path | None,
    junit: Path | None,
    proof: Path | None,
    *,
    strict: bool,
    quiet: bool,
    no_color: bool,
    annotations: bool = False,
) -> Outputs:
    """The outputs that the command line asks for."""
    asked = ((report, report_text), (junit, _junit_text), (proof, _proof_text))
    write = tuple((path, text) for path, text in asked if path is not None)
    return Outputs(console_for(no_color=no_color), quiet, strict, annotations, write)


# What makes these two is needed by those who ask for them only.
def _junit_text(report: Report) -> str:
    from transform.report.junit import junit_text

    return junit_text(report)


def _proof_text(report: Report) -> str:
    from transform.report.proof import proof_text

    return proof_text(report)


def finish(report: Report, outputs: Outputs, read: Sequence[Path] = ()) -> int:
    """Tell the report and write the files that were asked for; the exit code.

    A file that was ``read``, or that was written for a pattern, is never overwritten.
    """
    refused: list[Problem] = []
    for path, text in outputs.write:
        problem = _write(path, text(report), read)
        if problem is not None:
            refused.append(problem)
    report = Report(report.designs, (*report.problems, *refused), report.strict)
    show(report, outputs.console, quiet=outputs.quiet)
    if outputs.annotations:
        root = Path(os.environ.get("GITHUB_WORKSPACE") or ".")
        for line in workflow_commands(report, root):
            outputs.console.file.write(f"{line}\n")
    return report.exit


def _write(path: Path, text: str, read: Sequence[Path]) -> Problem | None:
    if any(path.exists() and each.exists() and path.samefile(each) for each in read):
        text = "this file is one of the patterns or the rules, and is not overwritten"
        return Problem("report over source", text, str(path))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8", "backslashreplace", newline="\n")
    except OSError as error:
        return Problem(
            "cannot write", f"the report could not be written: {error.strerror}", str(path), exit=3
        )
    return None
