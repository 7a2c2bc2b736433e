"""The laws of a closing, over every kind of piece, place and width."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from rules.lengths import Fixed
from rules.model import ApexPivot, DartPivot, EdgePivot, KnownDart, NewDart, Removal, SewnDart, TakenOut
from tests.builders import APEX, altered, front, front_with_dart, moved_piece, removal, result_piece
from transform.alter.problems import AlterError
from transform.checks import drawn_laws, laws
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline

LAWS = (laws.rigid, laws.angles, laws.areas, drawn_laws.closed_edges, drawn_laws.darts, laws.uncrossed)
slow = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def broken(piece: Piece, *removals: Removal) -> list[str]:
    result = altered(piece, *removals)
    after = result_piece(result)
    working = result.workings[0]
    return [finding for law in LAWS for finding in law(working, after)] + [
        *laws.arcs(working),
        *laws.hinges(working),
    ]


necks = st.sampled_from(["round", "scooped", "straight", "wrapped"])
widths = st.floats(3, 40).map(lambda w: round(w, 3))


@slow
@given(necks, st.floats(12, 300), widths, st.floats(30, 250))
def test_a_wedge_to_the_apex_obeys_every_law(neck: str, distance: float, width: float, below: float) -> None:
    piece = front(neck)
    length = piece.stitching.edge("neckline").length
    assume(distance + width < length - 12)
    opens = (NewDart("bust dart", "side seam", "armhole", Fixed(below)),)
    asked = removal(distance=Fixed(distance), amount=Fixed(width), opens=opens)
    try:
        found = broken(piece, asked)
    except AlterError as error:
        assume("cannot see the edge" in str(error.problems[0].kind))
        raise
    assert found == []


@slow
@given(
    st.sampled_from([(False, False), (False, True), (True, False)]),
    st.floats(20, 90),
    st.floats(3, 25),
    st.floats(30, 150),
    st.floats(3, 25),
)
def test_two_wedges_to_a_dart_that_is_there_obey_every_law(
    drawn: tuple[bool, bool], neck: float, neck_width: float, arm: float, arm_width: float
) -> None:
    piece = front_with_dart(drawn_in=drawn[0], capped=drawn[1])
    first = removal(distance=Fixed(neck), amount=Fixed(neck_width), pivot=DartPivot("bust dart"))
    first = replace(first, opens=(KnownDart("bust dart"),))
    second = replace(first, name="armhole gape", edge="armhole", distance=Fixed(arm), amount=Fixed(arm_width))
    assert broken(piece, first, second) == []


@slow
@given(st.booleans(), st.floats(20, 90), st.floats(3, 25), st.floats(30, 150), st.floats(3, 25))
def test_two_wedges_to_two_points_of_one_dart_obey_every_law(
    neckline_first: bool, neck: float, neck_width: float, arm: float, arm_width: float
) -> None:
    """The neckline is closed to the apex, the armhole to the dart's point, which lies on a leg from there."""
    piece = front_with_dart()
    (dart,) = piece.darts
    upper, lower = dart.legs
    point = APEX + (upper - APEX) / abs(upper - APEX) * 25
    lower = point + (lower - point) / abs(lower - point) * abs(upper - point)
    rows = piece.stitching.stretches
    below = replace(rows[5], chain=Chain((Line(lower, rows[5].chain.end),)))
    outline = Outline((*rows[:4], replace(rows[4], chain=Chain((Line(upper, lower),))), below, *rows[6:]))
    place = outline.mouth_of("bust dart")
    assert place is not None
    moved = replace(dart, point=point, legs=(upper, lower), mouth=place)
    opens = (KnownDart("bust dart"),)
    first = removal(distance=Fixed(neck), amount=Fixed(neck_width), opens=opens)
    second = removal(
        name="armhole gape",
        edge="armhole",
        distance=Fixed(arm),
        amount=Fixed(arm_width),
        pivot=DartPivot("bust dart"),
        opens=opens,
    )
    both = (first, second) if neckline_first else (second, first)
    assert broken(replace(piece, stitching=outline, darts=(moved,)), *both) == []


def test_two_pivots_of_one_dart_whose_cuts_would_cross() -> None:
    opens = (KnownDart("bust dart"),)
    second = removal(name="b", edge="armhole", distance=Fixed(80), pivot=DartPivot("bust dart"), opens=opens)
    with pytest.raises(AlterError, match="close both to one pivot, as they open one dart"):
        altered(front_with_dart(), removal(opens=opens), second)


@slow
@given(st.floats(20, 80), st.floats(3, 20), st.floats(80, 150))
def test_a_wedge_to_nothing_on_a_seam_obeys_every_law(distance: float, width: float, on: float) -> None:
    asked = removal(distance=Fixed(distance), amount=Fixed(width), opens=())
    asked = replace(asked, pivot=EdgePivot("armhole", "shoulder", Fixed(on)))
    assert broken(front(), asked) == []


@slow
@given(necks, st.floats(40, 80), st.floats(5, 30))
def test_a_dart_taken_out_leaves_the_seam_its_length(neck: str, distance: float, width: float) -> None:
    piece = front(neck)
    asked = removal(distance=Fixed(distance), amount=Fixed(width), finish=TakenOut("hem", "centre front"))
    assert broken(piece, asked) == []
    after = result_piece(altered(piece, asked))
    assert after.stitching.edge("side seam").length == pytest.approx(
        piece.stitching.edge("side seam").length, abs=0.01
    )
    assert after.darts == ()
    hem, old = after.stitching.edge("hem"), piece.stitching.edge("hem")
    old_end = piece.stitching.chain.tangent(old.end, before=True)
    new_end = after.stitching.chain.tangent(hem.end, before=True)
    assert abs(cmath.phase(new_end / old_end)) < 1e-3


def _figures(piece: Piece) -> list[complex]:
    """What two results that are alike share: points along the outline and the darts, by edge."""
    points = []
    for name in sorted(piece.stitching.edge_names):
        edge = piece.stitching.edge(name)
        points.extend(piece.stitching.chain.point(edge.place(edge.length * k / 7)) for k in range(8))
    return points + [p for dart in piece.darts for p in (dart.point, *dart.legs)]


@slow
@given(st.floats(30, 60), widths.filter(lambda w: w < 25), st.floats(30, 120), st.floats(3, 20))
def test_removals_that_share_a_pivot_commute(neck: float, w: float, arm: float, v: float) -> None:
    first = removal(distance=Fixed(neck), amount=Fixed(w))
    first = replace(first, pivot=DartPivot("bust dart"), opens=(KnownDart("bust dart"),))
    second = replace(first, name="armhole gape", edge="armhole", distance=Fixed(arm), amount=Fixed(v))
    piece = front_with_dart(capped=True)
    one = _figures(result_piece(altered(piece, first, second)))
    other = _figures(result_piece(altered(piece, second, first)))
    assert max(abs(a - b) for a, b in zip(one, other, strict=True)) < 1e-3


@slow
@given(st.floats(-3, 3), st.booleans(), necks)
def test_a_piece_turned_or_mirrored_gives_the_result_turned_or_mirrored(
    angle: float, mirrors: bool, neck: str
) -> None:
    piece = front(neck)
    motion = Motion.rotation(100 + 50j, angle)
    if mirrors:
        motion = motion.after(Motion.reflection(30j, 1j))
    there = altered(moved_piece(piece, motion), removal())
    here = altered(piece, removal())
    after, moved = result_piece(here), result_piece(there)
    assert moved.darts[0].point == pytest.approx(motion(after.darts[0].point), abs=1e-4)
    for place in range(0, int(after.stitching.chain.length), 40):
        point = motion(after.stitching.chain.point(place))
        assert nearest(moved.stitching.chain, point)[1] < 0.02
    assert here.removals[0].edge_after == pytest.approx(there.removals[0].edge_after, abs=0.02)


@slow
@given(necks, st.floats(40, 100), widths.filter(lambda w: w < 30))
def test_which_part_is_held_is_only_a_point_of_view(neck: str, distance: float, width: float) -> None:
    piece = front(neck)
    asked = removal(distance=Fixed(distance), amount=Fixed(width), finish=SewnDart(press="down"))
    one = altered(piece, replace(asked, hold="hem"))
    other = altered(piece, replace(asked, hold="shoulder"))
    angle = one.removals[0].angle
    for sign in (1, -1):
        turn = Motion.rotation(APEX, sign * angle)
        points = [turn(p) for p in result_piece(one).stitching.chain.samples(30)]
        worst = max(nearest(result_piece(other).stitching.chain, p)[1] for p in points)
        if worst < 1e-3:
            return
    pytest.fail(f"the two results lie {worst} mm apart")


def test_both_parts_turn_by_the_same_angle_seen_by_shapely() -> None:
    piece = front()
    result = altered(piece, removal())
    facts = result.removals[0]
    old = shapely.Polygon([(p.real, p.imag) for p in piece.stitching.chain.samples(0.2)])
    new = shapely.Polygon([(p.real, p.imag) for p in result_piece(result).stitching.chain.samples(0.2)])
    wedge = shapely.Polygon([(p.real, p.imag) for p in (APEX, *facts.legs)])
    opened = facts.opened[0]
    leg = 25.0 + opened.leg_lengths[0]
    mouth = 0.5 * leg * leg * math.sin(facts.angle)
    # The slivers along curved edges, the cap and the redrawn neckline are small beside wedge and mouth.
    assert new.area == pytest.approx(old.area - wedge.area + mouth, abs=500)


def test_nothing_moves_on_the_held_part() -> None:
    piece = front()
    after = result_piece(altered(piece, removal()))
    for name in ("hem", "centre front"):
        old = [s.chain for s in piece.stitching.stretches if s.edge == name]
        new = [s.chain for s in after.stitching.stretches if s.edge == name]
        assert old == new


def _kept_apart(chain: Chain) -> float:
    return max(abs(a.end - b.start) for a, b in zip(chain.segments, chain.segments[1:], strict=False))


@pytest.mark.parametrize("neck", ["round", "scooped", "straight", "wrapped"])
def test_the_new_outline_has_no_gap(neck: str) -> None:
    chain = result_piece(altered(front(neck), removal())).stitching.chain
    assert _kept_apart(chain) < 1e-7
    assert abs(chain.end - chain.start) < 1e-7
    assert isinstance(removal().pivot, ApexPivot)


def test_the_angle_is_shared_between_two_mouths() -> None:
    piece = front_with_dart(capped=True)
    waist = NewDart("waist dart", "hem", "side seam", Fixed(120), 0.4)
    result = altered(piece, removal(opens=(KnownDart("bust dart", 0.6), waist)))
    (facts,) = result.removals
    assert broken(piece, removal(opens=(KnownDart("bust dart", 0.6), waist))) == []
    opened = {one.dart: one for one in facts.opened}
    leg = opened["waist dart"].leg_lengths[0]
    hinge_leg = abs(APEX - piece.stitching.chain.point(piece.stitching.edge("hem").place(120)))
    assert opened["waist dart"].intake_after == pytest.approx(
        2 * hinge_leg * math.sin(0.4 * facts.angle / 2), abs=1e-6
    )
    assert leg < hinge_leg


@pytest.mark.parametrize("drawn_in", [False, True])
def test_a_dart_that_stands_off_the_apex_is_drawn_back_by_as_much_again(drawn_in: bool) -> None:
    piece = front_with_dart(drawn_in=drawn_in)
    asked = removal(opens=(KnownDart("bust dart"),))
    assert broken(piece, asked) == []
    after = result_piece(altered(piece, asked)).dart("bust dart")
    assert abs(after.point - APEX) == pytest.approx(abs(piece.darts[0].point - APEX), abs=1e-6)
    assert after.drawn_in is drawn_in


def front_with_two_darts() -> Piece:
    """The front with its side dart, 32 mm off the apex, and a waist dart in the hem, 60 mm off it."""
    waist = NewDart("waist dart", "hem", "side seam", Fixed(120))
    first = altered(front_with_dart(), removal(opens=(waist,), finish=SewnDart(draw_back=Fixed(60))))
    return replace(result_piece(first), name="front")


@pytest.mark.parametrize("pivot", [ApexPivot(), DartPivot("bust dart"), DartPivot("waist dart")])
def test_each_of_two_darts_that_share_an_angle_is_drawn_back_by_its_own(
    pivot: ApexPivot | DartPivot,
) -> None:
    piece = front_with_two_darts()
    names = ("bust dart", "waist dart")
    hinge = piece.dart(pivot.dart).point if isinstance(pivot, DartPivot) else APEX
    asked = removal(edge="armhole", pivot=pivot, opens=(KnownDart(names[0], 0.6), KnownDart(names[1], 0.4)))
    assert broken(piece, asked) == []
    after = result_piece(altered(piece, asked))
    # Between the mouths the piece turns about the hinge, which stays where it was.
    for name in names:
        before = abs(piece.dart(name).point - hinge)
        assert abs(after.dart(name).point - hinge) == pytest.approx(before, abs=1e-6), name


def test_a_full_front_is_altered_on_both_sides() -> None:
    half = front()
    rows = [s for s in half.stitching.stretches if s.edge != "centre front"]
    mirror = Motion.reflection(0j, 1j)
    both = ("neckline", "hem")
    right = [replace(s, edge=s.edge if s.edge in both else f"right {s.edge}") for s in rows]
    left = [
        replace(
            s, chain=s.chain.moved(mirror).reversed(), edge=s.edge if s.edge in both else f"left {s.edge}"
        )
        for s in reversed(rows)
    ]
    piece = replace(
        half,
        stitching=replace(half.stitching, stretches=(*right, *left)),
        apexes={"right": APEX, "left": mirror(APEX)},
        fold=None,
        grain=(300j, 500j),
    )
    removals = [
        removal(
            name=side,
            start=f"{side} shoulder",
            pivot=ApexPivot(side),
            opens=(NewDart(f"{side} dart", f"{side} side seam", f"{side} armhole", Fixed(60)),),
        )
        for side in ("right", "left")
    ]
    assert broken(piece, *removals) == []
    one, other = altered(piece, *removals).removals
    assert one.angle == pytest.approx(other.angle, abs=1e-9)
    after = result_piece(altered(piece, *removals))
    points = {dart.name: dart.point for dart in after.darts}
    assert points["left dart"] == pytest.approx(mirror(points["right dart"]), abs=1e-4)
