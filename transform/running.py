"""One run of `apply` or `check`: from what the command line says to what was told, written and returned."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from multiprocessing import connection
from pathlib import Path

from rich.markup import escape

from rules.problems import Problem
from transform.batch import Design, Listener, Options, prepare, run
from transform.boundary import interruption
from transform.files.patterns import find_rules
from transform.report.facts import DesignFacts, Report
from transform.report.terminal import plain
from transform.telling import Outputs, finish

MANY_FILES = 24
"""From so many pattern files on, sizes are done at once without being asked."""


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
    pool = ProcessPoolExecutor(workers, initializer=_work_for_the_run)
    try:
        yield pool
    except BaseException:
        for process in multiprocessing.active_children():
            process.terminate()
        raise
    finally:
        pool.shutdown(cancel_futures=True)


def _work_for_the_run() -> None:
    """In a worker: it is the run that answers an interrupt, and a worker ends when its run is killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    run = multiprocessing.parent_process()
    if run is not None:
        threading.Thread(target=_end_with, args=(run.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    connection.wait([sentinel])
    os._exit(1)


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
