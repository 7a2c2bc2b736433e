"""The fair line of a closed edge: its laws, over every kind of edge, wedge and stagger."""

import cmath
import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.geometry.closures import EDGES, HOLLOW, Closure, closures, drawn, roomy
from transform.geometry.chain import Chain
from transform.geometry.drafting import OUTSIDE_MM, USUAL_REACH, Drafter
from transform.geometry.fair import FairLine, close_fair, close_straight
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Cubic, Line, curvature, direction
from transform.geometry.tips import NEAR_END_MM

some = settings(max_examples=20, deadline=None)


def joins(closure: Closure) -> list[tuple[float, Chain, float, float, int]]:
    """Per join: how much of the edge's rest there is, the edge, the place on it, the line's t and segment."""
    left, right = closure.chains
    back, on = drawn(closure).reach
    return [(left.length - back, left, left.length - back, 0.0, 0), (right.length - on, right, on, 1.0, -1)]


def bends(line: Chain) -> list[float]:
    return [curvature(segment, k / 64) for segment in line.segments for k in range(65)]


def inflections(line: Chain) -> int:
    signs = [k > 0 for k in bends(line) if abs(k) > 1e-5]
    return sum(one != other for one, other in pairwise(signs))


def controls(line: FairLine) -> list[complex]:
    return [point for segment in line.chain.segments for point in segment.controls()]


def piece_beside(chains: tuple[Chain, ...]) -> shapely.Geometry:
    """The closed piece in a strip along the edge, as the other library sees it."""
    points = [point for chain in chains for point in chain.samples(0.3)]
    first, last = chains[0], chains[-1]
    points += [
        last.end + 1j * last.tangent(last.length, before=True) * 200,
        first.start + 1j * first.tangent(0.0) * 200,
    ]
    return shapely.Polygon([(p.real, p.imag) for p in points]).buffer(0)


@some
@given(closures())
def test_it_joins_the_rest_in_place_and_direction(closure: Closure) -> None:
    for rest, edge, place, t, index in joins(closure):
        segment = drawn(closure).chain.segments[index]
        assert abs(segment.point(t) - edge.point(place)) < 1e-9
        if rest < 1e-6 and edge.length < NEAR_END_MM:
            continue  # Its own end has no room to keep the direction.
        assert abs(cmath.phase(direction(segment, t) / edge.tangent(place, before=t == 0))) < 1e-9


@some
@given(closures())
def test_its_curvature_goes_on_from_the_rest_and_never_jumps(closure: Closure) -> None:
    for rest, edge, place, t, index in joins(closure):
        if rest > 1e-6:
            found = curvature(drawn(closure).chain.segments[index], t)
            assert found == pytest.approx(edge.curvature(place, before=t == 0), abs=1e-9)
    for one, other in pairwise(drawn(closure).chain.segments):
        assert one.end == other.start
        assert abs(cmath.phase(direction(one, 1.0) / direction(other, 0.0))) < 1e-9
        assert curvature(one, 1.0) == pytest.approx(curvature(other, 0.0), abs=1e-8)


@some
@given(closures())
def test_it_runs_no_more_than_half_a_millimetre_outside(closure: Closure) -> None:
    line = drawn(closure)
    assert line.outside <= OUTSIDE_MM
    piece = piece_beside(closure.chains)
    seen = max(piece.distance(shapely.Point(p.real, p.imag)) for p in line.chain.samples(0.5))
    assert seen <= OUTSIDE_MM + 0.01


@some
@given(closures())
def test_what_it_says_of_itself_is_so(closure: Closure) -> None:
    line = drawn(closure)
    left, right = closure.chains
    back, on = line.reach
    step = Chain((Line(left.end, right.start),))
    edges = [left, right, step] if abs(left.end - right.start) > 1e-6 else [left, right]
    piece = piece_beside(closure.chains)
    inside = [
        min(nearest(edge, p)[1] for edge in edges)
        for p in line.chain.samples(0.5)
        if piece.contains(shapely.Point(p.real, p.imag))
    ]
    assert max(inside, default=0.0) == pytest.approx(line.inside, abs=0.2)
    kept = [left.cut(left.length - back, left.length), right.cut(0.0, on)]
    gone = max(nearest(line.chain, p)[1] for edge in kept for p in edge.samples(1.0))
    assert line.moved == pytest.approx(max(gone, line.inside, line.outside), abs=0.2)
    assert line.inflections == inflections(line.chain)


@some
@given(roomy())
def test_a_hollow_edge_with_room_keeps_bending_one_way(closure: Closure) -> None:
    line = drawn(closure)
    assert line.inflections == 0
    assert not line.forced
    assert line.has_room


@some
@given(closures())
def test_more_inflections_than_the_edges_had_are_owned_up_to(closure: Closure) -> None:
    # None of the edges of the family has one of its own.
    line = drawn(closure)
    assert line.forced == (line.inflections > 0)


@some
@given(closures())
def test_it_stays_on_the_edge_and_goes_no_farther_than_it_must(closure: Closure) -> None:
    left, right = closure.chains
    line = drawn(closure)
    assert 0 < line.reach[0] <= left.length
    assert 0 < line.reach[1] <= right.length


@some
@given(closures(list(HOLLOW), most_slant=0.3))
def test_a_hollow_edge_with_little_stagger_is_drawn_sixty_millimetres_on_either_side(
    closure: Closure,
) -> None:
    line = drawn(closure)
    for reach, chain in zip(line.reach, closure.chains, strict=True):
        if not line.forced:
            assert reach <= 1.35 * USUAL_REACH + 1e-9
        assert reach >= min(USUAL_REACH, chain.length) / 4


@some
@given(
    closures(), st.floats(-math.pi, math.pi), st.builds(complex, st.floats(-900, 900), st.floats(-900, 900))
)
def test_turned_the_line_is_turned(closure: Closure, angle: float, centre: complex) -> None:
    motion = Motion.rotation(centre, angle)
    moved = close_fair([chain.moved(motion) for chain in closure.chains])
    expected = [motion(point) for point in controls(drawn(closure))]
    assert controls(moved) == pytest.approx(expected, abs=1e-5)


@some
@given(closures(), st.floats(-math.pi, math.pi))
def test_mirrored_and_drawn_backwards_the_line_is_the_same(closure: Closure, angle: float) -> None:
    motion = Motion.reflection(10 + 20j, cmath.exp(1j * angle))
    left, right = (chain.moved(motion).reversed() for chain in closure.chains)
    line = drawn(closure)
    other = close_fair([right, left])
    expected = [motion(point) for point in controls(line)]
    assert controls(other)[::-1] == pytest.approx(expected, abs=1e-5)
    assert other.reach == pytest.approx(line.reach[::-1])
    assert (other.inflections, other.forced, other.has_room) == (line.inflections, line.forced, line.has_room)


@some
@given(closures(), st.floats(0.1, 0.9), st.floats(0.1, 0.9))
def test_how_the_edges_are_split_into_segments_does_not_matter(
    closure: Closure, first: float, last: float
) -> None:
    pieces = []
    for chain, share in zip(closure.chains, (first, last), strict=True):
        place = chain.length * share
        pieces.append(chain.cut(0.0, place).joined(chain.cut(place, chain.length)))
    assert controls(close_fair(pieces)) == pytest.approx(controls(drawn(closure)), abs=1e-5)


@some
@given(closures())
def test_the_same_closure_has_the_same_line_to_the_last_digit(closure: Closure) -> None:
    assert close_fair(closure.chains) == drawn(closure)


@pytest.mark.parametrize("edge", ["round 75", "armhole", "wrap", "round hem"])
def test_two_closures_close_together_have_one_line(edge: str) -> None:
    whole = EDGES[edge]
    near, far = 0.35 * whole.length, 0.35 * whole.length + 40.0
    inwards = 1j * whole.tangent(near)
    one = Motion.rotation(whole.point(near + 3) + inwards * 150, -0.04)
    two = one.after(Motion.rotation(whole.point(far + 3) + 1j * whole.tangent(far) * 150, -0.04))
    chains = [
        whole.cut(0.0, near),
        whole.cut(near + 6.0, far).moved(one),
        whole.cut(far + 6.0, whole.length).moved(two),
    ]
    line = close_fair(chains)
    assert line.inflections == 0
    assert line.outside <= OUTSIDE_MM
    assert line.inside < 3
    assert len(line.chain.segments) <= 6
    back, on = line.reach
    assert abs(line.chain.start - chains[0].point(chains[0].length - back)) < 1e-9
    assert abs(line.chain.end - chains[2].point(on)) < 1e-9
    for one_, other in pairwise(line.chain.segments):
        assert curvature(one_, 1.0) == pytest.approx(curvature(other, 0.0), abs=1e-8)


def test_a_line_over_nothing_closed_is_the_edge_itself() -> None:
    whole = EDGES["straight"]
    line = close_fair([whole.cut(0.0, 90.0), whole.cut(90.0, whole.length)])
    assert line.moved == pytest.approx(0.0, abs=1e-9)
    assert line.reach == (60.0, 60.0)
    round_ = EDGES["arc"]
    line = close_fair([round_.cut(0.0, 62.0), round_.cut(62.0, round_.length)])
    assert line.moved < 0.01
    assert all(k == pytest.approx(-1 / 80, rel=1e-2) for k in bends(line.chain))


def test_a_valley_between_straight_edges_is_filled_by_less_than_the_bound() -> None:
    for degrees in (1.0, 4.0, 8.0, 12.0):
        turn = cmath.exp(-1j * math.radians(degrees))
        line = close_fair([Chain((Line(-100 + 0j, 0j),)), Chain((Line(0j, 100 * turn),))])
        assert line.inflections == 0
        assert line.inside == pytest.approx(0.0, abs=1e-6)
        assert 0.1 < line.outside <= OUTSIDE_MM
        assert line.reach[0] == pytest.approx(line.reach[1])


def test_a_side_that_sticks_out_is_cut_down_and_the_other_not_filled() -> None:
    closure = Closure("round 75", 0.5, 20.0, 0.75, 180.0)
    line = drawn(closure)
    assert line.outside <= OUTSIDE_MM
    assert line.inside > 4
    mirrored = drawn(Closure("round 75", 0.5, 20.0, -0.75, 180.0))
    assert mirrored.inside == pytest.approx(line.inside, abs=0.2)


def test_an_edge_that_bends_both_ways_may_keep_its_own_inflection() -> None:
    s_shaped = Chain(
        (
            Cubic(0j, 60 + 0j, 60 - 60j, 120 - 60j),
            Cubic(120 - 60j, 180 - 60j, 200 + 0j, 240 + 0j),
        )
    )
    place, removed = 60.0, 10.0
    pivot = s_shaped.point(65.0) + 150j * s_shaped.tangent(65.0)
    legs = s_shaped.point(place) - pivot, s_shaped.point(place + removed) - pivot
    motion = Motion.rotation(pivot, cmath.phase(legs[0] / legs[1]))
    line = close_fair(
        [s_shaped.cut(0.0, place), s_shaped.cut(place + removed, s_shaped.length).moved(motion)]
    )
    assert line.inflections == 1
    assert not line.forced


def test_a_closure_near_the_edges_end_says_where_it_has_no_room() -> None:
    roomy = drawn(Closure("round 90", 0.5, 10.0, 0.0, 150.0))
    assert roomy.has_room
    tight = drawn(Closure("round 60", 0.1, 30.0, -0.75, 160.0))
    assert tight.reach[0] < 10
    assert not tight.has_room


@pytest.mark.parametrize(
    "tight",
    [
        Closure("hem", 0.02, 6.0, -0.52, 80.0),
        Closure("straight", 0.95, 40.0, 0.48, 120.0),
        Closure("wrap", 0.02, 15.0, -0.5, 120.0),
    ],
)
def test_beside_the_edges_end_a_line_cuts_away_little_more_than_what_sticks_out(tight: Closure) -> None:
    left, right = tight.chains
    line = drawn(tight)
    assert line.outside <= OUTSIDE_MM
    assert line.inside < 2 * abs(right.start - left.end) + 3


def test_a_line_that_lies_on_the_edge_all_the_way_has_no_shorter_reach() -> None:
    whole = EDGES["straight"]
    drafter = Drafter([whole.cut(0.0, 90.0), whole.cut(90.0, whole.length)])
    profile, _ = drafter.profile((60.0, 60.0), 0, 0.4)
    assert drafter.shorter(profile, (60.0, 60.0)) == (60.0, 60.0)


@pytest.mark.parametrize("short", [1e-4, 0.01, 0.5])
def test_where_the_wedge_took_the_edges_end_the_line_keeps_the_direction_there(short: float) -> None:
    left, right = Closure("round 75", 0.3, 12.0, 0.0, 150.0).chains
    tangent = left.tangent(left.length, before=True)
    line = close_fair([Chain((Line(left.end - tangent * short, left.end),)), right])
    assert line.reach[0] == pytest.approx(short)
    assert abs(direction(line.chain.segments[0], 0.0) - tangent) < 1e-9
    assert line.outside <= OUTSIDE_MM


def test_a_handle_of_no_length_at_the_closure_is_no_hindrance() -> None:
    edge = Chain((Cubic(0j, 0j, -60 + 0j, -120 + 60j),))
    left = edge.reversed().moved(Motion.reflection(0j, 1 + 0j))
    line = close_fair(
        [left, Chain((Line(left.end, left.end + 100 * left.tangent(left.length, before=True)),))]
    )
    assert line.outside <= OUTSIDE_MM
    assert all(abs(k) < 0.05 for k in bends(line.chain))


def test_where_the_edge_goes_on_beyond_what_may_be_touched_its_curvature_is_kept() -> None:
    left, right = Closure("round 90", 0.5, 10.0, 0.0, 150.0).chains
    near = left.cut(left.length - 40.0, left.length), right.cut(0.0, 35.0)
    line = close_fair(near, edge_ends=(False, False))
    assert line.reach == pytest.approx((40.0, 35.0))
    assert curvature(line.chain.segments[0], 0.0) == pytest.approx(
        left.curvature(left.length - 40.0), abs=1e-9
    )
    assert curvature(line.chain.segments[-1], 1.0) == pytest.approx(right.curvature(35.0), abs=1e-9)
    free = close_fair(near)
    assert curvature(free.chain.segments[0], 0.0) != pytest.approx(
        left.curvature(left.length - 40.0), abs=1e-5
    )


def test_a_straight_line_is_the_chord_of_the_whole_edge() -> None:
    left, right = Closure("straight", 0.5, 20.0, 0.3, 150.0).chains
    line = close_straight([left, right])
    assert line.chain.segments == (Line(left.start, right.end),)
    assert line.reach == (left.length, right.length)
    assert line.inflections == 0
    assert line.has_room
    assert not line.forced
    corner = max(abs(((p - left.start) / (right.end - left.start)).imag) for p in (left.end, right.start))
    assert line.moved == pytest.approx(corner * abs(right.end - left.start), abs=1e-6)


def test_a_closure_needs_an_edge_on_either_side() -> None:
    for chains in ([], [EDGES["arc"]], [EDGES["arc"], Chain(())]):
        with pytest.raises(ValueError, match="either side"):
            close_fair(chains)
        with pytest.raises(ValueError, match="either side"):
            close_straight(chains)
