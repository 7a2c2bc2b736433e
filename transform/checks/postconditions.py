"""Judging a result before it is written: the bytes, read again, must obey the laws."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rules.model import Rules
from rules.problems import Problem
from transform.alter.facts import Notice, SizeResult
from transform.alter.working import Working
from transform.checks import drawn_laws, laws
from transform.checks.allowance import distance_errors
from transform.checks.as_drawn import written
from transform.checks.linked import partings
from transform.checks.strips import wrong_strips
from transform.pattern.model import Piece

GROSSLY_OFF_MM = 2.0
"""A cut line that is off by more than this (mm) is a fault of ours, not of a tight bend."""


def verify(workings: tuple[Working, ...], after: Mapping[str, Piece]) -> tuple[Problem, ...]:
    """What is wrong with the pieces read again from the bytes about to be written, by piece name.

    Every finding is a fault of the tool, not of the pattern (exit 4).
    """
    return tuple(
        _fault(working.piece, finding)
        for working in workings
        for finding in _findings(working, after.get(working.piece.name))
    )


def verify_together(
    rules: Rules, result: SizeResult, before: Sequence[Piece], after: Mapping[str, Piece]
) -> tuple[Problem, ...]:
    """What is wrong between the pieces of one size: linked ones that differ, strips of another length.

    ``before`` are the pieces as they came, ``after`` the altered ones read again from the bytes about to be
    written, of whatever file, by name.
    """
    found = [_fault(p.following.piece, p.text) for p in partings(result, after, alone=False)]
    found.extend(_fault(piece, finding) for piece, finding in wrong_strips(rules, result, before, after))
    return tuple(found)


def verify_allowances(
    workings: tuple[Working, ...], after: Mapping[str, Piece]
) -> tuple[tuple[Problem, ...], tuple[Notice, ...]]:
    """Cut lines that do not keep their distance: what is a fault, and what is to be told with the figures.

    Where a line drawn anew bends tightly beside a wide allowance, there may be no line at that distance.
    """
    problems: list[Problem] = []
    notices: list[Notice] = []
    for working in workings:
        piece, new = working.piece, after.get(working.piece.name)
        if piece.cut is None or new is None or new.cut is None:
            continue
        for off in distance_errors(piece.stitching, piece.cut, working.stretches, new.cut):
            if off.off > GROSSLY_OFF_MM:
                problems.append(_fault(piece, off.text))
            else:
                notices.append(Notice("allowance off", piece.name, f"{piece.name}: {off.text}; look at it"))
    return tuple(problems), tuple(notices)


def _fault(piece: Piece, finding: str) -> Problem:
    return Problem(
        kind="failed its own check",
        text=f"{piece.name}"
        + (f" in size {piece.size}" if piece.size is not None else "")
        + f": {finding}; nothing was written. This is a fault of ungape, not of the pattern",
        file=piece.file,
        element=piece.label_path,
        exit=4,
    )


def _findings(working: Working, after: Piece | None) -> Iterator[str]:
    if after is None:
        yield "the piece is not in the file that was written"
        return
    yield from laws.rigid(working, after)
    yield from written(working, after)
    yield from laws.angles(working, after)
    yield from laws.arcs(working)
    yield from laws.hinges(working)
    yield from laws.areas(working, after)
    yield from drawn_laws.closed_edges(working, after)
    yield from drawn_laws.darts(working, after)
    yield from laws.uncrossed(working, after)
