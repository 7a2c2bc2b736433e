"""Walking the seams: both sides on the stitching line, darts folded out, before and after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rules.labels import fold
from rules.model import Rules, Seam, Term
from rules.problems import Problem, nearest
from transform.alter.facts import Notice
from transform.alter.problems import AlterError
from transform.pattern.model import Piece

_NO_WORSE = 1e-6


@dataclass(frozen=True, slots=True)
class WalkedSeam:
    """A seam in one size: lengths of both sides before and after, mm, and whether it holds."""

    join: tuple[str, str]
    before: tuple[float, float]
    after: tuple[float, float]
    ease: tuple[float, float]
    tolerance: float
    holds: bool


def walk(
    rules: Rules, size: str, sizes: Sequence[str], before: Sequence[Piece], after: Mapping[str, Piece]
) -> tuple[tuple[WalkedSeam, ...], tuple[Notice, ...]]:
    """Every seam of the rules in one size; ``sizes`` is the order of all sizes.

    ``before`` are the pieces of the size and those outside all sizes, as they came; ``after`` the altered
    ones by name (a piece that was not altered stays as it came).

    Raises:
        AlterError: with every side that names what is not there.
        RulesError: where an ease or a tolerance has no number for the size.
    """
    problems: list[Problem] = []
    walked: list[WalkedSeam] = []
    notices: list[Notice] = []
    for graded in rules.seams:
        seam = graded.at(size, sizes)
        try:
            old = _sides(rules, seam, size, {fold(piece.name): piece for piece in before})
            changed = {fold(piece.name): after.get(piece.name, piece) for piece in before}
            new = _sides(rules, seam, size, changed)
        except AlterError as error:
            problems.extend(error.problems)
            continue
        was_off, off = (_off(pair, seam) for pair in (old, new))
        join = (_text(seam.join[0]), _text(seam.join[1]))
        holds = off <= seam.tolerance + _NO_WORSE or off <= was_off + _NO_WORSE
        walked.append(WalkedSeam(join, old, new, seam.ease, seam.tolerance, holds))
        if holds and off > seam.tolerance + _NO_WORSE:
            notices.append(
                Notice(
                    "seam was off before",
                    None,
                    f"{join[0]} and {join[1]} differ by {new[1] - new[0]:.1f} mm; that is no worse than in "
                    f"the files as they came ({old[1] - old[0]:.1f} mm)",
                )
            )
    if problems:
        raise AlterError(problems)
    return tuple(walked), tuple(notices)


def _off(pair: tuple[float, float], seam: Seam) -> float:
    """How far second minus first lies outside the ease allowed, mm."""
    difference = pair[1] - pair[0]
    return max(seam.ease[0] - difference, difference - seam.ease[1], 0.0)


def _sides(rules: Rules, seam: Seam, size: str, pieces: Mapping[str, Piece]) -> tuple[float, float]:
    first, second = (
        sum(term.times * _length(rules, seam, term, size, pieces) for term in side) for side in seam.join
    )
    return first, second


def _length(rules: Rules, seam: Seam, term: Term, size: str, pieces: Mapping[str, Piece]) -> float:
    piece = pieces.get(fold(term.piece))
    if piece is None:
        names = [p.name for p in pieces.values()]
        raise _unknown(rules, seam, f"piece {term.piece!r} in size {size}", term.piece, names)
    for name in piece.stitching.edge_names:
        if fold(name) == fold(term.edge):
            return piece.stitching.edge(name).length
    what = f"edge {term.edge!r} on {piece.name} in size {size}"
    raise _unknown(rules, seam, what, term.edge, list(piece.stitching.edge_names))


def _unknown(rules: Rules, seam: Seam, what: str, found: str, known: Sequence[str]) -> AlterError:
    near = nearest(found, known)
    hint = f"; did you mean {near}?" if near else ""
    text = f"the seam {_text(seam.join[0])} to {_text(seam.join[1])}: there is no {what}; there is: "
    return AlterError(
        (
            Problem(
                "unknown edge" if what.startswith("edge") else "unknown piece",
                text + (", ".join(known) or "none") + hint,
                rules.file,
                seam.where.line,
                seam.where.column,
                exit=3,
            ),
        )
    )


def _text(side: Sequence[Term]) -> str:
    return " + ".join(f"{t.piece}/{t.edge}" + (f" x {t.times}" if t.times > 1 else "") for t in side)
