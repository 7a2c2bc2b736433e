"""Darts drawn anew: every line goes with the point and the leg end between which it runs."""

from __future__ import annotations

import cmath
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pattern.sketches import LEGS, POINT, polygon
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Cubic, Line
from transform.pattern.model import Dart
from transform.pattern.written_darts import CutLines, new_dart_chain, redrawn_dart

OLD = Dart("bust dart", POINT, LEGS, (0.0, 25.0), drawn_in=False, capped=True)
NEW = replace(OLD, point=POINT + 8 + 1j, legs=(LEGS[0], LEGS[1] + 6j))


def line(*points: complex) -> Chain:
    return Chain(tuple(Line(a, b) for a, b in pairwise(points)))


def points_of(chain: Chain) -> list[complex]:
    return [chain.start, *(segment.end for segment in chain.segments)]


def test_legs_in_one_line_and_back() -> None:
    drawn = redrawn_dart(line(LEGS[0], POINT, LEGS[1]), OLD, NEW, None)
    assert points_of(drawn) == pytest.approx([NEW.legs[0], NEW.point, NEW.legs[1]])
    again = redrawn_dart(line(LEGS[1], POINT, LEGS[0]), OLD, NEW, None)
    assert points_of(again) == pytest.approx([NEW.legs[1], NEW.point, NEW.legs[0]])


def test_a_closed_triangle_stays_closed() -> None:
    drawn = redrawn_dart(polygon(POINT, *LEGS), OLD, NEW, None)
    assert drawn.closed
    assert points_of(drawn) == pytest.approx([NEW.point, *NEW.legs, NEW.point])
    assert all(a.end == b.start for a, b in pairwise((*drawn.segments, drawn.segments[0])))


def test_curved_legs_stay_curved_and_keep_their_shape() -> None:
    leg = Cubic(LEGS[0], LEGS[0] - 30 + 4j, POINT + 20 + 4j, POINT)
    (drawn,) = redrawn_dart(Chain((leg,)), OLD, NEW, None).segments
    assert isinstance(drawn, Cubic)
    assert (drawn.start, drawn.end) == pytest.approx((NEW.legs[0], NEW.point))
    factor = (NEW.legs[0] - NEW.point) / (LEGS[0] - POINT)
    assert drawn.control1 - drawn.start == pytest.approx((leg.control1 - leg.start) * factor)


def test_a_fold_line_goes_with_the_middle_and_a_drill_hole_with_what_it_lies_along() -> None:
    middle = (LEGS[0] + LEGS[1]) / 2
    new_middle = (NEW.legs[0] + NEW.legs[1]) / 2
    drawn = redrawn_dart(line(POINT, middle), OLD, NEW, None)
    assert points_of(drawn) == pytest.approx([NEW.point, new_middle])
    hole = polygon(POINT + 9 + 0.5j, POINT + 10 + 0.5j, POINT + 10 + 1.5j)
    moved = redrawn_dart(hole, OLD, NEW, None)
    assert abs(moved.start - NEW.point) == pytest.approx(
        abs(hole.start - POINT) * abs(new_middle - NEW.point) / abs(middle - POINT)
    )


@given(st.floats(-3, 3), st.complex_numbers(max_magnitude=300, allow_nan=False), st.floats(0, 0.4))
def test_a_dart_that_only_turns_is_turned_even_where_its_ends_lie_a_little_off(
    angle: float, shift: complex, off: float
) -> None:
    motion = Motion(shift=shift).after(Motion.rotation(0j, angle))
    new = replace(OLD, point=motion(POINT), legs=(motion(LEGS[0]), motion(LEGS[1])))
    ends = LEGS[0] + off, LEGS[1] + off * cmath.exp(2j)
    for chain in (line(ends[0], POINT, ends[1]), polygon(ends[0], POINT, ends[1])):
        drawn = redrawn_dart(chain, OLD, new, None)
        assert points_of(drawn) == pytest.approx([motion(p) for p in points_of(chain)], abs=1e-7)


def test_legs_that_ran_on_to_the_cut_line_run_on_to_the_new_one() -> None:
    cut = CutLines(line(220 + 0j, 220 + 400j), line(225 + 0j, 225 + 400j))

    def on(leg: complex, point: complex, x: float) -> complex:
        return point + (leg - point) * ((x - point.real) / (leg - point).real)

    long = [on(leg, POINT, 220) for leg in LEGS]
    wanted = [on(leg, NEW.point, 225) for leg in NEW.legs]
    drawn = redrawn_dart(line(long[0], POINT, long[1]), OLD, NEW, cut)
    assert points_of(drawn) == pytest.approx([wanted[0], NEW.point, wanted[1]])
    apart = redrawn_dart(line(POINT, long[1]), OLD, NEW, cut)
    assert points_of(apart) == pytest.approx([NEW.point, wanted[1]])
    # What ended at the stitching line, or is closed, ends where it did.
    assert points_of(redrawn_dart(line(LEGS[0], POINT), OLD, NEW, cut)) == pytest.approx(
        [NEW.legs[0], NEW.point]
    )
    assert redrawn_dart(polygon(POINT, *LEGS), OLD, NEW, cut).closed


def test_a_new_dart() -> None:
    assert points_of(new_dart_chain(OLD, None)) == [LEGS[0], POINT, LEGS[1]]
    cut = line(220 + 0j, 220 + 400j)
    ends = points_of(new_dart_chain(OLD, cut))
    assert [end.real for end in ends] == pytest.approx([220, 110, 220])
    assert points_of(new_dart_chain(OLD, line(0j, 400j))) == [LEGS[0], POINT, LEGS[1]]
