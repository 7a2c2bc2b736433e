"""All that one run has to tell, as values; the exit code follows from them alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rules.problems import Problem
    from transform.alter.facts import Notice, RemovalFacts, StripFacts
    from transform.checks.seams import WalkedSeam
    from transform.report.picture import Picture


@dataclass(frozen=True, slots=True)
class FileFacts:
    """A file read and the file written for it; paths relative to the rules file, with ``/``."""

    source: str
    target: str
    sha256: str


@dataclass(frozen=True, slots=True)
class SizeFacts:
    """One size of a design; the size of a design without sizes is the empty text."""

    size: str
    files: tuple[FileFacts, ...] = ()
    removals: tuple[RemovalFacts, ...] = ()
    seams: tuple[WalkedSeam, ...] = ()
    strips: tuple[StripFacts, ...] = ()
    notices: tuple[Notice, ...] = ()
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True)
class DesignFacts:
    """One design.

    ``folder`` is where the rules file stands, as the person named it; ``rules`` is its name there, and the
    files of ``problems`` are relative to it. ``stale`` says for `check` what in the output folder is not as
    it would be written. ``written`` is how many files were put in place; None where none were to be.
    ``compared`` says that what stands in the output folder was compared with what would be written.
    """

    rules: str
    design: str
    units: str = "mm"
    sizes: tuple[SizeFacts, ...] = ()
    problems: tuple[Problem, ...] = ()
    stale: tuple[Problem, ...] = ()
    folder: Path = Path()
    out: str = ""
    written: int | None = None
    compared: bool = False

    @property
    def notices(self) -> Iterator[tuple[SizeFacts, Notice]]:
        """Every notice with its size."""
        return ((size, notice) for size in self.sizes for notice in size.notices)

    @property
    def off(self) -> Iterator[tuple[SizeFacts, WalkedSeam]]:
        """Every seam that does not hold, with its size."""
        return ((size, seam) for size in self.sizes for seam in size.seams if not seam.holds)

    @property
    def exit(self) -> int:
        """The exit code that this design leads to."""
        if self.problems:
            return max(problem.exit for problem in self.problems)
        return 1 if self.stale or any(self.off) else 0


@dataclass(frozen=True, slots=True)
class Report:
    """A run over designs; ``problems`` are those that belong to none of them."""

    designs: tuple[DesignFacts, ...] = ()
    problems: tuple[Problem, ...] = ()
    strict: bool = False

    @property
    def exit(self) -> int:
        """The highest exit code of all designs; with ``strict`` a notice that nobody accepted counts as 1."""
        codes = [0, *(problem.exit for problem in self.problems), *(design.exit for design in self.designs)]
        if self.strict and any(not n.accepted for design in self.designs for _, n in design.notices):
            codes.append(1)
        return max(codes)
