"""Findings as workflow commands, one a line, which a hosting service shows beside the file they are about.

The form is GitHub's documented one: ``::error file=…,line=…,col=…,title=…::text``, with ``%``, line ends and,
in a property, ``:`` and ``,`` written as percent codes.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from transform.report.notice_rows import notice_rows
from transform.report.over_sizes import behind
from transform.report.sentences import seam_sentence, size_words

if TYPE_CHECKING:
    from rules.problems import Problem
    from transform.report.facts import DesignFacts, Report

_DATA = {"%": "%25", "\r": "%0D", "\n": "%0A"}
_PROPERTY = {**_DATA, ":": "%3A", ",": "%2C"}


def workflow_commands(report: Report, root: Path) -> Iterator[str]:
    """A line for each problem, each seam that does not hold, each notice that nobody accepted.

    Files are named relative to ``root``, the folder of the whole repository, where they lie in it.
    """
    for problem in report.problems:
        yield _problem(problem, Path(), root)
    for design in report.designs:
        for problem in (*design.problems, *design.stale):
            yield _problem(problem, design.folder, root)
        rules = design.folder / design.rules
        for size, seam in design.off:
            said = seam_sentence(seam, design.units) + size_words(size.size)
            yield _line("error", rules, root, "seam does not hold", said)
        yield from _notices(design, root, "error" if report.strict else "warning")


def _notices(design: DesignFacts, root: Path, level: str) -> Iterator[str]:
    for row in notice_rows(design):
        if not row.notice.accepted:
            yield _line(
                level,
                design.folder / design.rules,
                root,
                row.notice.kind,
                row.said(design.units) + behind(row.sizes),
            )


def _problem(problem: Problem, folder: Path, root: Path) -> str:
    said = f"{problem.text} (in {problem.element})" if problem.element else problem.text
    file = folder / problem.file if problem.file else None
    return _line("error", file, root, problem.kind, said, problem.line, problem.column)


def _line(
    level: str,
    file: Path | None,
    root: Path,
    title: str,
    said: str,
    line: int | None = None,
    column: int | None = None,
) -> str:
    place = None if file is None else _below(file, root)
    given = (("file", place), ("line", line), ("col", column), ("title", title))
    properties = ",".join(
        f"{key}={_coded(str(value), _PROPERTY)}" for key, value in given if value is not None
    )
    return f"::{level} {properties}::{_coded(said, _DATA)}"


def _below(file: Path, root: Path) -> str:
    try:
        return file.resolve().relative_to(root.resolve()).as_posix()
    except ValueError:
        return file.as_posix()


def _coded(text: str, codes: dict[str, str]) -> str:
    return "".join(codes.get(c, c if c.isprintable() else f"\\x{ord(c):02x}") for c in text)
