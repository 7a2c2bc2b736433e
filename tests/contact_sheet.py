"""A contact sheet of closings: before (grey) and after (black), with a comb of curvature along the new line.

``python -m tests.contact_sheet FILE.svg`` draws 36 of them; ``--small`` draws the six of the README.
Teeth stand on the side towards which the line does not bend, as long as the curvature is large: a fair
line has teeth whose ends run smoothly, and all on one side.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from rules.lengths import Fixed
from rules.model import DartPivot, EdgePivot, KnownDart, Removal, TakenOut
from rules.problems import UngapeError
from tests.builders import altered, front, front_with_dart, removal, result_piece
from transform.geometry.chain import Chain
from transform.pattern.model import Piece

COLUMNS = 6
CELL = (300.0, 300.0)
COMB = 1500.0
_FROM_NECK = {"round": (35.0, 60.0, 95.0), "scooped": (50.0, 110.0, 160.0), "wrapped": (80.0, 180.0, 290.0)}


@dataclass(frozen=True)
class Case:
    """One closing to look at."""

    title: str
    piece: Piece
    removals: tuple[Removal, ...]


def cases() -> list[Case]:
    """Six rows of six."""
    found = []
    for neck, places in _FROM_NECK.items():
        for place in places:
            for width in (6.0, 18.0):
                asked = removal(distance=Fixed(place), amount=Fixed(width))
                found.append(Case(f"{neck} neck, {width:g} mm at {place:g}", front(neck), (asked,)))
    for place in (40.0, 110.0, 160.0):
        asked = removal(distance=Fixed(place), amount=Fixed(14.0))
        found.append(Case(f"V neck, 14 mm at {place:g}", front("straight"), (asked,)))
    for width in (6.0, 18.0, 30.0):
        asked = removal(distance=Fixed(110.0), amount=Fixed(width), line="fair")
        found.append(Case(f"V neck drawn fair, {width:g} mm", front("straight"), (asked,)))
    for place in (60.0, 120.0, 170.0):
        for width in (6.0, 16.0):
            asked = removal(edge="armhole", distance=Fixed(place), amount=Fixed(width))
            found.append(Case(f"armhole, {width:g} mm at {place:g}", front(), (asked,)))
    known = (KnownDart("bust dart"),)
    to_dart = removal(pivot=DartPivot("bust dart"), opens=known, amount=Fixed(12.0))
    arm = removal(
        name="arm", edge="armhole", distance=Fixed(110.0), pivot=DartPivot("bust dart"), opens=known
    )
    found.append(Case("to the dart, straight mouth", front_with_dart(), (to_dart,)))
    found.append(Case("to the dart, drawn in", front_with_dart(drawn_in=True), (to_dart,)))
    found.append(Case("neck and armhole to the dart", front_with_dart(capped=True), (to_dart, arm)))
    taken = removal(finish=TakenOut("hem", "centre front"))
    found.append(Case("taken out at the hem", front("wrapped"), (taken,)))
    princess = removal(opens=(), pivot=EdgePivot("armhole", "shoulder", Fixed(120.0)), amount=Fixed(12.0))
    found.append(Case("to nothing on the armhole", front(), (princess,)))
    two = removal(name="two", edge="armhole", distance=Fixed(110.0), amount=Fixed(12.0), opens=known)
    found.append(Case("neck and armhole to one new dart", front(), (removal(amount=Fixed(12.0)), two)))
    return found


def sheet(row: list[Case]) -> str:
    """The contact sheet as SVG."""
    cells = [_cell(case, k % COLUMNS, k // COLUMNS) for k, case in enumerate(row)]
    width, height = COLUMNS * CELL[0], (len(row) + COLUMNS - 1) // COLUMNS * CELL[1]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" fill="none" font-family="sans-serif">\n'
        f'<rect width="{width}" height="{height}" fill="white"/>\n' + "\n".join(cells) + "\n</svg>\n"
    )


def _cell(case: Case, column: int, line: int) -> str:
    x, y = column * CELL[0], line * CELL[1]
    head = f'<text x="8" y="14" font-size="11" fill="black">{case.title}</text>'
    try:
        result = altered(case.piece, *case.removals)
    except UngapeError as error:
        text = error.problems[0].text[:60]
        return (
            f'<g transform="translate({x} {y})">{head}<text y="30" font-size="9" fill="red">{text}</text></g>'
        )
    after = result_piece(result)
    facts = result.removals[0]
    back, on = facts.reach
    note = f"reach {back:.0f}/{on:.0f}, moved {facts.moved:.1f}, stagger {facts.stagger:.1f}"
    old = _path(case.piece.stitching.chain, "#bbb", 1)
    new = _path(after.stitching.chain, "black", 1)
    closed = list(dict.fromkeys(f.edge for f in result.removals))
    combs = "".join(
        _comb(s.chain) for s in after.stitching.stretches if s.edge in closed and s.chain.length > 1
    )
    darts = "".join(_dart(d.legs, d.point) for d in after.darts)
    scale = 0.42
    return (
        f'<g transform="translate({x} {y})">{head}<text x="8" y="27" font-size="9" fill="#444">{note}</text>'
        f'<g transform="translate(90 36) scale({scale})">{old}{combs}{new}{darts}</g></g>'
    )


def _path(chain: Chain, colour: str, width: float) -> str:
    points = " ".join(f"{p.real:.2f},{p.imag:.2f}" for p in chain.samples(1.0))
    return f'<polygon points="{points}" stroke="{colour}" stroke-width="{width / 0.42:.2f}"/>'


def _comb(chain: Chain) -> str:
    teeth, ends = [], []
    count = max(12, int(chain.length / 3))
    for k in range(count + 1):
        place = chain.length * k / count
        foot = chain.point(place)
        end = foot - 1j * chain.tangent(place) * chain.curvature(place) * COMB
        teeth.append(f"M{foot.real:.2f},{foot.imag:.2f}L{end.real:.2f},{end.imag:.2f}")
        ends.append(f"{end.real:.2f},{end.imag:.2f}")
    return (
        f'<path d="{"".join(teeth)}" stroke="#6a9" stroke-width="1"/>'
        f'<polyline points="{" ".join(ends)}" stroke="#286" stroke-width="1.5"/>'
    )


def _dart(legs: tuple[complex, complex], point: complex) -> str:
    points = " ".join(f"{p.real:.2f},{p.imag:.2f}" for p in (legs[0], point, legs[1]))
    return f'<polyline points="{points}" stroke="#a33" stroke-width="1.5"/>'


def main(arguments: list[str]) -> None:
    """Draw the sheet into the file named."""
    row = cases()
    if "--small" in arguments:
        row = [row[k] for k in (2, 8, 18, 26, 32, 33)]
    Path(arguments[-1]).write_text(sheet(row), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
