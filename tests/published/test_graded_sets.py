"""Sets graded by a published table of measurements; their lengths measured by another library.

ASTM D5585-11e1, misses: bust and neck base by size, in inches. Its steps run from 5/8 to 2 in: a real
grade is not uniform.
"""

from __future__ import annotations

import cmath
import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from svgpathtools import parse_path

from rules.lengths import read_length
from tests.drawing import group, labelled_piece, page
from tests.repository import grade
from transform.command.cli import app
from transform.command.entry import run_guarded
from transform.sizes import natural_order
from transform.svg.document import Document, read_document
from transform.svg.labels import label_of

TABLE = """\
00, 31 1/8, 13 1/4
0, 31 3/4, 13 1/2
2, 33, 13 3/4
4, 34 1/8, 14
6, 35 1/4, 14 1/4
8, 36 1/4, 14 5/8
10, 37 1/4, 14 7/8
12, 38 3/4, 15 1/8
14, 40 3/8, 15 1/2
16, 42 1/8, 15 3/4
18, 44, 16
20, 46, 16 3/8
"""
SIZES, BUST, NECK = (list(row) for row in zip(*(row.split(", ") for row in TABLE.splitlines()), strict=True))
RULES = """\
ungape: 1
patterns: front-{size}.svg
out: fixed
removals:
  - name: neck gape
    piece: front
    edge: neckline
    from: shoulder
    distance: 65%
    removed: AMOUNT
    pivot: apex
    opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 2 1/2 in}
linked:
  - {piece: front facing, follows: front, along: neckline}
seams:
  - {join: [front/neckline, front facing/neckline], tolerance: 0.1 mm}
"""


def inches(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split()))


def made(folder: Path, amount: str, girths: list[str] = BUST) -> dict[str, Any]:
    """The report of a front and its facing in every size, that grow as the girths do."""
    mm = [read_length(f"{girth} in", "mm") for girth in girths]
    for size, girth in zip(SIZES, mm, strict=True):
        # The block grows by 6 mm a quarter, 24 mm all round, from one size to the next.
        front, _, facing = grade((girth - mm[7]) / 24)
        drawn = page(group(f"size {size}", labelled_piece(front), labelled_piece(facing)))
        (folder / f"front-{size}.svg").write_text(drawn, encoding="utf-8")
    (folder / "misses.gape.yaml").write_text(RULES.replace("AMOUNT", amount), encoding="utf-8")
    report = folder / "report.json"
    code = run_guarded(app, ["apply", str(folder), "--report", str(report), "--quiet"])
    assert code == 0
    (found,) = json.loads(report.read_text("utf-8"))["designs"]
    return found


def told(found: dict[str, Any]) -> list[tuple[str, str]]:
    return [
        (s["size"], n["piece"]) for s in found["sizes"] for n in s["notices"] if n["kind"] == "uneven grade"
    ]


def test_the_table_is_as_uneven_as_it_says() -> None:
    steps = [b - a for a, b in zip(map(inches, BUST), map(inches, BUST[1:]), strict=False)]
    assert (min(steps), max(steps)) == (0.625, 2.0)
    assert natural_order(reversed(SIZES)) == SIZES


@pytest.mark.parametrize(
    ("amount", "girths"),
    [
        ("1/2 in", BUST),
        ('{at: "8", amount: 1/2 in, keep: angle}', BUST),
        ('{at: "8", amount: 1/2 in, step: 1/32 in}', NECK),
    ],
)
def test_a_published_grade_stays_one(amount: str, girths: list[str], tmp_path: Path) -> None:
    found = made(tmp_path, amount, girths)
    assert [size["size"] for size in found["sizes"]] == SIZES
    assert told(found) == []


def test_one_size_with_twice_as_much_is_told(tmp_path: Path) -> None:
    amounts = ", ".join(f'"{size}": {"1 in" if size == "14" else "1/2 in"}' for size in SIZES)
    assert told(made(tmp_path, f"{{{amounts}}}")) == [("14", "front"), ("14", "front facing")]


def line(document: Document, piece: str, edge: str) -> float:
    """The length of an edge of a piece, mm, by svgpathtools."""
    names = {e: label_of(document, e) for e in document.elements}
    return sum(
        parse_path(document.get(e, "d") or "").length(error=1e-9)
        for e in document.elements
        if names[e] == edge
        and [names[a] for a in document.ancestors(e) if names[a]][:2] == ["stitching line", piece]
    )


def test_lengths_and_angles_are_those_that_another_library_finds(tmp_path: Path) -> None:
    found = made(tmp_path, '{at: "8", amount: 1/2 in, keep: angle}')
    angles = set()
    for size in found["sizes"]:
        (file,) = size["files"]
        before, after = (read_document((tmp_path / file[k]).read_bytes(), "x") for k in ("from", "to"))
        for removal in size["removals"]:
            piece = removal["piece"]
            assert removal["edge_before"] == pytest.approx(line(before, piece, "neckline"), abs=1e-3)
            assert removal["edge_after"] == pytest.approx(line(after, piece, "neckline"), abs=1e-3)
            assert removal["shortened"] == pytest.approx(
                removal["edge_before"] - removal["edge_after"], abs=2e-4
            )
            pivot, b, a = (complex(*point) for point in (removal["pivot"], *removal["legs"]))
            assert removal["stagger"] == pytest.approx(abs(abs(b - pivot) - abs(a - pivot)), abs=3e-4)
            angle = abs(cmath.phase((a - pivot) / (b - pivot)))
            assert removal["angle_deg"] == pytest.approx(angle * 180 / cmath.pi, abs=1e-3)
            angles.add(round(removal["angle_deg"], 4))
        (seam,) = size["seams"]
        for when, document in (("before", before), ("after", after)):
            sides = [line(document, piece, "neckline") for piece in ("front", "front facing")]
            assert seam[when] == pytest.approx(sides, abs=1e-3)
        side = [line(document, "front", "side seam") for document in (before, after)]
        assert side[0] == pytest.approx(side[1], abs=0.3)
    assert len(angles) == 1
