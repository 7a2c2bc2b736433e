"""Whole files before and after, through the real command: every house style gives the same result."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rules.reading import read_rules
from tests.builders import front, front_with_dart
from tests.drawing import (
    PLAIN,
    corner_marks,
    cornered_piece,
    group,
    labelled_line,
    labelled_piece,
    marks,
    page,
    path,
)
from tests.small_designs import run_design
from transform.designs.orders import Options
from transform.geometry.motion import Affine
from transform.geometry.nearest import nearest
from transform.pattern.model import Piece
from transform.pattern.reading import read_pieces
from transform.report.facts import DesignFacts
from transform.svg.document import read_document

REMOVAL = (
    "{piece: front, edge: neckline, from: shoulder, distance: 60, removed: 20, pivot: apex, "
    "opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 60}}"
)
TO_DART = (
    "{piece: front, edge: neckline, from: shoulder, distance: 60, removed: 12, pivot: {dart: bust dart}}"
)
EDGES = """\
edges:
  front:
    neckline: [neck point, centre front neck]
    shoulder: [neck point, shoulder point]
    armhole: [shoulder point, underarm point]
    side seam: [underarm point, side hem]
    hem: [side hem, centre hem]
    centre front: [centre hem, centre front neck]
"""


def with_corners(piece: Piece) -> Piece:
    outline = piece.stitching
    names = {
        "neckline": "centre front neck",
        "shoulder": "neck point",
        "armhole": "shoulder point",
        "side seam": "underarm point",
        "hem": "side hem",
        "centre front": "centre hem",
    }
    corners = {names[e]: outline.edge(e).begin for e in outline.edge_names}
    return replace(piece, stitching=replace(outline, corners=corners))


def run(folder: Path, svg: str, *removals: str, head: str = "", name: str = "front.svg") -> DesignFacts:
    (folder / name).write_text(svg, encoding="utf-8")
    rows = "".join(f"  - {row}\n" for row in removals)
    rules = folder / "design.gape.yaml"
    rules.write_text(f"ungape: 1\npatterns: {name}\nout: fixed\n{head}removals:\n{rows}", encoding="utf-8")
    return run_design(rules, Options(writes=True))


def written(folder: Path, name: str = "front.svg") -> tuple[Piece, ...]:
    data = (folder / "fixed" / name).read_bytes()
    return read_pieces(read_document(data, name), read_rules(folder / "design.gape.yaml")).pieces


def figures(facts: DesignFacts) -> dict[str, Any]:
    (removal,) = facts.sizes[0].removals
    (opened,) = removal.opened
    return {
        "angle": removal.angle,
        "before": removal.edge_before,
        "after": removal.edge_after,
        "intake": opened.intake_after,
        "legs": opened.leg_lengths,
        "stagger": removal.stagger,
    }


def same(one: dict[str, Any], other: dict[str, Any], tolerance: float = 0.02) -> bool:
    return all(one[key] == pytest.approx(other[key], abs=tolerance) for key in one)


STYLES = {
    "labelled edges": lambda piece: (group("size 12", labelled_piece(piece)), ""),
    "corner marks": lambda piece: (group("size 12", cornered_piece(with_corners(piece))), EDGES),
    "piece around size": lambda piece: (
        group("front", group("size 12", *labelled_piece(piece).splitlines()[1:-1])),
        "",
    ),
}


@pytest.mark.parametrize("style", STYLES)
def test_every_style_gives_the_same_figures(style: str, tmp_path: Path) -> None:
    body, head = STYLES[style](front())
    facts = run(tmp_path, page(body), REMOVAL, head=head)
    assert facts.problems == ()
    (tmp_path / "plain").mkdir()
    plain = run(tmp_path / "plain", page(group("size 12", labelled_piece(front()))), REMOVAL)
    assert same(figures(facts), figures(plain))
    (piece,) = written(tmp_path)
    assert piece.dart("bust dart").capped
    assert piece.stitching.edge("side seam").length == pytest.approx(
        front().stitching.edge("side seam").length, abs=1e-3
    )


@pytest.mark.parametrize("drawn", ["in the outline", "straight", "capped"])
@pytest.mark.parametrize("style", ["labelled", "cornered"])
def test_a_dart_stays_drawn_the_way_it_was(drawn: str, style: str, tmp_path: Path) -> None:
    piece = front_with_dart(drawn_in=drawn == "in the outline", capped=drawn == "capped")
    head = ""
    if style == "cornered":
        outline = piece.stitching
        piece = with_corners(piece)
        corners = dict(piece.stitching.corners)
        head = EDGES
        if drawn == "in the outline":
            place = outline.mouth_of("bust dart")
            assert place is not None
            corners |= {
                "upper leg": place[0],
                "dart point": outline.chain.place_of(outline.chain.locate(place[0])[0], 1.0),
                "lower leg": place[1],
            }
            head = head.replace(
                "side seam: [underarm point, side hem]",
                "side seam: [[underarm point, upper leg], [lower leg, side hem]]\n"
                "    bust dart: [upper leg, dart point, lower leg]",
            )
        piece = replace(piece, stitching=replace(piece.stitching, corners=corners))
        body = cornered_piece(piece)
    else:
        body = labelled_piece(piece)
    facts = run(tmp_path, page(group("size 12", body)), TO_DART, head=head)
    assert facts.problems == ()
    (after,) = written(tmp_path)
    dart = after.dart("bust dart")
    assert dart.drawn_in is (drawn == "in the outline")
    assert dart.capped is (drawn == "capped")
    old = piece.darts[0]
    assert dart.point == pytest.approx(old.point + 150 + 50j, abs=1e-5)
    (opened,) = facts.sizes[0].removals[0].opened
    before = 2 * math.asin(abs(old.legs[0] - old.legs[1]) / 2 / abs(old.legs[0] - old.point))
    now = 2 * math.asin(opened.intake_after / 2 / opened.leg_lengths[0])
    assert now - before == pytest.approx(facts.sizes[0].removals[0].angle, abs=1e-6)


@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    unit=st.sampled_from([1.0, 96 / 25.4, 1 / 25.4, 0.1]),
    angle=st.floats(-3.1, 3.1),
    mirrors=st.booleans(),
    neck=st.sampled_from(["round", "wrapped", "straight"]),
)
def test_units_turns_and_mirrors_give_the_same_result_likewise(
    unit: float, angle: float, mirrors: bool, neck: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder, plain_folder = tmp_path_factory.mktemp("there"), tmp_path_factory.mktemp("here")
    side = -1.0 if mirrors else 1.0
    c, s = math.cos(angle), math.sin(angle)
    turn = Affine(c, s, -side * s, side * c, 40.0, 90.0)
    # Drawn turned and mirrored, in other units, and brought upright again by nothing at all.
    affine = Affine(unit, 0, 0, unit, 0, 0) @ turn
    body = group("size 12", labelled_piece(front(neck), affine))
    facts = run(folder, page(body, box=(-900, -900, 1800, 1800), unit=unit), REMOVAL)
    plain = run(plain_folder, page(group("size 12", labelled_piece(front(neck)))), REMOVAL)
    assert facts.problems == ()
    assert same(figures(facts), figures(plain))
    (there,), (here,) = written(folder), written(plain_folder)
    shift_there, shift_here = 900 + 900j, 150 + 50j
    for place in range(0, int(here.stitching.chain.length), 60):
        point = turn(here.stitching.chain.point(place) - shift_here) + shift_there
        assert nearest(there.stitching.chain, point)[1] < 0.02


def test_the_same_sources_give_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        run(tmp_path / name, page(group("size 12", labelled_piece(front()))), REMOVAL)
    one, two = ((tmp_path / name / "fixed" / "front.svg").read_bytes() for name in ("one", "two"))
    assert one == two


def test_without_removals_the_file_is_copied_byte_for_byte(tmp_path: Path) -> None:
    svg = page(group("size 12", labelled_piece(front())))
    (tmp_path / "front.svg").write_text(svg, encoding="utf-8")
    rules = tmp_path / "design.gape.yaml"
    rules.write_text("ungape: 1\npatterns: front.svg\nout: fixed\n")
    assert run_design(rules, Options(writes=True)).exit == 0
    assert (tmp_path / "fixed" / "front.svg").read_bytes() == (tmp_path / "front.svg").read_bytes()
    ledger = json.loads((tmp_path / "fixed" / ".ungape.json").read_text())
    assert "front.svg" in ledger["files"]


def test_a_removal_asked_for_twice_is_refused(tmp_path: Path) -> None:
    run(tmp_path, page(group("size 12", labelled_piece(front()))), REMOVAL)
    again = tmp_path / "again.gape.yaml"
    text = (tmp_path / "design.gape.yaml").read_text()
    again.write_text(
        text.replace("patterns: front.svg", "patterns: fixed/front.svg").replace("out: fixed", "out: twice")
    )
    facts = run_design(again, Options(writes=True))
    assert [p.kind for p in facts.problems] == ["removed already"]
    assert facts.exit == 3
    assert not (tmp_path / "twice").exists()
    meant = text.replace("patterns: front.svg", "patterns: fixed/front.svg").replace(
        "out: fixed", "out: twice"
    )
    meant = meant.replace("pivot: apex,", "pivot: apex, again: yes,").replace(
        "new dart: bust dart", "new dart: two"
    )
    again.write_text(meant.replace("distance: 60}", "distance: 160}"))
    facts = run_design(again, Options(writes=True))
    assert facts.problems == ()
    assert list((tmp_path / "twice").rglob("front.svg"))


@pytest.mark.parametrize("style", ["labelled edges", "corner marks"])
def test_a_piece_with_a_cut_line_alone(style: str, tmp_path: Path) -> None:
    piece = with_corners(front())
    allowance = "allowance: {default: 10 mm, neckline: 6 mm, hem: 30 mm}\n"
    line = labelled_line("cut line", piece.stitching, PLAIN)
    if style == "corner marks":
        shape = group("cutting line", path(piece.stitching.chain, PLAIN))
        line = shape + corner_marks(piece.stitching, PLAIN)
        allowance += EDGES
    body = group("size 12", group("front", line, *marks(piece, PLAIN)))
    facts = run(tmp_path, page(body), REMOVAL, head=allowance)
    assert facts.problems == ()
    (before,) = read_pieces(
        read_document((tmp_path / "front.svg").read_bytes(), "front.svg"),
        read_rules(tmp_path / "design.gape.yaml"),
    ).pieces
    (after,) = written(tmp_path)
    assert not after.stitching_drawn
    assert after.stitching.edge("side seam").length == pytest.approx(
        before.stitching.edge("side seam").length, abs=0.15
    )
    dart = after.dart("bust dart")
    lengths = [abs(leg - dart.point) for leg in dart.legs]
    assert lengths[0] == pytest.approx(lengths[1], abs=0.1)
    (opened,) = facts.sizes[0].removals[0].opened
    assert abs(dart.legs[0] - dart.legs[1]) == pytest.approx(opened.intake_after, abs=0.1)
