"""The report for a person at a terminal: problems and notices line by line, then tables."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from rich.console import Console
from rich.table import Table
from rich.text import Text

from rules.lengths import format_length
from rules.problems import Problem
from transform.alter.facts import RemovalFacts
from transform.report.facts import DesignFacts, Report


def plain(text: str) -> str:
    """The text with control characters escaped: a label of a file never acts in the terminal."""
    return "".join(c if c.isprintable() or c == "\n" else f"\\x{ord(c):02x}" for c in text)


def show(report: Report, console: Console, *, quiet: bool) -> None:
    """Problems always; notices and tables unless ``quiet``."""
    for problem in report.all_problems:
        show_problem(problem, console)
    for design in report.designs:
        for problem in design.stale:
            show_problem(problem, console)
        for size in design.sizes:
            for seam in size.seams:
                if not seam.holds:
                    text = (
                        f"{design.rules}: size {size.size}: {seam.join[0]} is {seam.after[0]:.1f} mm and "
                        f"{seam.join[1]} {seam.after[1]:.1f} mm: they do not fit "
                        f"(ease {seam.ease[0]:g} to {seam.ease[1]:g} mm, tolerance {seam.tolerance:g} mm)"
                    )
                    console.print(Text(plain(text), style="bold"), soft_wrap=True)
    if quiet:
        return
    for design in report.designs:
        _notices(design, console)
        if design.sizes and any(size.removals for size in design.sizes):
            console.print(_removals(design))
        if any(size.seams for size in design.sizes):
            console.print(_seams(design))


def show_problem(problem: Problem, console: Console) -> None:
    """The problem on a line, with the line of the rules file that it is about under it, and a caret."""
    console.print(Text(plain(str(problem)), style="bold"), soft_wrap=True)
    if problem.element:
        console.print(Text(f"    in {plain(problem.element)}"))
    if problem.line is None or problem.column is None or not problem.file.endswith((".yaml", ".yml")):
        return
    try:
        line = Path(problem.file).read_text("utf-8").splitlines()[problem.line - 1]
    except (OSError, IndexError, UnicodeDecodeError):
        return
    begin = max(0, problem.column - 60)
    console.print(Text(f"    {plain(line[begin : begin + 100])}"), overflow="crop", no_wrap=True)
    console.print(Text(f"    {' ' * (problem.column - 1 - begin)}^"), no_wrap=True)


def _notices(design: DesignFacts, console: Console) -> None:
    told: dict[tuple[str, str], list[str]] = {}
    for size in design.sizes:
        for notice in size.notices:
            if not notice.accepted:
                told.setdefault((notice.kind, notice.text), []).append(size.size)
    for (kind, text), sizes in told.items():
        where = f" (size {', '.join(sizes)})" if any(sizes) else ""
        console.print(Text(plain(f"{design.rules}: notice: {kind}: {text}{where}")), soft_wrap=True)


def _removals(design: DesignFacts) -> Table:
    table = Table(title=plain(design.design or design.rules), title_justify="left")
    for column in ("size", "piece", "edge", "removed", "angle", "edge shorter", "line", "opened"):
        table.add_column(
            column, justify="right" if column in ("removed", "angle", "edge shorter") else "left"
        )
    for size in design.sizes:
        for facts in size.removals:
            table.add_row(*map(plain, _row(size.size, facts, design.units)))
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
        f"{facts.angle * 57.29577951308232:.2f}°",
        format_length(facts.shortened, units),
        facts.line,
        opened or "nothing",
    )


def _seams(design: DesignFacts) -> Table:
    table = Table(title="seams", title_justify="left")
    for column in ("size", "first side", "second side", "before", "after", "holds"):
        table.add_column(column)
    for size in design.sizes:
        for seam in size.seams:
            before, after = (
                f"{format_length(pair[0], design.units)} / {format_length(pair[1], design.units)}"
                for pair in (seam.before, seam.after)
            )
            table.add_row(*map(plain, (size.size, *seam.join, before, after, "yes" if seam.holds else "no")))
    return table
