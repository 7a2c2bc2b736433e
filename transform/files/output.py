"""The output folder: what may be written there, and what stands there that should not."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from rules.plain_files import POINTER, is_pointer, read_plain
from rules.problems import Problem, UngapeError
from transform.files.ledger import LEDGER, Entry, ledger_bytes, read_ledger
from transform.files.lock import locked
from transform.files.patterns import PatternFile
from transform.files.staging import digest_of, is_unfinished, leads_out, recover, write_set
from transform.interrupts import held_back

_FEW = 99
"""So many bytes tell a pointer from the file itself."""


class OutputError(UngapeError):
    """The output folder is not ours to write to as asked (exit 3)."""


@dataclass(frozen=True)
class NewFile:
    """A file to stand in the output folder: its name below it, its bytes, whether it was only copied."""

    name: str
    content: bytes
    copied: bool

    @cached_property
    def sha256(self) -> str:
        """Digest of the bytes, in hex."""
        return hashlib.sha256(self.content).hexdigest()


@dataclass(frozen=True)
class Output:
    """The output folder ``out`` of the design whose rules file is ``rules``."""

    out: Path
    rules: Path

    @property
    def design(self) -> str:
        """The rules file as the ledger names it: relative to the folder, with ``/``."""
        try:
            return Path(os.path.relpath(self.rules.resolve(), self.out.resolve())).as_posix()
        except ValueError:
            # Another drive.
            return self.rules.resolve().as_posix()

    def shown(self, name: str = "") -> str:
        """The folder, or a file in it, relative to the rules file, with ``/``."""
        try:
            return Path(os.path.relpath(self.out / name, self.rules.parent)).as_posix()
        except ValueError:
            # Another drive.
            return (self.out / name).as_posix()

    def problem(self, kind: str, text: str) -> Problem:
        """A problem with the folder (exit 3)."""
        return Problem(kind, text, str(self.rules), exit=3)


def refuse_sources(output: Output, sources: Sequence[PatternFile]) -> None:
    """Refuse an output folder that holds a source, by whatever spelling or link.

    Raises:
        OutputError: exit 3.
    """
    problems: list[Problem] = []
    if output.out.exists() and not output.out.is_dir():
        problems.append(output.problem("output is no folder", f"{output.out} is a file, not a folder"))
    read = {identity for source in sources if (identity := _identity(source.path)) is not None}
    for source in sources:
        if _same(output.out, source.path.parent) or _identity(output.out / source.target) in read:
            text = (
                f"the source {source.name} stands in the folder {output.out} itself; "
                "name another folder for what is written"
            )
            problems.append(output.problem("output over source", text))
    if problems:
        raise OutputError(problems)


def _identity(path: Path) -> tuple[int, int] | None:
    """What tells a file from all others, whatever it is called; None where there is none."""
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_dev, status.st_ino


def _same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return one.resolve() == other.resolve()


def refuse_foreign(output: Output, files: Sequence[NewFile], *, replace: bool) -> dict[str, Entry]:
    """The folder's ledger, where nothing that stands in the folder would be lost by writing ``files``.

    A file there may be overwritten if the ledger says that this design wrote it and it is as it was
    written, or with ``replace``.

    Raises:
        OutputError: with every file that stops it (exit 3).
    """
    ledger = _ledger(output.out, replace=replace)
    problems = [problem for file in files for problem in _foreign(output, file, ledger, replace=replace)]
    if problems:
        raise OutputError(problems)
    return ledger


def _ledger(out: Path, *, replace: bool) -> dict[str, Entry]:
    try:
        return read_ledger(out)
    except UngapeError:
        if replace:
            return {}
        raise


def _foreign(
    output: Output, file: NewFile, ledger: Mapping[str, Entry], *, replace: bool
) -> Iterator[Problem]:
    path = output.out / file.name
    if leads_out(output.out, file.name):
        text = f"{path.parent} is a link that leads out of the folder {output.out}; nothing is written there"
        yield output.problem("not ours", text)
        return
    if path.is_dir() and not path.is_symlink():
        yield output.problem("not ours", f"{path} is a folder; a file is to be written there")
        return
    digest, entry = digest_of(path), ledger.get(file.name)
    if digest is None or digest == file.sha256 or replace:
        return
    if entry is None:
        whose = (
            "was not written by ungape"
            if _noted_design(path) is None
            else f"carries a note of ungape, but {LEDGER} does not tell whether it was edited since"
        )
        text = f"{path} stands there and {whose}; move it, or say --replace"
        yield output.problem("not ours", text)
    elif entry.design != output.design and (output.out / entry.design).exists():
        text = f"{path} was written by {entry.design}; give one of the two another `out`, or say --replace"
        yield output.problem("written by another design", text)
    elif entry.sha256 != digest:
        edited = "was edited since ungape wrote it; move it"
        pointer = path.is_file() and is_pointer(read_plain(path, _FEW))
        text = f"{path} {POINTER if pointer else edited}, or say --replace"
        yield output.problem("edited file", text)


def write_files(output: Output, files: Sequence[NewFile], *, replace: bool) -> int:
    """Put a design's files into the folder, all or none; how many were not there already.

    What the design wrote before and does not write now stays, in the ledger too, so that `check` can tell.

    Raises:
        OutputError: where a file there is not this design's to overwrite, or where the disk refuses (exit 3).
    """
    made: list[Path] = []
    try:
        made = _make_folder(output.out)
        with locked(output.out) as lock:
            recover(output.out, replace=replace)
            ledger = refuse_foreign(output, files, replace=replace)
            kept = {name: e for name, e in ledger.items() if digest_of(output.out / name) is not None}
            entries = kept | {f.name: Entry(f.sha256, output.design, f.copied) for f in files}
            changed = {f.name: f.content for f in files if digest_of(output.out / f.name) != f.sha256}
            content = ledger_bytes(entries)
            if changed or digest_of(output.out / LEDGER) != hashlib.sha256(content).hexdigest():
                # Once it is written it is told as written, interrupted or not.
                with held_back():
                    write_set(output.out, {**changed, LEDGER: content}, entries, lock.also)
            return len(changed)
    except OSError as error:
        _remove_folders(made)
        what = error.strerror or str(error)
        text = f"the files could not be written to {output.out}: {what}; nothing was changed there"
        raise OutputError((output.problem("cannot write", text),)) from None
    except BaseException:
        _remove_folders(made)
        raise


def _make_folder(folder: Path) -> list[Path]:
    """Make a folder with those around it; which of them were not there, the innermost first."""
    missing = [place for place in (folder, *folder.parents) if not place.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    return missing


def _remove_folders(folders: Sequence[Path]) -> None:
    """Take away the folders that were made for nothing; one that holds something stays."""
    for folder in folders:
        try:
            folder.rmdir()
        except OSError:
            return


def left_over(output: Output, design: str, names: Sequence[str]) -> Iterator[str]:
    """Names in the folder that the design (``design`` is its title) wrote and that are not among ``names``.

    They are known by the ledger, or by the note that the file carries.

    Raises:
        UngapeError: where the ledger cannot be read.
    """
    ledger = read_ledger(output.out)
    for name, entry in sorted(ledger.items()):
        if entry.design == output.design and name not in names and (output.out / name).exists():
            yield name
    for path in sorted(output.out.glob("*.svg")) if design else ():
        if path.name not in ledger and path.name not in names and _noted_design(path) == design:
            yield path.name


def _noted_design(path: Path) -> str | None:
    """The title of the design that wrote a file, from the note in it."""
    # Who only looks whether a folder is free for a design reads no drawing.
    from transform.files.notes import noted_design
    from transform.svg.document import read_document
    from transform.svg.parsing import LARGEST

    try:
        return noted_design(read_document(read_plain(path, LARGEST), path.name))
    except (OSError, UngapeError):
        return None


def unfinished(output: Output) -> bool:
    """Whether a killed run has left the folder half written; the next `apply` completes it."""
    return is_unfinished(output.out)
