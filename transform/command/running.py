"""One run of `apply` or `check`: from what the command line says to what was told, written and returned."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING

from rich.markup import escape

from rules.problems import Problem, UngapeError
from transform.boundary import interruption
from transform.command.stdout import put_out
from transform.command.telling import Outputs, finish, unfit
from transform.designs.batch import prepare, run
from transform.designs.orders import Design, Listener, Options
from transform.files.patterns import find_rules
from transform.interrupts import let_through
from transform.report.facts import DesignFacts, Report
from transform.report.terminal import plain

if TYPE_CHECKING:
    from transform.designs.pool import Pool

MANY_FILES = 24
"""From so many pattern files on, sizes are done at once without being asked."""


def run_designs(
    places: Sequence[Path], options: Options, jobs: int | None, outputs: Outputs, scheduler: str | None = None
) -> int:
    """Do what was asked, tell it, and write the reports; the exit code.

    Jobs are done by ``jobs`` processes, or by the cluster whose ``scheduler`` has this address.
    """
    if unfit(outputs):
        return finish(Report((), (), outputs.strict), outputs)
    done: list[DesignFacts] = []
    problems: list[Problem] = []
    read: list[Path] = []
    try:
        let_through()
        paths, missing = find_rules(places or [Path()])
        problems.extend(missing)
        read.extend(paths)
        designs = prepare(paths, options)
        read.extend(path for each in designs if isinstance(each, Design) for path in each.touched)
        with _pool(_workers(jobs, designs), scheduler) as pool, _listener(outputs, designs) as listener:
            # One by one, so that what is done when the run is interrupted is reported.
            for each in run(designs, options, pool, listener):
                done.append(each)
                let_through()
    except UngapeError as error:
        problems.extend(error.problems)
    except KeyboardInterrupt:
        problems.append(interruption())
    report = Report(tuple(done), tuple(problems), outputs.strict)
    return finish(report, outputs, read)


def _pool(count: int, scheduler: str | None) -> AbstractContextManager[Pool | None]:
    """The cluster, or so many processes; for one there are none: the run does the job itself."""
    if scheduler is not None:
        from transform.designs.cluster import cluster

        return cluster(scheduler)
    if count <= 1:
        return contextlib.nullcontext()
    # Only who has several jobs done at once waits until what that takes is loaded.
    from transform.designs.workers import workers

    return workers(count)


def _workers(jobs: int | None, designs: Sequence[Design | DesignFacts]) -> int:
    """How many jobs are done at once: as many as asked for; else one, or for many files one for each core."""
    if jobs is not None:
        return jobs
    files = sum(len(design.files) for design in designs if isinstance(design, Design))
    return (os.cpu_count() or 1) if files >= MANY_FILES else 1


@contextlib.contextmanager
def _listener(outputs: Outputs, designs: Sequence[Design | DesignFacts]) -> Iterator[Listener]:
    """Who is told of the progress: a line on a terminal that goes when all is done, else nobody."""

    def lines(line: str) -> None:
        put_out(f"{line}\n")

    count = sum(1 for design in designs if isinstance(design, Design))
    silent = outputs.quiet or not outputs.console.is_terminal or outputs.console.is_dumb_terminal
    if silent or not count:
        yield Listener(differs=lines)
        return
    begun: list[str] = []
    jobs: list[int] = []
    with outputs.console.status("") as status:

        def begin(name: str) -> None:
            begun.append(name)
            jobs.clear()
            tell()

        def advance() -> None:
            jobs.append(1)
            tell()

        def tell() -> None:
            name = escape(plain(begun[-1]))
            done = f": {len(jobs)} part{'s' if len(jobs) > 1 else ''} done" if jobs else ""
            status.update(f"{name}, design {len(begun)} of {count}{done}")

        yield Listener(begin, advance, lines)
