"""Which pieces follow which: chains of links, circles, names that are not there, links without effect."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from rules.lengths import Fixed
from rules.model import KnownDart, Linked, Position, Removal, Rules
from tests.alter.linked_pieces import facing, facing_gape, lining, linked, size_of
from tests.builders import front, moved_piece, removal
from transform.alter.design import alter_size
from transform.alter.problems import AlterError
from transform.geometry.motion import Motion
from transform.pattern.model import Piece

AWAY = Motion.reflection(700 + 0j, 1j)


def refused(pieces: Sequence[Piece], removals: Sequence[Removal], links: Sequence[Linked]) -> list[str]:
    with pytest.raises(AlterError) as error:
        size_of(pieces, removals, links)
    return [problem.kind for problem in error.value.problems]


def second(name: str, link: Linked, follows: str) -> Linked:
    return replace(link, piece=name, follows=follows)


def test_a_lining_may_follow_the_facing_that_follows_the_front() -> None:
    under = moved_piece(replace(facing(), name="under facing"), AWAY)
    links = [second("under facing", linked(), "front facing"), linked()]
    result = size_of([under, facing(), front()], [removal()], links)
    assert [fact.piece for fact in result.removals] == ["front", "front facing", "under facing"]
    assert [fact.followed for fact in result.removals] == [False, True, True]
    lengths = {round(fact.edge_after, 3) for fact in result.removals}
    assert len(lengths) == 1


def test_a_chain_of_linings_gets_the_dart_to_its_end() -> None:
    inner = moved_piece(replace(lining(), name="interlining"), AWAY)
    links = [
        replace(second("interlining", linked(), "front lining"), dart="sewn"),
        linked("front lining", dart="sewn"),
    ]
    result = size_of([inner, lining(), front()], [removal()], links)
    assert [[opened.dart for opened in fact.opened] for fact in result.removals] == [["bust dart"]] * 3
    # A facing in between has no dart to hand on: the mouth is filled to the end of the chain.
    links[1] = replace(links[1], dart="closed")
    result = size_of([inner, lining(), front()], [removal()], links)
    assert [[opened.dart for opened in fact.opened] for fact in result.removals] == [["bust dart"], [], []]


def test_pieces_that_follow_each_other_in_a_circle_are_refused() -> None:
    links = [linked(), second("front", linked(), "front facing")]
    assert refused([front(), facing()], [removal()], links) == ["links in a circle"]
    # By itself, as it would with a facing grown on: its neckline is not alike from both ends.
    assert refused([front()], [removal()], [second("front", linked(), "front")]) == ["linked edges differ"]


def test_every_name_that_is_not_there_is_told() -> None:
    links = [linked("facnig", where=Position(9, 5)), second("front facing", linked(), "frnt")]
    with pytest.raises(AlterError) as error:
        size_of([front(), facing()], [removal()], links)
    first, other = error.value.problems
    assert (first.kind, other.kind) == ("unknown piece", "unknown piece")
    assert (first.line, first.column) == (9, 5)
    assert "did you mean front?" in other.text


def test_a_link_that_receives_nothing_is_a_notice() -> None:
    asked = removal(edge="armhole", start="shoulder", distance=Fixed(80), amount=Fixed(8))
    result = size_of([front(), facing()], [asked], [linked()])
    assert [notice.kind for notice in result.notices if notice.piece == "front facing"] == [
        "link receives nothing"
    ]
    assert [done.piece.name for done in result.altered] == ["front"]
    result = size_of(
        [front(), facing(), lining()], [asked], [second("front lining", linked(), "front facing")]
    )
    assert "link receives nothing" in {notice.kind for notice in result.notices}


def test_edges_are_laid_on_each_other_even_where_nothing_follows() -> None:
    asked = removal(edge="armhole", start="shoulder", distance=Fixed(80), amount=Fixed(8))
    assert refused([front(), facing("scooped")], [asked], [linked()]) == ["linked edges differ"]


def test_a_facing_outside_all_sizes_cannot_follow() -> None:
    common = replace(facing(), size=None)
    assert refused([front(), common], [removal()], [linked()]) == ["piece outside the sizes"]


def test_what_follows_a_piece_that_is_refused_is_not_told_too() -> None:
    wrong = removal(edge="nekline")
    assert refused([front(), facing()], [wrong], [linked()]) == ["unknown edge"]


def test_a_linked_piece_may_have_removals_of_its_own_in_the_order_written() -> None:
    """The lining's own armhole wedge opens the dart that the second removal, which it follows, opens new."""
    own = removal(
        name="lining gape",
        piece="front lining",
        edge="armhole",
        start="shoulder",
        distance=Fixed(80),
        amount=Fixed(8),
        opens=(KnownDart("bust dart"),),
    )
    link = linked("front lining", dart="sewn")
    result = size_of([front(), lining()], [removal(), own], [link])
    facts = [fact for fact in result.removals if fact.piece == "front lining"]
    assert [fact.followed for fact in facts] == [True, False]
    assert facts[0].opened == facts[1].opened
    assert facts[0].opened[0].intake_after > result.removals[0].opened[0].intake_after
    # The other way round the dart is not there yet.
    assert refused([front(), lining()], [own, removal()], [link]) == ["unknown dart"]


def test_own_wedges_in_the_carried_line_are_drawn_on_the_piece_itself() -> None:
    result = size_of([front(), facing()], [removal(), facing_gape()], [linked()])
    facts = [fact for fact in result.removals if fact.piece == "front facing"]
    assert [fact.name for fact in facts] == ["neck gape", "facing gape"]
    assert facts[0].edge_after < result.removals[0].edge_after - 3


def test_one_piece_may_follow_two() -> None:
    """A facing cut in one with another front's neckline: here, the same front under another name."""
    other = moved_piece(replace(front("scooped"), name="under front"), AWAY)
    both = facing()
    links = [linked(), second("front facing", linked(along=("shoulder",)), "under front")]
    with pytest.raises(AlterError) as error:
        size_of([front(), other, both], [removal()], links)
    # Their shoulders are not equally long, which is found although nothing of that front is altered.
    assert [problem.kind for problem in error.value.problems] == ["linked edges differ"]


def test_without_links_nothing_but_the_removals_happens() -> None:
    rules = Rules(file="design.gape.yaml", removals=(removal(),))
    result = alter_size(rules, "12", [front(), facing()], ("12",), {})
    assert [done.piece.name for done in result.altered] == ["front"]
    assert result.strips == ()
