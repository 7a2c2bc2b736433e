"""A set of files put in place as a whole or not at all.

All files are first written into a folder beside their places and flushed to the disk. Then a journal of the
renames to come is flushed too, and only then are they made. A run that is killed before the journal stands
has changed nothing; one that is killed after it is completed by the next run, from the journal.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from rules.problems import Problem, UngapeError

STAGE = ".ungape-stage"
_JOURNAL = "journal.json"


@dataclass(frozen=True, slots=True)
class _Rename:
    """One rename to make: the staged file, its place, and the digest of what stood there (None: nothing)."""

    staged: Path
    place: Path
    was: str | None


def write_set(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put ``files`` (names below ``folder``, with ``/``) in place, all of them or none.

    The folder exists and is held by this run alone; what an earlier run left was seen to by `recover`.

    Raises:
        OSError: where the disk refuses; the folder then holds what it held before.
    """
    stage = folder / STAGE
    shutil.rmtree(stage, ignore_errors=True)
    try:
        stage.mkdir()
        renames = [
            _Rename(_staged(stage / str(number), content), folder / name, digest_of(folder / name))
            for number, (name, content) in enumerate(files.items())
        ]
        _write_journal(stage, folder, renames)
    except BaseException:
        shutil.rmtree(stage, ignore_errors=True)
        raise
    _make(renames)
    _finish(stage)


def recover(folder: Path, *, replace: bool = False) -> bool:
    """Complete or clear away what a killed run has left in ``folder``; whether there was anything.

    Raises:
        UngapeError: where a file was edited after the run was killed, unless ``replace`` (exit 3).
    """
    stage = folder / STAGE
    if not stage.is_dir() or stage.is_symlink():
        return False
    renames = _read_journal(stage, folder)
    waiting = [rename for rename in renames if rename.staged.exists()]
    for rename in waiting:
        if not replace and digest_of(rename.place) != rename.was:
            raise UngapeError((_edited(rename.place),))
    for rename in waiting:
        rename.place.parent.mkdir(parents=True, exist_ok=True)
        rename.staged.replace(rename.place)
    _finish(stage)
    return True


def is_unfinished(folder: Path) -> bool:
    """Whether a killed run left a set of files half in place."""
    return (folder / STAGE / _JOURNAL).is_file()


def digest_of(file: Path) -> str | None:
    """SHA-256 of a file's bytes, in hex; None where there is no file."""
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest()
    except FileNotFoundError:
        return None


def _staged(file: Path, content: bytes) -> Path:
    with file.open("xb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())
    return file


def _write_journal(stage: Path, folder: Path, renames: list[_Rename]) -> None:
    rows = [
        {"staged": r.staged.name, "to": r.place.relative_to(folder).as_posix(), "was": r.was} for r in renames
    ]
    text = json.dumps({"ungape_journal": 1, "renames": rows})
    _staged(stage / "journal.part", text.encode()).replace(stage / _JOURNAL)
    _flush_folder(stage)
    _flush_folder(folder)


def _read_journal(stage: Path, folder: Path) -> list[_Rename]:
    """The renames that a killed run had still to make; none where its journal was never finished."""
    journal = stage / _JOURNAL
    if not journal.is_file():
        return []
    rows = json.loads(journal.read_bytes())["renames"]
    return [_Rename(stage / row["staged"], folder / row["to"], row["was"]) for row in rows]


def _make(renames: list[_Rename]) -> None:
    """Make the renames; where one is refused, undo those that were made."""
    kept: list[tuple[Path, Path | None]] = []
    try:
        for rename in renames:
            rename.place.parent.mkdir(parents=True, exist_ok=True)
            old = None
            if rename.was is not None:
                old = rename.staged.with_suffix(".old")
                _keep(rename.place, old)
            rename.staged.replace(rename.place)
            kept.append((rename.place, old))
    except BaseException:
        for place, old in reversed(kept):
            if old is None:
                place.unlink()
            else:
                old.replace(place)
        shutil.rmtree(renames[0].staged.parent, ignore_errors=True)
        raise


def _keep(place: Path, old: Path) -> None:
    """Keep the file that stands at ``place`` under a second name as well."""
    try:
        os.link(place, old)
    except OSError:
        shutil.copy2(place, old)


def _finish(stage: Path) -> None:
    _flush_folder(stage.parent)
    (stage / _JOURNAL).unlink(missing_ok=True)
    shutil.rmtree(stage)


def _flush_folder(folder: Path) -> None:
    """Flush a folder's names to the disk, where the system lets a folder be opened."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _edited(file: Path) -> Problem:
    return Problem(
        kind="edited file",
        text="a run that was interrupted had still to write this file, and it was edited since; "
        "move it away, or say --replace",
        file=str(file),
        exit=3,
    )
