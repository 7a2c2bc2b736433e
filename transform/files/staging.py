"""A set of files put in place as a whole or not at all.

All files are first written into a folder beside their places and flushed to the disk. Where `swapping` can,
it puts them in place in one step: nobody ever sees a part of the set. Elsewhere a journal of the renames to
come is flushed too, and only then are they made, one close upon the other. A run that is killed before
the journal stands has changed nothing; one that is killed after it is completed by the next run.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
import stat
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from pathlib import Path

from rules.plain_files import read_plain
from rules.problems import Problem, UngapeError
from transform.files.ledger import safe_name
from transform.files.swapping import STAGE, clear_beside, flush_folder, swap_in

_JOURNAL = "journal.json"
_LARGEST_JOURNAL = 16 * 2**20
_NO_FILE = "no file"


@dataclass(frozen=True, slots=True)
class _Rename:
    """One rename to make: the staged file, its place, and the digest of what stood there (None: nothing)."""

    staged: Path
    place: Path
    was: str | None

    @property
    def kept(self) -> Path:
        """The second name of what stood there."""
        return self.staged.with_suffix(".old")


def write_set(
    folder: Path,
    files: Mapping[str, bytes],
    known: Collection[str] = (),
    hold: Callable[[Path], bool] = lambda _: True,
) -> None:
    """Put ``files`` (names below ``folder``, with ``/``) in place, all of them or none.

    The folder exists and is held by this run alone; what an earlier run left was seen to by `recover`.
    ``known`` are the names there that are the project's; ``hold`` locks a further folder.

    Raises:
        OSError: where the disk refuses; the folder then holds what it held before.
        UngapeError: where somebody else changes the folder at this very moment, or where the disk refuses
            half-way, and to take back what was done as well (exit 3).
    """
    stage = folder / STAGE
    shutil.rmtree(stage, ignore_errors=True)
    try:
        stage.mkdir()
        staged = {
            name: _staged(stage / str(number), content)
            for number, (name, content) in enumerate(files.items())
        }
        flush_folder(stage)
        if swap_in(folder, staged, known, hold):
            return
        renames = [_Rename(file, folder / name, digest_of(folder / name)) for name, file in staged.items()]
        for rename in renames:
            _prepare(rename)
        _write_journal(stage, folder, renames)
    except BaseException:
        shutil.rmtree(stage, ignore_errors=True)
        raise
    _make(renames)
    with contextlib.suppress(OSError):
        # The set is in place; what cannot be cleared away now the next run clears away.
        _finish(stage)


def recover(folder: Path, *, replace: bool = False) -> bool:
    """Complete or clear away what a killed run has left in ``folder``; whether there was anything.

    Raises:
        UngapeError: where a file was edited after the run was killed, unless ``replace``, or where the
            journal is none (exit 3).
    """
    cleared = clear_beside(folder)
    stage = folder / STAGE
    if not stage.is_dir() or stage.is_symlink():
        return cleared
    waiting = [rename for rename in _read_journal(stage, folder) if rename.staged.is_file()]
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
    """SHA-256 of a file's bytes, in hex; None where nothing has this name, and no digest where it is no file.

    A link is no file here: what it leads to is somebody else's.

    Raises:
        OSError: where it cannot be read.
    """
    try:
        if not stat.S_ISREG(file.lstat().st_mode):
            return _NO_FILE
        with file.open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except (FileNotFoundError, NotADirectoryError):
        return None


def leads_out(folder: Path, name: str) -> bool:
    """Whether a name below ``folder`` is one of a place elsewhere, because a folder on the way is a link."""
    return not (folder / name).parent.resolve().is_relative_to(folder.resolve())


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
    flush_folder(stage)
    flush_folder(folder)


def _read_journal(stage: Path, folder: Path) -> list[_Rename]:
    """The renames that a killed run had still to make; none where its journal was never finished.

    Raises:
        UngapeError: where it is no journal of ours, or names places outside the folder.
    """
    journal = stage / _JOURNAL
    if not os.path.lexists(journal):
        return []
    try:
        rows = json.loads(read_plain(journal, _LARGEST_JOURNAL))["renames"]
        found = [_Rename(stage / row["staged"], folder / safe_name(row["to"]), row["was"]) for row in rows]
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise UngapeError((_broken(journal),)) from error
    for rename in found:
        name = rename.place.relative_to(folder).as_posix()
        if rename.staged.parent != stage or leads_out(folder, name):
            raise UngapeError((_broken(journal),))
    return found


def _prepare(rename: _Rename) -> None:
    """Make the folder that a file goes into, and keep what stands there under a second name as well."""
    rename.place.parent.mkdir(parents=True, exist_ok=True)
    if rename.was is not None:
        try:
            os.link(rename.place, rename.kept, follow_symlinks=False)
        except OSError:
            shutil.copy2(rename.place, rename.kept, follow_symlinks=False)


def _make(renames: list[_Rename]) -> None:
    """Make the renames; where one is refused, undo those that were made."""
    made: list[_Rename] = []
    stage = renames[0].staged.parent
    try:
        for rename in renames:
            rename.staged.replace(rename.place)
            made.append(rename)
    except BaseException:
        try:
            for rename in reversed(made):
                _undo(rename)
        except OSError as error:
            # The journal stays, by which the next run completes the set.
            raise UngapeError((_half_way(stage.parent, error),)) from error
        shutil.rmtree(stage, ignore_errors=True)
        raise


def _undo(rename: _Rename) -> None:
    if rename.was is None:
        rename.place.unlink()
    else:
        rename.kept.replace(rename.place)


def _finish(stage: Path) -> None:
    flush_folder(stage.parent)
    (stage / _JOURNAL).unlink(missing_ok=True)
    shutil.rmtree(stage)


def _half_way(folder: Path, error: OSError) -> Problem:
    return Problem(
        kind="cannot write",
        text=f"the disk refused while the files were put in place: {error.strerror or error}; a part of them "
        "stands there; see that this folder can be written to and run this again, which completes the set",
        file=str(folder),
        exit=3,
    )


def _broken(journal: Path) -> Problem:
    return Problem(
        kind="broken ledger",
        text="this file should list what an interrupted run had still to put in place, and is no such list; "
        f"look at what stands in {journal.parent}, and delete that folder",
        file=str(journal),
        exit=3,
    )


def _edited(file: Path) -> Problem:
    return Problem(
        kind="edited file",
        text="a run that was interrupted had still to write this file, and it was edited since; "
        "move it away, or say --replace",
        file=str(file),
        exit=3,
    )
