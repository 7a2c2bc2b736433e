"""Designs in their order, their sizes as jobs: each design is written as a whole or not at all."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from rules.model import Rules
from rules.problems import Problem, UngapeError
from rules.reading import read_rules
from transform.boundary import fault
from transform.designs.orders import Design, Listener, Options
from transform.doing import doing
from transform.files.output import Output, refuse_sources
from transform.files.patterns import find_patterns
from transform.report.facts import DesignFacts

if TYPE_CHECKING:
    from transform.designs.pool import Pool
    from transform.designs.reissue import Begun

_Result = TypeVar("_Result")
_AHEAD = 2
"""So many jobs for each of the pool's hands are with it beyond those of the design that is waited for."""


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


def run(
    designs: Sequence[Design | DesignFacts],
    options: Options,
    pool: Pool | None = None,
    listener: Listener | None = None,
) -> Iterator[DesignFacts]:
    """The designs, read, altered, judged, and written or compared, one after the other.

    What is wrong with a design is in its facts. While one is waited for and written, ``pool`` has the jobs of
    those after it.
    """
    listener = listener or Listener()
    several = sum(isinstance(design, Design) for design in designs) > 1
    coming, under_way = deque(designs), deque[_UnderWay]()
    for each in designs:
        if isinstance(each, Design):
            listener.begun(each.rules.design or each.path.name)
        while coming and _in_time(coming[0], under_way, pool):
            under_way.append(_set_out(coming.popleft(), options, pool, listener, several=several))
        yield under_way.popleft().finish()


@dataclass(frozen=True)
class _UnderWay:
    """A design that was begun: how many jobs it has, what will be written for it, and what ends it."""

    jobs: int
    written: tuple[Path, ...]
    finish: Callable[[], DesignFacts]


def _in_time(design: Design | DesignFacts, under_way: Sequence[_UnderWay], pool: Pool | None) -> bool:
    """Whether a design is to be begun now: not so early that the files of many lie in memory for nothing.

    One that reads what another writes waits until that is written, as it would without a pool.
    """
    if not under_way or isinstance(design, DesignFacts):
        return True
    # While the first is waited for and written, those behind it keep the pool busy.
    if pool is None or sum(each.jobs for each in under_way) - under_way[0].jobs >= _AHEAD * pool.hands:
        return False
    written = {path.resolve() for each in under_way for path in each.written}
    return not any(file.path.resolve() in written for file in design.files)


def _set_out(
    design: Design | DesignFacts, options: Options, pool: Pool | None, listener: Listener, *, several: bool
) -> _UnderWay:
    if isinstance(design, DesignFacts):
        return _UnderWay(0, (), lambda: design)

    def work() -> Begun:
        # What reads and alters patterns takes a while to load, and who has made a slip in the rules needs
        # none of it.
        from transform.designs.one_design import set_out

        return set_out(design, options, pool, several=several)

    begun = _carried_out(design, work)
    if isinstance(begun, DesignFacts):
        return _UnderWay(0, (), lambda: begun)

    def finish() -> DesignFacts:
        from transform.designs.one_design import carry_out

        return _carried_out(design, lambda: carry_out(design, begun, options, listener))

    return _UnderWay(begun.jobs, tuple(design.written), finish)


def _carried_out(design: Design, work: Callable[[], _Result]) -> _Result | DesignFacts:
    """The result of ``work`` on a design, or its facts where something is wrong with it."""
    found = _guarded(design.path, design.rules, work)
    if not isinstance(found, DesignFacts):
        return found
    return replace(found, problems=tuple(_below(design.output, problem) for problem in found.problems))


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
    except OSError as error:
        return _failed(path, rules, (_refused(error),))
    except Exception as error:
        return _failed(path, rules, (fault(error, str(path)),))


def _refused(error: OSError) -> Problem:
    """The problem of a file or folder that the system does not let be looked at."""
    what = error.filename or "a file or a folder"
    text = f"{what} cannot be looked at: {error.strerror or error}; nothing of this design was written"
    return Problem("unreadable file", text, exit=3)


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
