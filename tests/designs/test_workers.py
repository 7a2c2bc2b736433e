"""Processes that do jobs for a run."""

from __future__ import annotations

import multiprocessing
import os
import signal
import time
from collections.abc import Callable, Sequence
from concurrent.futures import Future

import pytest

from transform.designs import workers as module
from transform.designs.workers import StoppedError, workers


def doubled(number: int) -> int:
    return 2 * number


def slow(number: int) -> bytes:
    time.sleep(30)
    return bytes(number)


def large(number: int) -> bytes:
    return bytes(number)


def failing(number: int) -> int:
    raise RuntimeError(f"no luck with {number}")


def test_one_needs_no_process() -> None:
    with workers(1) as pool:
        assert pool is None


def test_jobs_are_done_and_faults_come_back() -> None:
    with workers(2) as pool:
        assert pool is not None
        found = [pool.submit(doubled, number) for number in range(9)]
        bad = pool.submit(failing, 7)
        assert [each.result() for each in found] == [2 * number for number in range(9)]
        with pytest.raises(RuntimeError, match="no luck with 7"):
            bad.result()
    assert multiprocessing.active_children() == []


def _interrupted(jobs: Sequence[tuple[Callable[[int], bytes], int]], after: float) -> list[Future[bytes]]:
    """What became of the jobs of a run that was interrupted so many seconds after it began them."""
    given: list[Future[bytes]] = []
    try:
        with workers(2) as pool:
            assert pool is not None
            given += [pool.submit(work, number) for work, number in jobs]
            time.sleep(after)
            raise KeyboardInterrupt
    except KeyboardInterrupt:
        return given


@pytest.mark.skipif(os.name == "nt", reason="processes are not told to stop here")
def test_an_interrupted_run_does_not_wait_for_its_jobs() -> None:
    began = time.monotonic()
    waiting = _interrupted([(slow, 1)] * 5, 0.5)
    assert time.monotonic() - began < 15
    assert all(each.cancelled() or isinstance(each.exception(), StoppedError) for each in waiting)
    assert multiprocessing.active_children() == []


@pytest.mark.skipif(os.name == "nt", reason="processes are not told to stop here")
def test_a_result_on_its_way_is_handed_over_whole() -> None:
    for pause in (0.0, 0.01, 0.03, 0.1):
        _interrupted([(large, 5_000_000)] * 12, pause)
        assert multiprocessing.active_children() == []


@pytest.fixture
def state() -> module._State:
    module._State.working = module._State.stopped = False
    return module._State()


def test_a_worker_gives_up_its_job_and_begins_no_other(
    state: module._State, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert module._stoppable(doubled, 4) == 8
    with pytest.raises(StoppedError):
        module._stoppable(lambda _: module._stop(signal.SIGTERM, None), 4)
    with pytest.raises(StoppedError):
        module._stoppable(doubled, 4)
    module._stop()
    assert module._State.working is False
    module._State.stopped = False


def test_a_worker_answers_no_interrupt_and_ends_with_its_run(monkeypatch: pytest.MonkeyPatch) -> None:
    answers: dict[int, object] = {}
    ended: list[int] = []
    monkeypatch.setattr(module.signal, "signal", lambda number, answer: answers.update({number: answer}))
    monkeypatch.setattr(module.connection, "wait", lambda sentinels: sentinels)
    monkeypatch.setattr(module.os, "_exit", ended.append)
    module._work_for_the_run()
    assert answers == {signal.SIGINT: signal.SIG_IGN, signal.SIGTERM: module._stop}
    assert ended == []

    class Run:
        sentinel = 7

    monkeypatch.setattr(module.multiprocessing, "parent_process", Run)
    module._work_for_the_run()
    until = time.monotonic() + 5
    while not ended and time.monotonic() < until:
        time.sleep(0.01)
    assert ended == [1]
