"""What was asked for, on the standard output; messages never go there."""

from __future__ import annotations

import os
import sys


def put_out(text: str) -> None:
    """Print ``text``; what the output's encoding cannot hold is escaped.

    Where the reader has seen enough and is gone, nothing more is printed.
    """
    encoding = sys.stdout.encoding or "utf-8"
    try:
        sys.stdout.write(text.encode(encoding, "backslashreplace").decode(encoding))
        sys.stdout.flush()
    except BrokenPipeError:
        # What is still in the buffer goes nowhere when the process ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
