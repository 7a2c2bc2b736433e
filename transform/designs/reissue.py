"""One design from its rules file to the bytes of its altered files: all in memory, nothing written.

A size whose files are named by it is a job of its own. Where one file holds several sizes the whole design
is one job. What a design needs is begun before it is ended, so that the jobs of the designs after it can be
with a pool already while its own are waited for and its files are written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future
from dataclasses import dataclass, replace
from functools import partial

from rules.labels import fold, spelled
from rules.lengths import KeptAngle
from rules.model import Rules
from rules.problems import Problem, UngapeError, nearest
from transform.alter.design import kept_angles
from transform.alter.facts import Notice
from transform.checks.even_grade import uneven
from transform.designs.job import Job, Part, ReissuedFile, ReissuedSize, do, do_alone, pieces_of
from transform.designs.pool import Pool
from transform.designs.sources import Source, SourceFile, understand
from transform.pattern.vocabulary import vocabulary_of
from transform.sizes import natural_order
from transform.svg.problems import PatternError


@dataclass(frozen=True)
class Asked:
    """What is asked of a design: its rules, all its files; ``only`` names the sizes to do (none: all).

    ``pictured``: pictures are to be made.
    """

    rules: Rules
    files: tuple[SourceFile, ...]
    only: tuple[str, ...] = ()
    pictured: bool = False


@dataclass(frozen=True)
class Reissue:
    """A whole design: its files in the order of the rules, and what is to be told of every size."""

    files: tuple[ReissuedFile, ...]
    sizes: tuple[ReissuedSize, ...]


@dataclass(frozen=True)
class Begun:
    """A design of so many ``jobs``, which are with the pool by now; without one they are done by ``end``.

    ``end`` waits for them and calls its argument after each.

    Raises:
        UngapeError: by ``end``, with what does not fit (exit 3) or broke a law (exit 4), of all sizes.
    """

    jobs: int
    end: Callable[[Callable[[], None]], Reissue]


@dataclass(frozen=True)
class _Plan:
    """``common`` are the files that serve every size; ``groups`` the others, by the sizes that they hold.

    ``known`` are those of the others that are understood already, by name.
    """

    common: tuple[Source, ...]
    groups: tuple[tuple[tuple[str, ...], tuple[SourceFile, ...]], ...]
    order: tuple[str, ...]
    known: dict[str, Source]

    def files_of(self, size: str) -> tuple[SourceFile, ...]:
        """The files that hold a size, common ones left out."""
        return next(raws for sizes, raws in self.groups if size in sizes)


def begin(asked: Asked, pool: Pool | None = None, *, several: bool = False) -> Begun:
    """Give the jobs of a design to ``pool``; the result is the same to the byte without one.

    ``several``: there are other designs besides this one, so that even a single job is given away.

    Raises:
        UngapeError: with what does not fit before any size is altered (exit 2 or 3).
    """
    if pool is not None and several and any(raw.file.size is None for raw in asked.files):
        # Which sizes these files hold is known to those who read them: let one worker read them, and once.
        return Begun(1, partial(_ended_whole, pool.submit(_reissue, asked)))
    plan = _plan(asked.rules, asked.files)
    jobs = _jobs(asked, plan)
    if pool is None or (len(jobs) == 1 and not several):
        parts = (do(job, plan.common, plan.known) for job in jobs)
    else:
        given = [pool.submit(do_alone, job) for job in jobs]
        parts = (part.result() for part in given)
    return Begun(len(jobs), partial(_ended, asked, plan, parts))


def _reissue(asked: Asked) -> Reissue:
    return begin(asked).end(lambda: None)


def _ended_whole(design: Future[Reissue], done: Callable[[], None]) -> Reissue:
    found = design.result()
    done()
    return found


def _jobs(asked: Asked, plan: _Plan) -> list[Job]:
    wanted = _wanted(asked.rules, plan.order, asked.only)
    angles = _kept(asked.rules, plan)
    common = tuple(source.raw for source in plan.common)
    return [
        Job(
            asked.rules,
            raws,
            common,
            tuple(size for size in sizes if size in wanted),
            plan.order,
            angles,
            asked.pictured,
        )
        for sizes, raws in plan.groups
        if any(size in wanted for size in sizes)
    ]


def _ended(asked: Asked, plan: _Plan, coming: Iterator[Part], done: Callable[[], None]) -> Reissue:
    parts: list[Part] = []
    for part in coming:
        parts.append(part)
        done()
    # What the rules say wrongly is found in every size; once is enough.
    problems = list(dict.fromkeys(problem for part in parts for problem in part.problems))
    if problems:
        raise PatternError(problems)
    made = {file.source.name: file for part in parts for file in part.files}
    for source in plan.common:
        made[source.file.name] = ReissuedFile(source.file, source.raw.data, copied=True)
    sizes = {size.size: size for part in parts for size in part.sizes}
    return Reissue(
        tuple(made[raw.file.name] for raw in asked.files if raw.file.name in made),
        tuple(_graded([sizes[size] for size in plan.order if size in sizes], plan.order)),
    )


def _graded(sizes: Sequence[ReissuedSize], order: Sequence[str]) -> Iterator[ReissuedSize]:
    """The sizes, each with a notice where it steps out of the grade of its neighbours."""
    told: dict[str, list[Notice]] = {}
    for size, notice in uneven({one.size: one.landmarks for one in sizes}, order):
        told.setdefault(size, []).append(notice)
    for one in sizes:
        yield replace(one, notices=(*one.notices, *told.get(one.size, ())))


def _plan(rules: Rules, raws: Sequence[SourceFile]) -> _Plan:
    named: dict[str, list[SourceFile]] = {}
    for raw in raws:
        if raw.file.size is not None:
            named.setdefault(vocabulary_of(rules).size(raw.file.size), []).append(raw)
    order = tuple(rules.sizes or natural_order(named))
    unnamed = understand(rules, [raw for raw in raws if raw.file.size is None], order)
    inside = natural_order(p.size for s in unnamed for p in s.reading.pieces if p.size is not None)
    if named and not inside:
        order = tuple(rules.sizes or natural_order(named))
        groups = tuple(((size,), tuple(group)) for size, group in named.items())
        return _Plan(tuple(unnamed), groups, order, {})
    # A design without any sizes has one, without a name.
    before, order = order, tuple(rules.sizes or natural_order([*named, *inside]) or [""])
    known = {s.file.name: s for s in unnamed if (before or s.reading.sizes or ("",)) == order}
    return _Plan((), ((tuple(dict.fromkeys([*order, *named, *inside])), tuple(raws)),), order, known)


def _wanted(rules: Rules, order: Sequence[str], only: Sequence[str]) -> list[str]:
    """The sizes to do, spelled as the design spells them.

    Raises:
        UngapeError: where a size is asked for that the design has not (exit 2).
    """
    spelled = {fold(size): size for size in order}
    problems = [
        _unknown_size(rules, f"--size: there is no size {size!r}", size, order)
        for size in only
        if fold(size) not in spelled
    ]
    if problems:
        raise UngapeError(problems)
    asked = {spelled[fold(size)] for size in only}
    return [size for size in order if not only or size in asked]


def _unknown_size(
    rules: Rules, text: str, size: str, order: Sequence[str], position: tuple[int, int] | None = None
) -> Problem:
    near = nearest(size, order)
    hint = f"; did you mean {near}?" if near else ""
    line, column = position or (None, None)
    there = f"there is: {', '.join(order)}" if any(order) else "the files name no sizes"
    return Problem("unknown size", f"{text}; {there}{hint}", rules.file, line, column, exit=2)


def _kept(rules: Rules, plan: _Plan) -> dict[str, float]:
    """The angles that removals keep from one size in all."""
    found: dict[str, float] = {}
    at = {r.amount.at_size: r for r in rules.removals if isinstance(r.amount, KeptAngle)}
    for named, removal in at.items():
        size = spelled(named, plan.order)
        if size is None:
            where = (removal.where.line, removal.where.column)
            text = f"{removal.name}: `at` names the size {named!r}, which is not one of the design's"
            raise UngapeError((_unknown_size(rules, text, named, plan.order, where),))
        raws = [raw for raw in plan.files_of(size) if raw.file.name not in plan.known]
        plan.known.update((s.file.name, s) for s in understand(rules, raws, plan.order))
        own = [plan.known[raw.file.name] for raw in plan.files_of(size)]
        sources = [*own, *plan.common]
        found |= kept_angles(rules, size, pieces_of(size, sources), plan.order)
    return found
