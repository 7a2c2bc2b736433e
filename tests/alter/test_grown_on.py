"""A facing grown on to the front, folded at the centre front: altered on both sides of the fold."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rules.lengths import Fixed
from rules.model import Linked
from tests.alter.cut_lines import cut_outline, with_cut
from tests.alter.linked_pieces import facing, linked, size_of
from tests.alter.test_following import after, broken
from tests.builders import front, removal, stretch
from tests.drawing import group, labelled_piece, page
from tests.small_designs import run_design
from transform.checks.linked import partings
from transform.designs.orders import Options
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline, Stretch
from transform.report.facts import DesignFacts

FOLD = Motion.reflection(0j, 1j)
ITSELF = linked("front", along=("neckline",))


def grown_on(neck: str, width: float = 50.0) -> Piece:
    """The front with its facing, mirrored; the neckline runs from the facing's shoulder to the front's."""
    piece, own = front(neck), facing(neck, width)
    mirrored = [s.chain.moved(FOLD).reversed() for s in own.stitching.stretches]
    top, shoulder, free, _ = mirrored
    rows = piece.stitching.stretches
    outline = Outline(
        (
            stretch("neckline", *top.segments, source=50),
            *rows[:5],
            stretch("below the facing", Line(610j, free.start), source=51),
            Stretch(free, "free edge", source=52),
            Stretch(shoulder, "facing shoulder", source=53),
        )
    )
    return replace(piece, stitching=outline, fold=Chain((Line(top.end, 610j),)))


@pytest.mark.parametrize("neck", ["round", "scooped", "straight"])
@pytest.mark.parametrize(("distance", "width"), [(60.0, 12.0), (25.0, 20.0), (0.5, 12.0)])
def test_both_sides_of_the_fold_are_altered_alike(neck: str, distance: float, width: float) -> None:
    piece = grown_on(neck)
    asked = removal(distance=Fixed(distance), amount=Fixed(width))
    result = size_of([piece], [asked], [ITSELF])
    assert broken(result) == []
    own, other = result.removals
    assert (own.followed, other.followed) == (False, True)
    assert [o.dart for o in own.opened] == ["bust dart"]
    assert other.opened == ()
    assert other.angle == pytest.approx(own.angle, abs=1e-9)
    for mine, there in zip(other.legs, own.legs, strict=True):
        assert abs(mine - FOLD(there)) < 1e-6
    new = after(result, "front")
    assert list(partings(result, {"front": new}, alone=False)) == []
    plain = after(size_of([front(neck)], [asked]), "front").stitching
    edge = plain.edge("neckline")
    for k in range(21):
        point = plain.chain.point(edge.place(edge.length * k / 20))
        assert nearest(new.stitching.chain, point)[1] < 0.02
        assert nearest(new.stitching.chain, FOLD(point))[1] < 0.05
    assert new.stitching.edge("free edge").length < piece.stitching.edge("free edge").length


def test_a_straight_v_stays_straight_on_both_sides_and_keeps_its_point() -> None:
    result = size_of([grown_on("straight")], [removal()], [ITSELF])
    assert [fact.line for fact in result.removals] == ["straight", "straight"]
    outline = after(result, "front").stitching
    assert nearest(outline.chain, 200j)[1] < 1e-6
    asked = size_of([grown_on("straight")], [removal(line="straight")], [ITSELF])
    assert nearest(after(asked, "front").stitching.chain, 200j)[1] < 1e-6


def test_a_neckline_that_is_not_alike_on_both_sides_is_refused_with_the_place(tmp_path: Path) -> None:
    piece = grown_on("round")
    rows = list(piece.stitching.stretches)
    short = rows[0].chain.cut(3.0, rows[0].chain.length)
    rows[0] = replace(rows[0], chain=short)
    rows[-1] = replace(rows[-1], chain=Chain((Line(rows[-1].chain.start, short.start),)))
    facts = written(tmp_path, replace(piece, stitching=Outline(tuple(rows))))
    (problem,) = facts.problems
    assert problem.kind == "linked edges differ"
    assert "laid on itself, mirrored" in problem.text


def written(folder: Path, piece: Piece) -> DesignFacts:
    body = group("size 12", labelled_piece(piece))
    (folder / "dress.svg").write_text(page(body, box=(-300, -100, 800, 900)), encoding="utf-8")
    rules = folder / "design.gape.yaml"
    rules.write_text(
        "ungape: 1\npatterns: dress.svg\nout: fixed\nremovals:\n"
        "  - {piece: front, edge: neckline, from: shoulder, distance: 60, removed: 12, pivot: apex,\n"
        "     opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 60}}\n"
        "linked:\n  - {piece: front, follows: front, along: neckline}\n",
        encoding="utf-8",
    )
    return run_design(rules, Options(writes=True))


@pytest.mark.parametrize("neck", ["round", "straight"])
def test_whole_files_with_a_cut_line(neck: str, tmp_path: Path) -> None:
    piece = grown_on(neck)
    widths = {s.edge or "": 10.0 for s in piece.stitching.stretches}
    facts = written(tmp_path, with_cut(piece, cut_outline(piece.stitching, widths)))
    assert facts.problems == ()
    assert [removal.followed for removal in facts.sizes[0].removals] == [False, True]
    assert "allowance off" not in [notice.kind for notice in facts.sizes[0].notices]


def test_a_grown_on_facing_that_nothing_reaches_is_told() -> None:
    asked = removal(edge="armhole", start="shoulder", distance=Fixed(80), amount=Fixed(8))
    result = size_of([grown_on("round")], [asked], [ITSELF])
    assert "link receives nothing" in [notice.kind for notice in result.notices]
    assert isinstance(ITSELF, Linked)
