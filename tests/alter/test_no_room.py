"""Wedges that take an edge's last bit, or leave a few millimetres of it."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace
from pathlib import Path

import pytest

from rules.lengths import Fixed
from tests.alter.cut_lines import cut_outline, with_cut
from tests.alter.linked_pieces import facing
from tests.builders import NECKS, altered, front, moved_piece, removal, result_piece, stretch
from tests.drawing import cornered_piece, group, labelled_piece, page
from tests.small_designs import run_design
from tests.test_linked_files import FACING, run, written
from tests.test_whole_files import EDGES, with_corners
from transform.checks.drawn_laws import closed_edges
from transform.designs.orders import Options
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line
from transform.pattern.outline import Outline

LENGTHS = {neck: Chain((line,)).length for neck, line in NECKS.items()}


def rules(distance: float, removed: float, tail: str = "") -> str:
    return (
        "ungape: 1\npatterns: dress.svg\nout: fixed\nremovals:\n"
        f"  - {{piece: front, edge: neckline, from: shoulder, distance: {distance:.6f}, removed: {removed}, "
        "pivot: apex,\n"
        "     opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 60}}\n" + tail
    )


@pytest.mark.parametrize("left", [0.0, 1.0, 5.0])
@pytest.mark.parametrize("width", [5.0, 15.0])
@pytest.mark.parametrize("neck", ["round", "scooped"])
def test_at_the_centre_the_edge_meets_the_fold_square_and_fair(neck: str, width: float, left: float) -> None:
    asked = removal(distance=Fixed(LENGTHS[neck] - width - left), amount=Fixed(width))
    result = altered(front(neck), asked)
    (closed,) = result.workings[0].closed
    new = result_piece(result).stitching
    neckline, centre = new.edge("neckline"), new.edge("centre front")
    slid = closed.drawn.slid[0]
    assert 0 < slid < 20
    assert centre.length == pytest.approx(front(neck).stitching.edge("centre front").length - slid, abs=1e-6)
    start = new.chain.point(neckline.begin)
    assert abs(start.real) < 1e-6
    assert cmath.phase(new.chain.tangent(neckline.begin)) == pytest.approx(0.0, abs=math.radians(0.1))
    assert closed.drawn.outside <= 0.5
    assert closed.drawn.inflections == 0


@pytest.mark.parametrize("left", [0.0, 5.0])
@pytest.mark.parametrize("neck", list(NECKS))
def test_at_the_shoulder_the_neck_point_stays(neck: str, left: float) -> None:
    old = front(neck).stitching
    result = altered(front(neck), removal(distance=Fixed(left), amount=Fixed(12.0)))
    (closed,) = result.workings[0].closed
    new = result_piece(result).stitching
    assert closed.drawn.slid == (0.0, 0.0)
    assert new.edge("shoulder").length == pytest.approx(old.edge("shoulder").length, abs=1e-6)
    if closed.line == "fair":
        assert closed.drawn.outside <= 0.5
        assert closed.drawn.inside < 5.0


@pytest.mark.parametrize("left", [0.0, 4.0])
def test_a_facing_follows_where_the_neckline_slid(left: float, tmp_path: Path) -> None:
    drawn = (front(), moved_piece(facing(), Motion(shift=500 - 250j)))
    facts = run(tmp_path, rules(LENGTHS["round"] - 15 - left, 15, "linked:\n" + FACING), *drawn)
    assert facts.problems == ()
    after = written(tmp_path)
    one, other = after["front"], moved_piece(after["front facing"], Motion(shift=-500 + 250j))
    assert drawn[0].stitching.edge("centre front").length - one.stitching.edge("centre front").length > 1
    (neckline,) = (row.chain for row in other.stitching.stretches if row.edge == "neckline")
    assert max(nearest(one.stitching.chain, point)[1] for point in neckline.samples(2.0)) < 0.05
    kinds = [notice.kind for notice in facts.sizes[0].notices]
    assert "edge's end moved" in kinds


@pytest.mark.parametrize("style", ["labelled edges", "one shape"])
def test_cut_line_and_corner_mark_go_with_the_edge(style: str, tmp_path: Path) -> None:
    piece = with_corners(front())
    piece = with_cut(piece, cut_outline(piece.stitching))
    body = labelled_piece(piece) if style == "labelled edges" else cornered_piece(piece)
    (tmp_path / "dress.svg").write_text(page(group("size 12", body)), encoding="utf-8")
    path = tmp_path / "design.gape.yaml"
    head = "" if style == "labelled edges" else EDGES
    path.write_text(rules(LENGTHS["round"] - 15, 15) + head, encoding="utf-8")
    facts = run_design(path, Options(writes=True))
    assert facts.problems == ()


@pytest.mark.parametrize("distance", [5.0, 20.0, 40.0, 55.0, 70.0])
def test_an_edge_with_a_sharp_point_keeps_it_and_is_fair_beside_it(distance: float) -> None:
    piece = front()
    pointed = stretch("neckline", Line(120j, 60 + 60j), Line(60 + 60j, 70 + 0j), source=11)
    piece = replace(piece, stitching=Outline((pointed, *piece.stitching.stretches[1:])))
    result = altered(piece, removal(distance=Fixed(distance), amount=Fixed(10.0), line="fair"))
    assert list(closed_edges(result.workings[0], result_piece(result))) == []
