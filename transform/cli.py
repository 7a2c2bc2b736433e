"""Commands, options, exit codes. No logic: what is heavy is imported by the command that needs it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from rich.console import Console

    from transform.report.facts import Report

app = typer.Typer(
    help="Closes gaping necklines and armholes in graded SVG sewing patterns, the whole set at once.",
    epilog="Make a toile before cutting good cloth. Check the printed test square.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)

RulesFiles = Annotated[
    list[Path] | None, typer.Argument(metavar="[RULES]...", help="Rules files, or folders with *.gape.yaml.")
]
Out = Annotated[Path | None, typer.Option("--out", help="Folder for the altered files, instead of `out`.")]
Sizes = Annotated[list[str] | None, typer.Option("--size", help="Only this size; may be given again.")]
Jobs = Annotated[int, typer.Option("--jobs", min=1, help="Designs done at once.")]
ReportFile = Annotated[Path | None, typer.Option("--report", help="Write the report (JSON) to this file.")]
JunitFile = Annotated[Path | None, typer.Option("--junit", help="Write a JUnit report to this file.")]
Strict = Annotated[bool, typer.Option("--strict", help="Notices that nobody accepted count as problems.")]
Quiet = Annotated[bool, typer.Option("--quiet", help="Problems only.")]
NoColor = Annotated[bool, typer.Option("--no-color", help="No colour.")]


@app.command()
def apply(
    rules: RulesFiles = None,
    out: Out = None,
    size: Sizes = None,
    jobs: Jobs = 1,
    report: ReportFile = None,
    junit: JunitFile = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Write nothing; report only.")] = False,
    replace: Annotated[
        bool, typer.Option("--replace", help="Overwrite files in `out` that are not ours.")
    ] = False,
    strict: Strict = False,
    quiet: Quiet = False,
    no_color: NoColor = False,
) -> None:
    """Write the altered files."""
    from transform.batch import Options

    options = Options(True, out, tuple(size or ()), dry_run, replace)
    _run(rules, options, jobs, report, junit, strict, quiet, no_color)


@app.command()
def check(
    rules: RulesFiles = None,
    out: Out = None,
    size: Sizes = None,
    jobs: Jobs = 1,
    report: ReportFile = None,
    junit: JunitFile = None,
    strict: Strict = False,
    quiet: Quiet = False,
    no_color: NoColor = False,
) -> None:
    """Write nothing: say whether rules are sound, seams hold, and the files in `out` are up to date."""
    from transform.batch import Options

    options = Options(False, out, tuple(size or ()))
    _run(rules, options, jobs, report, junit, strict, quiet, no_color)


@app.command()
def schema() -> None:
    """Print the JSON Schema of the rules."""
    import json

    from rules.schema import schema as rules_schema

    typer.echo(json.dumps(rules_schema(), indent=1, ensure_ascii=False))


def _run(
    rules: list[Path] | None,
    options: object,
    jobs: int,
    report_file: Path | None,
    junit_file: Path | None,
    strict: bool,
    quiet: bool,
    no_color: bool,
) -> None:
    from dataclasses import replace as with_values

    from rules.problems import UngapeError
    from transform.batch import Options, run_all
    from transform.files.patterns import find_rules
    from transform.report.facts import Report
    from transform.report.json_report import report_text
    from transform.report.terminal import show

    assert isinstance(options, Options)
    console = _console(no_color)
    found: Report
    try:
        paths = find_rules(rules or [Path()])
        found = Report(run_all(paths, options, jobs, lambda count: None), (), strict)
    except UngapeError as error:
        found = Report((), error.problems, strict)
    show(with_values(found), console, quiet=quiet)
    if report_file is not None:
        report_file.write_text(report_text(found), "utf-8")
    sys.exit(found.exit)


def _console(no_color: bool) -> Console:
    from rich.console import Console

    return Console(stderr=True, no_color=no_color or None, highlight=False, soft_wrap=False)


def main() -> None:
    """The command."""
    app()
