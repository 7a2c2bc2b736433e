"""The outermost boundary: whatever happens, there is an exit code, a line for the person, and a report."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import typer

_USAGE: Any = typer.BadParameter.__mro__[1]
"""What is raised for a wrong command line; its place in the library differs between versions."""


def run_guarded(app: typer.Typer, arguments: Sequence[str]) -> int:
    """Run the command with these arguments; the exit code."""
    try:
        code = app(list(arguments), prog_name="ungape", standalone_mode=False)
        sys.stdout.flush()
    except _USAGE as error:
        return _wrong(error, arguments)
    except typer.Exit as error:
        return error.exit_code
    except (typer.Abort, KeyboardInterrupt):
        from transform.boundary import interruption

        return _tell(interruption(), arguments)
    except BrokenPipeError:
        # Who read our output has seen enough. Nothing more can be printed, not even at the very end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        from transform.boundary import fault

        return _tell(fault(error, ""), arguments)
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


def _tell(problem: Any, arguments: Sequence[str]) -> int:
    """Say what went wrong outside any design, in the report too."""
    from transform.report.facts import Report
    from transform.running import finish, outputs

    named = {option: next(iter(_values(option, arguments)), None) for option in ("--report", "--junit")}
    told = outputs(
        named["--report"],
        named["--junit"],
        strict=False,
        quiet=False,
        no_color="--no-color" in arguments,
    )
    return finish(Report((), (problem,)), told)


def _values(option: str, arguments: Sequence[str]) -> Iterator[Path]:
    """The values that an option is given, in a command line that could not be understood as a whole."""
    for index, argument in enumerate(arguments):
        if argument == option and index + 1 < len(arguments):
            yield Path(arguments[index + 1])
        elif argument.startswith(f"{option}="):
            yield Path(argument.partition("=")[2])
