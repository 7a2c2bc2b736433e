"""The output folder: what may be written there, and what stands there that should not."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rules.problems import Problem, UngapeError
from transform.files.ledger import LEDGER, Entry, ledger_bytes, read_ledger
from transform.files.lock import locked
from transform.files.patterns import PatternFile
from transform.files.staging import digest_of, recover, write_set


class OutputError(UngapeError):
    """The output folder is not ours to write to as asked (exit 2 or 3)."""


@dataclass(frozen=True, slots=True)
class NewFile:
    """A file to stand in the output folder: its name below it, its bytes, whether it was only copied."""

    name: str
    content: bytes
    copied: bool

    @property
    def sha256(self) -> str:
        """Digest of the bytes."""
        return hashlib.sha256(self.content).hexdigest()


def check_folder(out: Path, rules_file: str, sources: Sequence[PatternFile]) -> None:
    """Refuse an output folder in which a source would be overwritten, by whatever spelling or link.

    Raises:
        OutputError: exit 3.
    """
    problems = []
    for source in sources:
        target = out / source.name
        if _same_file(target, source.path):
            text = (
                f"writing to {out} would overwrite the source {source.name}; name another folder with `out`"
            )
            problems.append(Problem("output over source", text, rules_file, exit=3))
    if out.exists() and not out.is_dir():
        problems.append(Problem("output is no folder", f"{out} is a file, not a folder", rules_file, exit=3))
    if problems:
        raise OutputError(problems)


def _same_file(one: Path, other: Path) -> bool:
    if one.resolve() == other.resolve():
        return True
    try:
        return one.exists() and one.samefile(other)
    except OSError:
        return False


def write_files(out: Path, design: str, files: Sequence[NewFile], *, replace: bool, partial: bool) -> None:
    """Put a design's files into ``out``, all or none; what stands there and is not ours stops it.

    ``design`` names the rules file; ``partial`` where only some sizes were asked for, so that what the
    design wrote before stays.

    Raises:
        OutputError: where a file there was not written by ungape or was edited since (exit 3), or where
            the disk refuses.
    """
    try:
        out.mkdir(parents=True, exist_ok=True)
        with locked(out):
            recover(out, replace=replace)
            ledger = read_ledger(out)
            _refuse_foreign(out, design, files, ledger, replace=replace)
            entries = {
                name: entry
                for name, entry in ledger.items()
                if entry.design != design or partial or digest_of(out / name) is not None
            }
            entries |= {f.name: Entry(f.sha256, design, f.copied) for f in files}
            same = {f.name for f in files if digest_of(out / f.name) == f.sha256}
            changed = {f.name: f.content for f in files if f.name not in same}
            content = ledger_bytes(entries)
            if changed or not (out / LEDGER).is_file() or (out / LEDGER).read_bytes() != content:
                write_set(out, {**changed, LEDGER: content})
    except OSError as error:
        text = (
            f"the files could not be written to {out}: {error.strerror or error}; nothing was changed there"
        )
        raise OutputError((Problem("cannot write", text, design, exit=3),)) from None


def _refuse_foreign(
    out: Path, design: str, files: Sequence[NewFile], ledger: Mapping[str, Entry], *, replace: bool
) -> None:
    problems = []
    for file in files:
        digest, entry = digest_of(out / file.name), ledger.get(file.name)
        if digest is None or digest == file.sha256:
            continue
        if entry is not None and entry.design != design:
            text = f"{out / file.name} was written by {entry.design}; two designs cannot write one file"
            problems.append(Problem("written by another design", text, design, exit=3))
        elif replace:
            continue
        elif entry is None:
            text = f"{out / file.name} stands there and was not written by ungape; move it, or say --replace"
            problems.append(Problem("not ours", text, design, exit=3))
        elif entry.sha256 != digest:
            text = f"{out / file.name} was edited since ungape wrote it; move it, or say --replace"
            problems.append(Problem("edited file", text, design, exit=3))
    if problems:
        raise OutputError(problems)
