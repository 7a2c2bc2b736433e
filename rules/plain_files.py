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
