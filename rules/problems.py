"""What is wrong with what a person gave us, said so that they can mend it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

KINDS: Mapping[str, str] = {
    "no rules": "the rules file cannot be read",
    "yaml": "the file is no YAML, or uses a part of YAML that rules do without",
    "duplicate key": "a key stands twice in one mapping, or two keys are one name",
    "unknown word": "a key or a word that the format does not have",
    "wrong value": "a value of another form than the format asks for",
    "missing value": "something that the format needs is not there",
    "clash": "two things, each right by itself, that contradict each other",
    "removal of nothing": "a removal whose width is 0",
    "wrong version": "the file is written for another version of the format",
    "missing size": "an amount by size has no entry for a size of the design",
    "unknown size": "a size that is not among the design's sizes",
    "more problems": "there are more problems than anybody reads at once; the others are not told",
}
"""Every kind of problem that a rules file can have, and what it means."""
MOST_TOLD = 1000
"""So many problems are told at once: each costs a search for the nearest word and a line in every report."""
_LONGEST_WORD = 60
_MOST_KNOWN = 500
_MOST_LISTED = 60


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
    """Problems that stop a design; at least one, and of very many the first `MOST_TOLD`."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Hold the problems, in the order in which a person would meet them."""
        every = tuple(problems)
        self.problems = every if len(every) <= MOST_TOLD else (*every[:MOST_TOLD], _more(every[MOST_TOLD:]))
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[UngapeError], tuple[tuple[Problem, ...]]]:
        """Made anew from its problems where it comes back from another process."""
        return type(self), (self.problems,)


class RulesError(UngapeError):
    """A rules file is wrong (exit 2)."""


def _more(others: Sequence[Problem]) -> Problem:
    """What is said instead of all these."""
    text = f"there are more problems than the {MOST_TOLD} before this one; mend them, then run this again"
    first, worst = others[0], max(problem.exit for problem in others)
    return Problem("more problems", text, first.file, first.line, first.column, exit=worst)


def listed(words: Iterable[str]) -> str:
    """The words for a message, as many as anybody reads."""
    every = list(words)
    more = len(every) - _MOST_LISTED
    return ", ".join(every[:_MOST_LISTED]) + (f" and {more} more" if more > 0 else "")


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like ``word``, of the first few hundred; None where none is like it."""
    if len(word) > _LONGEST_WORD:
        return None
    # Looked up only where something is wrong, so that a sound file does not pay for it.
    import difflib

    by_fold = {name.casefold(): name for name in islice(known, _MOST_KNOWN)}
    found = difflib.get_close_matches(word.casefold(), list(by_fold), n=1, cutoff=0.6)
    return by_fold[found[0]] if found else None
