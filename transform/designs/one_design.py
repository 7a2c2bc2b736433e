"""One design whose rules and files are known: read, altered, judged, and written or compared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from rules.model import Rules
from rules.problems import Problem
from transform.alter.facts import Notice
from transform.checks.stale import differing, left_over_files, stale_files
from transform.designs.accepting import with_accepted
from transform.designs.job import ReissuedSize
from transform.designs.orders import Design, Listener, Options
from transform.designs.pool import Pool
from transform.designs.reissue import Asked, Begun, begin
from transform.designs.sources import load
from transform.doing import doing
from transform.files.output import NewFile, refuse_foreign, unfinished, write_files
from transform.files.patterns import unlisted
from transform.report.facts import DesignFacts, FileFacts, SizeFacts


def set_out(design: Design, options: Options, pool: Pool | None, *, several: bool) -> Begun:
    """The design's files read, and its jobs given to ``pool``; ``several``: so are those of other designs.

    Raises:
        UngapeError: with what stops it.
    """
    asked = Asked(design.rules, tuple(load(design.files)), options.sizes, options.proof)
    return begin(asked, pool, several=several)


def carry_out(design: Design, begun: Begun, options: Options, listener: Listener) -> DesignFacts:
    """The design done, written or compared, and what there is to tell of it.

    Raises:
        UngapeError: with what stops it; then nothing was written.
    """
    rules, output = design.rules, design.output
    done = begun.end(listener.done)
    files = [NewFile(file.source.target, file.content, file.copied) for file in done.files]
    names = [file.target for file in design.files]
    stale: list[Problem] = []
    over: list[Problem] = []
    written: int | None = None
    # Whatever may be refused is looked at before anything is written.
    left = tuple(
        Notice(
            "size left out",
            None,
            f"`{file.name}` lies here and size {file.size} is not among `sizes`; it was not altered",
        )
        for file in unlisted(rules, out=output.out)
    )
    with doing("writing into" if options.writes else "comparing with", str(output.out)):
        if not options.writes:
            stale = list(stale_files(output, rules, files, names))
            if options.diff:
                for line in differing(output, rules, files):
                    listener.differs(line)
        else:
            over = list(left_over_files(output, rules, names)) if output.out.is_dir() else []
            if not options.dry_run:
                written = write_files(output, files, replace=options.replace)
            elif not unfinished(output):
                refuse_foreign(output, files, replace=options.replace)
    out = output.shown()
    targets = {
        source.source.name: FileFacts(source.source.name, f"{out}/{file.name}", file.sha256)
        for source, file in zip(done.files, files, strict=True)
    }
    sizes = [_facts(size, targets) for size in done.sizes]
    if sizes:
        told = [Notice(problem.kind, None, problem.text) for problem in over]
        if not options.sizes:
            told += _found_nothing(rules, done.sizes)
        sizes[0] = replace(sizes[0], notices=(*sizes[0].notices, *told, *left))
    return DesignFacts(
        design.path.name,
        rules.design,
        rules.units,
        tuple(with_accepted(rules, sizes, whole=not options.sizes)),
        stale=tuple(stale),
        folder=design.path.parent,
        out=out,
        written=written,
        compared=not options.writes,
    )


def _found_nothing(rules: Rules, sizes: Sequence[ReissuedSize]) -> Iterator[Notice]:
    """A notice for each selector that matches nothing in any file: what it names went unseen."""
    for entry in rules.find:
        if all(entry in size.idle for size in sizes):
            text = f"find: {entry.label}: {entry.selector!r} matches nothing in any file of the design"
            yield Notice("found nothing", None, text)


def _facts(size: ReissuedSize, targets: Mapping[str, FileFacts]) -> SizeFacts:
    return SizeFacts(
        size.size,
        tuple(targets[name] for name in size.files if name in targets),
        size.removals,
        size.seams,
        size.strips,
        size.notices,
        size.pictures,
    )
