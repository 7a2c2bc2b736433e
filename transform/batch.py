"""Designs, one after the other, their sizes as jobs: each design is written as a whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from rules.model import Rules
from rules.problems import Problem, UngapeError
from rules.reading import read_rules
from transform.boundary import fault
from transform.doing import doing
from transform.files.output import Output, refuse_sources
from transform.files.patterns import find_patterns
from transform.orders import Design, Listener, Options
from transform.report.facts import DesignFacts

if TYPE_CHECKING:
    from transform.pool import Pool

_Result = TypeVar("_Result")


def prepare(paths: Sequence[Path], options: Options) -> list[Design | DesignFacts]:
    """Every design as far as its rules and the names of its files go; where something is wrong, the facts.

    Two designs that would write one file are both refused.
    """
    found = [_guarded(path, None, partial(_prepared, path, options)) for path in paths]
    clashes = _clashes([design for design in found if isinstance(design, Design)])
    return [
        _failed(design.path, design.rules, (clashes[design.path],))
        if isinstance(design, Design) and design.path in clashes
        else design
        for design in found
    ]


def run(design: Design, options: Options, pool: Pool | None, listener: Listener) -> DesignFacts:
    """One design, read, altered, judged, and written or compared; what is wrong with it is in the result."""
    listener.begun(design.rules.design or design.path.name)

    def work() -> DesignFacts:
        # What reads and alters patterns takes a while to load, and who has made a slip in the rules needs
        # none of it.
        from transform.one_design import carry_out

        return carry_out(design, options, pool, listener)

    found = _guarded(design.path, design.rules, work)
    return replace(found, problems=tuple(_below(design.output, problem) for problem in found.problems))


def run_design(path: Path, options: Options) -> DesignFacts:
    """One design by itself, from its rules file on."""
    (design,) = prepare([path], options)
    return run(design, options, None, Listener()) if isinstance(design, Design) else design


def _prepared(path: Path, options: Options) -> Design:
    try:
        rules = read_rules(path)
    except OSError as error:
        what = f"the file cannot be read: {error.strerror or error}"
        raise UngapeError((Problem("no rules", what, str(path)),)) from None
    out = options.out if options.out is not None else path.parent / rules.out
    output = Output(out, path)
    try:
        files = find_patterns(rules, out=out)
        refuse_sources(output, files)
    except OSError as error:
        what = f"`patterns` or `out` names a place that cannot be looked at: {error.strerror or error}"
        raise UngapeError((Problem("unreadable file", what, str(path), exit=3),)) from None
    return Design(path, rules, tuple(files), output)


def _guarded(path: Path, rules: Rules | None, work: Callable[[], _Result]) -> _Result | DesignFacts:
    """The result of ``work``, or the facts of a design with which something is wrong."""
    try:
        with doing("working on", str(path)):
            return work()
    except UngapeError as error:
        return _failed(path, rules, error.problems)
    except Exception as error:
        return _failed(path, rules, (fault(error, str(path)),))


def _failed(path: Path, rules: Rules | None, problems: Sequence[Problem]) -> DesignFacts:
    return DesignFacts(
        path.name,
        rules.design if rules is not None else "",
        rules.units if rules is not None else "mm",
        problems=tuple(_beside(path, problem) for problem in problems),
        folder=path.parent,
    )


def _beside(path: Path, problem: Problem) -> Problem:
    """The problem with its file relative to the rules file."""
    return replace(problem, file=path.name) if problem.file in ("", str(path)) else problem


def _below(output: Output, problem: Problem) -> Problem:
    """The problem with its file, where that stands in the output folder, relative to the rules file."""
    file = Path(problem.file)
    inside = problem.file and file.is_relative_to(output.out)
    return replace(problem, file=output.shown(str(file.relative_to(output.out)))) if inside else problem


def _clashes(designs: Sequence[Design]) -> dict[Path, Problem]:
    """Designs that would write a file which another would write too."""
    writers: dict[Path, list[Design]] = {}
    for design in designs:
        for file in design.files:
            writers.setdefault((design.output.out / file.target).resolve(), []).append(design)
    found: dict[Path, Problem] = {}
    for target, each in writers.items():
        for design in each if len(each) > 1 else ():
            others = ", ".join(str(other.path) for other in each if other is not design)
            text = f"{others} would write {target} too; give one of the designs another `out`"
            found.setdefault(design.path, Problem("two designs, one file", text, str(design.path)))
    return found
