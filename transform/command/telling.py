"""Telling what a run has to tell: to the person, and to the files that were asked for."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console

from rules.problems import Problem
from transform.files.ledger import LEDGER
from transform.report.annotations import workflow_commands
from transform.report.facts import Report
from transform.report.json_report import report_text
from transform.report.terminal import console_for, show

_NEVER = (".svg", ".svgz", ".yaml", ".yml", LEDGER)
"""What no report is: how the names of drawings, rules and ledgers end."""


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


def unfit(outputs: Outputs) -> bool:
    """Whether a file that was asked for cannot be written, which is known before anything is done."""
    paths = [path for path, _ in outputs.write]
    return any(_refusal(path, (), paths[:index]) is not None for index, path in enumerate(paths))


def finish(report: Report, outputs: Outputs, read: Sequence[Path] = ()) -> int:
    """Tell the report and write the files that were asked for; the exit code.

    A file that was ``read``, or that was written for a pattern, is never overwritten, nor are drawings, rules
    and ledgers that were not read, since the run did not come to that.
    """
    refused: list[Problem] = []
    for index, (path, text) in enumerate(outputs.write):
        earlier = [other for other, _ in outputs.write[:index]]
        problem = _refusal(path, read, earlier) or _write(path, text(report))
        if problem is not None:
            refused.append(problem)
    report = Report(report.designs, (*report.problems, *refused), report.strict)
    show(report, outputs.console, quiet=outputs.quiet)
    if outputs.annotations:
        root = Path(os.environ.get("GITHUB_WORKSPACE") or ".")
        for line in workflow_commands(report, root):
            outputs.console.file.write(f"{line}\n")
    return report.exit


def _refusal(path: Path, read: Sequence[Path], earlier: Sequence[Path]) -> Problem | None:
    """Why the file is not written; None where nothing speaks against it."""
    if any(path.exists() and each.exists() and path.samefile(each) for each in read):
        text = "this file is one of the patterns or the rules, and is not overwritten"
        return Problem("report over source", text, str(path))
    if path.exists() and path.name.casefold().endswith(_NEVER):
        text = "a drawing, rules or a ledger stand there, and are not overwritten; name another file"
        return Problem("report over source", text, str(path))
    if path.absolute() in [other.absolute() for other in earlier]:
        return Problem("command line", "two reports are asked for in this one file; name another", str(path))
    return None


def _write(path: Path, text: str) -> Problem | None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8", "backslashreplace", newline="\n")
    except OSError as error:
        return Problem(
            "cannot write", f"the report could not be written: {error.strerror}", str(path), exit=3
        )
    return None
