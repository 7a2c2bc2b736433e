"""What the proof sheet says in words and tables: the summary, what to look at, removals and seams."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING

from rules.lengths import format_length
from transform.report.notice_rows import notice_rows
from transform.report.off_seams import off_sentences
from transform.report.over_sizes import (
    behind,
    lengths,
    removal_rows,
    seam_rows,
    sizes_text,
)
from transform.report.remedies import REMEDIES
from transform.report.sentences import in_units, short
from transform.report.terminal import plain

if TYPE_CHECKING:
    from rules.problems import Problem
    from transform.report.facts import DesignFacts

_MOST_SEAMS = 2000
"""More seams are not listed: whoever looks for one of thousands looks into the report."""


def text(words: str) -> str:
    """Words as HTML: nothing in a label acts."""
    return escape(plain(words))


def listed(title: str, problems: Iterable[Problem]) -> str:
    """Problems under a heading; nothing where there are none."""
    rows = "".join(f"<li>{text(_problem(problem))}</li>" for problem in problems)
    return f'<h3>{title}</h3><ul class="problems">{rows}</ul>' if rows else ""


def summary(design: DesignFacts) -> str:
    """What was done to a design, for somebody who reads nothing else."""
    rows = removal_rows(design)
    if not rows:
        return "<p>Nothing was taken out.</p>"
    units = design.units
    sizes = [size.size for size in design.sizes if size.removals]
    said = [
        (
            "Taken out",
            "; ".join(
                f"{row.removed(units)} at the {row.one.edge} of the {row.one.piece}"
                for row in rows
                if not row.one.followed
            )
            + (f", in {sizes_text(sizes)}" if any(sizes) else ""),
        )
    ]
    follow = dict.fromkeys(row.one.piece for row in rows if row.one.followed)
    if follow:
        said.append(("Altered with it", ", ".join(follow)))
    opened = dict.fromkeys(f"{row.one.piece}, {one}" for row in rows for one in row.opened(units))
    said.append(("Opened", "; ".join(opened) or "nothing"))
    said += [("Cut shorter", strip) for strip in _strips(design)]
    said.append(("Seams", _fit(design)))
    items = "".join(f"<dt>{text(what)}</dt><dd>{text(words)}</dd>" for what, words in said)
    return f'<dl class="summary">{items}</dl>'


def notices(design: DesignFacts) -> str:
    """What a person should look at, and what to do about it."""
    rows = []
    for row in notice_rows(design):
        accepted = " <em>Accepted by the rules.</em>" if row.notice.accepted else ""
        said, do = row.said(design.units), in_units(REMEDIES[row.notice.kind], design.units)
        rows.append(
            f"<li><strong>{text(row.notice.kind)}</strong>: {text(said + behind(row.sizes))}.{accepted} "
            f"<span>{text(do)}</span></li>"
        )
    return f'<h3>Look at these</h3><ul class="notices">{"".join(rows)}</ul>' if rows else ""


def removals(design: DesignFacts) -> str:
    """What was taken out where, a row for each piece."""
    units = design.units
    rows = [
        (
            row.one.piece + (" (follows)" if row.one.followed else ""),
            row.one.edge,
            ", ".join(row.sizes),
            row.removed(units),
            row.angles,
            row.shortened(units),
            row.line,
            "; ".join(row.opened(units)) or "nothing",
        )
        for row in removal_rows(design)
    ]
    heads = ("piece", "edge", "sizes", "taken out", "angle", "edge shorter by", "line", "what opened")
    return _table("What was taken out", design, heads, rows)


def seams(design: DesignFacts) -> str:
    """The seams, walked: a row for each, and under it one for each size."""
    units = design.units
    walked = [
        (row, size, seam)
        for row in seam_rows(design)
        for size, seam in zip(row.sizes, row.walked, strict=True)
    ]
    more = len(walked) - _MOST_SEAMS
    if more > 0:
        walked = sorted(walked, key=lambda each: each[2].holds)[:_MOST_SEAMS]
    rows: list[tuple[str, ...]] = []
    for row, size, seam in walked:
        before, after = (
            f"{format_length(pair[0], units)} and {format_length(pair[1], units)}"
            for pair in (seam.before, seam.after)
        )
        name = " with ".join(short(side) for side in row.join)
        rows.append((name, size, before, after, row.allowed(units), "yes" if seam.holds else "NO"))
    heads = ("seam", "size", "both sides before", "both sides now", "may differ by", "fits")
    table = _table("Seams, walked on the stitching line with the darts folded out", design, heads, rows)
    return table + (f"<p>{more} lines more are in the report.</p>" if more > 0 else "")


def _fit(design: DesignFacts) -> str:
    walked = [seam for size in design.sizes for seam in size.seams]
    if not walked:
        return "none were named to be walked"
    off = off_sentences(design)
    if not off:
        return "every seam still fits" if len(walked) > 1 else "the seam still fits"
    return f"{sum(1 for _ in design.off)} of {len(walked)} do NOT fit: {'; '.join(off[:_MOST_SEAMS])}"


def _strips(design: DesignFacts) -> Iterable[str]:
    found: dict[str, tuple[list[float], list[float]]] = {}
    for size in design.sizes:
        for strip in size.strips:
            before, after = found.setdefault(strip.piece, ([], []))
            before.append(strip.before)
            after.append(strip.after)
    for piece, (before, after) in found.items():
        yield f"{piece}, from {lengths(before, design.units)} down to {lengths(after, design.units)}"


def _problem(problem: Problem) -> str:
    return f"{problem} (in {problem.element})" if problem.element else str(problem)


def _table(title: str, design: DesignFacts, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table; a first cell that is the same as that of the row above is said once."""
    if not rows:
        return ""
    body = []
    for first, group in groupby(rows, key=itemgetter(0)):
        same = list(group)
        for number, row in enumerate(same):
            head = f'<th scope="row" rowspan="{len(same)}">{text(first)}</th>' if number == 0 else ""
            body.append(f"<tr>{head}{''.join(f'<td>{text(cell)}</td>' for cell in row[1:])}</tr>")
    head = "".join(f'<th scope="col">{escape(each)}</th>' for each in heads)
    of = text(design.design or design.rules)
    return (
        f"<h3>{escape(title)}</h3>"
        f'<div class="scroll" tabindex="0" role="region" aria-label="{escape(title)}: {of}">'
        f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(body)}</tbody></table></div>"
    )
