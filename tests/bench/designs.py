"""Designs generated for the benchmark: as many files, sizes, removals, segments and bytes as are asked for.

No two files hold the same curves, so that nothing which is remembered of one helps with the next.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from tests.alter.cut_lines import cut_outline
from tests.builders import front, stretch
from tests.drawing import group, labelled_piece, page, path
from transform.geometry.chain import Chain
from transform.geometry.motion import Affine
from transform.geometry.segments import Cubic, Line, Segment
from transform.pattern.model import Piece
from transform.pattern.outline import Outline

DESIGN = "bench.gape.yaml"
_RULES = """\
ungape: 1
design: bench
patterns: {patterns}
out: fixed
removals:
{removals}seams:
  - join: [front/side seam, back/side seam]
  - join: [front/shoulder, back/shoulder]
"""
_FIRST = (
    "  - {{piece: front, edge: neckline, from: shoulder, distance: {at:g}%, removed: {removed:g}, "
    "pivot: apex, opens: {{new dart: bust dart, edge: side seam, from: armhole, distance: 60}}}}\n"
)
_FURTHER = (
    "  - {{piece: front, edge: neckline, from: shoulder, distance: {at:g}%, removed: {removed:g}, "
    "pivot: apex, opens: {{dart: bust dart}}}}\n"
)
_NOTCHES = {"neckline": 0.9, "shoulder": 0.5, "armhole": 0.55, "side seam": 0.7, "hem": 0.4}


def drafted(grade: float, pieces: int = 12) -> str:
    """A front and a back with both lines, marks and notches, as groups; ``pieces`` segments an outline.

    ``grade`` makes every curve of them a little larger.
    """
    affine = Affine(1 + grade, 0, 0, 1 + grade / 2)
    made = _divided(front(), pieces)
    made = replace(made, cut=cut_outline(front().stitching))
    behind = replace(made, name="back", apexes={})
    return _labelled(made, affine) + "\n" + _labelled(behind, Affine(-1 - grade, 0, 0, 1 + grade / 2, 700))


def _labelled(piece: Piece, affine: Affine) -> str:
    rows = labelled_piece(piece, affine).splitlines()
    notches: list[str] = []
    for row in piece.stitching.stretches:
        if row.edge in _NOTCHES:
            place = _NOTCHES[row.edge] * row.chain.length
            at, across = row.chain.point(place), row.chain.tangent(place) * 1j
            notches.append(path(Chain((Line(at, at - 6 * across),)), affine))
    return "\n".join([*rows[:-1], group("notches", *notches), rows[-1]])


def _divided(piece: Piece, pieces: int) -> Piece:
    """The piece, its outline drawn in at least so many segments."""
    each = max(1, pieces // len(piece.stitching.stretches))
    rows = [
        stretch(s.edge or "", *(part for one in s.chain.segments for part in _parts(one, each)))
        for s in piece.stitching.stretches
    ]
    return replace(piece, stitching=Outline(tuple(rows)))


def _parts(segment: Segment, count: int) -> list[Segment]:
    found: list[Segment] = []
    rest = segment
    for left in range(count, 1, -1):
        head, rest = rest.split(1 / left)
        found.append(head)
    return [*found, rest]


def sheet(size: int, seed: int) -> str:
    """About ``size`` bytes of a drawing that belongs to no piece: outlines, rules, rectangles, lettering."""
    chance = random.Random(seed)
    rows: list[str] = []
    length = 0
    while length < size:
        x, y = chance.uniform(0, 900), chance.uniform(700, 1500)
        row = chance.choice((_curve, _curve, _letters, _box, _rule))(chance, x, y)
        rows.append(row)
        length += len(row) + 1
    return group("sheet", *(group("", *rows[k : k + 50]) for k in range(0, len(rows), 50)))


_STYLE = 'style="fill:none;stroke:#3c3c3c;stroke-width:0.35"'


def _curve(chance: random.Random, x: float, y: float) -> str:
    points = [complex(x, y)]
    for _ in range(3 * 16):
        points.append(points[-1] + complex(chance.uniform(-8, 9), chance.uniform(-8, 8)))
    pieces = [" ".join(f"{p.real:.3f},{p.imag:.3f}" for p in points[k : k + 3]) for k in range(1, 49, 3)]
    return f'<path {_STYLE} d="M {x:.3f},{y:.3f} C {" C ".join(pieces)}"/>'


def _letters(chance: random.Random, x: float, y: float) -> str:
    words = " ".join(chance.choice(("cut", "two", "on the fold", "of lining", "size")) for _ in range(4))
    return f'<text x="{x:.2f}" y="{y:.2f}" style="font-size:4.6px;font-family:sans-serif">{words}</text>'


def _box(chance: random.Random, x: float, y: float) -> str:
    return f'<rect {_STYLE} x="{x:.3f}" y="{y:.3f}" width="{chance.uniform(5, 50):.2f}" height="20"/>'


def _rule(chance: random.Random, x: float, y: float) -> str:
    return f'<line {_STYLE} x1="{x:.3f}" y1="{y:.3f}" x2="{x + chance.uniform(5, 90):.3f}" y2="{y:.3f}"/>'


def file_of(sizes: Sequence[int], of: int, *, size: int = 0, pieces: int = 12, round_: int = 0) -> str:
    """One file with these sizes nested, filled up to ``size`` bytes; ``round_`` makes its curves new.

    ``of`` is how many sizes the design has, the largest number among them. However many they are, they are
    spread over one hundredth: a larger piece costs more, and is not what is measured.
    """
    rows = [
        group(f"size {number}", drafted(0.01 * number / of + 1e-7 * (round_ + 1), pieces)) for number in sizes
    ]
    drawn = page(*rows, box=(-150, -50, 1100, 1600))
    left = size - len(drawn)
    if left <= 0:
        return drawn
    return page(*rows, sheet(left, sizes[0] + 1000 * round_), box=(-150, -50, 1100, 1600))


def write_rules(folder: Path, patterns: str = '"front-{size}.svg"', removals: int = 1) -> Path:
    """The rules: so many removals of one neckline, all to the apex and into one dart."""
    rows: list[str] = []
    for k in range(removals):
        at = 20 + 60 * (k + 0.5) / removals
        rows.append((_FURTHER if k else _FIRST).format(at=at, removed=20 / removals))
    rules = folder / DESIGN
    rules.write_text(_RULES.format(patterns=patterns, removals="".join(rows)), encoding="utf-8")
    return rules


def write_set(folder: Path, files: int, *, size: int = 0, round_: int = 0) -> Path:
    """A design of so many files, a size each; the rules file."""
    folder.mkdir(parents=True)
    for number in range(1, files + 1):
        text = file_of([number], files, size=size, round_=round_)
        (folder / f"front-{number}.svg").write_text(text, encoding="utf-8")
    return write_rules(folder)


def write_file(
    folder: Path, *, sizes: int = 1, size: int = 0, pieces: int = 12, removals: int = 1, round_: int = 0
) -> Path:
    """A design of one file; the rules file."""
    folder.mkdir(parents=True)
    text = file_of(range(1, sizes + 1), sizes, size=size, pieces=pieces, round_=round_)
    (folder / "all.svg").write_text(text, encoding="utf-8")
    return write_rules(folder, "all.svg", removals)


def curves(count: int, seed: int) -> list[Cubic]:
    """Curves of one bend and of two, no two alike."""
    chance = random.Random(seed)
    found: list[Cubic] = []
    for _ in range(count):
        a = complex(chance.uniform(0, 50), chance.uniform(0, 50))
        steps = [complex(chance.uniform(10, 120), chance.uniform(-60, 120)) for _ in range(3)]
        points = [a]
        for step in steps:
            points.append(points[-1] + step)
        found.append(Cubic(*points))
    return found
