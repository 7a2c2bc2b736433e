"""What a run was asked for, who is told while it goes on, and a design as far as its rules and files go."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from rules.model import Rules
from transform.files.output import Output
from transform.files.patterns import PatternFile


@dataclass(frozen=True, slots=True)
class Options:
    """What a run was asked for.

    ``writes``: `apply` puts files in place; else they are compared, with ``diff`` line by line. ``proof``:
    pictures are made for the proof sheet.
    """

    writes: bool
    out: Path | None = None
    sizes: tuple[str, ...] = ()
    dry_run: bool = False
    replace: bool = False
    diff: bool = False
    proof: bool = False


@dataclass(frozen=True)
class Listener:
    """Who is told while a run goes on: of a design that begins, of a job that is done, of a difference."""

    begun: Callable[[str], None] = lambda name: None
    done: Callable[[], None] = lambda: None
    differs: Callable[[str], None] = lambda line: None


@dataclass(frozen=True)
class Design:
    """Rules that could be read, the files that they name, and the folder that they write to."""

    path: Path
    rules: Rules
    files: tuple[PatternFile, ...]
    output: Output

    @property
    def written(self) -> Iterator[Path]:
        """Every file that is written for it."""
        return (self.output.out / file.target for file in self.files)

    @property
    def touched(self) -> Iterator[Path]:
        """Every pattern file that is read, and every file that is written for it."""
        yield from (file.path for file in self.files)
        yield from self.written
