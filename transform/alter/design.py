"""One size of a design: every removal in numbers on its piece, made and finished."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

from rules.labels import fold
from rules.lengths import KeptAngle
from rules.model import Finish, KnownDart, NewDart, Removal, Rules
from rules.problems import Problem, UngapeError
from transform.alter.closing import Closing
from transform.alter.facts import Notice, SizeResult
from transform.alter.linked_piece import Following
from transform.alter.linking import Received, in_order, links_of, piece_named, received, refuse_outside_sizes
from transform.alter.piece import PieceResult, alter_piece
from transform.alter.placing import Grade
from transform.alter.problems import AlterError, Asked
from transform.alter.resolving import resolve
from transform.alter.strips import cut_strips
from transform.pattern.model import Piece


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
    problems: list[Problem] = []
    own = {piece.name: (piece, removals) for piece, removals in _by_piece(rules, size, pieces, problems)}
    links = _noting(problems, lambda: links_of(rules, size, pieces)) or []
    order = _noting(problems, lambda: in_order([piece for piece, _ in own.values()], links)) or []
    results: dict[str, PieceResult] = {}
    notices: list[Notice] = []
    laid: list[Following] = []
    failed: set[str] = set()
    for piece in order:
        mine = [link for link in links if link.piece.name == piece.name and not link.is_grown_on]
        grown_on = [link for link in links if link.piece.name == piece.name and link.is_grown_on]
        if any(link.followed.name in failed for link in mine):
            failed.add(piece.name)
            continue
        removals = own[piece.name][1] if piece.name in own else []
        try:
            got = received(mine, results, grade)
            folds = [place for link in grown_on for place in link.folds]
            if removals or got.closings:
                results[piece.name] = _alter(rules, piece, removals, got, grade, folds)
            if grown_on:
                got = got.with_more(received(grown_on, results, grade))
            if grown_on and piece.name in results:
                results[piece.name] = _alter(rules, piece, removals, got, grade, folds)
            notices.extend(got.notices)
            laid.extend(got.links)
        except UngapeError as error:
            failed.add(piece.name)
            problems.extend(error.problems)
    if problems:
        raise AlterError(tuple(problems))
    done = list(results.values())
    strips = cut_strips(rules, size, pieces, [result.altered for result in done])
    facts = sorted((fact for result in done for fact in result.removals), key=lambda fact: fact.index)
    return SizeResult(
        (*(result.altered for result in done), *strips.altered),
        tuple(facts),
        strips.facts,
        (*(notice for result in done for notice in result.notices), *notices, *strips.notices),
        tuple(result.working for result in done),
        tuple(laid),
    )


T = TypeVar("T")


def _noting(problems: list[Problem], work: Callable[[], T]) -> T | None:
    """What ``work`` gives; None where it is refused, with the problems noted."""
    try:
        return work()
    except UngapeError as error:
        problems.extend(error.problems)
        return None


def kept_angles(rules: Rules, size: str, pieces: Sequence[Piece], sizes: Sequence[str]) -> dict[str, float]:
    """The angles (rad) of those removals whose amount keeps the angle that it has at ``size``.

    Raises:
        AlterError: where such a removal does not fit the pieces of that size.
    """
    found: dict[str, float] = {}
    for index, removal in enumerate(rules.removals):
        amount = removal.amount
        if not isinstance(amount, KeptAngle) or fold(amount.at_size) != fold(size):
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
    where = removal.where
    return Asked(rules.file, where.line, where.column, removal.name, piece, removal.keys)


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
    where = removal.keys.get("piece", removal.where)
    piece = piece_named(rules, removal.name, removal.piece, where, size, pieces)
    refuse_outside_sizes(_asked(rules, removal, piece))
    return piece


def _opened_before(rules: Rules, piece: Piece, index: int, grade: Grade) -> dict[str, Closing]:
    """The closings before removal ``index`` that open a new dart on the piece, by the dart's folded name."""
    opened: dict[str, Closing] = {}
    for k, removal in enumerate(rules.removals[:index]):
        if fold(removal.piece) == fold(piece.name) and any(isinstance(o, NewDart) for o in removal.opens):
            closing = resolve(k, removal, _asked(rules, removal, piece), grade, opened)
            _note_opened(closing, opened)
    return opened


def _note_opened(closing: Closing, opened: dict[str, Closing]) -> None:
    """Note the darts that a closing opens new; those of a mouth that another opened before stay with that."""
    for mouth in closing.mouths:
        if mouth.dart is not None and mouth.is_new and not mouth.filled:
            opened.setdefault(fold(mouth.dart), closing)


def _alter(
    rules: Rules,
    piece: Piece,
    removals: Sequence[tuple[int, Removal]],
    got: Received,
    grade: Grade,
    folds: Sequence[float],
) -> PieceResult:
    """The piece after its own removals and those that it received, in the order of the rules.

    ``folds`` are the outline places at which a facing grown on to it is folded.
    """
    opened: dict[str, Closing] = {}
    closings: list[Closing] = []
    problems: list[Problem] = []
    missed: set[str] = set()
    for index, removal in removals:
        for closing in got.closings:
            if closing.index < index:
                _note_opened(closing, opened)
        if missed & {fold(o.name) for o in removal.opens if isinstance(o, KnownDart)}:
            # The dart that it opens further would be there, but for the removal that was refused before.
            continue
        try:
            closing = resolve(index, removal, _asked(rules, removal, piece), grade, opened)
        except UngapeError as error:
            problems.extend(error.problems)
            missed.update(fold(o.name) for o in removal.opens if isinstance(o, NewDart))
            continue
        _note_opened(closing, opened)
        closings.append(closing)
    if problems:
        raise AlterError(tuple(problems))
    every = sorted((*closings, *got.closings), key=lambda closing: closing.index)
    return alter_piece(piece, every, grade, _finishes(every), got.lines, got.misfit, folds)


def _finishes(closings: Sequence[Closing]) -> dict[str, Finish | None]:
    """How each mouth is finished, by dart.

    Raises:
        AlterError: where two removals say differently for one dart.
    """
    found: dict[str, Finish | None] = {}
    for closing in closings:
        finish = closing.removal.finish
        for mouth in closing.mouths:
            if mouth.dart is None or mouth.filled:
                continue
            before = found.setdefault(mouth.dart, finish)
            if before is None:
                found[mouth.dart] = finish
            elif finish is not None and finish != before:
                raise closing.asked.refusal(
                    "differing finish", f"another removal finishes {mouth.dart} differently; say it once"
                )
    return found
