"""The drawings of the proof sheet: for each piece all its sizes, of which one is shown, or all together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from rules.lengths import format_length
from transform.report.proof_words import text

if TYPE_CHECKING:
    from transform.alter.facts import OpenedFacts, RemovalFacts
    from transform.report.facts import DesignFacts
    from transform.report.picture import Picture

_DASHES = 6
"""So many kinds of broken line tell sizes apart; from then on they come again, heavier."""
_MARGIN = 28.0
_WORDS = 48.0
"""So many lines of words would stand over one another in a drawing."""
_AREAS = ("wedge", "turned")


def sample(kind: str) -> str:
    """A bit of line, or of area, of one kind, for a legend."""
    if kind == "pivot":
        shape = _pivot(22, 7, 3.5)
    else:
        shape = f'<path class="{kind}" d="{"M2 2H42V12H2Z" if kind in _AREAS else "M2 7H42"}"/>'
    return f'<svg width="44" height="14" viewBox="0 0 44 14" aria-hidden="true">{shape}</svg>'


def figures(design: DesignFacts, name: str) -> Iterator[str]:
    """A figure for each altered piece."""
    by_piece: dict[str, list[Picture]] = {}
    for size in design.sizes:
        for picture in size.pictures:
            by_piece.setdefault(picture.piece, []).append(picture)
    for number, (piece, row) in enumerate(by_piece.items()):
        yield _figure(design, piece, row, f"{name}-{number}")


def _figure(design: DesignFacts, piece: str, row: Sequence[Picture], name: str) -> str:
    places = _places(row)
    left = min(p.box[0] + x for p, (x, _) in zip(row, places, strict=True))
    top = min(p.box[1] + y for p, (_, y) in zip(row, places, strict=True))
    right = max(p.box[0] + p.box[2] + x for p, (x, _) in zip(row, places, strict=True))
    bottom = max(p.box[1] + p.box[3] + y for p, (_, y) in zip(row, places, strict=True))
    width, height = max(right - left, 110.0) + 2 * _MARGIN, bottom - top + 3 * _MARGIN
    view = f"{left - _MARGIN:.1f} {top - _MARGIN:.1f} {width:.1f} {height:.1f}"
    words = max(width, height) / _WORDS
    drawn = "".join(
        _drawn(p, place, k, design.units, words / 4)
        for k, (p, place) in enumerate(zip(row, places, strict=True))
    )
    title = text(piece)
    key = (
        f"<li>{sample('before')}before</li>"
        + "".join(f"<li>{_size_sample(k)}{text(p.size)}</li>" for k, p in enumerate(row))
        if len(row) > 1
        else ""
    )
    return (
        f'<figure aria-labelledby="{name}"><figcaption><h3 id="{name}">{title}</h3>{_sizes(row, title)}'
        f'{_ZOOM}</figcaption><div class="board" tabindex="0" role="group" '
        f'aria-label="Drawing of the {title}: arrow keys move it, plus and minus zoom">'
        '<svg class="piece" role="img" '
        f'aria-label="The {title} before and after, laid over each other" viewBox="{view}" '
        f'style="font-size:{words:.1f}px">'
        f"{drawn}{_scale(left, bottom + 2 * _MARGIN, design.units)}</svg></div>"
        f'<ul class="key" aria-label="Sizes of the {title}">{key}</ul>'
        f'<div class="told" aria-live="polite">{_told(design, row)}</div></figure>'
    )


_ZOOM = (
    '<div class="zoom" role="group" aria-label="Zoom">'
    '<button type="button" data-zoom="1.4" aria-label="Nearer">+</button>'
    '<button type="button" data-zoom="0.714" aria-label="Farther">−</button>'
    '<button type="button" data-zoom="0">Whole piece</button></div>'
)


def _places(row: Sequence[Picture]) -> list[tuple[float, float]]:
    """How far each size is moved to lie with the others.

    Sizes drawn over one another in the file stay so; else their lower left corners are laid together.
    """
    x, y, width, height = row[0].box
    nested = all(
        x < p.box[0] + p.box[2] / 2 < x + width and y < p.box[1] + p.box[3] / 2 < y + height for p in row
    )
    if nested:
        return [(0.0, 0.0)] * len(row)
    return [(-p.box[0], -p.box[1] - p.box[3]) for p in row]


def _sizes(row: Sequence[Picture], title: str) -> str:
    if len(row) < 2:
        return ""
    buttons = "".join(
        f'<button type="button" data-size="{text(p.size)}" aria-pressed="{"true" if k == 0 else "false"}">'
        f"{text(p.size)}</button>"
        for k, p in enumerate(row)
    )
    return f'<div class="sizes" role="group" aria-label="Size of the {title}">{buttons}</div>'


def _drawn(picture: Picture, place: tuple[float, float], index: int, units: str, ring: float) -> str:
    layers = (
        ("turned", picture.turned),
        ("wedge", picture.wedges),
        ("cut-before", picture.cut_before),
        ("marks marks-before", picture.marks_before),
        ("dart-before", picture.darts_before),
        ("before", picture.before),
        ("cut-after", picture.cut_after),
        ("marks marks-after", picture.marks_after),
        ("dart-after", picture.darts_after),
        ("after", picture.after),
        ("closure", picture.closures),
    )
    paths = "".join(f'<path class="{kind}" d="{data}"/>' for kind, data in layers if data)
    pivots = "".join(_pivot(x, y, ring) for x, y in picture.pivots)
    labels = "".join(
        f'<text class="width {label.side}" x="{label.place[0]}" y="{label.place[1]}">'
        f"{text(format_length(label.removed, units))}</text>"
        for label in picture.labels
    )
    hidden = " hidden" if index else ""
    x, y = place
    return (
        f'<g class="size {_line_of(index)}" data-size="{text(picture.size)}" '
        f'transform="translate({x:.1f} {y:.1f})"{hidden}>{paths}{pivots}{labels}</g>'
    )


def _line_of(index: int) -> str:
    """The kind of line of a size, where all are shown together."""
    return f"line-{index % _DASHES}" + (" heavy" if index // _DASHES % 2 else "")


def _size_sample(index: int) -> str:
    return (
        '<svg width="52" height="14" viewBox="0 0 52 14" aria-hidden="true">'
        f'<g class="size {_line_of(index)}"><path class="after" d="M2 7H50"/></g></svg>'
    )


def _pivot(x: float, y: float, r: float) -> str:
    """A ring with a cross through it."""
    cross = f"M{x - 2 * r:g} {y:g}h{4 * r:g}M{x:g} {y - 2 * r:g}v{4 * r:g}"
    ring = f"M{x - r:g} {y:g}a{r:g} {r:g} 0 1 0 {2 * r:g} 0a{r:g} {r:g} 0 1 0 {-2 * r:g} 0"
    return f'<path class="pivot" d="{cross}{ring}"/>'


def _scale(x: float, y: float, units: str) -> str:
    """A bar of a round length, as a measure beside the piece."""
    length, name = (101.6, "4 in") if units == "in" else (100.0, "10 cm")
    return (
        f'<path class="bar" d="M{x:.1f} {y - 3:.1f}v6M{x:.1f} {y:.1f}h{length:g}m0 -3v6"/>'
        f'<text class="bar-text" x="{x + length / 2:.1f}" y="{y - 4:.1f}">{name}</text>'
    )


def _told(design: DesignFacts, row: Sequence[Picture]) -> str:
    """For each size a sentence on each removal of this piece."""
    by_size = {size.size: size for size in design.sizes}
    parts = []
    for k, picture in enumerate(row):
        size = by_size[picture.size]
        sentences = [
            _removal(facts, design.units) for facts in size.removals if facts.piece == picture.piece
        ] + [
            f"Cut from {format_length(s.before, design.units)} to {format_length(s.after, design.units)}."
            for s in size.strips
            if s.piece == picture.piece
        ]
        of = f"<strong>Size {text(picture.size)}</strong> " if picture.size else ""
        hidden = " hidden" if k else ""
        said = " ".join(sentences)
        parts.append(f'<p data-size="{text(picture.size)}"{hidden}>{of}{text(said)}</p>')
    return "".join(parts)


def _removal(facts: RemovalFacts, units: str) -> str:
    opened = "; ".join(_opened(one, units) for one in facts.opened)
    drawn = "as a fair line" if facts.line == "fair" else "straight"
    return (
        f"{format_length(facts.removed, units)} out of the {facts.edge}, which is "
        f"{format_length(facts.shortened, units)} shorter, its closed edge drawn {drawn}"
        + (f"; {opened}." if opened else ".")
    )


def _opened(one: OpenedFacts, units: str) -> str:
    after = format_length(one.intake_after, units)
    if not one.intake_before:
        return f"{one.dart} opens by {after}"
    return f"{one.dart}, {format_length(one.intake_before, units)} wide before, is {after}"
