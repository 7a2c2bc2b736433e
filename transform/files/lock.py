"""One run at a time writes into a folder.

Where the system can lock a folder itself (`fcntl.flock`), nothing is left behind, even by a run that is
killed. Elsewhere a lock file stands in the folder while a run writes; where the system knows temporary
files it goes with the run.
"""

from __future__ import annotations

import contextlib
import errno
import importlib
import os
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from rules.problems import Problem, UngapeError

LOCK = ".ungape-lock"
"""The lock file, where the folder itself cannot be locked."""

PATIENCE = 10.0
"""How long to wait for another run to finish writing, s."""


def _flock() -> Any:
    """The module `fcntl`, None on systems without it."""
    try:
        return importlib.import_module("fcntl")
    except ImportError:
        return None


@contextlib.contextmanager
def locked(folder: Path, *, patience: float = PATIENCE) -> Iterator[None]:
    """Hold the folder (which exists) for this run alone.

    Raises:
        UngapeError: where another run still holds it after ``patience`` seconds (exit 3).
    """
    until = time.monotonic() + patience
    while (release := _held(folder)) is None:
        if time.monotonic() > until:
            raise UngapeError((_busy(folder),))
        time.sleep(0.05)
    try:
        yield
    finally:
        release()


class _Release:
    """Gives a lock back: closes its handle, and removes its file where it has one."""

    def __init__(self, handle: int, file: Path | None = None) -> None:
        self.handle, self.file = handle, file

    def __call__(self) -> None:
        os.close(self.handle)
        if self.file is not None:
            self.file.unlink(missing_ok=True)


def _held(folder: Path) -> _Release | None:
    """The lock, or None while another run has it."""
    fcntl = _flock()
    if fcntl is not None:
        handle = os.open(folder, os.O_RDONLY)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            os.close(handle)
            if error.errno in (errno.EWOULDBLOCK, errno.EACCES):
                return None
        else:
            return _Release(handle)
    return _lock_file(folder / LOCK)


def _lock_file(file: Path) -> _Release | None:
    """A lock file of our own; None where another run has made it."""
    goes_with_us = getattr(os, "O_TEMPORARY", 0)
    try:
        handle = os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY | goes_with_us)
    except FileExistsError:
        return None
    os.write(handle, str(os.getpid()).encode())
    return _Release(handle, file)


def _busy(folder: Path) -> Problem:
    file = folder / LOCK
    advice = f"; where none is, delete {file}" if file.exists() else ""
    return Problem(
        kind="busy folder",
        text=f"another run of ungape is writing into this folder; wait for it to finish{advice}",
        file=str(folder),
        exit=3,
    )
