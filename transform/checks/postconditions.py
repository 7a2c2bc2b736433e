"""Judging a result before it is written: the bytes, read again, must obey the laws."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rules.problems import Problem
from transform.alter.working import Working
from transform.checks import laws
from transform.pattern.model import Piece


def verify(workings: tuple[Working, ...], after: Mapping[str, Piece]) -> tuple[Problem, ...]:
    """What is wrong with the pieces read again from the bytes about to be written, by piece name.

    Every finding is a fault of the tool, not of the pattern (exit 4).
    """
    return tuple(
        Problem(
            kind="failed its own check",
            text=f"{working.piece.name}"
            + (f" in size {working.piece.size}" if working.piece.size is not None else "")
            + f": {finding}; nothing was written. This is a fault of ungape, not of the pattern",
            file=working.piece.file,
            element=working.piece.label_path,
            exit=4,
        )
        for working in workings
        for finding in _findings(working, after.get(working.piece.name))
    )


def _findings(working: Working, after: Piece | None) -> Iterator[str]:
    if after is None:
        yield "the piece is not in the file that was written"
        return
    yield from laws.rigid(working, after)
    yield from laws.angles(working, after)
    yield from laws.arcs(working)
    yield from laws.hinges(working)
    yield from laws.areas(working, after)
    yield from laws.closed_edges(working, after)
    yield from laws.darts(working, after)
    yield from laws.uncrossed(working, after)
