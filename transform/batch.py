"""Designs as independent jobs: each is read, altered, judged, and then written as a whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

from rules.model import Rules
from rules.problems import Problem, UngapeError
from rules.reading import read_rules_text
from transform.alter.facts import Notice
from transform.checks.stale import stale_files
from transform.files.output import NewFile, check_folder, write_files
from transform.files.patterns import find_patterns
from transform.reissue import ReissuedSize, reissue
from transform.report.facts import DesignFacts, FileFacts, SizeFacts


@dataclass(frozen=True, slots=True)
class Options:
    """What a run was asked for. ``writes``: `apply` puts files in place; else they are compared."""

    writes: bool
    out: Path | None = None
    sizes: tuple[str, ...] = ()
    dry_run: bool = False
    replace: bool = False


def run_design(path: Path, options: Options) -> DesignFacts:
    """One design from its rules file on; what is wrong with it is in the result, never raised."""
    rules: Rules | None = None
    try:
        rules = read_rules_text(path.read_bytes(), str(path))
        return _run(rules, options)
    except OSError as error:
        problem = Problem("no rules", f"the file cannot be read: {error.strerror}", str(path))
        return _failed(path, rules, (problem,))
    except UngapeError as error:
        return _failed(path, rules, error.problems)


def _failed(path: Path, rules: Rules | None, problems: Sequence[Problem]) -> DesignFacts:
    design = rules.design if rules is not None else ""
    units = rules.units if rules is not None else "mm"
    return DesignFacts(path.name, design, units, (), tuple(problems))


def _run(rules: Rules, options: Options) -> DesignFacts:
    path = Path(rules.file)
    out = options.out if options.out is not None else path.parent / rules.out
    check_folder(out, rules.file, find_patterns(rules))
    done = reissue(rules, options.sizes)
    files = [NewFile(file.source.name, file.content, file.copied) for file in done.files]
    stale: tuple[Problem, ...] = ()
    if options.writes and not options.dry_run:
        write_files(out, path.name, files, replace=options.replace, partial=bool(options.sizes))
    elif not options.writes:
        stale = tuple(stale_files(out, path.name, files, partial=bool(options.sizes)))
    shown = rules.out if options.out is None else options.out.as_posix()
    targets = {file.name: FileFacts(file.name, f"{shown}/{file.name}", file.sha256) for file in files}
    sizes = _accepted(rules, [_facts(size, targets) for size in done.sizes])
    return DesignFacts(path.name, rules.design, rules.units, tuple(sizes), (), stale)


def _facts(size: ReissuedSize, targets: Mapping[str, FileFacts]) -> SizeFacts:
    return SizeFacts(
        size.size,
        tuple(targets[name] for name in size.files if name in targets),
        size.result.removals,
        size.seams,
        size.result.strips,
        size.notices,
    )


def _accepted(rules: Rules, sizes: Sequence[SizeFacts]) -> Iterator[SizeFacts]:
    """The sizes with accepted notices marked; an acceptance that met nothing is itself a notice."""
    met: set[int] = set()

    def marked(notice: Notice) -> Notice:
        for index, accept in enumerate(rules.accept):
            if accept.kind == notice.kind and accept.piece in (None, notice.piece):
                met.add(index)
                return replace(notice, accepted=True)
        return notice

    found = [replace(size, notices=tuple(marked(notice) for notice in size.notices)) for size in sizes]
    idle = [accept for index, accept in enumerate(rules.accept) if index not in met]
    if found and idle:
        told = tuple(
            Notice("accepted nothing", a.piece, f"no notice of the kind {a.kind!r} was there to accept")
            for a in idle
        )
        found[0] = replace(found[0], notices=found[0].notices + told)
    yield from found


def run_all(
    paths: Sequence[Path], options: Options, jobs: int, done: Callable[[int], None]
) -> tuple[DesignFacts, ...]:
    """Every design, in order; two that would write one file are refused.

    ``done`` is told how many are finished.
    """
    clashes = _clashes(paths, options)
    if jobs <= 1 or len(paths) <= 1:
        found = []
        for index, path in enumerate(paths):
            found.append(clashes.get(path) or run_design(path, options))
            done(index + 1)
        return tuple(found)
    with ProcessPoolExecutor(max_workers=jobs) as pool:
        waiting = [
            (path, None if path in clashes else pool.submit(run_design, path, options)) for path in paths
        ]
        found = []
        for index, (path, job) in enumerate(waiting):
            found.append(clashes[path] if job is None else job.result())
            done(index + 1)
        return tuple(found)


def _clashes(paths: Sequence[Path], options: Options) -> dict[Path, DesignFacts]:
    """Designs of which another, earlier in the list, would write the same file."""
    taken: dict[Path, Path] = {}
    found: dict[Path, DesignFacts] = {}
    if len(paths) <= 1 or not options.writes:
        return found
    for path in paths:
        try:
            rules = read_rules_text(path.read_bytes(), str(path))
            sources = find_patterns(rules)
        except (OSError, UngapeError):
            continue
        out = options.out if options.out is not None else path.parent / rules.out
        for source in sources:
            target = (out / source.name).resolve()
            other = taken.setdefault(target, path)
            if other != path:
                text = f"{other} writes {target} too; give one of the designs another `out`"
                problem = Problem("two designs, one file", text, str(path), exit=3)
                found[path] = _failed(path, rules, (problem,))
                break
    return found
