"""What the proof sheet shows of a piece, as path data in mm: before, after, wedge, pivot, darts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from transform.alter.facts import SizeResult
from transform.alter.working import Working
from transform.geometry.chain import Chain
from transform.geometry.motion import Affine
from transform.pattern.altered import AlteredPiece
from transform.pattern.model import Dart
from transform.svg.pen import path_text

_PLAIN = Affine()
_NUMBER = re.compile(r"-?\d+\.\d+")


@dataclass(frozen=True, slots=True)
class Picture:
    """One piece in one size: path data, each a text for `d`, and the box (x, y, width, height, mm)."""

    piece: str
    size: str
    box: tuple[float, float, float, float]
    before: str
    after: str
    cut_before: str
    cut_after: str
    turned: str
    wedges: str
    closures: str
    darts: str
    pivots: tuple[tuple[float, float], ...]


def pictures(result: SizeResult, size: str) -> tuple[Picture, ...]:
    """A picture of every altered piece of one size."""
    workings = {working.piece.name: working for working in result.workings}
    return tuple(_picture(done, workings.get(done.piece.name), size) for done in result.altered)


def _picture(done: AlteredPiece, working: Working | None, size: str) -> Picture:
    piece = done.piece
    after = piece.stitching if done.stitching is None else done.stitching
    cut_after = piece.cut if done.cut is None else done.cut
    lines = [piece.stitching.chain, after.chain]
    lines += [outline.chain for outline in (piece.cut, cut_after) if outline is not None]
    closing = [turn.closing for turn in working.cut.turns] if working is not None else []
    outline = piece.stitching.chain
    return Picture(
        piece.name,
        size,
        _box(lines),
        _data(piece.stitching.chain),
        _data(after.chain),
        "" if piece.cut is None else _data(piece.cut.chain),
        "" if cut_after is None else _data(cut_after.chain),
        " ".join(_turned(working)) if working is not None else "",
        " ".join(
            f"{_data(outline.cut(c.low, c.high))} L{c.pivot.real:.2f} {c.pivot.imag:.2f} Z" for c in closing
        ),
        " ".join(_data(closed.drawn.chain) for closed in working.closed) if working is not None else "",
        " ".join(_dart(dart) for dart in done.darts.values()),
        tuple(dict.fromkeys((round(c.pivot.real, 2), round(c.pivot.imag, 2)) for c in closing)),
    )


def _data(chain: Chain) -> str:
    return _NUMBER.sub(lambda match: f"{float(match[0]):.2f}", path_text([chain], _PLAIN))


def _turned(working: Working) -> Iterator[str]:
    """The parts that turned, where they now lie: their outline, back to the pivot."""
    made = working.cut
    for arc in made.arcs:
        if arc.gone or arc.motion.is_identity:
            continue
        line = made.outline.cut(arc.first, arc.last).moved(arc.motion)
        pivot = arc.motion(made.turns[0].closing.pivot)
        yield f"{_data(line)} L{pivot.real:.2f} {pivot.imag:.2f} Z"


def _dart(dart: Dart) -> str:
    points = (dart.legs[0], dart.point, dart.legs[1])
    return "M" + " L".join(f"{p.real:.2f} {p.imag:.2f}" for p in points)


def _box(lines: list[Chain]) -> tuple[float, float, float, float]:
    points = [p for line in lines for p in line.samples(5.0)]
    left, top = min(p.real for p in points), min(p.imag for p in points)
    right, bottom = max(p.real for p in points), max(p.imag for p in points)
    return round(left, 1), round(top, 1), round(right - left, 1), round(bottom - top, 1)
