"""The report for a person at a terminal: problems and notices line by line, then tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table
from rich.text import Text

from transform.report.fitting import Column, fitted
from transform.report.notice_rows import notice_rows
from transform.report.off_seams import off_sentences
from transform.report.over_sizes import (
    RemovalRow,
    SeamRow,
    behind,
    removal_rows,
    seam_rows,
    sizes_text,
)
from transform.report.problem_rows import once
from transform.report.sentences import in_units, short, titles

if TYPE_CHECKING:
    from rules.problems import Problem
    from transform.report.facts import DesignFacts, Report

_WIDEST = 100
_MOST = 100
"""More lines or rows of one kind are not shown: a file made by a fault can ask for tens of thousands."""
_LONGEST = 4000
"""More of a text than these characters is not said; the report has all of it."""


def plain(text: str) -> str:
    """The text with control characters escaped: a label of a file never acts in the terminal.

    >>> plain("neck\\x1b[2J")
    'neck\\\\x1b[2J'
    """
    return "".join(c if c.isprintable() else _escape(ord(c)) for c in text)


def _escape(number: int) -> str:
    if number < 0x100:
        return f"\\x{number:02x}"
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"


def console_for(*, no_color: bool) -> Console:
    """Where messages go: the error stream, in colour where it is a terminal that has some.

    ``NO_COLOR`` and ``TERM=dumb`` count as ``no_color`` does.
    """
    return Console(stderr=True, no_color=no_color or None, highlight=False, soft_wrap=False, emoji=False)


def show(report: Report, console: Console, *, quiet: bool) -> None:
    """Problems always; tables, notices and what was written unless ``quiet``."""
    _problems(report.problems, Path(), console)
    for design in report.designs:
        _design(design, console, quiet=quiet, strict=report.strict)
    if not quiet and any(design.sizes for design in report.designs):
        _print(_closing(report, console), console)
        for design in report.designs:
            if design.written is not None:
                where = (design.folder / design.out).as_posix()
                many = _many(_file_count(design), "file")
                _say(f"{design.design or design.rules}: {many} in {where}", console, style="")


def _design(design: DesignFacts, console: Console, *, quiet: bool, strict: bool) -> None:
    _problems((*design.problems, *design.stale), design.folder, console, design.units)
    rules = (design.folder / design.rules).as_posix()
    off = off_sentences(design)
    for said in off[:_MOST]:
        _say(f"{rules}: seam does not hold: {said}", console)
    _more(len(off), "seam", console)
    if not quiet:
        removals, seams = removal_rows(design), seam_rows(design)
        if removals:
            _print(_removals(design, removals[:_MOST], console), console)
            _more(len(removals), "removal", console)
        if seams:
            # Where not all are shown, those that do not hold come first.
            shown = seams if len(seams) <= _MOST else sorted(seams, key=lambda row: row.holds)[:_MOST]
            _print(_seams(design, shown, console), console)
            _more(len(seams), "seam", console)
    if not quiet or strict:
        _notices(design, rules, console, quiet=quiet)


def _problems(problems: Sequence[Problem], folder: Path, console: Console, units: str = "mm") -> None:
    """The problems, as many as anybody reads: a file that is none can have tens of thousands."""
    problems = once(problems)
    for problem in problems[:_MOST]:
        _problem(replace(problem, text=in_units(problem.text, units)), folder, console)
    _more(len(problems), "problem", console)
    for problem in problems[_MOST:]:
        if problem.kind == "more problems":
            _problem(problem, folder, console)


def _more(count: int, what: str, console: Console) -> None:
    """That there are more than were shown, where there are."""
    if count > _MOST:
        _say(f"{_many(count - _MOST, what)} more; `--report FILE` writes them down", console)


def _print(table: Table, console: Console) -> None:
    console.print()
    console.print(table)


def _say(text: str, console: Console, *, style: str = "bold") -> None:
    shown = text if len(text) <= _LONGEST else f"{text[:_LONGEST]} …"
    console.print(Text(plain(shown), style=style), soft_wrap=True)


def _problem(problem: Problem, folder: Path, console: Console) -> None:
    """The problem on a line, with the line of the rules file that it is about under it, and a caret."""
    shown = problem.file
    if shown and not Path(shown).is_absolute():
        shown = (folder / shown).as_posix()
    place = ":".join(str(part) for part in (shown, problem.line, problem.column) if part not in ("", None))
    _say(f"{place}: {problem.kind}: {problem.text}" if place else f"{problem.kind}: {problem.text}", console)
    if problem.element:
        _say(f"    in {problem.element}", console, style="")
    if problem.line is not None and problem.column is not None and shown.endswith((".yaml", ".yml")):
        _caret(Path(shown), problem.line, problem.column, console)


def _caret(file: Path, number: int, column: int, console: Console) -> None:
    try:
        line = file.read_text("utf-8-sig").splitlines()[number - 1]
    except (OSError, IndexError, UnicodeDecodeError):
        return
    begin = max(0, column - _WIDEST // 2)
    before = plain(line[begin : column - 1])
    _say(f"    {before}{plain(line[column - 1 : begin + _WIDEST])}", console, style="")
    _say(f"    {' ' * len(before)}^", console, style="")


def _notices(design: DesignFacts, rules: str, console: Console, *, quiet: bool) -> None:
    """Each notice once, with the sizes that it is about; those that were accepted only counted."""
    rows = notice_rows(design)
    open_rows = [row for row in rows if not row.notice.accepted]
    accepted = len(rows) - len(open_rows)
    for row in open_rows[:_MOST]:
        said = row.said(design.units) + behind(row.sizes)
        _say(f"{rules}: notice: {row.notice.kind}: {said}", console, style="")
    _more(len(open_rows), "notice", console)
    if accepted and not quiet:
        _say(f"{rules}: {_many(accepted, 'notice')} more, accepted by the rules", console, style="")


def _table(title: str, columns: Sequence[Column], rows: Iterable[Sequence[str]], console: Console) -> Table:
    heading = Text(plain(title), style="bold")
    return fitted(heading, columns, [[plain(cell) for cell in row] for row in rows], console.width)


def _title(design: DesignFacts, sizes: Sequence[str], what: str) -> str:
    within = f", {sizes_text(sizes)}" if any(sizes) else ""
    return f"{design.design or design.rules}{within}: {what}"


def _removals(design: DesignFacts, rows: Sequence[RemovalRow], console: Console) -> Table:
    """A row for each removal on each piece; the sizes stand in the title, or where they differ in the row."""
    every = [size.size for size in design.sizes if size.removals]
    units = design.units
    cells = []
    for row in rows:
        some = f" ({sizes_text(row.sizes)})" if len(row.sizes) < len(every) else ""
        follows = " (follows)" if row.one.followed else ""
        opened = "; ".join(row.opened(units)) or "nothing"
        figures = (row.removed(units), row.angles, row.shortened(units), row.line, opened)
        cells.append((row.one.piece + follows + some, row.one.edge, *figures))
    figured = (Column(name, figures=True) for name in ("removed", "angle", "edge shorter", "line", "opens"))
    columns = (Column("piece"), Column("edge"), *figured)
    return _table(_title(design, every, "taken out"), columns, cells, console)


def _seams(design: DesignFacts, rows: Sequence[SeamRow], console: Console) -> Table:
    """A row for each seam; one that does not hold is bold."""
    every = [size.size for size in design.sizes if size.seams]
    units = design.units
    cells = []
    for row in rows:
        holds = "yes" if row.holds else f"NO{', ' + sizes_text(row.off) if any(row.off) else ''}"
        join = " with ".join(short(side) for side in row.join)
        cells.append((join, row.before(units), row.after(units), row.allowed(units), holds))
    figured = (Column(name, figures=True) for name in ("before", "now", "allowed"))
    columns = (Column("seam"), *figured, Column("holds"))
    title = _title(design, every, "seams, second side minus first")
    table = _table(title, columns, cells, console)
    for shown, row in zip(table.rows, rows, strict=True):
        shown.style = "" if row.holds else "bold"
    return table


def _closing(report: Report, console: Console) -> Table:
    """What it all came to, a row for each design."""
    rows = []
    for design, title in zip(report.designs, titles(report.designs), strict=True):
        notices = [row.notice.accepted for row in notice_rows(design)]
        told = str(notices.count(False)) + (f", {notices.count(True)} accepted" if any(notices) else "")
        row = (str(len(design.sizes)), _taken_out(design), _held(design), told, _files(design))
        if design.problems:
            row = ("", "", "", "", "stopped, see above")
        rows.append((title, *row))
    names = ("design", "sizes", "removals", "seams", "notices", "files")
    return _table("In all", [Column(name) for name in names], rows, console)


def _taken_out(design: DesignFacts) -> str:
    """The removals that the rules name; a design that names none is one still to be filled in."""
    found = len({f.index for size in design.sizes for f in size.removals})
    return str(found) if found else "none: fill in `removals`"


def _held(design: DesignFacts) -> str:
    walked = sum(len(size.seams) for size in design.sizes)
    off = len(list(design.off))
    if off:
        return f"{off} of {walked} do not hold"
    sizes = [size for size in design.sizes if size.seams]
    if len(sizes) > 1:
        return f"{max(len(size.seams) for size in sizes)} in {len(sizes)} sizes, all hold"
    return f"all {walked} hold" if walked > 1 else "holds" if walked else "none named"


def _files(design: DesignFacts) -> str:
    if design.written is not None:
        return f"{_file_count(design)}, {design.written} new or changed"
    if design.stale:
        return f"{len(design.stale)} not as they would be"
    return "up to date" if design.compared else "none written"


def _file_count(design: DesignFacts) -> int:
    return len({file.target for size in design.sizes for file in size.files})


def _many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
