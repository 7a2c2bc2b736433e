"""Commands, options, exit codes. No logic: what is heavy is imported by the command that needs it."""

from __future__ import annotations

import signal
import sys
from pathlib import Path
from typing import Annotated

import typer

from transform.command.entry import IN_WORKFLOW, Told, run_guarded

app = typer.Typer(
    help="Closes gaping necklines and armholes in graded SVG sewing patterns, the whole set at once.",
    epilog="Exit codes: 0 all well, 1 something needs a person, 2 rules or command line wrong, "
    "3 pattern missing or unfit, 4 a result failed its own check, 70 unexpected fault, 130 interrupted.",
    no_args_is_help=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def _sizes(context: typer.Context, incomplete: str) -> list[str]:
    """The sizes that the shell offers."""
    from transform.command.completing import known_sizes

    # While the shell asks, what stands by itself is not sorted into parameters yet.
    places = [Path(place) for place in (*(context.params.get("rules") or ()), *context.args)]
    return [size for size in known_sizes(places) if size.startswith(incomplete)]


RulesFiles = Annotated[
    list[Path] | None,
    typer.Argument(
        metavar="RULES…", readable=False, help="Rules files, or folders searched for *.gape.yaml."
    ),
]
Drawings = Annotated[list[Path], typer.Argument(metavar="SVG…", readable=False, help="Pattern files.")]
Out = Annotated[Path | None, typer.Option("--out", help="Folder for the altered files, instead of `out`.")]
Sizes = Annotated[
    list[str] | None,
    typer.Option("--size", metavar="NAME", help="Only this size; may be given again.", autocompletion=_sizes),
]
Jobs = Annotated[
    int | None, typer.Option("--jobs", min=1, metavar="N", help="How many sizes or designs are done at once.")
]
Scheduler = Annotated[
    str | None,
    typer.Option("--scheduler", metavar="ADDRESS", help="The work is done by this dask.distributed cluster."),
]
ReportFile = Annotated[Path | None, typer.Option("--report", help="Write the report (JSON) to this file.")]
JunitFile = Annotated[Path | None, typer.Option("--junit", help="Write a JUnit report to this file.")]
DryRun = Annotated[bool, typer.Option("--dry-run", help="Write no pattern; say what would be done.")]
Replace = Annotated[
    bool, typer.Option("--replace", help="Overwrite files in `out` that ungape did not write.")
]
ProofFile = Annotated[Path | None, typer.Option("--proof", help="Write a proof sheet (HTML) to this file.")]
Strict = Annotated[bool, typer.Option("--strict", help="Notices that nobody accepted count as problems.")]
Quiet = Annotated[bool, typer.Option("--quiet", help="Problems only.")]
Annotations = Annotated[
    bool,
    typer.Option(
        "--annotations/--no-annotations",
        help="Say findings as workflow commands too; left out, where GITHUB_ACTIONS is `true`.",
    ),
]
NoColor = Annotated[bool, typer.Option("--no-color", help="No colour.")]


def _say_version(asked: bool) -> None:
    if asked:
        from transform.versions import versions_text

        typer.echo(versions_text(), nl=False)
        raise typer.Exit


@app.callback()
def every_command(
    version: Annotated[
        bool,
        typer.Option(
            "--version", is_eager=True, callback=_say_version, help="Print the versions that results hang on."
        ),
    ] = False,
) -> None:
    """Options that stand before a command."""


@app.command(
    epilog="Examples:\n\n\b\n"
    "  ungape apply                                   every *.gape.yaml here and below\n"
    "  ungape apply summer.gape.yaml --size 12        one size of one design\n"
    "  ungape apply --dry-run --proof sheet.html      look before anything is written"
)
def apply(
    rules: RulesFiles = None,
    out: Out = None,
    size: Sizes = None,
    jobs: Jobs = None,
    scheduler: Scheduler = None,
    report: ReportFile = None,
    junit: JunitFile = None,
    proof: ProofFile = None,
    dry_run: DryRun = False,
    replace: Replace = False,
    strict: Strict = False,
    quiet: Quiet = False,
    annotations: Annotations = IN_WORKFLOW,
    no_color: NoColor = False,
) -> Told:
    """Write the altered files."""
    from transform.command.running import run_designs
    from transform.command.telling import outputs
    from transform.designs.orders import Options

    options = Options(True, out, tuple(size or ()), dry_run, replace, proof=proof is not None)
    told = outputs(
        report, junit, proof, strict=strict, quiet=quiet, no_color=no_color, annotations=annotations
    )
    return Told(run_designs(rules or [], options, jobs, told, scheduler))


@app.command(
    epilog="Examples:\n\n\b\n"
    "  ungape check                                   are all altered files up to date?\n"
    "  ungape check --strict --junit checks.xml       for a server that watches a repository\n"
    "  ungape check summer.gape.yaml --diff           what would be written otherwise"
)
def check(
    rules: RulesFiles = None,
    out: Out = None,
    size: Sizes = None,
    jobs: Jobs = None,
    scheduler: Scheduler = None,
    report: ReportFile = None,
    junit: JunitFile = None,
    proof: ProofFile = None,
    diff: Annotated[bool, typer.Option("--diff", help="Print which commands of which path differ.")] = False,
    strict: Strict = False,
    quiet: Quiet = False,
    annotations: Annotations = IN_WORKFLOW,
    no_color: NoColor = False,
) -> Told:
    """Write nothing: say whether the rules are sound, the seams hold, and the files are up to date."""
    from transform.command.running import run_designs
    from transform.command.telling import outputs
    from transform.designs.orders import Options

    options = Options(False, out, tuple(size or ()), diff=diff, proof=proof is not None)
    told = outputs(
        report, junit, proof, strict=strict, quiet=quiet, no_color=no_color, annotations=annotations
    )
    return Told(run_designs(rules or [], options, jobs, told, scheduler))


@app.command(
    epilog="Examples:\n\n\b\n"
    "  ungape inspect bodice-12.svg\n"
    "  ungape inspect --rules summer.gape.yaml bodice-*.svg"
)
def inspect(
    svg: Drawings,
    rules: Annotated[Path | None, typer.Option("--rules", help="Read the files under these rules.")] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    no_color: NoColor = False,
) -> Told:
    """List sizes, pieces, edges, corners, darts, marks; what could not be placed, and why."""
    from transform.command.looking import print_contents

    return Told(print_contents(svg, rules, as_json=json, no_color=no_color))


@app.command(epilog="Example:\n\n\b\n  ungape start bodice-*.svg > bodice.gape.yaml")
def start(svg: Drawings, no_color: NoColor = False) -> Told:
    """Print a rules file to fill in, for what these files hold."""
    from transform.command.looking import print_beginning

    return Told(print_beginning(svg, no_color=no_color))


@app.command(
    epilog="Examples:\n\n\b\n"
    "  ungape schema > rules.schema.json\n"
    "  ungape schema --report > report.schema.json"
)
def schema(
    report: Annotated[bool, typer.Option("--report", help="That of the report instead.")] = False,
) -> None:
    """Print the JSON Schema of the rules."""
    import json

    from transform.command.stdout import put_out

    if report:
        from transform.report.json_schema import schema as described
    else:
        from rules.schema import schema as described

    put_out(json.dumps(described(), indent=1, ensure_ascii=False) + "\n")


def main() -> None:
    """The command, with its exit code; an interrupt that comes when all is done changes nothing."""
    code = run_guarded(app, sys.argv[1:])
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    sys.exit(code)
