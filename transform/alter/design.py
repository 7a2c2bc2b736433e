"""One size of a design: every removal in numbers on its piece, made and finished."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rules.lengths import KeptAngle
from rules.model import Finish, NewDart, Removal, Rules
from rules.problems import Problem, UngapeError
from transform.alter.closing import Closing, Grade, resolve
from transform.alter.facts import Notice, RemovalFacts, SizeResult
from transform.alter.piece import PieceResult, alter_piece
from transform.alter.problems import AlterError, Asked, unknown_piece
from transform.alter.working import Working
from transform.pattern.altered import AlteredPiece
from transform.pattern.model import Piece
from transform.svg.labels import fold


def alter_size(
    rules: Rules,
    size: str,
    pieces: Sequence[Piece],
    sizes: Sequence[str],
    angles: Mapping[str, float],
) -> SizeResult:
    """Make every removal of the rules in one size.

    ``pieces`` are those of the size and those outside all sizes; ``sizes`` is the order of all sizes;
    ``angles`` (rad, by removal) are those that are kept from another size, see `kept_angles`.

    Raises:
        AlterError: with every removal that does not fit the pieces.
    """
    grade = Grade(size, sizes, angles)
    altered: list[AlteredPiece] = []
    facts: list[RemovalFacts] = []
    notices: list[Notice] = []
    workings: list[Working] = []
    problems: list[Problem] = []
    for piece, removals in _by_piece(rules, size, pieces, problems):
        try:
            result = _alter(rules, piece, removals, grade)
        except UngapeError as error:
            problems.extend(error.problems)
            continue
        altered.append(result.altered)
        facts.extend(result.removals)
        notices.extend(result.notices)
        workings.append(result.working)
    if problems:
        raise AlterError(tuple(problems))
    facts.sort(key=lambda fact: fact.index)
    return SizeResult(tuple(altered), tuple(facts), (), tuple(notices), tuple(workings))


def kept_angles(rules: Rules, size: str, pieces: Sequence[Piece], sizes: Sequence[str]) -> dict[str, float]:
    """The angles (rad) of those removals whose amount keeps the angle that it has at ``size``.

    Raises:
        AlterError: where such a removal does not fit the pieces of that size.
    """
    found: dict[str, float] = {}
    for index, removal in enumerate(rules.removals):
        amount = removal.amount
        if not isinstance(amount, KeptAngle) or amount.at_size != size:
            continue
        piece = _piece_named(rules, removal, size, pieces)
        opened = _opened_before(rules, piece, index, Grade(size, sizes, found))
        asked = _asked(rules, removal, piece)
        closing = resolve(
            index, removal.with_amount(amount.plain()), asked, Grade(size, sizes, found), opened
        )
        found[removal.name] = closing.angle
    return found


def _asked(rules: Rules, removal: Removal, piece: Piece) -> Asked:
    return Asked(rules.file, removal.where.line, removal.where.column, removal.name, piece)


def _by_piece(
    rules: Rules, size: str, pieces: Sequence[Piece], problems: list[Problem]
) -> list[tuple[Piece, list[tuple[int, Removal]]]]:
    """Each piece with its removals, in the order written."""
    found: dict[str, tuple[Piece, list[tuple[int, Removal]]]] = {}
    for index, removal in enumerate(rules.removals):
        try:
            piece = _piece_named(rules, removal, size, pieces)
        except UngapeError as error:
            problems.extend(error.problems)
            continue
        found.setdefault(piece.name, (piece, []))[1].append((index, removal))
    return list(found.values())


def _piece_named(rules: Rules, removal: Removal, size: str, pieces: Sequence[Piece]) -> Piece:
    for piece in pieces:
        if fold(piece.name) == fold(removal.piece):
            if piece.size is None:
                raise _asked(rules, removal, piece).refusal(
                    "piece outside the sizes",
                    "the piece stands outside all sizes, so it serves every size and is never altered; "
                    "put it into a layer of each size",
                )
            return piece
    raise unknown_piece(rules.file, removal, size, [piece.name for piece in pieces])


def _opened_before(rules: Rules, piece: Piece, index: int, grade: Grade) -> dict[str, Closing]:
    """The closings before removal ``index`` that open a new dart on the piece, by the dart's folded name."""
    opened: dict[str, Closing] = {}
    for k, removal in enumerate(rules.removals[:index]):
        if fold(removal.piece) == fold(piece.name) and any(isinstance(o, NewDart) for o in removal.opens):
            closing = resolve(k, removal, _asked(rules, removal, piece), grade, opened)
            _note_opened(removal, closing, opened)
    return opened


def _note_opened(removal: Removal, closing: Closing, opened: dict[str, Closing]) -> None:
    for opening in removal.opens:
        if isinstance(opening, NewDart):
            opened[fold(opening.name)] = closing


def _alter(rules: Rules, piece: Piece, removals: Sequence[tuple[int, Removal]], grade: Grade) -> PieceResult:
    opened: dict[str, Closing] = {}
    closings: list[Closing] = []
    problems: list[Problem] = []
    for index, removal in removals:
        try:
            closing = resolve(index, removal, _asked(rules, removal, piece), grade, opened)
        except UngapeError as error:
            problems.extend(error.problems)
            continue
        _note_opened(removal, closing, opened)
        closings.append(closing)
    if problems:
        raise AlterError(tuple(problems))
    return alter_piece(piece, closings, grade, _finishes(closings))


def _finishes(closings: Sequence[Closing]) -> dict[str, Finish | None]:
    """How each mouth is finished, by dart.

    Raises:
        AlterError: where two removals say differently for one dart.
    """
    found: dict[str, Finish | None] = {}
    for closing in closings:
        finish = closing.removal.finish
        for mouth in closing.mouths:
            if mouth.dart is None:
                continue
            before = found.setdefault(mouth.dart, finish)
            if before is None:
                found[mouth.dart] = finish
            elif finish is not None and finish != before:
                raise closing.asked.refusal(
                    "differing finish", f"another removal finishes {mouth.dart} differently; say it once"
                )
    return found
