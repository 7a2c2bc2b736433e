"""Corner marks of a piece that has a cut line alone: they stand on its corners, before and after."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rules.reading import read_rules
from tests.odd_files import APEX, CORNERS, REMOVAL, RULED, group, page, run, texts
from transform.pattern.reading import read_pieces
from transform.svg.document import read_document

CORNERS_OF_CUT = dict(
    zip(CORNERS, [(70, 0), (0, 110), (0, 415), (255, 415), (255, 190), (205, 35)], strict=True)
)
DRAWN = "M70 0L0 110V415H255V190L205 35Z"


def marked(d: str, corners: dict[str, tuple[float, float]]) -> str:
    """The front as a closed cut line with a dot on each of ``corners``."""
    marks = "\n".join(
        f'<circle inkscape:label="{name}" cx="{x}" cy="{y}" r="2"/>' for name, (x, y) in corners.items()
    )
    return page(
        group(
            "size 12",
            group(
                "front",
                group("cut line", f'<path d="{d}"/>'),
                group("corner marks", marks),
                group("fold line", '<path d="M0 110V415"/>'),
                group("apex mark", APEX),
            ),
        )
    )


@pytest.mark.parametrize("turned", ["", "M0 415H255V190L205 35L70 0L0 110Z"])
def test_a_mark_goes_with_the_corner_that_a_closing_moves_along_the_fold(turned: str, tmp_path: Path) -> None:
    facts = run(
        tmp_path,
        marked(turned or DRAWN, CORNERS_OF_CUT),
        head=f"allowance: 15 mm\n{RULED}",
        removal=REMOVAL.replace("12 mm", "20 mm"),
    )
    assert texts(facts) == []
    after = (tmp_path / "fixed" / "a.svg").read_bytes()
    rules = read_rules(tmp_path / "a.gape.yaml")
    (piece,) = read_pieces(read_document(after, "a.svg"), rules).pieces
    assert piece.cut is not None
    corner = piece.cut.chain.point(piece.cut.corners["centre front neck"])
    (mark,) = (item.place for item in piece.items if item.corner == "centre front neck")
    # The neckline is straight and leans otherwise now: its allowance ends further up the fold.
    assert corner.real == pytest.approx(50)
    assert corner.imag < 156.5
    assert mark == pytest.approx(corner, abs=1e-5)
    assert re.search(r'"centre front neck"[^>]*transform=', after.decode())


def test_marks_on_a_dart_in_the_outline_stay_at_its_point_and_legs(tmp_path: Path) -> None:
    corners = {**CORNERS_OF_CUT, "upper leg": (255, 250), "lower leg": (255, 275), "dart point": (140, 262.5)}
    drawn = DRAWN.replace("V190", "V275L140 262.5L255 250V190")
    ruled = RULED.replace(
        "[side hem, underarm point]", "[[side hem, lower leg], [upper leg, underarm point]]"
    )
    removal = (
        "removals:\n  - {piece: front, edge: neckline, from: shoulder, distance: 40 mm, removed: 20 mm, "
        "pivot: {dart: bust dart}}\n"
    )
    head = f"allowance: 15 mm\n{ruled}    bust dart: [upper leg, dart point, lower leg]\n"
    facts = run(tmp_path, marked(drawn, corners), head=head, removal=removal)
    assert texts(facts) == []
    after = read_document((tmp_path / "fixed" / "a.svg").read_bytes(), "a.svg")
    (piece,) = read_pieces(after, read_rules(tmp_path / "a.gape.yaml")).pieces
    assert piece.cut is not None
    for item in piece.items:
        if item.corner is not None:
            place = piece.cut.corners[item.corner]
            assert item.place == pytest.approx(piece.cut.chain.point(place), abs=1e-4)
    assert piece.dart("bust dart").drawn_in
