"""The ledger ``.ungape.json`` of an output folder: what was written there, by which design.

It holds names and digests only, so that a file that somebody edited since can be told from one that is
still as it was written.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from rules.plain_files import POINTER, is_pointer, read_plain
from rules.problems import Problem, UngapeError

LEDGER = ".ungape.json"
_LARGEST = 16 * 2**20


@dataclass(frozen=True, slots=True)
class Entry:
    """One file: SHA-256 of its bytes in hex, the rules file that wrote it, whether it was only copied.

    ``design`` is the path of the rules file, relative to the folder, with ``/``.
    """

    sha256: str
    design: str
    copied: bool = False


def read_ledger(folder: Path) -> dict[str, Entry]:
    """The entries by name (relative to ``folder``, with ``/``); none where there is no ledger.

    Raises:
        UngapeError: where the ledger is no ledger (exit 3).
    """
    file = folder / LEDGER
    try:
        content = read_plain(file, _LARGEST)
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise UngapeError((_broken(file),)) from error
    try:
        found = json.loads(content)
        if found["ungape_ledger"] != 1:
            raise ValueError
        return {safe_name(name): _entry(row) for name, row in found["files"].items()}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise UngapeError((_broken(file, is_pointer(content)),)) from error


def ledger_bytes(entries: Mapping[str, Entry]) -> bytes:
    """The ledger as it is written: one line per file, in the order of names."""
    rows = {
        name: {"sha256": entry.sha256, "design": entry.design, **({"copied": True} if entry.copied else {})}
        for name, entry in sorted(entries.items())
    }
    lines = ",\n".join(f"  {json.dumps(name)}: {json.dumps(row)}" for name, row in rows.items())
    return f'{{"ungape_ledger": 1, "files": {{\n{lines}\n}}}}\n'.encode()


def safe_name(name: str) -> str:
    """The name, where it is one below the folder.

    Raises:
        ValueError: where it leads out of it.
    """
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or not path.parts or "\0" in name:
        raise ValueError(name)
    return name


def _entry(row: object) -> Entry:
    if not isinstance(row, dict):
        raise TypeError
    entry = Entry(row["sha256"], row["design"], row.get("copied", False))
    if not (isinstance(entry.sha256, str) and isinstance(entry.design, str)):
        raise TypeError
    return entry


def _broken(file: Path, pointer: bool = False) -> Problem:
    why = POINTER if pointer else "cannot be read; put it back as it was, or delete it and say --replace"
    text = f"this file should list what ungape wrote into the folder, and {why}"
    return Problem("broken ledger", text, str(file), exit=3)
