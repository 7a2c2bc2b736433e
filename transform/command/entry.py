"""The outermost boundary: whatever happens, there is an exit code, a line for the person, and a report."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

if TYPE_CHECKING:
    from rules.problems import Problem

_USAGE: Any = typer.BadParameter.__mro__[1]
"""What is raised for a wrong command line; its place in the library differs between versions."""
_INTERRUPTED = 130


IN_WORKFLOW = os.environ.get("GITHUB_ACTIONS") == "true"
"""Whether a hosting service runs this and reads workflow commands."""


class Told(int):
    """The exit code of a command that has told all that there was to tell."""


def run_guarded(app: typer.Typer, arguments: Sequence[str]) -> int:
    """Run the command with these arguments; the exit code."""
    try:
        code = app(list(arguments), prog_name="ungape", standalone_mode=False)
    except _USAGE as error:
        return _wrong(error, arguments)
    except (typer.Abort, KeyboardInterrupt):
        code = _INTERRUPTED
    except Exception as error:
        from transform.boundary import fault

        return _tell(fault(error, ""), arguments)
    if code == _INTERRUPTED and not isinstance(code, Told):
        from transform.boundary import interruption

        return _tell(interruption(), arguments)
    return code if isinstance(code, int) else 0


def _wrong(error: Any, arguments: Sequence[str]) -> int:
    """A wrong command line; where no command was given at all, the help is what is said."""
    from rules.problems import Problem

    context = error.ctx
    if context is not None and not arguments:
        sys.stderr.write(context.get_help() + "\n")
    where = context.command_path if context is not None else "ungape"
    text = f"{error.format_message()} Try `{where} --help`."
    return _tell(Problem("command line", text), arguments)


def _tell(problem: Problem, arguments: Sequence[str]) -> int:
    """Say what went wrong outside any design, in the report too."""
    from transform.command.telling import finish, outputs
    from transform.report.facts import Report

    report, junit = (next(_values(option, arguments), None) for option in ("--report", "--junit"))
    told = outputs(
        report,
        junit,
        None,
        strict=False,
        quiet=False,
        no_color="--no-color" in arguments,
        annotations=IN_WORKFLOW or "--annotations" in arguments,
    )
    return finish(Report((), (problem,)), told)


def _values(option: str, arguments: Sequence[str]) -> Iterator[Path]:
    """The values that an option is given, in a command line that could not be understood as a whole."""
    for index, argument in enumerate(arguments):
        if argument == option and index + 1 < len(arguments):
            yield Path(arguments[index + 1])
        elif argument.startswith(f"{option}="):
            yield Path(argument.partition("=")[2])
