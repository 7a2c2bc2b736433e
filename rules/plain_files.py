"""The bytes of a file that a person named: an ordinary file, and no more of it than is ever wanted."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

_FLAGS = (
    os.O_RDONLY
    # A pipe that nobody writes into is opened without waiting for somebody.
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_NOCTTY", 0)
    | getattr(os, "O_BINARY", 0)
)

_POINTER = b"version https://git-lfs"
POINTER = "is a Git LFS pointer, not the file itself: fetch the real one with `git lfs pull`"
"""What is said of a pointer that stands where a file should be."""


def is_pointer(data: bytes) -> bool:
    """Whether a file holds no more than where Git LFS keeps the real one."""
    return data.startswith(_POINTER)


def read_plain(path: Path, most: int) -> bytes:
    """The file's bytes; of a file that has more than ``most``, the first ``most + 1``.

    Raises:
        OSError: where it cannot be read, or is a folder, a pipe, a device, or anything else that is no file.
    """
    handle = os.open(path, _FLAGS)
    with os.fdopen(handle, "rb") as stream:
        mode = os.fstat(handle).st_mode
        if not stat.S_ISREG(mode):
            what = "it is a folder" if stat.S_ISDIR(mode) else "it is a pipe or a device, no ordinary file"
            raise OSError(errno.EINVAL, what, str(path))
        return stream.read(most + 1)
