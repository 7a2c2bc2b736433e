"""What cannot be cut is refused, and says why, where it stands, and what there is."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from rules.lengths import Fixed, KeptAngle, Share
from rules.model import (
    ApexPivot,
    DartPivot,
    EdgePivot,
    KnownDart,
    NewDart,
    Position,
    Removal,
    Rules,
    SewnDart,
    TakenOut,
)
from rules.problems import Problem
from tests.builders import altered, front, front_with_dart, moved_piece, removal, result_piece
from transform.alter import mouths
from transform.alter.design import alter_size, kept_angles
from transform.alter.problems import AlterError
from transform.geometry.chain import Chain
from transform.geometry.folding import CapError
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.pattern.model import Piece


def refused(piece: Piece, *removals: Removal) -> tuple[Problem, ...]:
    with pytest.raises(AlterError) as caught:
        altered(piece, *removals)
    return caught.value.problems


@pytest.mark.parametrize(
    ("changes", "kind", "words"),
    [
        ({"piece": "frnt"}, "unknown piece", "did you mean front?"),
        ({"edge": "neckine"}, "unknown edge", "did you mean neckline?"),
        ({"start": "hem"}, "unknown end", "no end of neckline named 'hem'; there is: shoulder, centre front"),
        ({"distance": Fixed(400)}, "past the edge", "151.31 mm long"),
        ({"distance": Fixed(140)}, "past the edge", "160.00 mm from shoulder"),
        ({"amount": Fixed(160), "distance": Fixed(0)}, "too wide", "more than neckline holds"),
        ({"amount": Fixed(0)}, "removal of nothing", "0 mm"),
        ({"amount": Fixed(500), "across": True}, "too wide", "wider than a wedge can be"),
        ({"amount": Fixed(90), "across": True}, "past the edge", "past its end"),
        ({"pivot": ApexPivot("left")}, "unknown apex mark", "there is no apex mark named 'left'"),
        ({"pivot": DartPivot("waist dart")}, "unknown dart", "there is: none"),
        ({"opens": (KnownDart("waist dart"),)}, "unknown dart", "waist dart"),
        (
            {"opens": (NewDart("Side_Seam", "side seam", "armhole", Fixed(60)),)},
            "dart exists",
            "the name of an edge",
        ),
        (
            {"opens": (NewDart("d", "side seam", "armhole", Fixed(900)),)},
            "past the edge",
            "900.00 mm is past the end of side seam",
        ),
        (
            {"opens": (NewDart("d", "neckline", "shoulder", Fixed(70)),)},
            "over its mouth",
            "touch each other",
        ),
        (
            {"pivot": EdgePivot("neckline", "shoulder", Fixed(60)), "opens": ()},
            "over its mouth",
            "touch each other",
        ),
        (
            {"pivot": EdgePivot("armhole", "shoulder", Fixed(230)), "opens": ()},
            "cannot see the edge",
            "leaves the piece at",
        ),
        (
            {"pivot": EdgePivot("neckline", "shoulder", Fixed(120)), "opens": ()},
            "cannot see the edge",
            "lies outside the piece",
        ),
        (
            {
                "edge": "shoulder",
                "start": "neckline",
                "distance": Fixed(30),
                "pivot": EdgePivot("shoulder", "neckline", Fixed(100)),
                "opens": (),
            },
            "no wedge",
            "lie on one line with the pivot",
        ),
        ({"finish": SewnDart(draw_back=Fixed(170))}, "drawn back too far", "cannot be drawn back by 170.0"),
        ({"amount": Fixed(0.3)}, "no wedge", "mm wide at its end, too little to be drawn"),
        ({"finish": TakenOut("shoulder", "centre front")}, "hem not beside the seam", "does not adjoin"),
        ({"finish": TakenOut("hem", "shoulder")}, "hem runs elsewhere", "centre front"),
        ({"hold": "side seam"}, "held on both parts", "lies on both parts"),
        ({"hold": "sid seam"}, "unknown edge", "did you mean side seam?"),
    ],
)
def test_a_removal_that_does_not_fit(changes: dict[str, object], kind: str, words: str) -> None:
    (problem,) = refused(front(), removal(**changes, where=Position(7, 5)))
    assert problem.kind == kind
    assert words in problem.text
    assert (problem.file, problem.line, problem.column) == ("design.gape.yaml", 7, 5)
    assert problem.exit == 3


def test_without_an_apex_mark_and_with_two() -> None:
    (problem,) = refused(replace(front(), apexes={}), removal())
    assert "no apex mark" in problem.text
    two = replace(front(), apexes={"left": 95 + 260j, "right": 60 + 260j})
    (problem,) = refused(two, removal())
    assert "left, right" in problem.text
    assert altered(two, removal(pivot=ApexPivot("LEFT"))).removals[0].pivot == 95 + 260j


def test_a_dart_that_runs_along_its_seam() -> None:
    """From a point 12 mm inside the side seam a dart would open 180 mm lower on the same seam."""
    flat = NewDart("bust dart", "side seam", "armhole", Fixed(250))
    (problem,) = refused(replace(front(), apexes={"": 225 + 330j}), removal(opens=(flat,)))
    assert problem.kind == "along the seam"
    assert "a leg of bust dart runs along side seam, at " in problem.text
    steep = NewDart("bust dart", "side seam", "armhole", Fixed(75))
    assert altered(replace(front(), apexes={"": 95 + 260j}), removal(opens=(steep,))).removals


def test_two_new_darts_at_one_place() -> None:
    same = NewDart("second dart", "side seam", "armhole", Fixed(61))
    second = removal(name="armhole gape", edge="armhole", distance=Fixed(80), opens=(same,))
    (problem,) = refused(front(), removal(), second)
    assert problem.kind == "darts meet"
    assert "second dart would open 1.0 mm from bust dart" in problem.text
    apart = replace(same, distance=Fixed(90))
    assert len(altered(front(), removal(), replace(second, opens=(apart,))).removals) == 2
    old = front_with_dart()
    to_leg = old.stitching.stretches[3].chain.length
    beside = NewDart("second dart", "side seam", "armhole", Fixed(to_leg - 1.5))
    (problem,) = refused(old, removal(opens=(beside,)))
    assert problem.kind == "darts meet"
    assert "1.5 mm from bust dart" in problem.text


def test_what_another_refusal_brings_about_is_not_told() -> None:
    """The second removal opens the dart of the first, which does not fit: one mistake, one message."""
    first = removal(name="first", distance=Fixed(400))
    second = removal(name="second", edge="armhole", distance=Fixed(60), opens=(KnownDart("bust dart"),))
    (problem,) = refused(front(), first, second)
    assert problem.kind == "past the edge"


def test_a_pivot_outside_the_piece() -> None:
    (problem,) = refused(replace(front(), apexes={"": 500 + 260j}), removal())
    assert problem.kind == "pivot outside"


def test_a_pinch_at_the_fold_asks_for_the_amount_of_this_half() -> None:
    length = front().stitching.edge("neckline").length
    at_fold = removal(start="centre front", distance=Fixed(0), pinched=True)
    (problem,) = refused(front(), at_fold)
    assert problem.kind == "pinched at the fold"
    assert "give `removed`" in problem.text
    done = altered(front(), replace(at_fold, pinched=False))
    assert done.removals[0].edge_before == pytest.approx(length)
    said = [notice.text for notice in done.notices if notice.kind == "near the edge's end"]
    assert ["of neckline of front;" in text for text in said] == [True]
    no_fold = replace(front(), fold=None)
    (problem,) = refused(no_fold, at_fold)
    assert problem.kind == "pinched at the fold"


def test_two_wedges_that_overlap_or_cross() -> None:
    second = removal(name="again", distance=Fixed(70), opens=(KnownDart("bust dart"),))
    (problem,) = refused(front(), removal(), second)
    assert problem.kind == "wedges overlap"
    piece = replace(front(), apexes={"a": 95 + 260j, "b": 60 + 200j})
    first = removal(pivot=ApexPivot("a"), distance=Fixed(90))
    crossing = removal(
        name="crossing",
        pivot=ApexPivot("b"),
        edge="armhole",
        distance=Fixed(60),
        opens=(NewDart("other", "hem", "side seam", Fixed(40)),),
    )
    (problem,) = refused(piece, first, crossing)
    assert problem.kind == "crosses a wedge"


def test_a_wedge_over_a_dart_and_a_cut_across_one() -> None:
    piece = front_with_dart()
    over = removal(
        edge="side seam",
        start="armhole",
        distance=Fixed(55),
        opens=(NewDart("d", "hem", "side seam", Fixed(60)),),
    )
    (problem,) = refused(piece, over)
    assert problem.kind == "over a dart"
    across = removal(opens=(NewDart("d", "side seam", "armhole", Fixed(90)),))
    low = replace(piece, apexes={"": 150 + 255j})
    (problem,) = refused(low, replace(across, distance=Fixed(30)))
    assert problem.kind == "crosses a dart"
    drawn = replace(front_with_dart(drawn_in=True), apexes={"": 150 + 255j})
    (problem,) = refused(drawn, replace(across, distance=Fixed(30)))
    assert "crosses bust dart" in problem.text


def test_a_dart_that_is_there_is_not_opened_anew() -> None:
    (problem,) = refused(front_with_dart(), removal())
    assert problem.kind == "dart exists"
    twice = removal(name="again", edge="armhole", distance=Fixed(90))
    (problem,) = refused(front(), removal(), twice)
    assert "is opened by neck gape" in problem.text


def test_one_dart_is_finished_in_one_way() -> None:
    first = removal(finish=SewnDart(press="down"))
    second = removal(
        name="arm",
        edge="armhole",
        distance=Fixed(90),
        opens=(KnownDart("bust dart"),),
        finish=SewnDart(press="up"),
    )
    (problem,) = refused(front(), first, second)
    assert problem.kind == "differing finish"
    same = altered(front(), replace(first, finish=None), replace(second, finish=SewnDart(press="up")))
    assert len(same.removals) == 2


def test_to_the_centre_needs_a_centre() -> None:
    piece = front("wrapped")
    rows = [
        replace(s, edge="front edge") if s.edge == "centre front" else s for s in piece.stitching.stretches
    ]
    piece = replace(piece, stitching=replace(piece.stitching, stretches=tuple(rows)))
    (problem,) = refused(piece, removal(finish=SewnDart(press="to centre")))
    assert problem.kind == "no centre"


def test_all_that_is_wrong_is_said_at_once() -> None:
    problems = refused(
        front(), removal(edge="nek"), removal(name="b", piece="bak"), removal(name="c", distance=Fixed(999))
    )
    assert sorted(p.kind for p in problems) == ["past the edge", "unknown edge", "unknown piece"]


def test_a_piece_outside_the_sizes_is_never_altered() -> None:
    (problem,) = refused(replace(front(), size=None), removal())
    assert problem.kind == "piece outside the sizes"


def test_a_share_of_the_edge_and_an_amount_across() -> None:
    done = altered(front(), removal(distance=Share(0.4), across=True, amount=Fixed(8)))
    facts = done.removals[0]
    assert (
        abs(
            facts.legs[0]
            - front().stitching.chain.point(front().stitching.edge("neckline").place(facts.edge_before * 0.6))
        )
        < 1e-6
    )
    reach = abs(facts.legs[0] - facts.pivot)
    assert 2 * reach * math.sin(facts.angle / 2) == pytest.approx(8, abs=1e-6)


def test_an_angle_kept_from_another_size() -> None:
    asked = removal(amount=KeptAngle("12", 20.0))
    rules = Rules(file="design.gape.yaml", removals=(asked,))
    angles = kept_angles(rules, "12", [front()], ["12", "14"])
    assert angles == {"neck gape": pytest.approx(altered(front(), removal()).removals[0].angle)}
    result = alter_size(rules, "14", [front(size="14")], ["12", "14"], angles)
    assert result.removals[0].removed == pytest.approx(20, abs=1e-6)
    assert result.removals[0].angle == pytest.approx(angles["neck gape"], abs=1e-9)


def test_an_angle_kept_across_is_told_as_a_width_across() -> None:
    asked = removal(amount=KeptAngle("12", 8.0), across=True)
    rules = Rules(file="design.gape.yaml", removals=(asked,))
    angles = kept_angles(rules, "12", [front()], ["12", "14"])
    result = alter_size(rules, "14", [front(size="14")], ["12", "14"], angles)
    assert result.removals[0].removed == pytest.approx(8.0, abs=1e-9)


def test_legs_are_measured_from_either_end() -> None:
    length = front().stitching.edge("neckline").length
    one = altered(front(), removal(distance=Fixed(60))).removals[0]
    other = altered(front(), removal(start="centre front", distance=Fixed(length - 80))).removals[0]
    assert one.legs[0] == pytest.approx(other.legs[1], abs=1e-6)
    assert one.reach == pytest.approx(tuple(reversed(other.reach)), abs=1e-6)
    assert result_piece(altered(front(), removal())).dart("bust dart").capped


def test_a_cut_line_that_does_not_run_beside_the_stitching_line() -> None:
    far = moved_piece(front(), Motion(shift=600 + 0j)).stitching
    (problem,) = refused(replace(front(), cut=far), removal())
    assert problem.kind == "allowance lost"
    assert problem.exit == 3


def test_a_dart_whose_end_cannot_be_capped(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object) -> Chain:
        raise CapError("the seam turns back", 0j)

    monkeypatch.setattr(mouths, "cap", none)
    (problem,) = refused(front(), removal())
    assert problem.kind == "no cap"
    assert "the seam turns back" in problem.text


@pytest.mark.parametrize("width", [1e-308, 1e-9])
def test_a_width_that_no_file_can_hold_is_nothing(width: float) -> None:
    with pytest.raises(AlterError) as caught:
        altered(front(), removal(amount=Fixed(width)))
    assert [problem.kind for problem in caught.value.problems] == ["removal of nothing"]


def test_a_dart_whose_point_is_the_pivot_goes_with_its_part_where_another_mouth_opens() -> None:
    piece = front_with_dart()
    opens = (NewDart("hem dart", "side seam", "hem", Fixed(80)),)
    asked = removal(pivot=DartPivot("bust dart"), opens=opens, amount=Fixed(10))
    after = result_piece(altered(piece, asked))
    dart = after.dart("bust dart")
    assert abs(dart.point - piece.dart("bust dart").point) < 1e-9
    assert abs(dart.legs[0] - piece.dart("bust dart").legs[0]) > 2
    for leg in dart.legs:
        assert nearest(after.stitching.chain, leg)[1] < 1e-6


@pytest.mark.parametrize("order", [1, -1])
def test_no_dart_opens_in_the_wedge_of_another_removal(order: int) -> None:
    """Both share the pivot, so that no cut crosses another."""
    tuck = (NewDart("tuck", "neckline", "shoulder", Fixed(70)),)
    other = removal(name="arm gape", edge="armhole", distance=Fixed(90), amount=Fixed(6), opens=tuck)
    (problem,) = refused(front(), *[removal(), other][::order])
    assert problem.kind == "over its mouth"
    assert "tuck, which arm gape opens, lies in the wedge of neck gape" in problem.text
