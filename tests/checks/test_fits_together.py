"""What altered pieces of one size are to each other: linked edges agree, strips have their length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from rules.lengths import Fixed
from rules.model import Linked, NewDart, Removal, Rules, Strip, TakenOut, Term
from tests.alter.cut_lines import cut_outline, with_cut
from tests.alter.linked_pieces import band, facing, facing_gape, lining, linked
from tests.builders import front, moved_piece, removal
from transform.alter.design import alter_size
from transform.alter.facts import SizeResult
from transform.checks.as_drawn import written
from transform.checks.linked import linked_apart, partings
from transform.checks.postconditions import verify, verify_allowances, verify_together
from transform.checks.strips import wrong_strips
from transform.geometry.motion import Motion
from transform.geometry.offset import offset_chain
from transform.pattern.model import Piece
from transform.pattern.outline import Outline

BINDING = Strip("neck binding", (Term("front", "neckline", 2),), 0.9)
AWAY = Motion.reflection(500 + 0j, 1j)


def made(
    pieces: Sequence[Piece],
    removals: Sequence[Removal] = (),
    links: Sequence[Linked] = (),
    strips: Sequence[Strip] = (),
) -> tuple[Rules, SizeResult, dict[str, Piece]]:
    """The rules, what came of them, and the altered pieces by name."""
    rules = Rules(file="r", removals=tuple(removals), linked=tuple(links), strips=tuple(strips))
    result = alter_size(rules, "12", pieces, ("12",), {})
    after = {
        done.piece.name: replace(done.piece, stitching=done.stitching, cut=done.cut)
        for done in result.altered
        if done.stitching is not None
    }
    return rules, result, after


@pytest.mark.parametrize("motion", [Motion(shift=300 + 0j), AWAY])
def test_what_fits_is_not_told(motion: Motion) -> None:
    pieces = [front(), moved_piece(facing(), motion)]
    rules, result, after = made(pieces, [removal()], [linked()])
    assert verify_together(rules, result, pieces, after) == ()
    assert list(linked_apart(result, after)) == []
    # How the piece lies in its file is nothing to its fit.
    after["front facing"] = moved_piece(after["front facing"], Motion.rotation(0j, 0.3))
    assert verify_together(rules, result, pieces, after) == ()


def test_a_facing_that_was_forgotten_on_the_way_or_drawn_otherwise_is_found() -> None:
    pieces = [front(), moved_piece(facing(), AWAY)]
    rules, result, after = made(pieces, [removal()], [linked()])
    (fault,) = verify_together(rules, result, pieces, {"front": after["front"]})
    assert (fault.kind, fault.exit) == ("failed its own check", 4)
    assert fault.text.startswith(
        "front facing in size 12: neckline of front facing, laid on front, lies up to"
    )
    (stretch,) = (s for s in after["front"].stitching.stretches if s.edge == "neckline")
    bent = replace(stretch, chain=stretch.chain.cut(0.0, stretch.chain.length - 0.2))
    rows = tuple(bent if s is stretch else s for s in after["front"].stitching.stretches)
    short = replace(after["front"], stitching=Outline(rows))
    (fault,) = verify_together(rules, result, pieces, {**after, "front": short})
    assert "neckline of front facing" in fault.text


def test_what_was_done_to_one_alone_is_a_notice() -> None:
    """The facing's own wedge; a dart that opens on the shared edge; a hem raised on the front only."""
    cases = [
        ([front(), facing()], [removal(), facing_gape(90)], linked(), "front facing"),
        (
            [front(), facing()],
            [removal(edge="armhole", opens=(NewDart("tuck", "neckline", "shoulder", Fixed(60)),))],
            linked(),
            "front facing",
        ),
        (
            [front(), lining()],
            [removal(finish=TakenOut("hem", "centre front"))],
            linked("front lining", along=("neckline", "hem")),
            "front lining",
        ),
    ]
    for pieces, removals, link, name in cases:
        rules, result, after = made(pieces, removals, [link])
        (notice,) = linked_apart(result, after)
        assert (notice.kind, notice.piece) == ("linked edges apart", name)
        assert f"alter {name} by hand" in notice.text
        assert verify_together(rules, result, pieces, after) == ()


def test_a_lining_with_the_same_dart_in_the_same_shared_edge_fits() -> None:
    pieces = [front(), moved_piece(lining(), AWAY)]
    link = linked("front lining", along=("neckline", "side seam"), dart="sewn")
    _, result, after = made(pieces, [removal()], [link])
    assert list(linked_apart(result, after)) == []
    assert list(partings(result, after, alone=False)) == []


def test_links_of_what_was_not_altered_are_not_looked_at() -> None:
    asked = removal(edge="armhole", start="shoulder", distance=Fixed(80), amount=Fixed(8))
    _, result, _ = made([front(), facing()], [asked], [linked()])
    assert list(partings(result, {}, alone=False)) == []


def strip_case(*, cut: bool = True) -> tuple[Rules, SizeResult, list[Piece], dict[str, Piece]]:
    neck = front().stitching.edge("neckline").length
    strip = band(1.8 * neck, 40)
    if cut:
        strip = with_cut(strip, Outline(cut_outline_of(strip).stretches))
    pieces = [front(), strip]
    rules, result, after = made(pieces, [removal()], (), [BINDING])
    return rules, result, pieces, after


def cut_outline_of(strip: Piece) -> Outline:
    (only,) = strip.stitching.stretches
    return cut_outline(Outline((replace(only, edge="edge"),)), {"edge": 8.0})


@pytest.mark.parametrize("cut", [False, True])
def test_a_strip_is_judged_by_its_edges_and_by_its_ends(cut: bool) -> None:
    rules, result, pieces, after = strip_case(cut=cut)
    assert verify_together(rules, result, pieces, after) == ()
    strip = pieces[1]
    (piece, text), *_ = wrong_strips(rules, result, pieces, {**after, strip.name: strip})
    assert piece is strip
    assert "mm long where" in text
    told = replace(result, strips=(replace(result.strips[0], after=result.strips[0].after - 3),))
    texts = [text for _, text in wrong_strips(rules, told, pieces, after)]
    assert any("where its edges ask for" in text for text in texts)
    away = replace(
        after[strip.name],
        stitching=Outline(moved_piece(after[strip.name], Motion(shift=2j)).stitching.stretches),
    )
    texts = [text for _, text in wrong_strips(rules, result, pieces, {**after, strip.name: away})]
    assert texts == ["its stitching line lies up to 2.000 mm from where its ends were to stay"]
    if cut:
        narrow = replace(after[strip.name], cut=after[strip.name].stitching)
        texts = [text for _, text in wrong_strips(rules, result, pieces, {**after, strip.name: narrow})]
        # The corners stand 8 mm out in both directions.
        assert texts == ["its cut line lies up to 11.314 mm from where its ends were to stay"]


def test_a_line_in_the_file_that_is_not_the_one_drawn_is_a_fault() -> None:
    _, result, after = made([front()], [removal()])
    working = result.workings[0]
    rows = [
        replace(s, chain=s.chain.moved(Motion(shift=0.01 + 0j))) if s.edge == "neckline" else s
        for s in after["front"].stitching.stretches
    ]
    away = replace(after["front"], stitching=Outline(tuple(rows)))
    assert list(written(working, after["front"])) == []
    (finding,) = written(working, away)
    assert "the line drawn anew" in finding
    assert list(written(working, replace(away, stitching_drawn=False))) == []


def test_a_cut_line_too_near_is_a_fault() -> None:
    piece = with_cut(front(), cut_outline(front().stitching))
    _, result, after = made([piece], [removal()])
    working = result.workings[0]
    darts = result.altered[0].darts
    good = replace(after["front"], darts=tuple(darts.values()))
    assert verify((working,), {"front": good}) == ()
    assert verify_allowances((working,), {"front": good}) == ((), ())
    faults, _ = verify_allowances((working,), {"front": replace(good, cut=piece.cut)})
    assert any("mm from armhole" in fault.text for fault in faults)
    assert {fault.exit for fault in faults} == {4}


def test_a_cut_line_a_little_off_is_told_with_the_figures() -> None:
    piece = with_cut(front(), cut_outline(front().stitching))
    _, result, after = made([piece], [removal()])
    cut = after["front"].cut
    assert cut is not None
    rows = [replace(s, chain=offset_chain(s.chain, 0.5)) if s.chain.length > 0 else s for s in cut.stretches]
    wider = replace(after["front"], cut=replace(cut, stretches=tuple(rows)))
    problems, notices = verify_allowances((result.workings[0],), {"front": wider})
    assert problems == ()
    assert {notice.kind for notice in notices} == {"allowance off"}
    assert any("shoulder" in n.text and "where it was 15.0 mm" in n.text for n in notices)
