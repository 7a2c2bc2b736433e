"""All that one run has to tell, as values."""

from __future__ import annotations

from dataclasses import dataclass

from rules.problems import Problem
from transform.alter.facts import Notice, RemovalFacts, StripFacts
from transform.checks.seams import WalkedSeam


@dataclass(frozen=True, slots=True)
class FileFacts:
    """A file read and the file written for it; paths relative to the rules file, with ``/``."""

    source: str
    target: str
    sha256: str


@dataclass(frozen=True, slots=True)
class SizeFacts:
    """One size of a design."""

    size: str
    files: tuple[FileFacts, ...]
    removals: tuple[RemovalFacts, ...]
    seams: tuple[WalkedSeam, ...]
    strips: tuple[StripFacts, ...]
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class DesignFacts:
    """One design; ``stale`` says for `check` what in the output folder is not as it would be written."""

    rules: str
    design: str
    units: str
    sizes: tuple[SizeFacts, ...]
    problems: tuple[Problem, ...] = ()
    stale: tuple[Problem, ...] = ()

    @property
    def exit(self) -> int:
        """The exit code that this design leads to."""
        if self.problems:
            return max(problem.exit for problem in self.problems)
        if self.stale or any(not seam.holds for size in self.sizes for seam in size.seams):
            return 1
        return 0


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
        if self.strict and any(not notice.accepted for notice in self.notices):
            codes.append(1)
        return max(codes)

    @property
    def notices(self) -> tuple[Notice, ...]:
        """Every notice of the run."""
        return tuple(n for design in self.designs for size in design.sizes for n in size.notices)

    @property
    def all_problems(self) -> tuple[Problem, ...]:
        """Every problem of the run."""
        return (*self.problems, *(p for design in self.designs for p in design.problems))
