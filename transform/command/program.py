"""Where the command begins. An interrupt waits until everything is loaded that can answer it."""

from __future__ import annotations

import os
import sys

try:
    from transform.interrupts import hold_back
except KeyboardInterrupt:
    # It came before anything could make it wait. What came earlier still, while Python itself started, is out
    # of reach.
    sys.stderr.write("interrupted: the run was interrupted; nothing was written\n")
    sys.exit(130)


def main() -> None:
    """The command, with its exit code."""
    hold_back()
    # When numpy is loaded it begins a thread of linear algebra for each core, which takes a third of the time
    # that it takes. Ours are systems of a few unknowns, and one thread gives the same digits everywhere.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from transform.command.cli import main as command

    command()
