"""What can be wrong with a pattern as a pattern, and how all of a file's problems are said at once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from rules.problems import Problem, UngapeError
from transform.svg.document import Document
from transform.svg.problems import PatternError, problem_at

KINDS = (
    "allowance",
    "corner mark",
    "dart",
    "edges overlap",
    "gap",
    "names disagree",
    "no outline",
    "outline by reference",
    "piece without a name",
    "shared dart",
    "two outlines",
    "unknown corner",
    "which way round",
)
"""Every kind of problem that reading and writing pieces can report."""


@dataclass
class Complaints:
    """The problems of one file, gathered while it is read as far as it can be."""

    document: Document
    problems: list[Problem] = field(default_factory=list)

    def say(self, element: int | None, kind: str, text: str) -> None:
        """Note a problem at an element."""
        self.problems.extend(self.refusal(element, kind, text).problems)

    def refusal(self, element: int | None, kind: str, text: str) -> PatternError:
        """The error of a problem at an element."""
        return problem_at(self.document, element, kind, text)

    @contextmanager
    def kept(self) -> Iterator[None]:
        """Note what is raised inside and go on behind it."""
        try:
            yield
        except UngapeError as error:
            self.problems.extend(error.problems)

    def ordered(self) -> tuple[Problem, ...]:
        """All problems, each once, in the order of the file's lines."""
        once = dict.fromkeys(self.problems)
        return tuple(sorted(once, key=lambda p: (p.file, p.line or 0, p.column or 0)))
