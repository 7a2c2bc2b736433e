"""Processes that do jobs for a run, and stop when the run does.

A worker that is told to stop gives up its job, but never while it hands over a result: the run would wait
for the rest of it for ever.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing import connection
from typing import TypeVar

_Job = TypeVar("_Job")
_Result = TypeVar("_Result")


class StoppedError(Exception):
    """The run has told its workers to stop."""


class Workers:
    """So many processes to which jobs can be given."""

    def __init__(self, count: int) -> None:
        """``count`` processes are begun when the first jobs come."""
        self.hands = count
        self._pool = ProcessPoolExecutor(count, initializer=_work_for_the_run)

    def submit(self, work: Callable[[_Job], _Result], job: _Job) -> Future[_Result]:
        """The result of ``work(job)``, to come; both are pickled on the way."""
        return self._pool.submit(_stoppable, work, job)

    def end(self, *, stop: bool) -> None:
        """Wait until nobody works any more; with ``stop`` no job is done to its end."""
        if stop and os.name != "nt":
            for process in multiprocessing.active_children():
                process.terminate()
        self._pool.shutdown(cancel_futures=True)


@contextlib.contextmanager
def workers(count: int) -> Iterator[Workers | None]:
    """So many workers for as long as this runs; for one there are none: the run does the job itself."""
    if count <= 1:
        yield None
        return
    found = Workers(count)
    try:
        yield found
    except BaseException:
        found.end(stop=True)
        raise
    found.end(stop=False)


class _State:
    """What a worker process is about."""

    working = False
    stopped = False


def _stoppable(work: Callable[[_Job], _Result], job: _Job) -> _Result:
    _State.working = True
    try:
        if _State.stopped:
            raise StoppedError
        return work(job)
    finally:
        _State.working = False


def _stop(*_: object) -> None:
    _State.stopped = True
    if _State.working:
        raise StoppedError


def _work_for_the_run() -> None:
    """In a worker: it is the run that answers an interrupt, and a worker ends when its run is killed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _stop)
    run = multiprocessing.parent_process()
    if run is not None:
        threading.Thread(target=_end_with, args=(run.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    connection.wait([sentinel])
    os._exit(1)
