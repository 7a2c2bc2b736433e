"""Pieces that were forgotten: edges shaped like an altered one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hypothesis import given, settings

from rules.model import KnownDart, Linked, Removal, Rules, Seam, Term
from tests.alter.linked_pieces import facing, linked, piece_of, size_of
from tests.builders import front, moved_piece, removal, stretch
from tests.strategies import motions
from transform.alter.facts import Notice
from transform.checks.forgotten import forgotten
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.pattern.model import Piece
from transform.pattern.outline import Stretch


def told(
    pieces: Sequence[Piece],
    removals: Sequence[Removal],
    links: Sequence[Linked] = (),
    seams: Sequence[Seam] = (),
) -> list[Notice]:
    rules = Rules(file="r", removals=tuple(removals), linked=tuple(links), seams=tuple(seams))
    facts = size_of(pieces, removals, links).removals
    return list(forgotten(rules, pieces, facts))


@settings(deadline=None, max_examples=15)
@given(motions())
def test_a_facing_without_a_link_is_told_wherever_it_is_drawn(motion: Motion) -> None:
    (notice,) = told([front(), moved_piece(facing(), motion)], [removal()])
    assert (notice.kind, notice.piece) == ("forgotten piece", "front facing")
    assert "{piece: front facing, follows: front, along: neckline}" in notice.text


def test_a_link_or_a_seam_that_speaks_of_it_is_enough() -> None:
    pieces = [front(), facing()]
    assert told(pieces, [removal()], [linked()]) == []
    seam = Seam(((Term("Front_facing", "neckline"),), (Term("front", "neckline"),)))
    assert told(pieces, [removal()], (), [seam]) == []
    other = Seam(((Term("front facing", "shoulder"),), (Term("front", "neckline"),)))
    assert len(told(pieces, [removal()], (), [other])) == 1
    along = linked(along=("shoulder",))
    rules = Rules(file="r", linked=(along,))
    facts = size_of(pieces, [removal()]).removals
    assert len(list(forgotten(rules, pieces, facts))) == 1


def test_an_edge_of_another_shape_or_length_is_none() -> None:
    assert told([front(), facing("scooped")], [removal()]) == []
    neck = front().stitching.stretches[0].chain
    cut = neck.cut(0.0, neck.length - 0.6)
    rest = stretch("end", *Chain(facing().stitching.stretches[1].chain.segments).segments)
    short = piece_of("short facing", Stretch(cut, "neckline"), rest, *facing().stitching.stretches[2:])
    assert told([front(), short], [removal()]) == []
    bent = replace(facing(), stitching=facing().stitching)
    assert len(told([front(), bent], [removal()])) == 1


def test_an_edge_of_another_name_may_be_a_curve_but_no_straight_line() -> None:
    def renamed(piece: Piece) -> Piece:
        first, *rest = piece.stitching.stretches
        outline = replace(piece.stitching, stretches=(replace(first, edge="neck edge"), *rest))
        return replace(piece, stitching=outline)

    (notice,) = told([front(), renamed(facing())], [removal()])
    assert "alter front facing too" in notice.text
    assert told([front("straight"), renamed(facing("straight"))], [removal()]) == []
    assert len(told([front("straight"), facing("straight")], [removal()])) == 1


def test_a_piece_outside_all_sizes_is_told_and_every_piece_once() -> None:
    common = replace(facing(), size=None)
    known = (KnownDart("bust dart"),)
    twice = [removal(), removal(name="second", edge="armhole", start="shoulder", opens=known)]
    lining = replace(front(), name="front lining")
    notices = told([front(), common, lining], twice)
    assert sorted(notice.piece or "" for notice in notices) == ["front facing", "front lining"]


def test_an_edge_that_was_altered_itself_is_not_forgotten() -> None:
    other = replace(front(), name="under front")
    both = [removal(), removal(name="under", piece="under front")]
    assert told([front(), other], both) == []
