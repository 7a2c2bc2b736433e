"""One run at a time writes into a folder."""

from __future__ import annotations

import os
import threading
import time
from pathlib import Path

import pytest

from rules.problems import UngapeError
from transform.files import lock
from transform.files.lock import LOCK, locked


@pytest.fixture(params=["folder", "file", "folder without locks"])
def kind(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if request.param == "file":
        monkeypatch.setattr(lock, "_flock", lambda: None)
    elif request.param == "folder without locks":

        class Refusing:
            LOCK_EX = LOCK_NB = 0

            @staticmethod
            def flock(handle: int, how: int) -> None:
                raise OSError(95, "not supported")

        monkeypatch.setattr(lock, "_flock", lambda: Refusing)
    return str(request.param)


def test_a_second_run_is_told_to_wait(kind: str, tmp_path: Path) -> None:
    with locked(tmp_path):
        with pytest.raises(UngapeError) as caught, locked(tmp_path, patience=0.1):
            pytest.fail("held twice")
        (problem,) = caught.value.problems
        assert (problem.kind, problem.exit) == ("busy folder", 3)
        assert (LOCK in problem.text) == (kind != "folder")
    with locked(tmp_path, patience=0.1):
        pass
    assert list(tmp_path.iterdir()) == []


def test_it_waits_for_the_other_to_finish(kind: str, tmp_path: Path) -> None:
    order: list[str] = []

    def second() -> None:
        with locked(tmp_path):
            order.append("second")

    with locked(tmp_path):
        thread = threading.Thread(target=second)
        thread.start()
        time.sleep(0.15)
        order.append("first")
    thread.join()
    assert order == ["first", "second"]


def test_it_is_given_back_when_something_goes_wrong(kind: str, tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), locked(tmp_path):
        raise ZeroDivisionError
    with locked(tmp_path, patience=0.1):
        pass


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be split here")
def test_a_killed_run_holds_nothing(tmp_path: Path) -> None:
    child = os.fork()
    if child == 0:
        with locked(tmp_path):
            os._exit(9)
    os.waitpid(child, 0)
    with locked(tmp_path, patience=0.1):
        pass


def test_without_folder_locks_the_module_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> None:
        raise ImportError(name)

    monkeypatch.setattr(lock.importlib, "import_module", missing)
    assert lock._flock() is None
