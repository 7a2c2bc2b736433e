"""The bytes about to be written, read again and judged: every piece, and what they are to each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rules.model import Rules
from rules.problems import Problem, UngapeError
from transform.alter.facts import Notice, SizeResult
from transform.checks.postconditions import verify, verify_allowances, verify_together
from transform.designs.sources import Source, read
from transform.pattern.altered import AlteredPiece
from transform.pattern.model import Piece
from transform.svg.document import Document, read_document


class OwnFaultError(UngapeError):
    """A result broke a law: a fault of ours (exit 4)."""


@dataclass(frozen=True)
class Judge:
    """Judges the files of a job.

    ``order`` are all sizes of the design. ``pieces`` are the altered ones read again so far, by size and
    name; ``notices`` what is to be told of them, by size.
    """

    rules: Rules
    order: Sequence[str]
    results: Mapping[str, SizeResult]
    pieces: dict[str, dict[str, Piece]] = field(default_factory=dict)
    notices: dict[str, list[Notice]] = field(default_factory=dict)

    def read_again(self, source: Source, content: bytes) -> Document:
        """The bytes about to be written as a document.

        Raises:
            OwnFaultError: where they cannot be read.
        """
        try:
            return read_document(content, source.document.name)
        except UngapeError as error:
            raise OwnFaultError(_cannot_be_read(error)) from None

    def judge_file(
        self, source: Source, after: Document, altered: Sequence[tuple[str, AlteredPiece]]
    ) -> None:
        """Judge each altered piece of a file in ``after``, read again from the bytes about to be written.

        Raises:
            OwnFaultError: where a law is broken.
        """
        try:
            again = read(self.rules, source.file, after, self.order)
        except UngapeError as error:
            raise OwnFaultError(_cannot_be_read(error)) from None
        problems: list[Problem] = []
        for size, done in altered:
            found = {piece.name: piece for piece in again.pieces if piece.size == (size or None)}
            workings = tuple(w for w in self.results[size].workings if w.piece.name == done.piece.name)
            problems.extend(verify(workings, found))
            off, notices = verify_allowances(workings, found)
            problems.extend(off)
            self.notices.setdefault(size, []).extend(notices)
            self.pieces.setdefault(size, {}).update(
                {name: piece for name, piece in found.items() if name == done.piece.name}
            )
        if problems:
            raise OwnFaultError(problems)

    def judge_together(self, before: Mapping[str, Sequence[Piece]]) -> None:
        """Judge what the altered pieces of each size are to each other, whatever files hold them.

        ``before`` are the pieces as they came, by size.

        Raises:
            OwnFaultError: where a law is broken.
        """
        problems = [
            problem
            for size, result in self.results.items()
            for problem in verify_together(self.rules, result, before[size], self.pieces.get(size, {}))
        ]
        if problems:
            raise OwnFaultError(problems)


def _cannot_be_read(error: UngapeError) -> Iterator[Problem]:
    for problem in error.problems:
        text = (
            f"the altered file cannot be read again: {problem.text}; nothing was written. "
            "This is a fault of ungape, not of the pattern"
        )
        yield replace(problem, kind="failed its own check", text=text, exit=4)
