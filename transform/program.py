"""Where the command begins. An interrupt waits until everything is loaded that can answer it."""

from __future__ import annotations

import os

from transform.interrupts import hold_back


def main() -> None:
    """The command, with its exit code."""
    hold_back()
    # When numpy is loaded it begins a thread of linear algebra for each core, which takes a third of the time
    # that it takes. Ours are systems of a few unknowns, and one thread gives the same digits everywhere.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from transform.cli import main as command

    command()
