"""What is being done to which file, remembered by a fault that nobody expected."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from rules.problems import UngapeError


@contextlib.contextmanager
def doing(what: str, file: str = "") -> Iterator[None]:
    """While this runs, an unexpected fault is one of doing ``what`` to ``file``; the innermost counts."""
    try:
        yield
    except UngapeError:
        raise
    except Exception as error:
        if not getattr(error, "__notes__", None):
            error.add_note(f"{what} {file}".strip())
        raise


def was_doing(error: BaseException) -> str:
    """What was being done when ``error`` was raised, empty where nobody said."""
    notes: list[str] = getattr(error, "__notes__", [])
    return notes[0] if notes else ""
