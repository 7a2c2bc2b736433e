"""One design from its rules file to the bytes of its altered files: all in memory, nothing written."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from rules.lengths import KeptAngle
from rules.model import Rules
from rules.problems import Problem, UngapeError
from transform.alter.design import alter_size, kept_angles
from transform.alter.facts import Notice, SizeResult
from transform.checks.advice import advice
from transform.checks.postconditions import verify
from transform.checks.seams import WalkedSeam, walk
from transform.files.notes import Numbers, earlier_removals, note_text, refuse_twice
from transform.files.patterns import PatternFile, find_patterns
from transform.pattern.altered import AlteredPiece
from transform.pattern.model import Piece
from transform.pattern.reading import Reading, read_pieces
from transform.pattern.writing import edits_for
from transform.sizes import natural_order
from transform.svg.document import Document, read_document
from transform.svg.labels import fold
from transform.svg.note import write_note
from transform.svg.problems import PatternError
from transform.svg.splice import splice


class OwnFaultError(UngapeError):
    """A result broke a law: a fault of ours (exit 4)."""


@dataclass(frozen=True)
class Source:
    """A pattern file as it was read."""

    file: PatternFile
    document: Document
    reading: Reading
    sha256: str


@dataclass(frozen=True)
class ReissuedFile:
    """A file to be written; ``copied`` where nothing in it was altered."""

    source: PatternFile
    content: bytes
    copied: bool


@dataclass(frozen=True)
class ReissuedSize:
    """What one size became."""

    size: str
    files: tuple[str, ...]
    result: SizeResult
    seams: tuple[WalkedSeam, ...]
    notices: tuple[Notice, ...]


@dataclass(frozen=True)
class Reissue:
    """A whole design: its files and what is to be told of every size."""

    files: tuple[ReissuedFile, ...]
    sizes: tuple[ReissuedSize, ...]


def reissue(rules: Rules, only: Sequence[str] = ()) -> Reissue:
    """Read, alter and check a design; ``only`` names the sizes to do (none: all).

    Raises:
        UngapeError: with what does not fit (exit 3) or broke a law (exit 4).
    """
    sources = _read(rules)
    sizes = _order(rules, sources, only)
    pieces = {size: _pieces_of(size, sources) for size in sizes}
    all_sizes = _all_sizes(rules, sources)
    angles = _kept(rules, sources, all_sizes)
    numbers = Numbers(rules, all_sizes)
    refuse_twice(numbers, ((source.document, source.reading.pieces) for source in sources), sizes)
    results: dict[str, SizeResult] = {}
    problems: list[Problem] = []
    for size in sizes:
        try:
            results[size] = alter_size(rules, size, pieces[size], all_sizes, angles)
        except UngapeError as error:
            problems.extend(error.problems)
    if problems:
        raise PatternError(problems)
    done = [_size(rules, size, pieces[size], results[size], sources) for size in sizes]
    files = tuple(_written(numbers, source, results) for source in sources if _wanted(source, sizes))
    return Reissue(files, tuple(done))


def _read(rules: Rules) -> list[Source]:
    found: list[Source] = []
    problems: list[Problem] = []
    for file in find_patterns(rules):
        try:
            data = file.path.read_bytes()
            document = read_document(data, file.name)
            reading = read_pieces(document, rules, size=file.size, piece=file.piece, sizes=rules.sizes or ())
            found.append(Source(file, document, reading, hashlib.sha256(data).hexdigest()))
        except UngapeError as error:
            problems.extend(error.problems)
        except OSError as error:
            text = f"the file cannot be read: {error.strerror}"
            problems.append(Problem("unreadable file", text, file.name, exit=3))
    if problems:
        raise PatternError(problems)
    return found


def _all_sizes(rules: Rules, sources: Sequence[Source]) -> list[str]:
    """Every size of the design in order; the one size of a design without sizes is named by nothing."""
    found = natural_order(
        piece.size for source in sources for piece in source.reading.pieces if piece.size is not None
    )
    if rules.sizes is None:
        return found or [""]
    return list(rules.sizes)


def _order(rules: Rules, sources: Sequence[Source], only: Sequence[str]) -> list[str]:
    sizes = _all_sizes(rules, sources)
    there = {p.size for source in sources for p in source.reading.pieces}
    problems = [
        Problem(
            "unknown size",
            f"there is no size {size!r}; there is: {', '.join(sorted(s for s in there if s is not None))}",
            rules.file,
            exit=3,
        )
        for size in sizes
        if size and size not in there
    ]
    problems += [
        Problem("unknown size", f"there is no size {size!r}; there is: {', '.join(sizes)}", rules.file)
        for size in only
        if size not in sizes
    ]
    if problems:
        raise PatternError(problems)
    return [size for size in sizes if not only or size in only]


def _pieces_of(size: str, sources: Sequence[Source]) -> tuple[Piece, ...]:
    """The pieces of the size, and those outside all sizes; in a design without sizes, all of them."""
    every = [piece for source in sources for piece in source.reading.pieces]
    if size == "":
        return tuple(replace(piece, size="") for piece in every)
    own = [piece for piece in every if piece.size == size]
    names = {fold(piece.name) for piece in own}
    return tuple(own) + tuple(p for p in every if p.size is None and fold(p.name) not in names)


def _kept(rules: Rules, sources: Sequence[Source], sizes: Sequence[str]) -> dict[str, float]:
    found: dict[str, float] = {}
    at = dict.fromkeys(r.amount.at_size for r in rules.removals if isinstance(r.amount, KeptAngle))
    for size in at:
        if size not in sizes:
            text = f"`at` names size {size!r}; there is: {', '.join(sizes)}"
            raise PatternError((Problem("unknown size", text, rules.file, exit=3),))
        found |= kept_angles(rules, size, _pieces_of(size, sources), sizes)
    return found


def _wanted(source: Source, sizes: Sequence[str]) -> bool:
    own = {piece.size for piece in source.reading.pieces}
    return not own or None in own or bool(own & set(sizes)) or sizes == [""]


def _size(
    rules: Rules, size: str, pieces: Sequence[Piece], result: SizeResult, sources: Sequence[Source]
) -> ReissuedSize:
    after = {done.piece.name: _after(done) for done in result.altered}
    seams, told = walk(rules, size, pieces, after)
    notices = (*result.notices, *advice(result.removals, result.workings), *told)
    files = [s.file.name for s in sources if any(p.size in (size, None) for p in s.reading.pieces)]
    if size == "":
        files = [s.file.name for s in sources]
    return ReissuedSize(size, tuple(files), result, seams, tuple(dict.fromkeys(notices)))


def _after(done: AlteredPiece) -> Piece:
    return done.piece if done.stitching is None else replace(done.piece, stitching=done.stitching)


def _written(numbers: Numbers, source: Source, results: Mapping[str, SizeResult]) -> ReissuedFile:
    """One source's new bytes, judged on being read again."""
    own = {(piece.size, piece.name): piece for piece in source.reading.pieces}
    altered = [
        (size, done)
        for size, result in results.items()
        for done in result.altered
        if done.piece.file == source.document.name and (size or None, done.piece.name) in own
    ]
    if not altered:
        return ReissuedFile(source.file, source.document.data, copied=True)
    edits = [
        edit
        for size, done in altered
        for edit in edits_for(source.document, source.reading, own[size or None, done.piece.name], done)
    ]
    facts = [
        (size, fact)
        for size, done in altered
        for fact in results[size].removals
        if fact.piece == done.piece.name
    ]
    text = note_text(numbers, earlier_removals(source.document), facts, source.sha256)
    edits.extend(write_note(source.document, text))
    content = splice(source.document, edits)
    _verify(numbers.rules, source, content, results, [(size, done.piece.name) for size, done in altered])
    return ReissuedFile(source.file, content, copied=False)


def _verify(
    rules: Rules,
    source: Source,
    content: bytes,
    results: Mapping[str, SizeResult],
    altered: Sequence[tuple[str, str]],
) -> None:
    try:
        again = read_pieces(
            read_document(content, source.document.name),
            rules,
            size=source.file.size,
            piece=source.file.piece,
            sizes=rules.sizes or (),
        )
    except UngapeError as error:
        raise OwnFaultError(
            replace(
                problem,
                kind="failed its own check",
                text=f"the altered file cannot be read again: {problem.text}; nothing was written. "
                "This is a fault of ungape, not of the pattern",
                exit=4,
            )
            for problem in error.problems
        ) from None
    problems = [
        problem
        for size, name in altered
        for problem in verify(
            tuple(w for w in results[size].workings if w.piece.name == name),
            {piece.name: piece for piece in again.pieces if piece.size == (size or None)},
        )
    ]
    if problems:
        raise OwnFaultError(problems)
