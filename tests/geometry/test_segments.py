"""Curves and motions: kinds, ends, splitting and moving."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import angles, motions, points, segments
from transform.geometry.measure import length, length_to, parameter_at
from transform.geometry.motion import Affine, Motion
from transform.geometry.nearest import nearest_on_segment
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment, curvature, direction

unit = st.floats(0, 1)


@given(segments(), motions(), unit)
def test_a_rigid_motion_moves_every_point_and_keeps_the_kind(
    segment: Segment, motion: Motion, t: float
) -> None:
    moved = segment.moved(motion)
    assert type(moved) is type(segment)
    assert abs(moved.point(t) - motion(segment.point(t))) < 1e-7
    assert length(moved) == pytest.approx(length(segment), abs=1e-6)


@given(segments(), st.floats(0.02, 0.98), unit)
def test_the_parts_of_a_split_segment_lie_on_it(segment: Segment, t: float, u: float) -> None:
    before, after = segment.split(t)
    assert before.end == after.start
    assert abs(before.point(u) - segment.point(t * u)) < 1e-6
    assert abs(after.point(u) - segment.point(t + (1 - t) * u)) < 1e-6
    assert length(before) + length(after) == pytest.approx(length(segment), abs=1e-6)


@given(segments())
def test_reversing_twice_is_nothing_at_all(segment: Segment) -> None:
    assert segment.reversed().reversed() == segment


@given(segments(), unit)
def test_the_reversed_segment_runs_the_other_way(segment: Segment, t: float) -> None:
    assert abs(segment.reversed().point(t) - segment.point(1 - t)) < 1e-6


@given(segments(), st.floats(-0.2, 1.2))
def test_a_place_by_length_is_found_again(segment: Segment, share: float) -> None:
    whole = length(segment)
    t = parameter_at(segment, whole * share)
    assert 0 <= t <= 1
    assert length_to(segment, t) == pytest.approx(whole * min(1, max(0, share)), abs=1e-9 * whole + 1e-12)


@given(segments(), st.floats(0.05, 0.95))
def test_derivatives_are_those_of_the_points(segment: Segment, t: float) -> None:
    step = 1e-5
    difference = (segment.point(t + step) - segment.point(t - step)) / (2 * step)
    assert abs(difference - segment.derivative(t)) < 1e-4 * (1 + abs(segment.second(t)))
    second = (segment.derivative(t + step) - segment.derivative(t - step)) / (2 * step)
    assert abs(second - segment.second(t)) < 1e-3 * (1 + abs(segment.second(t)))


@given(segments(), unit)
def test_a_curve_lies_in_the_hull_of_its_controls(segment: Segment, t: float) -> None:
    point, controls = segment.point(t), segment.controls()
    assert min(c.real for c in controls) - 1e-5 <= point.real <= max(c.real for c in controls) + 1e-5
    assert min(c.imag for c in controls) - 1e-5 <= point.imag <= max(c.imag for c in controls) + 1e-5


@given(motions(), motions(), points)
def test_motions_compose_and_invert(first: Motion, second: Motion, point: complex) -> None:
    assert abs(second.after(first)(point) - second(first(point))) < 1e-8
    assert abs(first.inverse()(first(point)) - point) < 1e-8
    assert abs(first.as_affine()(point) - first(point)) < 1e-9


@given(points, angles, points)
def test_a_rotation_keeps_its_centre_and_every_distance(
    centre: complex, angle: float, point: complex
) -> None:
    turn = Motion.rotation(centre, angle)
    assert abs(turn(centre) - centre) < 1e-9
    assert abs(turn(point) - centre) == pytest.approx(abs(point - centre), abs=1e-9)


def test_a_reflection_keeps_its_line_and_turns_sides() -> None:
    mirror = Motion.reflection(0j, 1 + 1j)
    assert abs(mirror(3 + 3j) - (3 + 3j)) < 1e-12
    assert abs(mirror(1 + 0j) - 1j) < 1e-12


affines = st.builds(Affine, *[st.floats(-3, 3)] * 4, *[st.floats(-100, 100)] * 2).filter(
    lambda m: abs(m.determinant) > 0.05
)


@given(affines, affines, points)
def test_affine_maps_compose_and_invert(first: Affine, second: Affine, point: complex) -> None:
    assert abs((second @ first)(point) - second(first(point))) < 1e-6
    assert abs(first.inverse()(first(point)) - point) < 1e-6


@given(segments(), affines, unit)
def test_a_mapped_curve_is_the_map_of_the_curve(segment: Segment, affine: Affine, t: float) -> None:
    parts = segment.mapped(affine)
    assert abs(parts[0].start - affine(segment.start)) < 1e-9
    assert abs(parts[-1].end - affine(segment.end)) < 1e-9
    if type(parts[0]) is type(segment):
        assert abs(parts[0].point(t) - affine(segment.point(t))) < 1e-5
    else:
        assert isinstance(segment, Arc)
        index = min(int(t * len(parts)), len(parts) - 1)
        inner = affine.inverse()(parts[index].point(t * len(parts) - index))
        assert nearest_on_segment(segment, inner)[1] < 1e-7 * max(segment.ellipse().rx, segment.ellipse().ry)


@pytest.mark.parametrize("mirrors", [False, True])
def test_an_arc_under_a_similarity_stays_an_arc(mirrors: bool) -> None:
    arc = Arc(0j, 40 + 10j, 30, 20, 0.3, large=False, sweep=True)
    side = -1 if mirrors else 1
    affine = Affine(
        2 * math.cos(0.4), 2 * math.sin(0.4), -2 * side * math.sin(0.4), 2 * side * math.cos(0.4), 5, 7
    )
    (moved,) = arc.mapped(affine)
    assert isinstance(moved, Arc)
    for t in (0.1, 0.5, 0.9):
        assert abs(moved.point(t) - affine(arc.point(t))) < 1e-9


def test_an_arc_under_a_shear_becomes_cubics() -> None:
    arc = Arc(0j, 40 + 10j, 30, 20, 0.3, large=True, sweep=True)
    parts = arc.mapped(Affine(1, 0, 0.5, 1, 0, 0))
    assert len(parts) > 4
    assert all(isinstance(part, Cubic) for part in parts)


def test_cubics_along_an_arc_stay_within_7e_8_of_its_radius() -> None:
    arc = Arc(100 + 0j, -100 + 0j, 100, 100, 0, large=False, sweep=True)
    worst = max(abs(abs(c.point(k / 20)) - 100) for c in arc.cubics() for k in range(21))
    assert worst < 7e-6


def test_curvature_of_a_circle_and_its_sign() -> None:
    arc = Arc(50 + 0j, 0 + 50j, 50, 50, 0, large=False, sweep=True)
    assert curvature(arc, 0.3) == pytest.approx(1 / 50)
    assert curvature(arc.reversed(), 0.3) == pytest.approx(-1 / 50)
    assert curvature(Cubic(0j, 0j, 0j, 1 + 0j), 0.0) == 0.0


def test_direction_where_handles_have_no_length() -> None:
    assert abs(direction(Cubic(0j, 0j, 10 + 10j, 20 + 10j), 0.0) - (1 + 1j) / math.sqrt(2)) < 1e-9
    assert abs(direction(Cubic(0j, 10 + 0j, 20 + 10j, 20 + 10j), 1.0) - (1 + 1j) / math.sqrt(2)) < 1e-9
    assert direction(Line(0j, 0j), 0.0) == 1
    assert direction(Cubic(0j, 0j, 9 + 0j, 9 + 0j), 0.0) == 1


def test_a_quadratic_is_the_cubic_of_raised_degree() -> None:
    q = Quadratic(0j, 30 + 60j, 90 + 0j)
    c = Cubic(0j, (0j + 2 * q.control) / 3, (q.end + 2 * q.control) / 3, q.end)
    assert length(q) == pytest.approx(length(c), abs=1e-9)
    assert curvature(q, 0.3) == pytest.approx(curvature(c, 0.3))


def test_a_cusp_is_measured_too() -> None:
    cusp = Cubic(0j, 100 + 100j, 0 + 100j, 100 + 0j)
    fine = sum(abs(cusp.point((k + 1) / 40000) - cusp.point(k / 40000)) for k in range(40000))
    assert length(cusp) == pytest.approx(fine, rel=1e-6)


def test_a_line_of_no_length_has_its_place_at_its_end() -> None:
    assert parameter_at(Line(5j, 5j), 0.5) == 1.0
    assert Motion().is_identity
    assert not Motion.rotation(0j, 0.1).is_identity
    assert Motion.rotation(0j, 0.25).angle == pytest.approx(0.25)
    assert Affine(0, 2, -2, 0, 0, 0).scale == 2
