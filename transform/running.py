"""One run of `apply` or `check`: from what the command line says to what was told, written and returned."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.markup import escape

from rules.problems import Problem
from transform.batch import Design, Listener, Options, prepare, run
from transform.boundary import interruption
from transform.files.patterns import find_rules
from transform.report.facts import DesignFacts, Report
from transform.report.json_report import report_text
from transform.report.junit import junit_text
from transform.report.terminal import console_for, plain, show

MANY_FILES = 24
"""From so many pattern files on, sizes are done at once without being asked."""


@dataclass(frozen=True)
class Outputs:
    """How a run tells what it has to tell."""

    console: Console
    quiet: bool = False
    strict: bool = False
    write: tuple[tuple[Path, Callable[[Report], str]], ...] = ()
    """Files to write, each with what makes its text of the report."""


def outputs(report: Path | None, junit: Path | None, *, strict: bool, quiet: bool, no_color: bool) -> Outputs:
    """The outputs that the command line asks for."""
    asked = ((report, report_text), (junit, junit_text))
    write = tuple((path, text) for path, text in asked if path is not None)
    return Outputs(console_for(no_color=no_color), quiet, strict, write)


def run_designs(places: Sequence[Path], options: Options, jobs: int | None, outputs: Outputs) -> int:
    """Do what was asked, tell it, and write the reports; the exit code."""
    done: list[DesignFacts] = []
    problems: list[Problem] = []
    read: list[Path] = []
    try:
        paths, missing = find_rules(places or [Path()])
        problems.extend(missing)
        read.extend(paths)
        designs = prepare(paths, options)
        read.extend(f.path for each in designs if isinstance(each, Design) for f in each.files)
        with _pool(_workers(jobs, designs)) as pool, _listener(outputs, designs, options) as listener:
            # One by one, so that what is done when the run is interrupted is reported.
            done.extend(
                run(each, options, pool, listener) if isinstance(each, Design) else each for each in designs
            )
    except KeyboardInterrupt:
        problems.append(interruption())
    report = Report(tuple(done), tuple(problems), outputs.strict)
    return finish(report, outputs, read)


def finish(report: Report, outputs: Outputs, read: Sequence[Path] = ()) -> int:
    """Tell the report and write the files that were asked for; the exit code.

    A file that was ``read`` is never written.
    """
    refused: list[Problem] = []
    for path, text in outputs.write:
        problem = _write(path, text(report), read)
        if problem is not None:
            refused.append(problem)
    report = Report(report.designs, (*report.problems, *refused), report.strict)
    show(report, outputs.console, quiet=outputs.quiet)
    return report.exit


def _write(path: Path, text: str, read: Sequence[Path]) -> Problem | None:
    if any(path.exists() and each.exists() and path.samefile(each) for each in read):
        return Problem("report over source", "this file was read, and is not overwritten", str(path))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8", newline="\n")
    except OSError as error:
        return Problem(
            "cannot write", f"the report could not be written: {error.strerror}", str(path), exit=3
        )
    return None


def _workers(jobs: int | None, designs: Sequence[Design | DesignFacts]) -> int:
    """How many jobs are done at once: as many as asked for; else one, or for many files one for each core."""
    if jobs is not None:
        return jobs
    files = sum(len(design.files) for design in designs if isinstance(design, Design))
    return (os.cpu_count() or 1) if files >= MANY_FILES else 1


@contextlib.contextmanager
def _pool(workers: int) -> Iterator[Executor | None]:
    """A pool of so many processes, None for one; when interrupted nothing is waited for."""
    if workers <= 1:
        yield None
        return
    pool = ProcessPoolExecutor(workers, initializer=_leave_interrupts_to_us)
    try:
        yield pool
    except BaseException:
        for process in multiprocessing.active_children():
            process.terminate()
        raise
    finally:
        pool.shutdown(cancel_futures=True)


def _leave_interrupts_to_us() -> None:
    """In a worker: it is the run that answers an interrupt, and ends its workers."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextlib.contextmanager
def _listener(
    outputs: Outputs, designs: Sequence[Design | DesignFacts], options: Options
) -> Iterator[Listener]:
    """Who is told of the progress: a line on a terminal that goes when all is done, else nobody."""
    lines = print if options.diff else lambda line: None
    if outputs.quiet or not outputs.console.is_terminal or outputs.console.is_dumb_terminal:
        yield Listener(differs=lines)
        return
    count = sum(1 for design in designs if isinstance(design, Design))
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
            status.update(f"{escape(plain(begun[-1]))} ({len(begun)} of {count}): {len(jobs)} jobs done")

        yield Listener(begin, advance, lines)
