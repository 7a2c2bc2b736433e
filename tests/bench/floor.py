"""The floor: read files with the library that reads them, make their bytes again, put them on the disk.

Run as a program it first imports what any such command imports: ``floor.py FOLDER FILE...``
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path


def parse_and_write(files: Iterable[Path], out: Path) -> None:
    """Parse each file, serialise it, write it to ``out`` and wait until the disk has it."""
    for file in files:
        put(out / file.name, parsed(file.read_bytes()))


def parsed(data: bytes) -> bytes:
    """The bytes parsed and serialised again."""
    from lxml import etree

    return bytes(etree.tostring(etree.fromstring(data)))


def put(path: Path, data: bytes) -> None:
    """Write a file and wait until the disk has it."""
    with path.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


if __name__ == "__main__":
    import lxml.etree
    import shapely
    import typer

    _out, *_files = (Path(argument) for argument in sys.argv[1:])
    _out.mkdir(parents=True, exist_ok=True)
    parse_and_write(_files, _out)
    del lxml, shapely, typer
