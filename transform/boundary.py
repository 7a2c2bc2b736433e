"""The error boundary: a fault that nobody expected is one line for the person; its trace goes to a file."""

from __future__ import annotations

import os
import tempfile
import traceback

from rules.problems import Problem
from transform.doing import was_doing

FAULT, INTERRUPTED = 70, 130


def fault(error: BaseException, file: str) -> Problem:
    """An unexpected fault as a problem of ``file`` (exit 70); its full trace is put into a temporary file."""
    what = was_doing(error) or "running"
    kind = type(error).__name__
    text = (
        f"an unexpected fault while {what}: {kind}: {_first_line(error)}; "
        f"nothing of this design was written; {_trace(error)}"
    )
    return Problem("unexpected fault", text, file, exit=FAULT)


def interruption(file: str = "") -> Problem:
    """The problem of a run that was interrupted (exit 130)."""
    text = "the run was interrupted; what is not reported as written was not written"
    return Problem("interrupted", text, file, exit=INTERRUPTED)


def _first_line(error: BaseException) -> str:
    return (str(error).splitlines() or ["no message"])[0][:200]


def _trace(error: BaseException) -> str:
    """Where the trace was put."""
    try:
        handle, name = tempfile.mkstemp(prefix="ungape-fault-", suffix=".txt")
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as stream:
            stream.writelines(traceback.format_exception(error))
    except OSError:
        return "the full trace could not be put anywhere"
    return f"the full trace is in {name}"
