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


class Lock:
    """A folder that is held: its handle, and the lock file where there is one."""

    def __init__(self, handle: int, file: Path | None = None) -> None:
        self._handles, self._file = [handle], file

    def also(self, folder: Path) -> bool:
        """Hold a folder that nobody else knows of as well; False where folders cannot be held themselves."""
        if self._file is not None:
            return False
        handle = _locked_handle(folder)
        if handle is not None:
            self._handles.append(handle)
        return handle is not None

    def release(self) -> None:
        """Give everything back that is held."""
        for handle in self._handles:
            os.close(handle)
        if self._file is not None:
            self._file.unlink(missing_ok=True)


@contextlib.contextmanager
def locked(folder: Path, *, patience: float = PATIENCE) -> Iterator[Lock]:
    """Hold the folder (which exists) for this run alone.

    Raises:
        UngapeError: where another run still holds it after ``patience`` seconds (exit 3).
    """
    until = time.monotonic() + patience
    while (lock := _held(folder)) is None:
        if time.monotonic() > until:
            raise UngapeError((_busy(folder),))
        time.sleep(0.05)
    try:
        yield lock
    finally:
        lock.release()


class _UnsupportedError(Exception):
    """The system cannot lock this folder itself."""


def _held(folder: Path) -> Lock | None:
    """The lock, or None while another run has it."""
    try:
        handle = _locked_handle(folder)
    except _UnsupportedError:
        return _lock_file(folder / LOCK)
    if handle is None:
        return None
    if folder.exists() and os.path.samestat(os.fstat(handle), folder.stat()):
        return Lock(handle)
    # Another run has put a new folder into the place of this one meanwhile.
    os.close(handle)
    return None


def _locked_handle(folder: Path) -> int | None:
    """A handle of the folder, locked; None where another run holds it.

    Raises:
        _UnsupportedError: where the system cannot lock it.
    """
    fcntl = _flock()
    if fcntl is None:
        raise _UnsupportedError
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        os.close(handle)
        if error.errno in (errno.EWOULDBLOCK, errno.EACCES):
            return None
        raise _UnsupportedError from error
    return handle


def _lock_file(file: Path) -> Lock | None:
    """A lock file of our own; None where another run has made it."""
    goes_with_us = getattr(os, "O_TEMPORARY", 0)
    try:
        handle = os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY | goes_with_us)
    except FileExistsError:
        return None
    os.write(handle, str(os.getpid()).encode())
    return Lock(handle, file)


def _busy(folder: Path) -> Problem:
    file = folder / LOCK
    advice = f"; where none is, delete {file}" if file.exists() else ""
    return Problem(
        kind="busy folder",
        text=f"another run of ungape is writing into this folder; wait for it to finish{advice}",
        file=str(folder),
        exit=3,
    )
