"""Refusals of a removal: what stands in the rules does not fit the pattern."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from rules.model import Position
from rules.problems import Problem, UngapeError, listed, nearest
from transform.pattern.model import Piece


class AlterError(UngapeError):
    """A pattern does not fit the rules (exit 3)."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Where in the rules something was asked, and of which piece: what every refusal of it begins with."""

    rules: str
    line: int
    column: int
    name: str
    piece: Piece
    keys: Mapping[str, Position] = field(default_factory=dict)

    def of(self, key: str) -> Asked:
        """The same, pointing at the value of one of its keys."""
        where = self.keys.get(key)
        return self if where is None else replace(self, line=where.line, column=where.column)

    def refusal(self, kind: str, text: str) -> AlterError:
        """The error to raise."""
        size = f" in size {self.piece.size}" if self.piece.size is not None else ""
        problem = Problem(
            kind=kind,
            text=f"{self.name}: {self.piece.name}{size} ({self.piece.file}): {text}",
            file=self.rules,
            line=self.line,
            column=self.column,
            element=self.piece.label_path,
            exit=3,
        )
        return AlterError((problem,))

    def unknown(self, what: str, found: str, known: Iterable[str], whose: str = "") -> AlterError:
        """The error for a name that the piece does not have, with what there is and the nearest."""
        names = list(known)
        near = nearest(found, names)
        there = listed(names) or "none"
        hint = f"; did you mean {near}?" if near else ""
        if what == "edge" and not names:
            hint = "; name the edges in the drawing, or under `edges` in the rules"
        return self.refusal(
            f"unknown {what}", f"there is no {what}{whose} named {found!r}; there is: {there}{hint}"
        )


def unknown_piece(
    rules: str, name: str, wanted: str, where: Position, size: str, known: list[str]
) -> AlterError:
    """The error for a piece that the pattern does not have in this size; ``name`` says who asks for it."""
    near = nearest(wanted, known)
    hint = f"; did you mean {near}?" if near else ""
    text = f"{name}: there is no piece {wanted!r} in size {size}; there is: {listed(known) or 'none'}{hint}"
    return AlterError(
        (
            Problem(
                kind="unknown piece",
                text=text,
                file=rules,
                line=where.line,
                column=where.column,
                exit=3,
            ),
        )
    )
