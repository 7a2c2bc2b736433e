"""The report for a person at a terminal: problems and notices line by line, then tables."""

from __future__ import annotations

import math
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table
from rich.text import Text

from rules.lengths import format_length
from transform.report.sentences import seam_sentence, size_words

if TYPE_CHECKING:
    from rules.problems import Problem
    from transform.alter.facts import RemovalFacts
    from transform.report.facts import DesignFacts, Report

_WIDEST = 100


def plain(text: str) -> str:
    """The text with control characters escaped: a label of a file never acts in the terminal.

    >>> plain("neck\\x1b[2J")
    'neck\\\\x1b[2J'
    """
    return "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in text)


def console_for(*, no_color: bool) -> Console:
    """Where messages go: the error stream, in colour where it is a terminal that has some.

    ``NO_COLOR`` and ``TERM=dumb`` count as ``no_color`` does.
    """
    return Console(stderr=True, no_color=no_color or None, highlight=False, soft_wrap=False, emoji=False)


def show(report: Report, console: Console, *, quiet: bool) -> None:
    """Problems always; notices, tables and what was written unless ``quiet``."""
    for problem in report.problems:
        _problem(problem, Path(), console)
    for design in report.designs:
        _design(design, console, quiet=quiet, strict=report.strict)


def _design(design: DesignFacts, console: Console, *, quiet: bool, strict: bool) -> None:
    for problem in (*design.problems, *design.stale):
        _problem(problem, design.folder, console)
    rules = (design.folder / design.rules).as_posix()
    for size, seam in design.off:
        _say(f"{rules}: seam does not hold: {seam_sentence(seam)}{size_words(size.size)}", console)
    if not quiet or strict:
        _notices(design, rules, console)
    if quiet:
        return
    if any(size.removals for size in design.sizes):
        console.print(_removals(design))
    if any(size.seams for size in design.sizes):
        console.print(_seams(design))
    if design.written is not None:
        count = len({file.target for size in design.sizes for file in size.files})
        _say(
            f"{design.design or design.rules}: {count} files in {(design.folder / design.out).as_posix()}, "
            f"{design.written} of them new or changed",
            console,
            style="",
        )


def _say(text: str, console: Console, *, style: str = "bold") -> None:
    console.print(Text(plain(text), style=style), soft_wrap=True)


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


def _notices(design: DesignFacts, rules: str, console: Console) -> None:
    """Each notice once, with the sizes that it is about; those that were accepted only counted."""
    told: dict[tuple[str, str], list[str]] = {}
    accepted = 0
    for size, notice in design.notices:
        if notice.accepted:
            accepted += 1
        else:
            told.setdefault((notice.kind, notice.text), []).append(size.size)
    for (kind, text), sizes in told.items():
        where = f" (size {', '.join(sizes)})" if any(sizes) else ""
        _say(f"{rules}: notice: {kind}: {text}{where}", console, style="")
    if accepted:
        _say(f"{rules}: {accepted} more notices that were accepted", console, style="")


def _removals(design: DesignFacts) -> Table:
    title = f"{design.design or design.rules}: removals"
    table = Table(title=plain(title), title_justify="left")
    for column in ("size", "piece", "edge", "removed", "angle", "edge shorter", "line", "opened"):
        table.add_column(
            column, justify="right" if column in ("removed", "angle", "edge shorter") else "left"
        )
    for size in design.sizes:
        for facts in size.removals:
            table.add_row(*(Text(plain(cell)) for cell in _row(size.size, facts, design.units)))
    return table


def _row(size: str, facts: RemovalFacts, units: str) -> Iterable[str]:
    opened = ", ".join(
        f"{one.dart} {format_length(one.intake_before, units)} → {format_length(one.intake_after, units)}"
        for one in facts.opened
    )
    return (
        size,
        facts.piece + (" (follows)" if facts.followed else ""),
        facts.edge,
        format_length(facts.removed, units),
        f"{math.degrees(facts.angle):.2f}°",
        format_length(facts.shortened, units),
        facts.line,
        opened or "nothing",
    )


def _seams(design: DesignFacts) -> Table:
    table = Table(title=plain(f"{design.design or design.rules}: seams"), title_justify="left")
    for column in ("size", "first side", "second side", "before", "after", "holds"):
        table.add_column(column)
    for size in design.sizes:
        for seam in size.seams:
            before, after = (
                f"{format_length(pair[0], design.units)} / {format_length(pair[1], design.units)}"
                for pair in (seam.before, seam.after)
            )
            cells = (size.size, *seam.join, before, after, "yes" if seam.holds else "no")
            table.add_row(*(Text(plain(cell)) for cell in cells))
    return table
