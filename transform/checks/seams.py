"""Walking the seams: both sides on the stitching line, darts folded out, before and after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rules.labels import fold
from rules.model import Rules, Seam, Term
from rules.problems import MOST_TOLD, Problem, listed, nearest
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
    old_edges = _Edges(rules, size, {fold(piece.name): piece for piece in before})
    new_edges = _Edges(rules, size, {fold(p.name): after.get(p.name, p) for p in before})
    for graded in rules.seams:
        seam = graded.at(size, sizes)
        try:
            old, new = old_edges.of(seam), new_edges.of(seam)
        except AlterError as error:
            problems.extend(error.problems)
            if len(problems) > MOST_TOLD:
                break
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


class _Edges:
    """The pieces of one size by folded name; each edge is looked for and measured once."""

    def __init__(self, rules: Rules, size: str, pieces: Mapping[str, Piece]) -> None:
        self.rules, self.size, self.pieces = rules, size, pieces
        self.lengths: dict[tuple[str, str], float] = {}

    def of(self, seam: Seam) -> tuple[float, float]:
        """The lengths of both sides of a seam, mm."""
        first, second = (sum(term.times * self._length(seam, term) for term in side) for side in seam.join)
        return first, second

    def _length(self, seam: Seam, term: Term) -> float:
        key = term.piece, term.edge
        if key not in self.lengths:
            self.lengths[key] = self._measured(seam, term)
        return self.lengths[key]

    def _measured(self, seam: Seam, term: Term) -> float:
        piece = self.pieces.get(fold(term.piece))
        if piece is None:
            names = [p.name for p in self.pieces.values()]
            raise _unknown(self.rules, seam, f"piece {term.piece!r} in size {self.size}", term.piece, names)
        for name in piece.stitching.edge_names:
            if fold(name) == fold(term.edge):
                return piece.stitching.edge(name).length
        what = f"edge {term.edge!r} on {piece.name} in size {self.size}"
        raise _unknown(self.rules, seam, what, term.edge, list(piece.stitching.edge_names))


def _unknown(rules: Rules, seam: Seam, what: str, found: str, known: Sequence[str]) -> AlterError:
    near = nearest(found, known)
    hint = f"; did you mean {near}?" if near else ""
    text = f"the seam {_text(seam.join[0])} to {_text(seam.join[1])}: there is no {what}; there is: "
    return AlterError(
        (
            Problem(
                "unknown edge" if what.startswith("edge") else "unknown piece",
                text + (listed(known) or "none") + hint,
                rules.file,
                seam.where.line,
                seam.where.column,
                exit=3,
            ),
        )
    )


def _text(side: Sequence[Term]) -> str:
    return " + ".join(f"{t.piece}/{t.edge}" + (f" x {t.times}" if t.times > 1 else "") for t in side)
