"""The mouth of a dart, however the shapes that draw it are divided, and wherever the outline begins."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.odd_files import EDGES, RULED, dots, edges, figures, front, group, page, run, texts

REMOVAL = """\
removals:
  - {piece: front, edge: neckline, from: shoulder, distance: 40 mm, removed: 12 mm, pivot: {dart: bust dart}}
"""
DART = group("darts", '<path inkscape:label="bust dart" d="M240 250L140 262.5L240 275"/>')
CAPPED = "M240 200V250L247 262.5L240 275V400"
PARTS = {
    "one straight line": ["M240 400V200"],
    "joint in the mouth": ["M240 260V200", "M240 400V260"],
    "the other way": ["M240 200V260", "M240 260V400"],
    "begun in the mouth": ["M240 260V400", "M240 200V260"],
    "three": ["M240 200V255", "M240 255V270", "M240 270V400"],
    "one capped line": [CAPPED],
    "cap of two": ["M240 200V250L247 262.5", "M247 262.5L240 275V400"],
    "cap and seam apart": ["M240 275L247 262.5", "M240 250L247 262.5", "M240 200V250", "M240 275V400"],
}


def drawn(parts: list[str]) -> str:
    side = "".join(f'<path inkscape:label="side seam" d="{d}"/>\n' for d in parts)
    rest = edges().replace(f'<path inkscape:label="side seam" d="{EDGES["side seam"]}"/>\n', "")
    return page(front(side + rest, DART))


def side_seams(folder: Path) -> list[list[complex]]:
    """The points of every shape of the side seam as it was written."""
    svg = (folder / "fixed" / "a.svg").read_text(encoding="utf-8")
    found = []
    for d in re.findall(r'<path inkscape:label="side seam" d="([^"]*)"', svg):
        at, points = 0j, []
        for command, numbers in re.findall(r"([MLV])([^MLV]*)", d):
            values = [float(number) for number in numbers.replace(",", " ").split()]
            at = complex(at.real, values[0]) if command == "V" else complex(*values)
            points.append(at)
        found.append(points)
    return found


@pytest.mark.parametrize("name", PARTS)
def test_shapes_that_meet_within_a_mouth_stay_as_many_and_meet_there_again(name: str, tmp_path: Path) -> None:
    parts = PARTS[name]
    facts = run(tmp_path, drawn(parts), removal=REMOVAL)
    assert texts(facts) == []
    capped = "cap" in name
    (tmp_path / "one").mkdir()
    whole = [CAPPED if capped else EDGES["side seam"]]
    assert figures(facts) == figures(run(tmp_path / "one", drawn(whole), removal=REMOVAL))
    shapes = side_seams(tmp_path)
    assert len(shapes) == len(parts)
    (one,) = side_seams(tmp_path / "one")
    mine = {complex(round(p.real, 6), round(p.imag, 6)) for points in shapes for p in points}
    # A straight mouth has its joints on it; a cap has its tip.
    assert all(min(abs(p - q) for q in mine) < 1e-5 for p in one)
    ends = [end for points in shapes for end in (points[0], points[-1])]
    assert sum(1 for end in ends if sum(abs(end - other) < 1e-6 for other in ends) == 2) == 2 * len(parts) - 2


@pytest.mark.parametrize("capped", [False, True])
def test_a_closed_outline_may_begin_within_a_mouth(capped: bool, tmp_path: Path) -> None:
    start, back = ("M247 262.5L240 275", "V250Z") if capped else ("M240 265", "Z")
    begun = start + "V400H0V80C45 80 70 45 70 0L195 35C190 100 200 190 240 200" + back
    plain = CAPPED if capped else "M240 200V400"
    plain += "H0V80C45 80 70 45 70 0L195 35C190 100 200 190 240 200Z"
    found = []
    for name, d in (("begun", begun), ("plain", plain)):
        (tmp_path / name).mkdir()
        svg = page(front(f'<path d="{d}"/>', DART, group("corner marks", dots())))
        facts = run(tmp_path / name, svg, head=RULED, removal=REMOVAL)
        assert texts(facts) == []
        found.append(figures(facts))
    assert found[0] == found[1]


@pytest.mark.parametrize(
    "lines",
    [
        '<path inkscape:label="bust dart" d="M240 250L140 262.5L240 275"/>',
        '<path inkscape:label="bust dart" d="M240 250L140 262.5"/>'
        '<line inkscape:label="bust dart" x1="140" y1="262.5" x2="240" y2="275"/>',
        "".join(
            f'<circle inkscape:label="bust dart" cx="{x}" cy="{y}" r="1"/>'
            for x, y in ((240, 250), (140, 262.5), (240, 275))
        ),
    ],
    ids=["one shape", "two legs", "three marks"],
)
def test_a_dart_that_was_taken_out_is_drawn_no_more(lines: str, tmp_path: Path) -> None:
    finish = "finish: {take out at: hem, to: centre front}}"
    removal = REMOVAL.replace("bust dart}}", "bust dart}, " + finish)
    removal += "seams:\n  - {join: [front/side seam, front/side seam]}\n"
    drawing = drawn(["M240 200V400"]).replace(DART, group("darts", lines))
    facts = run(tmp_path, drawing, removal=removal)
    assert texts(facts) == []
    svg = (tmp_path / "fixed" / "a.svg").read_text(encoding="utf-8")
    assert "bust dart" not in svg.split("</metadata>")[1]
    (seam,) = facts.sizes[0].seams
    assert seam.before[0] == pytest.approx(175)
    assert seam.after[0] == pytest.approx(175, abs=0.01)


def test_a_hem_that_a_dart_divides_is_not_raised_across_it(tmp_path: Path) -> None:
    finish = "finish: {take out at: hem, to: centre front}}"
    removal = REMOVAL.replace("bust dart}}", "bust dart}, " + finish)
    waist = '<path inkscape:label="waist dart" d="M100 400L110 300L120 400"/>'
    drawing = drawn(["M240 200V400"]).replace(DART, DART.replace("</g>", waist + "</g>"))
    (problem,) = run(tmp_path, drawing, removal=removal).problems
    assert problem.kind == "hem runs elsewhere"
    assert "divided by a dart" in problem.text
