"""Linked pieces and strips in whole files, through the real command: rules and drawings in, drawings out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from rules.reading import read_rules
from tests.alter.linked_pieces import band, facing, lining
from tests.builders import front, moved_piece
from tests.drawing import group, labelled_piece, page
from tests.small_designs import run_design
from transform.alter.problems import Asked
from transform.alter.registration import agreement, register
from transform.designs.orders import Options
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline
from transform.pattern.reading import read_pieces
from transform.report.facts import DesignFacts
from transform.svg.document import read_document

RULES = """\
ungape: 1
patterns: dress.svg
out: fixed
removals:
  - {piece: front, edge: neckline, from: shoulder, distance: 60, removed: 20, pivot: apex,
     opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 60}}
linked:
"""
FACING = "  - {piece: front facing, follows: front, along: neckline}\n"
LINING = "  - {piece: front lining, follows: front, along: [neckline, armhole], dart: sewn}\n"
STRIP = "  - {strip: neck binding, follows: [front/neckline x 2], ratio: 0.9}\n"
MIRRORED = Motion.reflection(460 + 0j, 1j).after(Motion.rotation(0j, 0.6))


def run(folder: Path, rules: str, *pieces: Piece) -> DesignFacts:
    body = group("size 12", *(labelled_piece(piece) for piece in pieces))
    svg = page(body, box=(-200, -400, 1600, 1600))
    (folder / "dress.svg").write_text(svg, encoding="utf-8")
    path = folder / "design.gape.yaml"
    path.write_text(rules, encoding="utf-8")
    return run_design(path, Options(writes=True))


def written(folder: Path) -> dict[str, Piece]:
    data = (folder / "fixed" / "dress.svg").read_bytes()
    pieces = read_pieces(read_document(data, "dress.svg"), read_rules(folder / "design.gape.yaml")).pieces
    return {piece.name: piece for piece in pieces}


def sewn_band(length: float) -> Piece:
    """A binding whose four lines have names, so that they are drawn one by one."""
    piece = moved_piece(band(length, 40), Motion(shift=600 + 500j))
    (whole,) = piece.stitching.stretches
    names = ("neck edge", "end", "free edge", "start")
    lines = [
        replace(whole, chain=Chain((s,)), edge=n) for s, n in zip(whole.chain.segments, names, strict=True)
    ]
    return replace(piece, stitching=Outline(tuple(lines)))


def test_a_facing_a_lining_and_a_binding_follow_the_front(tmp_path: Path) -> None:
    neck = front().stitching.edge("neckline").length
    drawn = (
        front(),
        moved_piece(facing(), Motion(shift=500 - 250j)),
        moved_piece(lining(), MIRRORED),
        sewn_band(0.9 * 2 * neck),
    )
    facts = run(tmp_path, RULES + FACING + LINING + STRIP, *drawn)
    assert facts.problems == ()
    after = written(tmp_path)
    (size,) = facts.sizes
    assert [removal.followed for removal in size.removals] == [False, True, True]
    assert [[o.dart for o in r.opened] for r in size.removals] == [["bust dart"], [], ["bust dart"]]
    before = {piece.name: piece for piece in drawn}
    for name, along in (("front facing", ["neckline"]), ("front lining", ["neckline", "armhole"])):
        fit = register(Asked("r", 1, 1, name, before[name]), front(), along, 0.5)
        assert agreement(fit, after["front"], after[name]) < 0.01
    assert after["front lining"].dart("bust dart").capped
    assert after["front facing"].darts == ()
    (strip,) = size.strips
    loss = neck - after["front"].stitching.edge("neckline").length
    assert strip.before - strip.after == pytest.approx(0.9 * 2 * loss, abs=1e-3)
    assert after["neck binding"].stitching.edge("neck edge").length == pytest.approx(strip.after, abs=1e-3)
    assert after["neck binding"].stitching.edge("end").length == pytest.approx(40, abs=1e-3)


def test_a_facing_with_a_cut_line_and_marks(tmp_path: Path) -> None:
    piece = replace(facing(), grain=(20 + 130j, 20 + 160j), fold=Chain((Line(120j, 180j),)))
    facts = run(tmp_path, RULES + FACING, front(), moved_piece(piece, Motion(shift=500 + 0j)))
    assert facts.problems == ()
    assert written(tmp_path)["front facing"].grain is not None


@pytest.mark.parametrize(
    ("rules", "kind", "code"),
    [
        (FACING.replace("neckline", "nekline"), "unknown edge", 3),
        (FACING.replace("front facing", "back facing"), "unknown piece", 3),
        (FACING + "  - {piece: front, follows: front facing, along: neckline}\n", "clash", 2),
        (STRIP.replace("front/neckline", "front/nape"), "unknown piece", 3),
    ],
)
def test_what_the_rules_cannot_mean_is_told_with_its_place(
    rules: str, kind: str, code: int, tmp_path: Path
) -> None:
    facts = run(tmp_path, RULES + rules, front(), moved_piece(facing(), Motion(shift=500 + 0j)))
    assert [problem.kind for problem in facts.problems] == [kind]
    (problem,) = facts.problems
    assert (problem.line, problem.exit) == (RULES.count("\n") + rules.count("\n"), code)
    assert not (tmp_path / "fixed").exists()


def test_a_facing_of_another_shape_stops_the_design(tmp_path: Path) -> None:
    facts = run(tmp_path, RULES + FACING, front(), moved_piece(facing("scooped"), Motion(shift=500 + 0j)))
    assert [problem.kind for problem in facts.problems] == ["linked edges differ"]


def test_a_forgotten_facing_and_an_eased_seam_are_told_of_the_run(tmp_path: Path) -> None:
    seam = "seams:\n  - {join: [front/neckline, front facing/neckline], ease: 0 .. 30}\n"
    rules = RULES.replace("linked:\n", "")
    pieces = (front(), moved_piece(facing(), Motion(shift=500 + 0j)))
    facts = run(tmp_path, rules, *pieces)
    assert [(n.kind, n.piece) for n in facts.sizes[0].notices] == [
        ("edge lost less", "front"),
        ("forgotten piece", "front facing"),
    ]
    facts = run(tmp_path, rules + seam, *pieces)
    assert [n.kind for n in facts.sizes[0].notices] == ["edge lost less", "ease changed"]
    facts = run(tmp_path, RULES + FACING, *pieces)
    assert [n.kind for n in facts.sizes[0].notices] == ["edge lost less", "edge lost less"]
