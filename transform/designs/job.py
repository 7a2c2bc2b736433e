"""One job of a design: some of its sizes and all files that hold them, altered, judged, made bytes again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from rules.labels import fold
from rules.model import Find, Rules
from rules.problems import Problem, UngapeError
from transform.alter.design import alter_size
from transform.alter.facts import Notice, RemovalFacts, SizeResult, StripFacts
from transform.checks.advice import advice
from transform.checks.even_grade import Landmarks, landmarks
from transform.checks.forgotten import forgotten
from transform.checks.inner_ends import inner_ends
from transform.checks.linked import linked_apart
from transform.checks.seams import WalkedSeam, walk
from transform.checks.selectors import refuse_lost_selectors
from transform.checks.walking import walking
from transform.checks.written import told_of_file
from transform.designs.judging import Judge
from transform.designs.picturing import pictures
from transform.designs.sources import Source, SourceFile, understand
from transform.doing import doing
from transform.files.notes import Numbers, earlier_removals, made_for, note_text, refuse_twice
from transform.files.patterns import PatternFile
from transform.files.revision import renewed, stale_revision
from transform.pattern.altered import AlteredPiece
from transform.pattern.model import Piece
from transform.pattern.reading import NOTHING_NEEDED
from transform.pattern.writing import edits_for
from transform.report.picture import Picture
from transform.svg.note import added_ids, write_note
from transform.svg.partners import partners
from transform.svg.splice import Edit, splice

_MOST_HINTS = 3


@dataclass(frozen=True)
class Job:
    """``raws`` hold ``sizes`` (and maybe others); ``common`` serve every size. ``order`` are all sizes of the
    design; ``angles`` (rad, by removal) are kept from another size; ``pictured``: pictures are to be made."""

    rules: Rules
    raws: tuple[SourceFile, ...]
    common: tuple[SourceFile, ...]
    sizes: tuple[str, ...]
    order: tuple[str, ...]
    angles: Mapping[str, float]
    pictured: bool = False


@dataclass(frozen=True)
class ReissuedFile:
    """A file to be written; ``copied`` where nothing in it was altered."""

    source: PatternFile
    content: bytes
    copied: bool


@dataclass(frozen=True)
class ReissuedSize:
    """What is told of one size; ``files`` are the sources that hold something of it.

    ``landmarks`` are what the grade is judged by, when all sizes are done. How it was done is not among this:
    a run over a thousand sizes need not remember that, nor a worker hand it over. ``idle`` are the entries of
    ``find`` that match nothing in any of its files.
    """

    size: str
    files: tuple[str, ...]
    removals: tuple[RemovalFacts, ...]
    strips: tuple[StripFacts, ...]
    seams: tuple[WalkedSeam, ...]
    notices: tuple[Notice, ...]
    landmarks: Landmarks
    pictures: tuple[Picture, ...] = ()
    idle: tuple[Find, ...] = ()


@dataclass(frozen=True)
class Part:
    """What became of a job: its files and sizes, or the problems that stop the design."""

    files: tuple[ReissuedFile, ...] = ()
    sizes: tuple[ReissuedSize, ...] = ()
    problems: tuple[Problem, ...] = ()


def do_alone(job: Job) -> Part:
    """The job in a process of its own."""
    try:
        common = understand(job.rules, job.common, job.order)
    except UngapeError as error:
        return Part(problems=error.problems)
    return do(job, common)


def do(job: Job, common: Sequence[Source], known: Mapping[str, Source] = MappingProxyType({})) -> Part:
    """The job, the common files being understood already, and those of its own that are ``known`` by name."""
    try:
        read_now = [raw for raw in job.raws if raw.file.name not in known]
        every = {
            **known,
            **{source.file.name: source for source in understand(job.rules, read_now, job.order)},
        }
        own = [every[raw.file.name] for raw in job.raws]
        return _Work(job, own, [*own, *common]).part()
    except UngapeError as error:
        return Part(problems=error.problems)


def pieces_of(size: str, sources: Sequence[Source]) -> tuple[Piece, ...]:
    """The pieces of the size, and those outside all sizes; in a design without sizes, all of them."""
    every = [piece for source in sources for piece in source.reading.pieces]
    if size == "":
        return tuple(replace(piece, size="") for piece in every)
    own = [piece for piece in every if piece.size == size]
    names = {fold(piece.name) for piece in own}
    return (*own, *(piece for piece in every if piece.size is None and fold(piece.name) not in names))


class _Work:
    """The job while it is being done; ``own`` are the files that it writes, ``every`` those that it reads."""

    def __init__(self, job: Job, own: Sequence[Source], every: Sequence[Source]) -> None:
        self.job, self.own, self.every = job, own, every
        self.rules = job.rules
        self.numbers = Numbers(job.rules, job.order)

    def part(self) -> Part:
        """Everything done.

        Raises:
            UngapeError: with what does not fit, or broke a law.
        """
        refuse_twice(self.numbers, ((s.document, s.reading.pieces) for s in self.own), self.job.sizes)
        results: dict[str, SizeResult] = {}
        told: dict[str, ReissuedSize] = {}
        problems: list[Problem] = []
        for size in self.job.sizes:
            try:
                with doing(f"altering size {size}" if size else "altering"):
                    results[size], told[size] = self._size(size)
            except UngapeError as error:
                problems.extend(error.problems)
        if problems:
            raise UngapeError(problems)
        files: list[ReissuedFile] = []
        judge = Judge(self.rules, self.job.order, results)
        for source in self.own:
            if not self._asked(source):
                continue
            with doing("writing the altered pieces into", source.file.name):
                file, notices = self._file(source, judge)
            files.append(file)
            told = {
                size: replace(one, notices=(*one.notices, *notices)) if source.file.name in one.files else one
                for size, one in told.items()
            }
        judge.judge_together({size: pieces_of(size, self.every) for size in results})
        sizes = (
            replace(one, notices=(*one.notices, *judge.notices.get(size, ()))) for size, one in told.items()
        )
        return Part(tuple(files), tuple(sizes))

    def _size(self, size: str) -> tuple[SizeResult, ReissuedSize]:
        pieces = pieces_of(size, self.every)
        if not any(piece.size == size for piece in pieces):
            self._refuse_empty()
            held = sorted({p.size for s in self.every for p in s.reading.pieces if p.size is not None})
            text = f"no piece of size {size!r} is in the files; there is: {', '.join(held) or 'no size'}"
            raise UngapeError((Problem("unknown size", text, self.rules.file, exit=3),))
        try:
            result = alter_size(self.rules, size, pieces, self.job.order, self.job.angles)
        except UngapeError as error:
            raise UngapeError((*error.problems, *self._seams_wrong(size, pieces))) from None
        after = {altered.piece.name: _after(altered) for altered in result.altered}
        seams, off = walk(self.rules, size, self.job.order, pieces, after)
        order, altered = self.job.order, result.altered
        notices = (
            *result.notices,
            *advice(result.removals, result.workings),
            *off,
            *walking(self.rules, size, order, pieces, altered, seams),
            *(notice for each in altered for notice in inner_ends(each)),
            *forgotten(self.rules, pieces, result.removals),
            *linked_apart(result, after),
        )
        files = [source.file.name for source in self.every if _serves(source, size)]
        told = ReissuedSize(
            size,
            tuple(files),
            result.removals,
            result.strips,
            seams,
            tuple(dict.fromkeys(notices)),
            landmarks(result),
            pictures(result, size) if self.job.pictured else (),
            tuple(one for one in self.rules.find if all(one in source.reading.idle for source in self.every)),
        )
        return result, told

    def _seams_wrong(self, size: str, pieces: Sequence[Piece]) -> tuple[Problem, ...]:
        """What is wrong with the seams of a size that cannot be altered: told now, not the next time."""
        try:
            walk(self.rules, size, self.job.order, pieces, {})
        except UngapeError as error:
            return error.problems
        return ()

    def _refuse_empty(self) -> None:
        """Say so where no file holds any piece.

        Raises:
            UngapeError: with a problem for each file.
        """
        if any(source.reading.pieces for source in self.every):
            return
        text = (
            "no piece is found in this file: none of its lines lies in a layer labelled `stitching line` or "
            "`cut line`; name the layers, or point at them under `find`; `ungape inspect` tells what it "
            "could not place"
        )
        raise UngapeError(
            Problem("no piece", f"{text}{_hints(source)}", source.document.name, exit=3)
            for source in self.every
        )

    def _file(self, source: Source, judge: Judge) -> tuple[ReissuedFile, tuple[Notice, ...]]:
        """One source's new bytes, judged on being read again; and what is to be told of the file."""
        own = {(piece.size, piece.name): piece for piece in source.reading.pieces}
        altered = [
            (size, done)
            for size, result in judge.results.items()
            for done in result.altered
            if done.piece.file == source.document.name and (size or None, done.piece.name) in own
        ]
        if not altered:
            return ReissuedFile(source.file, source.document.data, copied=True), ()
        edits: list[Edit] = []
        taken: set[str] = set()
        for size, done in altered:
            piece = own[size or None, done.piece.name]
            edits += edits_for(source.document, source.reading, piece, done, taken)
        facts = [
            (size, fact)
            for size, done in altered
            for fact in made_for(self.rules, done.piece.name, judge.results[size].removals)
        ]
        added = taken.union(added_ids(source.document))
        text = note_text(self.numbers, earlier_removals(source.document), facts, source.raw.sha256, added)
        edits += renewed(source.document, self.rules, edits, self.job.sizes)
        edits += write_note(source.document, text)
        content = splice(source.document, edits)
        after = judge.read_again(source, content)
        pairs = partners(source.document, edits, after)
        refuse_lost_selectors(self.rules, pairs)
        judge.judge_file(source, after, altered)
        told = (
            *stale_revision(source.document, self.rules, self.job.sizes),
            *self._left_out(source),
            *told_of_file(source.reading, pairs, self.rules.user_unit),
        )
        return ReissuedFile(source.file, content, copied=False), told

    def _asked(self, source: Source) -> bool:
        """Whether a file is to be written: not one that holds nothing but sizes that were not asked for."""
        held = {piece.size for piece in source.reading.pieces}
        return not held or any(size in self.job.sizes or size not in self.job.order for size in held)

    def _left_out(self, source: Source) -> Iterator[Notice]:
        """A notice where the file holds sizes of the design that were not asked for."""
        left = [
            size for size in source.reading.sizes if size in self.job.order and size not in self.job.sizes
        ]
        if left:
            text = f"{source.file.name} holds size {', '.join(left)} too; not asked for, so as it came"
            yield Notice("size left out", None, text)


def _hints(source: Source) -> str:
    """What the labels of a file may have meant: the first few."""
    needs = dict.fromkeys(one.needed for one in source.reading.unplaced)
    telling = [need for need in needs if need != NOTHING_NEEDED and not need.startswith("no piece")]
    return "".join(f"; {need}" for need in telling[:_MOST_HINTS])


def _serves(source: Source, size: str) -> bool:
    """Whether a file holds something of a size, or serves all sizes."""
    pieces = source.reading.pieces
    return size == "" or not pieces or any(piece.size in (size, None) for piece in pieces)


def _after(done: AlteredPiece) -> Piece:
    return done.piece if done.stitching is None else replace(done.piece, stitching=done.stitching)
