"""Pictures of altered pieces, drawn while it is known how the alteration was done."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from transform.alter.closing import Closing
from transform.alter.facts import SizeResult
from transform.alter.working import Working
from transform.geometry.chain import Chain
from transform.geometry.motion import Affine
from transform.pattern.altered import AlteredPiece, Moved, Redrawn, Removed, Shifted
from transform.pattern.model import Dart, Item, Piece, Role, Way
from transform.report.picture import Picture, Side, WidthLabel
from transform.svg.pen import path_text

_PLAIN = Affine()
_NUMBER = re.compile(r"-?\d+\.\d+")
_LABEL_OFF = 18.0
"""How far outside the edge (mm) the width of a wedge is written."""
_SLANT = 0.3
"""From so much of the direction (its cosine) on a width is written beside the place, not across it."""


def pictures(result: SizeResult, size: str) -> tuple[Picture, ...]:
    """A picture of every altered piece of one size."""
    workings = {working.piece.name: working for working in result.workings}
    widths = {(facts.piece, facts.index): facts.removed for facts in result.removals}
    return tuple(_picture(done, workings.get(done.piece.name), size, widths) for done in result.altered)


def _picture(
    done: AlteredPiece, working: Working | None, size: str, widths: dict[tuple[str, int], float]
) -> Picture:
    piece = done.piece
    after = piece.stitching if done.stitching is None else done.stitching
    cut_after = piece.cut if done.cut is None else done.cut
    lines = [piece.stitching.chain, after.chain]
    lines += [outline.chain for outline in (piece.cut, cut_after) if outline is not None]
    closing = [turn.closing for turn in working.cut.turns] if working is not None else []
    marks = [
        item for item in piece.items if item.role is not Role.CORNER_MARKS and item.way is not Way.UPRIGHT
    ]
    return Picture(
        piece=piece.name,
        size=size,
        box=_box(lines),
        before=_data([piece.stitching.chain]),
        after=_data([after.chain]),
        cut_before="" if piece.cut is None else _data([piece.cut.chain]),
        cut_after="" if cut_after is None else _data([cut_after.chain]),
        turned=" ".join(_turned(working)) if working is not None else "",
        wedges=" ".join(_wedges(piece, closing)),
        closures=_data(closed.drawn.chain for closed in working.closed) if working is not None else "",
        darts_before=" ".join(_dart(dart) for dart in piece.darts if not dart.drawn_in),
        darts_after=" ".join(_dart(dart) for dart in done.darts.values()),
        marks_before=_data(chain for item in marks for chain in item.chains),
        marks_after=_data(chain for item in marks for chain in _marks_after(done, item)),
        pivots=tuple(dict.fromkeys((round(c.pivot.real, 2), round(c.pivot.imag, 2)) for c in closing)),
        labels=tuple(_label(piece, c, widths[piece.name, c.index]) for c in closing if _wide(c)),
    )


def _data(chains: Iterable[Chain]) -> str:
    drawn = [chain for chain in chains if chain.segments]
    return _NUMBER.sub(lambda match: f"{float(match[0]):.2f}", path_text(drawn, _PLAIN))


def _wide(closing: Closing) -> bool:
    """Whether the wedge takes a part of this piece's edge."""
    return closing.low != closing.high


def _wedges(piece: Piece, closings: Sequence[Closing]) -> Iterator[str]:
    for closing in closings:
        if _wide(closing):
            edge = piece.stitching.chain.cut(closing.low, closing.high)
            yield f"{_data([edge])} L{closing.pivot.real:.2f} {closing.pivot.imag:.2f} Z"


def _label(piece: Piece, closing: Closing, removed: float) -> WidthLabel:
    edge = piece.stitching.chain.cut(closing.low, closing.high)
    middle = edge.point(edge.length / 2)
    out = (middle - closing.pivot) / abs(middle - closing.pivot)
    place = middle + _LABEL_OFF * out
    side: Side = "across"
    if abs(out.real) > _SLANT:
        side = "right" if out.real > 0 else "left"
    return WidthLabel((round(place.real, 1), round(place.imag, 1)), removed, side)


def _turned(working: Working) -> Iterator[str]:
    """The parts that turned, where they now lie: their outline, back to the pivot."""
    made = working.cut
    for arc in made.arcs:
        if arc.gone or arc.motion.is_identity:
            continue
        line = made.outline.cut(arc.first, arc.last).moved(arc.motion)
        pivot = arc.motion(made.turns[0].closing.pivot)
        yield f"{_data([line])} L{pivot.real:.2f} {pivot.imag:.2f} Z"


def _marks_after(done: AlteredPiece, item: Item) -> Iterable[Chain]:
    match done.items.get(item.element):
        case Moved(motion):
            return [chain.moved(motion) for chain in item.chains]
        case Redrawn(chains):
            return [chain for subpath in chains for chain in subpath]
        case Removed():
            return []
        case Shifted() | None:
            return item.chains


def _dart(dart: Dart) -> str:
    points = (dart.legs[0], dart.point, dart.legs[1])
    return "M" + " L".join(f"{p.real:.2f} {p.imag:.2f}" for p in points)


def _box(lines: list[Chain]) -> tuple[float, float, float, float]:
    points = [p for line in lines for p in line.samples(5.0)]
    left, top = min(p.real for p in points), min(p.imag for p in points)
    right, bottom = max(p.real for p in points), max(p.imag for p in points)
    return round(left, 1), round(top, 1), round(right - left, 1), round(bottom - top, 1)
