"""Lines beside lines keep their distance, their kind and their corners."""

import cmath
import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from transform.geometry.chain import Chain
from transform.geometry.crossing import crossings
from transform.geometry.joining import join, with_end, with_start
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.offset import offset_chain, offset_segment
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, direction

ARMHOLE = Cubic(0j, 60 + 0j, 100 + 40j, 100 + 140j)


@settings(max_examples=30, deadline=None)
@given(st.floats(-20, 20), st.floats(-20, 20), st.floats(-math.pi, math.pi))
def test_a_curve_keeps_its_distance_linear_along_it(near: float, far: float, turn: float) -> None:
    curve = ARMHOLE.moved(Motion.rotation(30 + 10j, turn))
    beside = Chain(offset_segment(curve, (near, far)))
    whole = Chain((curve,)).length
    for k in range(41):
        t = k / 40
        place = Chain((curve,)).place_of(0, t)
        wanted = curve.point(t) - 1j * direction(curve, t) * (near + (far - near) * place / whole)
        assert nearest(beside, wanted)[1] < 0.0125
    assert len(beside.segments) <= 6


def test_lines_and_circular_arcs_keep_their_kind() -> None:
    assert offset_segment(Line(0j, 10 + 0j), 3.0) == (Line(-3j, 10 - 3j),)
    assert offset_segment(Line(0j, 10 + 0j), (3.0, 5.0)) == (Line(-3j, 10 - 5j),)
    arc = Arc(10 + 0j, 10j, 10, 10, 0, large=False, sweep=True)
    (beside,) = offset_segment(arc, 5.0)
    assert isinstance(beside, Arc)
    assert beside.rx == pytest.approx(15)
    assert abs(beside.end - 15j) < 1e-12
    (inside,) = offset_segment(arc, -4.0)
    assert isinstance(inside, Arc)
    assert inside.rx == pytest.approx(6)
    assert offset_segment(arc, -10.0) == ()
    (back,) = offset_segment(arc.reversed(), 4.0)
    assert isinstance(back, Arc)
    assert back.rx == pytest.approx(6)


def test_an_arc_with_growing_distance_and_an_ellipse_become_cubics() -> None:
    arc = Arc(10 + 0j, 10j, 10, 10, 0, large=False, sweep=True)
    assert all(isinstance(s, Cubic) for s in offset_segment(arc, (2.0, 5.0)))
    ellipse = Arc(30 + 0j, 10j, 30, 10, 0, large=False, sweep=True)
    assert all(isinstance(s, Cubic) for s in offset_segment(ellipse, 5.0))
    assert all(isinstance(s, Cubic) for s in offset_segment(Quadratic(0j, 50 + 0j, 50 + 50j), 5.0))


def test_no_distance_gives_the_very_same_curve() -> None:
    assert offset_segment(ARMHOLE, 0.0)[0] is ARMHOLE
    chain = Chain((ARMHOLE,))
    assert offset_chain(chain, 0.0) is chain


def test_a_rounding_tighter_than_the_distance_vanishes_and_its_neighbours_meet() -> None:
    rounding = Arc(100 + 0j, 110 + 10j, 10, 10, 0, large=False, sweep=True)
    chain = Chain((Line(0j, 100 + 0j), rounding, Line(110 + 10j, 110 + 100j)))
    beside = offset_chain(chain, -15.0)
    assert beside.segments == (Line(15j, 95 + 15j), Line(95 + 15j, 95 + 100j))


def test_a_cubic_rounding_that_is_partly_too_tight_loses_only_that_part() -> None:
    tight = Cubic(0j, 100 + 0j, 100 + 0j, 100 + 100j)
    beside = offset_chain(Chain((tight,)), -20.0)
    assert abs(beside.start - 20j) < 1e-9
    assert abs(beside.end - (80 + 100j)) < 1e-9
    for segment in beside.segments:
        for k in range(11):
            assert nearest(Chain((tight,)), segment.point(k / 10))[1] > 19.98


def test_a_curve_that_is_too_tight_in_its_middle_is_left_out_there() -> None:
    tight = Cubic(0j, 97 + 0j, 100 + 3j, 100 + 100j)
    before, after = Chain(offset_segment(tight, -30.0)[:1]), Chain(offset_segment(tight, -30.0)[-1:])
    assert abs(before.end - after.start) > 5
    beside = offset_chain(Chain((tight,)), -30.0)
    assert all(a.end == b.start for a, b in pairwise(beside.segments))
    assert min(nearest(Chain((tight,)), point)[1] for point in beside.samples(2)) > 29.95


def test_a_short_bevel_too_short_for_the_distance_is_dropped() -> None:
    bevel = [0j, 100 + 0j, 103 + 1j, 105 + 3j, 105 + 100j]
    chain = Chain(tuple(Line(a, b) for a, b in pairwise(bevel)))
    beside = offset_chain(chain, -20.0)
    assert len(beside.segments) == 2
    assert abs(beside.segments[0].end - (85 + 20j)) < 1e-9
    other = offset_chain(chain.reversed(), 20.0)
    assert other.reversed() == beside


def test_small_turns_at_joints_are_rejoined_and_doubled_points_do_no_harm() -> None:
    chain = Chain((Line(0j, 50 + 0j), Line(50 + 0j, 50 + 0j), Line(50 + 0j, 100 + 4j)))
    for distance in (10.0, -10.0):
        beside = offset_chain(chain, distance)
        assert len(beside.segments) == 2
        assert beside.segments[0].end == beside.segments[1].start


def test_distances_that_grow_along_a_chain() -> None:
    beside = offset_chain(Chain((Line(0j, 50 + 0j), Line(50 + 0j, 100 + 0j))), (10.0, 20.0))
    assert abs(beside.point(beside.length / 2) - (50 - 15j)) < 1e-9
    assert abs(beside.end - (100 - 20j)) < 1e-9


def test_nothing_left_is_said() -> None:
    with pytest.raises(ValueError, match="tighter"):
        offset_chain(Chain((Arc(10 + 0j, 10j, 10, 10, 0, large=False, sweep=True),)), -12.0)


def square_corner(turn: complex) -> tuple[Chain, Chain]:
    return Chain((Line(0j, 100 + 0j),)), Chain((Line(100 + 0j, 100 + 100 * turn),))


@pytest.mark.parametrize(("d", "e"), [(10, 10), (10, 20), (-10, -10), (-10, -25), (0, 15), (15, 0), (0, -15)])
@pytest.mark.parametrize("angle", [1.2, -1.2])
def test_corners_of_lines_are_where_the_lines_meet(d: float, e: float, angle: float) -> None:
    turn = cmath.exp(1j * angle)
    first, second = square_corner(turn)
    joined = join(offset_chain(first, d), offset_chain(second, e), 200)
    assert joined is not None
    meeting = joined[0].end
    assert meeting == joined[1].start
    assert abs(meeting.imag + d) < 1e-9
    assert abs(((meeting - 100) * turn.conjugate()).imag + e) < 1e-9
    assert len(joined[0].segments) == len(joined[1].segments) == 1


def test_curves_are_extended_straight_or_trimmed() -> None:
    first = Chain((ARMHOLE,))
    second = Chain((Line(100 + 140j, 300 + 150j),))
    inside = join(offset_chain(first, 10.0), offset_chain(second, 10.0), 100)
    assert inside is not None
    assert abs(inside[0].end - inside[1].start) < 1e-9
    assert inside[0].length < offset_chain(first, 10.0).length
    outside = join(offset_chain(first, -10.0), offset_chain(second, -10.0), 100)
    assert outside is not None
    assert isinstance(outside[0].segments[-1], Line)
    assert len(outside[1].segments) == 1


def test_parallel_ends_that_stand_apart_do_not_meet() -> None:
    assert join(Chain((Line(0j, 50 + 0j),)), Chain((Line(50 + 5j, 100 + 5j),)), 100) is None


def test_ends_are_drawn_to_a_point() -> None:
    chain = Chain((ARMHOLE,))
    moved = with_end(chain, chain.end + 0.5)
    assert direction(moved.segments[0], 1.0) == direction(ARMHOLE, 1.0)
    assert with_end(chain, chain.end) is chain
    assert with_start(chain, chain.start) is chain
    assert with_start(chain, 0.5j).start == 0.5j
    quadratic = Chain((Quadratic(0j, 5 + 5j, 10 + 0j),))
    assert with_start(quadratic, 0.5j).segments[0] == Quadratic(0.5j, 5 + 5j, 10 + 0j)


def test_two_curves_cross_where_both_run() -> None:
    first = Chain((ARMHOLE,))
    second = Chain((Cubic(0 + 100j, 60 + 90j, 80 + 20j, 120 - 20j),))
    ((p, q),) = crossings(first, second)
    assert abs(first.point(p) - second.point(q)) < 1e-7
    arc = Chain((Arc(50 - 30j, 50 + 60j, 45, 45, 0, large=False, sweep=True),))
    for p, q in crossings(first, arc):
        assert abs(first.point(p) - arc.point(q)) < 1e-7
    assert len(crossings(first, arc)) == 1


def test_a_joint_on_the_other_line_is_one_crossing_and_a_point_is_none() -> None:
    joint = Chain((Line(0j, 50 + 0j), Line(50 + 0j, 100 + 0j)))
    assert len(crossings(joint, Chain((Line(50 - 10j, 50 + 10j),)))) == 1
    assert crossings(Chain((Line(50 + 0j, 50 + 0j),)), joint) == []
    assert crossings(joint, Chain((Line(0 + 10j, 100 + 10j),))) == []
    assert crossings(joint, Chain((Line(20 + 5j, 40 + 1j),))) == []


def test_curves_that_touch_without_crossing_or_run_along_each_other_end_in_time() -> None:
    same = Chain((ARMHOLE,))
    assert all(abs(p - q) < 1 for p, q in crossings(same, Chain((ARMHOLE.reversed(),)).reversed()))
