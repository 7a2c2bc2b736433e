"""What is wrong with what a person gave us, said so that they can mend it."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that stops a design.

    ``line`` and ``column`` count from 1; ``element`` is the path of labels to an element of a pattern;
    ``exit`` is the exit code that it leads to.
    """

    kind: str
    text: str
    file: str = ""
    line: int | None = None
    column: int | None = None
    element: str = ""
    exit: int = 2

    def __str__(self) -> str:
        """``file:line:column: kind: text``, as far as known."""
        place = [self.file] if self.file else []
        place += [str(number) for number in (self.line, self.column) if number is not None]
        where = ":".join(place)
        return f"{where}: {self.kind}: {self.text}" if where else f"{self.kind}: {self.text}"


class UngapeError(ValueError):
    """Problems that stop a design; at least one."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Hold the problems, in the order in which a person would meet them."""
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class RulesError(UngapeError):
    """A rules file is wrong (exit 2)."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like ``word``; None where none is like it."""
    by_fold = {name.casefold(): name for name in known}
    found = difflib.get_close_matches(word.casefold(), list(by_fold), n=1, cutoff=0.6)
    return by_fold[found[0]] if found else None
