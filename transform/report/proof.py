"""The proof sheet: one HTML file by itself, in which a person looks at what was altered rather than reads it.

Lines are told apart by their kind, not by colour alone: what was is a fine broken line, what is a firm
one; cut lines are thin; the wedge is hatched, the turned part toned, the closed edge heavy.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from html import escape
from importlib.resources import files
from typing import TYPE_CHECKING

from rules.lengths import format_length
from transform.report.terminal import plain

if TYPE_CHECKING:
    from transform.alter.facts import RemovalFacts
    from transform.picturing import Picture
    from transform.report.facts import DesignFacts, Report, SizeFacts


def proof_text(report: Report) -> str:
    """The whole sheet."""
    room = files("transform.report")
    style, script = ((room / f"proof.{kind}").read_text("utf-8") for kind in ("css", "js"))
    body = "".join(_design(design, number) for number, design in enumerate(report.designs))
    problems = "".join(f"<li>{_text(str(problem))}</li>" for problem in report.problems)
    told = f'<section><h2>What stopped</h2><ul class="problems">{problems}</ul></section>' if problems else ""
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>Proof sheet</title><style>{style}</style></head><body>\n"
        f"<header><h1>Proof sheet</h1>{_LEGEND}{_TOOLS}</header>\n<main>{told}{body}</main>\n"
        f"<footer><p>{_CAUTION}</p>{_SQUARE}</footer>\n<script>{script}</script></body></html>\n"
    )


_CAUTION = (
    "This sheet proves that the pieces still sew together; it says nothing of a body. Make a toile before "
    "cutting good cloth. Check the printed test square. A large removal may mean another size or a bust "
    "adjustment."
)
_SQUARE = (
    '<svg class="square" width="50mm" height="50mm" viewBox="0 0 50 50" role="img" '
    'aria-label="test square, 50 mm each way"><rect x=".2" y=".2" width="49.6" height="49.6"/>'
    '<text x="25" y="27">50 mm each way</text></svg>'
)
_KINDS = (
    ("before", "stitching line before"),
    ("after", "stitching line after"),
    ("cut-before", "cut line before"),
    ("cut-after", "cut line after"),
    ("closure", "closed edge"),
    ("dart", "dart"),
    ("wedge", "wedge taken out"),
    ("turned", "part that turned"),
)
_LEGEND = (
    '<ul class="legend">'
    + "".join(
        '<li><svg width="44" height="14" viewBox="0 0 44 14" aria-hidden="true">'
        f'<path class="{kind}" d="{"M2 2H42V12H2Z" if kind in ("wedge", "turned") else "M2 7H42"}"/></svg>'
        f"{name}</li>"
        for kind, name in _KINDS
    )
    + "</ul>"
)
_TOOLS = (
    '<div class="tools" role="group" aria-label="What is shown">'
    '<button type="button" data-show="both" aria-pressed="true">Before and after</button>'
    '<button type="button" data-show="before" aria-pressed="false">Before</button>'
    '<button type="button" data-show="after" aria-pressed="false">After</button>'
    '<button type="button" data-nest aria-pressed="false">All sizes together</button></div>'
)


def _text(text: str) -> str:
    return escape(plain(text))


def _design(design: DesignFacts, number: int) -> str:
    title = design.design or design.rules
    rows = [f'<section class="design"><h2>{_text(title)}</h2>']
    if design.problems or design.stale:
        told = "".join(f"<li>{_text(str(p))}</li>" for p in (*design.problems, *design.stale))
        rows.append(f'<h3>What needs you</h3><ul class="problems">{told}</ul>')
    rows.append(f"<p>{_summary(design)}</p>")
    by_piece: dict[str, list[Picture]] = {}
    for size in design.sizes:
        for picture in size.pictures:
            by_piece.setdefault(picture.piece, []).append(picture)
    for k, (piece, row) in enumerate(by_piece.items()):
        rows.append(_figure(design, piece, row, f"p{number}-{k}"))
    rows.append(_removals(design))
    rows.append(_seams(design))
    rows.append(_notices(design))
    rows.append("</section>")
    return "".join(rows)


def _summary(design: DesignFacts) -> str:
    sizes = [size.size for size in design.sizes if size.removals]
    if not sizes:
        return "Nothing was taken out."
    removals = [fact for size in design.sizes for fact in size.removals if not fact.followed]
    places = ", ".join(dict.fromkeys(f"the {fact.edge} of the {fact.piece}" for fact in removals))
    darts = ", ".join(dict.fromkeys(o.dart for fact in removals for o in fact.opened))
    seams = [seam for size in design.sizes for seam in size.seams]
    fit = "No seams were named to be walked."
    if seams:
        off = sum(not seam.holds for seam in seams)
        fit = "Every seam still fits." if not off else f"{off} of {len(seams)} seams do not fit; see below."
    many = f"In {len(sizes)} sizes" if len(sizes) > 1 else "In one size"
    opened = f" What was closed opens in: {_text(darts)}." if darts else ""
    return f"{many} cloth was taken out at {_text(places)}.{opened} {fit}"


def _figure(design: DesignFacts, piece: str, row: Sequence[Picture], name: str) -> str:
    # Sizes that stand beside each other on their sheet are laid together at their lower left corners.
    width = max(p.box[2] for p in row) + 16
    height = max(p.box[3] for p in row) + 16
    view = f"-8 {8 - height:.1f} {width:.1f} {height:.1f}"
    sizes = "".join(
        f'<button type="button" data-size="{k}" aria-pressed="{"true" if k == 0 else "false"}">'
        f"{_text(p.size or 'one size')}</button>"
        for k, p in enumerate(row)
    )
    drawn = "".join(_drawn(p, k) for k, p in enumerate(row))
    what = f"{_text(piece)} before and after, laid over each other"
    return (
        f'<figure id="{name}"><figcaption><h3>{_text(piece)}</h3>'
        f'<div class="sizes" role="group" aria-label="Size of the {_text(piece)}">{sizes}</div>'
        '<div class="zoom" role="group" aria-label="Zoom">'
        '<button type="button" data-zoom="1.4" aria-label="Nearer">+</button>'
        '<button type="button" data-zoom="0.714" aria-label="Farther">−</button>'
        '<button type="button" data-zoom="0">Whole piece</button></div></figcaption>'
        f'<svg class="piece" tabindex="0" role="img" aria-label="{what}; arrow keys move it" '
        f'viewBox="{view}" data-whole="{view}">'
        f'<defs><pattern id="{name}-hatch" width="4" height="4" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><path class="hatch" d="M0 0V4"/></pattern></defs>'
        f"{drawn}</svg></figure>".replace("url(#hatch)", f"url(#{name}-hatch)")
    )


def _drawn(picture: Picture, index: int) -> str:
    layers = (
        ("turned", picture.turned),
        ("wedge", picture.wedges),
        ("cut-before", picture.cut_before),
        ("before", picture.before),
        ("cut-after", picture.cut_after),
        ("after", picture.after),
        ("closure", picture.closures),
        ("dart", picture.darts),
    )
    paths = "".join(f'<path class="{kind}"{_hatched(kind)} d="{data}"/>' for kind, data in layers if data)
    pivots = "".join(f'<circle class="pivot" cx="{x}" cy="{y}" r="2.5"/>' for x, y in picture.pivots)
    hidden = "" if index == 0 else " hidden"
    x, y, _, height = picture.box
    place = f"translate({-x:.1f} {-y - height:.1f})"
    return f'<g class="size" data-size="{index}" transform="{place}"{hidden}>{paths}{pivots}</g>'


def _hatched(kind: str) -> str:
    return ' fill="url(#hatch)"' if kind == "wedge" else ""


def _table(title: str, heads: Sequence[str], rows: Iterator[Sequence[str]]) -> str:
    body = "".join("<tr>" + "".join(f"<td>{_text(cell)}</td>" for cell in row) + "</tr>" for row in rows)
    if not body:
        return ""
    head = "".join(f'<th scope="col">{escape(h)}</th>' for h in heads)
    return (
        f"<h3>{escape(title)}</h3>"
        f'<div class="scroll" tabindex="0" role="region" aria-label="{escape(title)}">'
        f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _removals(design: DesignFacts) -> str:
    heads = ("size", "piece", "edge", "taken out", "angle", "edge shorter by", "line", "what opened")
    rows = (_removal(size, fact, design.units) for size in design.sizes for fact in size.removals)
    return _table("What was taken out", heads, rows)


def _removal(size: SizeFacts, fact: RemovalFacts, units: str) -> tuple[str, ...]:
    opened = "; ".join(
        f"{o.dart}: {format_length(o.intake_before, units)} to {format_length(o.intake_after, units)}"
        for o in fact.opened
    )
    return (
        size.size,
        fact.piece + (" (follows)" if fact.followed else ""),
        fact.edge,
        format_length(fact.removed, units),
        f"{math.degrees(fact.angle):.2f}°",
        format_length(fact.shortened, units),
        fact.line,
        opened or "nothing",
    )


def _seams(design: DesignFacts) -> str:
    units = design.units
    rows = (
        (
            size.size,
            *seam.join,
            " and ".join(format_length(x, units) for x in seam.before),
            " and ".join(format_length(x, units) for x in seam.after),
            "yes" if seam.holds else "NO",
        )
        for size in design.sizes
        for seam in size.seams
    )
    return _table("Seams, walked", ("size", "one side", "other side", "before", "after", "fits"), rows)


def _notices(design: DesignFacts) -> str:
    told: dict[tuple[str, bool], list[str]] = {}
    for size, notice in design.notices:
        told.setdefault((f"{notice.kind}: {notice.text}", notice.accepted), []).append(size.size)
    rows = "".join(
        f"<li>{_text(text)} <em>{'looked at already' if accepted else ''} "
        f"{_text('size ' + ', '.join(sizes)) if any(sizes) else ''}</em></li>"
        for (text, accepted), sizes in told.items()
    )
    return f"<h3>Look at these</h3><ul>{rows}</ul>" if rows else ""
