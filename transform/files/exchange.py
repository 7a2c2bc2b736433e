"""Two folders change names in one step, where the system can do that."""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2
"""`renameat2` of Linux (since 3.15): both names change hands in one step."""
_RENAME_SWAP = 2
"""`renamex_np` of macOS (since 10.12), to the same effect."""


def exchange(one: Path, other: Path) -> bool:
    """Let two paths of one file system change hands, in one step; False where that cannot be, nothing done.

    Whoever looks, and whenever the run is killed, each of the two names leads to one of the two.
    """
    first, second = os.fsencode(one), os.fsencode(other)
    try:
        system = ctypes.CDLL(None)
        if sys.platform == "darwin":
            return bool(system.renamex_np(first, second, _RENAME_SWAP) == 0)
        return bool(system.renameat2(_AT_FDCWD, first, _AT_FDCWD, second, _RENAME_EXCHANGE) == 0)
    except (AttributeError, OSError, TypeError):
        # A system, or a library of it, that does not know how.
        return False
