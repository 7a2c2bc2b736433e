"""One run of `inspect` or `start`: what was asked for goes to the output, what is wrong to the messages."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rules.model import Rules
from rules.problems import Problem, UngapeError
from rules.reading import read_rules
from transform.command.stdout import put_out
from transform.first_look.inspecting import inspect_files
from transform.first_look.starting import begin, rules_text
from transform.interrupts import let_through
from transform.report import inspection
from transform.report.facts import Report
from transform.report.terminal import console_for, show


def print_contents(paths: Sequence[Path], rules_file: Path | None, *, as_json: bool, no_color: bool) -> int:
    """Print what the files hold; the exit code."""
    let_through()
    try:
        rules = Rules(file="") if rules_file is None else _read(rules_file)
    except UngapeError as error:
        return _tell(error.problems, no_color)
    files = list(inspect_files(paths, rules))
    # Of a file that cannot be read there is nothing to list: the messages tell why.
    held = [file for file in files if file.pieces or file.unplaced or not file.problems]
    if as_json or held:
        put_out(inspection.as_json(files) if as_json else inspection.as_text(held, rules.units))
    return _tell([problem for file in files for problem in file.problems], no_color)


def print_beginning(paths: Sequence[Path], *, no_color: bool) -> int:
    """Print a rules file to fill in; the exit code."""
    let_through()
    try:
        beginning, problems = begin(paths)
    except UngapeError as error:
        return _tell(error.problems, no_color)
    put_out(rules_text(beginning))
    return _tell(problems, no_color)


def _read(path: Path) -> Rules:
    try:
        return read_rules(path)
    except OSError as error:
        text = f"the file cannot be read: {error.strerror or error}"
        raise UngapeError((Problem("no rules", text, str(path)),)) from None


def _tell(problems: Sequence[Problem], no_color: bool) -> int:
    report = Report((), tuple(problems))
    show(report, console_for(no_color=no_color), quiet=False)
    return report.exit
