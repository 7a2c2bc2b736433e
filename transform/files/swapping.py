"""A whole set of files in one step: the folder changes names with a copy of itself that holds the new set.

The copy stands beside the folder for a moment, hidden, and is made of links: nothing is written twice, and
what does not change is the very same file in both. Where something stands in the folder that cannot be in
two places (a folder of somebody else's, a link), or where the system cannot let two folders change names,
nothing is done, and `staging` goes another way.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
from collections.abc import Callable, Collection, Iterator, Mapping
from pathlib import Path, PurePosixPath

from rules.problems import Problem, UngapeError
from transform.files.exchange import exchange

STAGE = ".ungape-stage"
"""Where new files are written before they are put in place, in the folder itself."""
_MOST_FILES = 5000


class _BarredError(Exception):
    """The folder cannot be copied by links."""


def swap_in(
    folder: Path, staged: Mapping[str, Path], known: Collection[str], hold: Callable[[Path], bool]
) -> bool:
    """Put the ``staged`` files in place, all in one step; False, with nothing done, where that cannot be.

    Names are those below ``folder``, with ``/``; ``known`` are all names there that are the project's.
    ``hold`` locks the copy too, so that the folder of this name is held at any time.

    Raises:
        UngapeError: where somebody else changed the folder meanwhile; nothing is changed then (exit 3).
        OSError: where the disk does not let it be seen; nothing is changed then.
    """
    real, copy = folder.resolve(), _beside(folder)
    seen: dict[str, os.stat_result] = {}
    try:
        swapped = (
            not _is_begun_in(real)
            and _copied(real, copy, staged, known, seen)
            and hold(copy)
            and exchange(copy, real)
        )
    except (OSError, _BarredError):
        swapped = False
    if not swapped:
        shutil.rmtree(copy, ignore_errors=True)
        return False
    # From here on the name of the copy leads to what the folder was.
    try:
        if not _unchanged(copy, seen):
            raise UngapeError((_changed(folder),))
    except (OSError, UngapeError):
        if exchange(copy, real):
            shutil.rmtree(copy, ignore_errors=True)
            raise
        # Nor can it be taken back: the set is in place, and what was there stays for the next run.
        return True
    flush_folder(real.parent)
    with contextlib.suppress(OSError):
        # What cannot be cleared away now the next run clears away; the set is in place.
        _drop(copy)
    return True


def clear_beside(folder: Path) -> bool:
    """Clear away the copy that a killed run left, or what the folder was before it; whether there was one.

    What somebody put into the folder in the very moment in which it was replaced is kept.
    """
    copy = _beside(folder)
    if copy.is_symlink() or not copy.is_dir():
        return False
    if (copy / STAGE).is_dir():
        real = folder.resolve()
        for name, status in list(_below(copy)):
            if not stat.S_ISDIR(status.st_mode) and not os.path.lexists(real / name):
                (real / name).parent.mkdir(parents=True, exist_ok=True)
                (copy / name).replace(real / name)
    _drop(copy)
    return True


def flush_folder(folder: Path) -> None:
    """Flush a folder's names to the disk, where the system lets a folder be opened."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _beside(folder: Path) -> Path:
    """Where the copy of a folder stands for a moment."""
    real = folder.resolve()
    return real.parent / f".{real.name}.ungape-swap"


def _is_begun_in(folder: Path) -> bool:
    """Whether the run was begun in the folder: the person's shell would stay behind in the old one."""
    here = Path.cwd().resolve()
    return here == folder or folder in here.parents


def _copied(
    folder: Path,
    copy: Path,
    staged: Mapping[str, Path],
    known: Collection[str],
    seen: dict[str, os.stat_result],
) -> bool:
    """Make the copy, with the staged files in their places; True. ``seen`` gets what stood in the folder.

    Raises:
        OSError: where the system refuses.
        _BarredError: where the folder holds what is not to be copied.
    """
    folders = {parent.as_posix() for name in (*known, *staged) for parent in PurePosixPath(name).parents}
    for name, status in _below(folder):
        if stat.S_ISREG(status.st_mode) and len(seen) < _MOST_FILES:
            seen[name] = status
        elif not stat.S_ISDIR(status.st_mode) or name not in folders:
            raise _BarredError
    for name in sorted(folders):
        (copy / name).mkdir(mode=0o700)
        if (folder / name).is_dir():
            _make_like(folder / name, copy / name)
    for name, file in staged.items():
        os.link(file, copy / name)
    for name in seen.keys() - staged.keys():
        os.link(folder / name, copy / name, follow_symlinks=False)
    for name in folders:
        flush_folder(copy / name)
    return True


def _below(folder: Path) -> Iterator[tuple[str, os.stat_result]]:
    """Everything below the folder by its name, a folder before what is in it; what is staged is left out."""
    waiting = [folder]
    while waiting:
        with os.scandir(waiting.pop()) as entries:
            for entry in entries:
                path = Path(entry.path)
                if path == folder / STAGE:
                    continue
                yield path.relative_to(folder).as_posix(), entry.stat(follow_symlinks=False)
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(path)


def _make_like(old: Path, new: Path) -> None:
    """Give a new folder the owner and the permissions of the one that it stands in for."""
    status = old.stat()
    if hasattr(os, "chown") and (status.st_uid, status.st_gid) != (new.stat().st_uid, new.stat().st_gid):
        os.chown(new, status.st_uid, status.st_gid)
    shutil.copystat(old, new)


def _unchanged(folder: Path, seen: Mapping[str, os.stat_result]) -> bool:
    found = {name: status for name, status in _below(folder) if not stat.S_ISDIR(status.st_mode)}
    return found.keys() == seen.keys() and all(
        (found[name].st_ino, found[name].st_mtime_ns, found[name].st_size)
        == (status.st_ino, status.st_mtime_ns, status.st_size)
        for name, status in seen.items()
    )


def _drop(folder: Path) -> None:
    """Delete what is not wanted any more; what is staged in it goes last, as the sign of an old folder."""
    with os.scandir(folder) as entries:
        rest = [entry for entry in entries if entry.name != STAGE]
    for entry in rest:
        if entry.is_dir(follow_symlinks=False):
            shutil.rmtree(entry.path)
        else:
            Path(entry.path).unlink()
    shutil.rmtree(folder)


def _changed(folder: Path) -> Problem:
    return Problem(
        kind="edited file",
        text="somebody else changed a file in this folder while the new ones were put in place; nothing was "
        "changed by this run; see what they changed, and run it again",
        file=str(folder),
        exit=3,
    )
