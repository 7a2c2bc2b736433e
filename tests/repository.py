"""A whole repository of designs, as many as are asked for, each of 12 files in one of three styles.

    python -m tests.repository FOLDER [DESIGNS]

The styles: a file a piece and size; a file a size; and half of each, the backs of all sizes nested in one
file beside a file a size for the fronts. There are ten sets of measurements, and seven amounts to take out of
each.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

from tests.alter.cut_lines import WIDTHS, cut_outline
from tests.builders import stretch
from tests.drawing import group, labelled_piece, page
from transform.geometry.offset import offset_chain
from transform.geometry.segments import Cubic, Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline

FILES = 12
"""Pattern files of each design."""
NUMBERS = tuple(str(size) for size in range(6, 30, 2))
"""Twelve sizes; a design of a file a piece and size, or of nested files, uses fewer of them."""
STYLES = ("piece and size", "size", "nested")
BODIES = 10
"""So many sets of measurements there are."""

_RULES = """\
ungape: 1
design: design {number}
patterns: {patterns}
out: fixed
removals:
  - name: neck gape
    piece: front
    edge: neckline
    from: shoulder
    distance: 65%
    pinched: {{at: "12", amount: {pinched} mm, step: 0.2 mm}}
    pivot: apex
    opens: {{new dart: bust dart, edge: side seam, from: armhole, distance: 60 mm}}
    finish: {{draw back: 25 mm, press: down}}
{linked}seams:
  - join: [front/side seam, back/side seam]
  - join: [front/shoulder, back/shoulder]
"""
_LINKED = "linked:\n  - {piece: front facing, follows: front, along: neckline}\n"


@cache
def grade(rank: float, body: int = 0) -> tuple[Piece, Piece, Piece]:
    """Front, back and front facing of the size that is ``rank`` steps above size 12, with cut lines.

    Every point moves by as much from size to size; ``body`` says which set of measurements it is.
    """
    wide, deep = 1 + 0.01 * body, 1 + 0.007 * (body % 3)

    def at(x: float, y: float, dx: float = 0.0, dy: float = 0.0) -> complex:
        return complex(wide * (x + rank * dx), deep * (y + rank * dy))

    neck, shoulder = at(70, 0, 0.8, -0.8), at(190, 40, 3.0, 0)
    underarm, side_hem = at(240, 260, 6.0, 2.0), at(230, 600, 6.0, 2.0)
    armhole = Cubic(shoulder, at(170, 120, 3.0, 0.7), at(170, 250, 4.0, 2.0), underarm)
    side, low = Line(underarm, side_hem), at(0, 610, 0, 2.0)
    hem = Cubic(side_hem, at(150, 605, 4.0, 2.0), at(80, 610, 2.0, 2.0), low)

    def half(name: str, depth: float, centre: str) -> Piece:
        top = at(0, depth, 0, 0.6)
        neckline = Cubic(top, at(40, depth, 0.4, 0.6), at(70, depth / 2, 0.8, 0), neck)
        rows = (
            stretch("neckline", neckline),
            stretch("shoulder", Line(neck, shoulder)),
            stretch("armhole", armhole),
            stretch("side seam", side),
            stretch("hem", hem),
            stretch(centre, Line(low, top)),
        )
        outline = Outline(rows)
        widths = {**WIDTHS, centre: 0.0}
        return Piece(
            name,
            None,
            "",
            name,
            outline,
            True,
            cut_outline(outline, widths),
            grain=(at(60, 300), at(60, 500)),
            fold=rows[-1].chain,
        )

    front = replace(half("front", 120, "centre front"), apexes={"": at(95, 260, 1.5, 1.0)})
    return front, half("back", 25, "centre back"), _facing(front)


def _facing(front: Piece) -> Piece:
    top = front.stitching.stretches[0].chain
    inner = offset_chain(top, -50.0)
    rows = (
        stretch("neckline", *top.segments),
        stretch("shoulder", Line(top.end, inner.end)),
        stretch("outer edge", *inner.reversed().segments),
        stretch("centre front", Line(inner.start, top.start)),
    )
    outline = Outline(rows)
    cut = cut_outline(outline, {**WIDTHS, "outer edge": 0.0})
    return Piece("front facing", None, "", "front facing", outline, True, cut, fold=rows[-1].chain)


def write_design(folder: Path, number: int) -> Path:
    """Design ``number`` in a folder of its own: 12 pattern files, and its rules file, which is returned."""
    folder.mkdir(parents=True)
    style = STYLES[number % len(STYLES)]
    count = FILES // 2 if style == "piece and size" else FILES if style == "size" else FILES - 1
    sizes = NUMBERS[:count]
    graded = [grade(rank - sizes.index("12"), number % BODIES) for rank in range(count)]
    linked = ""
    if style == "piece and size":
        patterns = '"{piece}-{size}.svg"'
        for size, (front, back, _) in zip(sizes, graded, strict=True):
            for piece in (front, back):
                _write(folder / f"{piece.name}-{size}.svg", size, [piece])
    elif style == "size":
        patterns, linked = '"sheet-{size}.svg"', _LINKED
        for size, pieces in zip(sizes, graded, strict=True):
            _write(folder / f"sheet-{size}.svg", size, pieces)
    else:
        patterns, linked = '["front-{size}.svg", backs.svg]', _LINKED
        for size, (front, _, facing) in zip(sizes, graded, strict=True):
            _write(folder / f"front-{size}.svg", size, [front, facing])
        backs = [group(f"size {s}", labelled_piece(g[1])) for s, g in zip(sizes, graded, strict=True)]
        (folder / "backs.svg").write_text(page(*backs), encoding="utf-8")
    rules = folder / f"design-{number:03}.gape.yaml"
    pinched = 5 + 0.5 * (number % 7)
    text = _RULES.format(number=number, patterns=patterns, pinched=pinched, linked=linked)
    rules.write_text(text, encoding="utf-8")
    return rules


def _write(path: Path, size: str, pieces: Sequence[Piece]) -> None:
    rows = [labelled_piece(piece) for piece in pieces]
    path.write_text(page(group(f"size {size}", *rows)), encoding="utf-8")


def write_repository(folder: Path, designs: int = 500) -> list[Path]:
    """So many designs, ten in a folder; their rules files."""
    return [
        write_design(folder / f"shelf-{number // 10:02}" / f"design-{number:03}", number)
        for number in range(designs)
    ]


if __name__ == "__main__":
    write_repository(Path(sys.argv[1]), *map(int, sys.argv[2:3]))
