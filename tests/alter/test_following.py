"""Removals made again on linked pieces: the shared edges agree as before, and every law holds there too."""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from rules.lengths import Fixed
from rules.model import ApexPivot, DartPivot, EdgePivot, KnownDart, Linked, NewDart, Removal, SewnDart
from tests.alter.linked_pieces import facing, lining, linked, piece_of, size_of
from tests.builders import APEX, front, front_with_dart, moved_piece, removal, stretch
from tests.strategies import motions
from transform.alter.facts import RemovalFacts, SizeResult
from transform.alter.problems import AlterError, Asked
from transform.alter.registration import Registration, agreement, register
from transform.checks import drawn_laws, laws
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.offset import offset_chain
from transform.geometry.segments import Cubic, Line
from transform.pattern.model import Item, Piece, Role, Way
from transform.pattern.outline import Stretch

LAWS = (laws.rigid, laws.angles, laws.areas, drawn_laws.closed_edges, drawn_laws.darts, laws.uncrossed)
slow = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
necks = st.sampled_from(["round", "scooped", "straight", "wrapped"])
somewhere = motions()
MIRRORED = Motion.rotation(30 + 5j, 1.2).after(Motion.reflection(3j, 1 + 2j))


def after(result: SizeResult, name: str) -> Piece:
    """The piece as it was altered, or as it came."""
    (done,) = (done for done in result.altered if done.piece.name == name)
    assert done.stitching is not None
    kept = [dart for dart in done.piece.darts if dart.name not in done.darts]
    return replace(done.piece, stitching=done.stitching, cut=done.cut, darts=(*kept, *done.darts.values()))


def broken(result: SizeResult) -> list[str]:
    """What breaks a law, on any piece."""
    found = []
    for working in result.workings:
        piece = after(result, working.piece.name)
        found.extend(finding for law in LAWS for finding in law(working, piece))
        found.extend([*laws.arcs(working), *laws.hinges(working)])
        segments = piece.stitching.chain.segments
        gaps = [abs(a.end - b.start) for a, b in zip(segments, (*segments[1:], segments[0]), strict=True)]
        if max(gaps) > 1e-7:
            found.append(f"{piece.name} has a gap of {max(gaps)} mm")
    return found


def laid(piece: Piece, link: Linked, on: Piece) -> Registration:
    return register(Asked("r", 1, 1, link.piece, piece), on, link.along, 5.0)


def followed(
    piece: Piece, removals: Sequence[Removal], link: Linked, on: Piece | None = None
) -> tuple[SizeResult, RemovalFacts]:
    """The result, and the facts of the last removal on the linked piece; laws held, edges in agreement."""
    on = front() if on is None else on
    try:
        result = size_of([on, piece], removals, [link])
    except AlterError as error:
        # By chance a wedge lies along its edge, and the dart would be narrower than a line.
        assume([problem.kind for problem in error.problems] != ["no wedge"])
        raise
    assert broken(result) == []
    fit = laid(piece, link, on)
    assert agreement(fit, after(result, on.name), after(result, piece.name)) <= fit.misfit + 0.05
    return result, [fact for fact in result.removals if fact.followed][-1]


@slow
@given(necks, st.floats(15, 120), st.floats(3, 25), st.floats(25, 90), somewhere, st.booleans())
def test_a_facing_is_cut_right_across_and_agrees_with_its_front(
    neck: str, distance: float, width: float, deep: float, motion: Motion, named: bool
) -> None:
    piece = moved_piece(facing(neck, min(deep, 60), free="free edge" if named else None), motion)
    asked = removal(distance=Fixed(distance), amount=Fixed(width))
    result, facts = followed(piece, [asked], linked(), front(neck))
    own = result.removals[0]
    assert facts.opened == ()
    assert facts.angle == pytest.approx(own.angle, abs=1e-9)
    assert facts.removed == pytest.approx(own.removed)
    assert facts.edge_after == pytest.approx(own.edge_after, abs=1e-3)
    assert facts.line == own.line
    assert abs(facts.pivot - motion(own.pivot)) < 1e-6
    for mine, there in zip(facts.legs, own.legs, strict=True):
        assert abs(mine - motion(there)) < 1e-6
    assert after(result, piece.name).darts == ()


@slow
@given(necks, st.floats(30, 80), st.floats(3, 25), somewhere, st.sampled_from(["closed", "sewn"]))
def test_a_lining_gets_the_dart_or_none(
    neck: str, distance: float, width: float, motion: Motion, dart: str
) -> None:
    piece = moved_piece(lining(neck), motion)
    asked = removal(distance=Fixed(distance), amount=Fixed(width), finish=SewnDart(press="up"))
    link = linked(piece.name, dart=dart)
    result, facts = followed(piece, [asked], link, front(neck))
    own = result.removals[0]
    if dart == "closed":
        assert facts.opened == ()
        assert after(result, piece.name).darts == ()
        return
    (mine,), (there,) = facts.opened, own.opened
    assert mine.dart == there.dart
    assert mine.intake_after == pytest.approx(there.intake_after, abs=1e-4)
    assert mine.leg_lengths == pytest.approx(there.leg_lengths, abs=1e-4)
    (sewn,) = after(result, piece.name).darts
    (dart_there,) = after(result, "front").darts
    # Which part is held is the same, so that the whole front after is laid on the whole lining.
    assert abs(sewn.point - motion(dart_there.point)) < 1e-4


@slow
@given(st.floats(20, 55), st.floats(3, 12), st.floats(70, 100), st.floats(3, 12), somewhere)
def test_two_wedges_on_one_edge_share_their_line_on_both(
    one: float, width: float, other: float, second_width: float, motion: Motion
) -> None:
    first = removal(distance=Fixed(one), amount=Fixed(width))
    second = removal(name="second", distance=Fixed(other), amount=Fixed(second_width))
    second = replace(second, opens=(KnownDart("bust dart"),))
    followed(moved_piece(facing("scooped"), motion), [first, second], linked(), front("scooped"))


def armhole_facing(*, free: str | None = "free edge") -> Piece:
    arm = front().stitching.stretches[2].chain
    inner = offset_chain(arm, -45.0)
    return piece_of(
        "armhole facing",
        stretch("armhole", *arm.segments),
        stretch("side seam", Line(arm.end, inner.end)),
        Stretch(inner.reversed(), free),
        stretch("shoulder", Line(inner.start, arm.start)),
    )


TO_ARMHOLE = removal(opens=(), pivot=EdgePivot("armhole", "shoulder", Fixed(90)))
AT_ARMHOLE = linked("armhole facing", along=("armhole",))


@slow
@given(st.floats(60, 160), st.floats(4, 18), somewhere)
def test_a_pivot_on_the_shared_edge_brings_its_wedge_along(on: float, width: float, motion: Motion) -> None:
    asked = replace(TO_ARMHOLE, amount=Fixed(width), pivot=EdgePivot("armhole", "shoulder", Fixed(on)))
    piece = moved_piece(armhole_facing(), motion)
    result, facts = followed(piece, [asked], AT_ARMHOLE)
    assert facts.edge == "free edge"
    assert facts.angle == pytest.approx(result.removals[0].angle, abs=1e-9)
    assert facts.shortened > 0


def test_the_wedge_of_a_pivot_may_leave_a_facing_by_an_edge_without_a_name() -> None:
    _, facts = followed(armhole_facing(free=None), [TO_ARMHOLE], AT_ARMHOLE)
    assert facts.edge == "armhole"
    assert facts.removed == 0.0


clear_of_the_corner = st.floats(60, 160).filter(lambda on: not 100 < on < 112)
"""Places on the armhole whose wedge does not come out of the yoke at its corner.

There the far edge has next to no room on one side; its line may run farther outside than the laws allow,
and `apply` then refuses it.
"""


def yoke() -> Piece:
    """A piece on the other side of the armhole."""
    arm = front().stitching.stretches[2].chain
    outer = offset_chain(arm, 60.0)
    return piece_of(
        "yoke",
        Stretch(arm.reversed(), "armhole"),
        stretch("top", Line(arm.start, outer.start)),
        Stretch(outer, "outer edge"),
        stretch("low", Line(outer.end, arm.end)),
    )


@slow
@given(st.floats(60, 160), st.floats(4, 15), somewhere, st.sampled_from(["hem", "shoulder"]))
def test_a_panel_beyond_the_seam_opens_as_the_front_closes(
    on: float, width: float, motion: Motion, hold: str
) -> None:
    pivot = EdgePivot("armhole", "shoulder", Fixed(on))
    asked = replace(TO_ARMHOLE, amount=Fixed(width), pivot=pivot, hold=hold)
    result, facts = followed(moved_piece(yoke(), motion), [asked], linked("yoke", along=("armhole",)))
    assert facts.angle == pytest.approx(result.removals[0].angle, abs=1e-9)
    assert after(result, "yoke").stitching.chain.length > yoke().stitching.chain.length + 0.5
    (notice,) = (notice for notice in result.notices if notice.kind == "piece opened")
    assert notice.piece == "yoke"
    assert re.search(r"opens by \d+\.\d mm at (outer edge|low) and is filled there", notice.text)


@slow
@given(clear_of_the_corner, st.floats(4, 15), somewhere)
def test_a_panel_beyond_a_closed_edge_is_cut_right_across(on: float, width: float, motion: Motion) -> None:
    asked = removal(edge="armhole", distance=Fixed(on), amount=Fixed(width))
    followed(moved_piece(yoke(), motion), [asked], linked("yoke", along=("armhole",)))


@slow
@given(st.floats(60, 150), st.floats(4, 15), somewhere, st.sampled_from(["closed", "sewn"]))
def test_a_pivot_on_one_shared_edge_and_a_wedge_on_another(
    on: float, width: float, motion: Motion, dart: str
) -> None:
    pivot = EdgePivot("armhole", "shoulder", Fixed(on))
    link = linked("front lining", along=("neckline", "armhole"), dart=dart)
    followed(moved_piece(lining(), motion), [replace(TO_ARMHOLE, amount=Fixed(width), pivot=pivot)], link)


@pytest.mark.parametrize("on", [100.5, 103.5, 108.7, 109.3])
def test_a_panel_is_cut_where_its_far_edge_has_next_to_no_room(on: float) -> None:
    """The wedge comes out within 2 mm of the far edge's end, or over its corner."""
    asked = removal(edge="armhole", distance=Fixed(on), amount=Fixed(8))
    followed(yoke(), [asked], linked("yoke", along=("armhole",)))


def uneven(piece: Piece, shift: complex) -> Piece:
    """The facing with its neckline drawn a little otherwise between the same ends."""
    first, *rest = piece.stitching.stretches
    (curve,) = first.chain.segments
    assert isinstance(curve, Cubic)
    bent = Cubic(curve.start, curve.control1 + shift, curve.control2 - shift, curve.end)
    outline = replace(piece.stitching, stretches=(replace(first, chain=Chain((bent,))), *rest))
    return replace(piece, stitching=outline)


@slow
@given(st.floats(-0.6, 0.6), st.floats(-0.6, 0.6), st.floats(30, 80), st.floats(4, 20))
def test_edges_that_differ_a_little_differ_as_much_afterwards(
    dx: float, dy: float, distance: float, width: float
) -> None:
    asked = removal(distance=Fixed(distance), amount=Fixed(width))
    followed(uneven(facing(), complex(dx, dy)), [asked], linked())


@pytest.mark.parametrize("lost", [0.01, 0.3, 0.49])
def test_a_facing_a_hair_shorter_at_the_shoulder_follows(lost: float) -> None:
    top = front().stitching.stretches[0].chain
    top = top.cut(0.0, top.length - lost)
    inner = offset_chain(top, -60.0)
    piece = piece_of(
        "front facing",
        stretch("neckline", *top.segments),
        stretch("shoulder", Line(top.end, inner.end)),
        Stretch(inner.reversed(), "free edge"),
        stretch("centre front", Line(inner.start, top.start)),
    )
    followed(piece, [removal()], linked())
    followed(piece, [removal(distance=Fixed(25))], linked())
    followed(moved_piece(piece, MIRRORED), [removal(distance=Fixed(25))], linked())
    followed(piece, [removal(line="straight")], linked())


def test_a_wedge_that_takes_the_last_bit_of_the_edge_does_so_on_both() -> None:
    for piece in (facing(), moved_piece(facing(), MIRRORED)):
        result, facts = followed(piece, [removal(distance=Fixed(0), amount=Fixed(15))], linked())
        assert facts.edge_after == pytest.approx(result.removals[0].edge_after, abs=1e-3)
        assert facts.moved == pytest.approx(result.removals[0].moved)


def test_a_line_asked_for_is_drawn_on_both() -> None:
    _, facts = followed(facing(), [removal(line="straight")], linked())
    assert facts.line == "straight"


@slow
@given(
    st.floats(20, 80),
    st.floats(3, 20),
    somewhere,
    st.sampled_from([(False, False), (False, True), (True, False)]),
)
def test_a_lining_with_the_dart_itself_opens_it_too(
    distance: float, width: float, motion: Motion, drawn: tuple[bool, bool]
) -> None:
    on = front_with_dart(drawn_in=drawn[0], capped=drawn[1])
    asked = removal(distance=Fixed(distance), amount=Fixed(width))
    asked = replace(asked, pivot=DartPivot("bust dart"), opens=(KnownDart("bust dart"),))
    piece = moved_piece(replace(on, name="front lining"), motion)
    link = linked("front lining", dart="sewn")
    result, facts = followed(piece, [asked], link, on)
    (mine,), (there,) = facts.opened, result.removals[0].opened
    assert mine.intake_before == pytest.approx(there.intake_before)
    assert mine.intake_after == pytest.approx(there.intake_after, abs=1e-4)


def test_a_dart_that_stands_off_the_apex_is_drawn_back_on_the_lining_too() -> None:
    on = front_with_dart()
    asked = removal(opens=(KnownDart("bust dart"),))
    piece = moved_piece(replace(on, name="front lining"), MIRRORED)
    result, facts = followed(piece, [asked], linked("front lining", dart="sewn"), on)
    (mine,), (there,) = facts.opened, result.removals[0].opened
    assert mine.leg_lengths == pytest.approx(there.leg_lengths, abs=1e-4)


def test_an_angle_shared_between_mouths_is_shared_on_the_lining() -> None:
    opens = (
        NewDart("side dart", "side seam", "armhole", Fixed(60), 0.6),
        NewDart("hem dart", "hem", "centre front", Fixed(100), 0.4),
    )
    for dart in ("closed", "sewn"):
        piece = moved_piece(lining(), MIRRORED)
        _, facts = followed(piece, [removal(opens=opens)], linked("front lining", dart=dart))
        names = ["side dart", "hem dart"] if dart == "sewn" else []
        assert [opened.dart for opened in facts.opened] == names
    for hold in ("shoulder", "centre front"):
        followed(facing(), [removal(opens=opens, hold=hold)], linked())


@pytest.mark.parametrize("hold", ["shoulder", "centre front"])
def test_the_same_part_is_held(hold: str) -> None:
    result, _ = followed(facing(), [removal(hold=hold)], linked())
    for name in ("front", "front facing"):
        old = next(p for p in (front(), facing()) if p.name == name).stitching
        new = after(result, name).stitching
        (was,) = [s.chain for s in old.stretches if s.edge == hold]
        (now,) = [s.chain for s in new.stretches if s.edge == hold]
        assert was == now


def test_a_facing_that_ends_at_the_pivot_turns_about_its_own_edge() -> None:
    """Its free edge runs through the apex, so that nothing opens there."""
    rows = facing().stitching.stretches
    piece = piece_of(
        "front facing",
        rows[0],
        stretch("shoulder", Line(70 + 0j, 180 + 37j)),
        stretch("free edge", Line(180 + 37j, APEX), Line(APEX, 255j)),
        stretch("centre front", Line(255j, 120j)),
    )
    _, facts = followed(piece, [removal()], linked())
    assert facts.opened == ()


def test_a_facing_that_reaches_beyond_the_pivot_is_filled() -> None:
    rows = facing().stitching.stretches
    piece = piece_of(
        "front facing",
        rows[0],
        stretch("shoulder", Line(70 + 0j, 180 + 37j)),
        stretch("free edge", Line(180 + 37j, 170 + 200j), Line(170 + 200j, 160 + 330j)),
        stretch("low edge", Line(160 + 330j, 330j)),
        stretch("centre front", Line(330j, 120j)),
    )
    result, facts = followed(piece, [removal()], linked())
    assert facts.opened == ()
    assert after(result, piece.name).darts == ()
    # The corner of the free edge stays one: the filling ends before it.
    corners = [
        abs(cmath.phase(b.derivative(0) / a.derivative(1)))
        for a, b in zip(
            after(result, piece.name).stitching.chain.segments,
            after(result, piece.name).stitching.chain.segments[1:],
            strict=False,
        )
    ]
    assert sum(angle > math.radians(10) for angle in corners) >= 4


def test_the_wedge_of_a_removal_to_an_edge_is_cut_on_through_a_larger_lining() -> None:
    """The lining is not shaped at the armhole: the pivot lies within it, and no dart is there to follow."""
    rows = lining().stitching.stretches
    piece = piece_of(
        "front lining",
        rows[0],
        stretch("shoulder", Line(70 + 0j, 230 + 40j)),
        stretch("side", Line(230 + 40j, 230 + 600j)),
        *rows[4:],
    )
    for dart in ("closed", "sewn"):
        result, facts = followed(piece, [TO_ARMHOLE], linked("front lining", dart=dart))
        assert facts.opened == ()
        assert after(result, piece.name).darts == ()


def test_a_lining_without_the_dart_gets_it_new() -> None:
    asked = removal(pivot=DartPivot("bust dart"), opens=(KnownDart("bust dart"),))
    on = front_with_dart()
    result, facts = followed(lining(), [asked], linked("front lining", dart="sewn"), on)
    (mine,) = facts.opened
    assert mine.intake_before == 0
    assert after(result, "front lining").dart("bust dart").capped


def test_a_corner_of_a_facing_in_the_wedge_is_bridged() -> None:
    rows = facing().stitching.stretches
    piece = piece_of(
        "front facing",
        rows[0],
        stretch("shoulder", Line(70 + 0j, 120 + 20j)),
        stretch("free edge", Line(120 + 20j, 45 + 165j)),
        stretch("low edge", Line(45 + 165j, 165j)),
        stretch("centre front", Line(165j, 120j)),
    )
    followed(piece, [removal(distance=Fixed(70), amount=Fixed(40))], linked())


def notch(place: complex, element: int) -> Item:
    return Item(element, Role.NOTCHES, None, Way.WHOLE, place, (Chain((Line(place, place + 3),)),))


def test_what_lies_on_the_facing_goes_with_its_part() -> None:
    piece = facing()
    inside = piece.stitching.chain.point(70)
    free = nearest(piece.stitching.chain, 95 + 95j)[0]
    in_wedge = next(f for f in size_of([front(), piece], [removal()], [linked()]).removals if f.followed)
    middle = (in_wedge.legs[0] + in_wedge.legs[1]) / 2
    towards = middle + (in_wedge.pivot - middle) * 0.3
    items = (
        notch(inside, 51),
        notch(piece.stitching.chain.point(free), 52),
        Item(53, None, None, Way.CUT, towards, (Chain((Line(20 + 110j, 110 + 60j),)),)),
        Item(54, None, "care", Way.UPRIGHT, 90 + 20j),
    )
    result, _ = followed(replace(piece, items=items), [removal(hold="shoulder")], linked())
    changes = next(d.items for d in result.altered if d.piece.name == "front facing")
    assert 53 in changes
    assert 54 not in changes


def with_cut(piece: Piece, allowance: float) -> Piece:
    """The piece with a cut line outside, its corners where the lines beside its edges meet."""
    sides = [offset_chain(s.chain, allowance) for s in piece.stitching.stretches]
    corners = [
        _cross(a.end, a.tangent(a.length, before=True), b.start, b.tangent(0.0))
        for a, b in zip([sides[-1], *sides[:-1]], sides, strict=True)
    ]
    chains = [
        Chain((Line(start, side.start), *side.segments, Line(side.end, end)))
        for side, start, end in zip(sides, corners, [*corners[1:], corners[0]], strict=True)
    ]
    stretches = [Stretch(c, s.edge) for c, s in zip(chains, piece.stitching.stretches, strict=True)]
    return replace(piece, cut=replace(piece.stitching, stretches=tuple(stretches)))


def _cross(a: complex, u: complex, b: complex, v: complex) -> complex:
    t = ((b - a).conjugate() * v).imag / (u.conjugate() * v).imag
    return a + u * t


def test_a_cut_line_is_redrawn_at_its_allowance() -> None:
    result, _ = followed(with_cut(facing(), 10.0), [removal()], linked())
    done = after(result, "front facing")
    assert done.cut is not None
    for name in ("neckline", "free edge"):
        edge = done.stitching.edge(name)
        for k in range(2, 9):
            point = done.stitching.chain.point(edge.place(edge.length * k / 10))
            assert nearest(done.cut.chain, point)[1] == pytest.approx(10.0, abs=0.1)


def test_the_pivot_need_not_be_an_apex_of_the_linked_piece() -> None:
    assert facing().apexes == {}
    assert isinstance(removal().pivot, ApexPivot)


def ring() -> Piece:
    """A facing that comes back below its free edge, before the apex."""
    inner = [20 + 230j, 30 + 200j, 150 + 200j, 150 + 60j, 90 + 60j, 20 + 160j, 160j]
    return piece_of(
        "front facing",
        facing().stitching.stretches[0],
        stretch("shoulder", Line(70 + 0j, 180 + 20j)),
        stretch("outer edge", Line(180 + 20j, 180 + 230j), Line(180 + 230j, inner[0])),
        stretch("inner edge", *(Line(p, q) for p, q in pairwise(inner))),
        stretch("centre front", Line(160j, 120j)),
    )


def test_a_facing_that_is_met_again_is_refused() -> None:
    with pytest.raises(AlterError) as error:
        size_of([front(), ring()], [removal()], [linked()])
    assert error.value.problems[0].kind == "cannot be cut across"


def test_a_facing_with_a_dart_is_refused_where_none_is_sewn() -> None:
    on = front_with_dart()
    asked = removal(pivot=DartPivot("bust dart"), opens=(KnownDart("bust dart"),))
    with pytest.raises(AlterError) as error:
        size_of([on, replace(on, name="front lining")], [asked], [linked("front lining")])
    assert error.value.problems[0].kind == "dart on a facing"
    assert "dart: sewn" in error.value.problems[0].text


def test_a_dart_that_is_to_open_new_must_not_be_there() -> None:
    with pytest.raises(AlterError) as error:
        size_of(
            [front(), replace(front_with_dart(), name="front lining")],
            [removal()],
            [linked("front lining", dart="sewn")],
        )
    assert error.value.problems[0].kind == "dart exists"


def test_the_wedge_must_not_take_a_dart_of_the_facing() -> None:
    """Its free edge has a dart where the wedge comes out."""
    piece = facing()
    rows = piece.stitching.stretches
    free = rows[2].chain
    facts = next(f for f in size_of([front(), piece], [removal()], [linked()]).removals if f.followed)
    middle = (facts.legs[0] + facts.legs[1]) / 2
    place = nearest(free, middle + (facts.pivot - middle) * 0.4)[0]
    a, b = place - 2, place + 2
    outline = replace(
        piece.stitching,
        stretches=(
            *rows[:2],
            Stretch(free.cut(0.0, a), "free edge"),
            Stretch(free.cut(a, b), None, "tuck"),
            Stretch(free.cut(b, free.length), "free edge"),
            rows[3],
        ),
    )
    with pytest.raises(AlterError) as error:
        size_of([front(), replace(piece, stitching=outline)], [removal()], [linked()])
    assert error.value.problems[0].kind == "over a dart"


def test_a_wedge_beyond_the_end_of_a_much_shorter_facing_is_refused() -> None:
    """Only a tolerance that is far too large lets such a facing follow at all."""
    top = front().stitching.stretches[0].chain
    top = top.cut(0.0, top.length - 30)
    inner = offset_chain(top, -40.0)
    piece = piece_of(
        "front facing",
        stretch("neckline", *top.segments),
        stretch("shoulder", Line(top.end, inner.end)),
        Stretch(inner.reversed(), "free edge"),
        stretch("centre front", Line(inner.start, top.start)),
    )
    asked = removal(distance=Fixed(5), amount=Fixed(10))
    with pytest.raises(AlterError) as error:
        size_of([front(), piece], [asked], [linked(tolerance=Fixed(40))])
    assert error.value.problems[0].kind == "past the edge"


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("hold", ["hem", "shoulder"])
def test_what_follows_a_panel_that_opened_opens_or_closes_with_it(mirrored: bool, hold: str) -> None:
    """One lies on the panel and opens as it does; one lies as the front does and closes as that does."""
    turn = MIRRORED if mirrored else Motion.rotation(50j, 0.4)
    under = moved_piece(replace(yoke(), name="under yoke"), turn)
    links = [linked("yoke", along=("armhole",)), linked("under yoke", follows="yoke", along=("armhole",))]
    result = size_of([front(), yoke(), under], [replace(TO_ARMHOLE, hold=hold)], links)
    assert broken(result) == []
    fit = laid(under, links[1], yoke())
    assert agreement(fit, after(result, "yoke"), after(result, "under yoke")) < 0.01
    assert after(result, "under yoke").stitching.chain.length == pytest.approx(
        after(result, "yoke").stitching.chain.length, abs=1e-3
    )
    inner = moved_piece(replace(armhole_facing(), name="stay"), turn)
    links[1] = linked("stay", follows="yoke", along=("armhole",))
    result = size_of([front(), yoke(), inner], [replace(TO_ARMHOLE, hold=hold)], links)
    assert broken(result) == []
    direct = size_of([front(), inner], [replace(TO_ARMHOLE, hold=hold)], [replace(links[1], follows="front")])
    chains = [after(each, "stay").stitching.chain for each in (result, direct)]
    for place in range(0, int(chains[0].length), 20):
        assert abs(chains[0].point(place) - chains[1].point(place)) < 1e-6
