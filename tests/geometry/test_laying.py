"""Lines laid on lines: every way there is, also where they are not equally long."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import motions
from transform.geometry.chain import Chain
from transform.geometry.laying import are_alike, best_motion, ways_to_lay
from transform.geometry.motion import Motion
from transform.geometry.segments import Cubic, Line

NECK = Chain((Cubic(120j, 40 + 120j, 70 + 60j, 70 + 0j),))
ARMHOLE = Chain((Cubic(190 + 40j, 170 + 120j, 170 + 250j, 240 + 260j),))


def near(one: Motion, other: Motion, tolerance: float) -> bool:
    probes = (0j, 200 + 0j, 100 + 200j)
    return all(abs(one(p) - other(p)) <= tolerance for p in probes)


@settings(deadline=None, max_examples=40)
@given(motions(), st.booleans())
def test_a_line_that_was_moved_is_found_again(motion: Motion, backwards: bool) -> None:
    moved = NECK.moved(motion)
    best = ways_to_lay([[NECK]], [[moved.reversed() if backwards else moved]])[0]
    assert best.apart < 1e-9
    assert best.backwards == backwards
    assert near(best.motion, motion, 1e-8)


@settings(deadline=None, max_examples=25)
@given(motions(), st.floats(0.1, 12), st.booleans())
def test_a_shorter_line_slides_to_where_it_was_cut_from(motion: Motion, lost: float, at_start: bool) -> None:
    part = NECK.cut(lost, NECK.length) if at_start else NECK.cut(0.0, NECK.length - lost)
    best = ways_to_lay([[NECK]], [[part.moved(motion)]])[0]
    assert near(best.motion, motion, 5e-3)
    end = NECK.point(0.0) if at_start else NECK.point(NECK.length)
    missing = min(abs(end - p) for p in part.samples(0.2))
    assert best.apart == pytest.approx(missing, abs=0.01)


def test_two_lines_together_leave_one_way_only() -> None:
    motion = Motion.reflection(3j, 1 + 2j)
    ways = ways_to_lay([[NECK], [ARMHOLE]], [[NECK.moved(motion)], [ARMHOLE.moved(motion)]])
    assert ways[0].apart < 1e-9
    assert ways[0].motion.mirrors
    assert ways[1].apart > 1


def test_a_straight_line_can_be_laid_in_four_ways() -> None:
    line = Chain((Line(0j, 120 + 50j),))
    assert [way.apart for way in ways_to_lay([[line]], [[line]])] == pytest.approx([0, 0, 0, 0], abs=1e-9)


def test_a_shorter_straight_line_is_laid_in_the_middle() -> None:
    line = Chain((Line(0j, 120 + 0j),))
    short = Chain((Line(500j, 500j + 118),))
    ways = ways_to_lay([[line]], [[short]])
    assert [way.apart for way in ways] == pytest.approx([1, 1, 1, 1], abs=1e-6)


def test_a_gap_between_two_stretches_is_not_measured() -> None:
    """Two stretches with a dart's mouth between, against the same drawn in one more segment."""
    upper, lower = Line(0j, 100j), Line(5 + 130j, 5 + 300j)
    first = [Chain((upper,)), Chain((lower,))]
    second = [Chain((*upper.split(0.3),)), Chain((lower,))]
    ways = ways_to_lay([first], [second])
    assert ways[0].apart < 1e-9
    assert abs(ways[0].motion.shift) < 1e-9


def test_where_the_lines_differ_is_told_for_the_line_that_does() -> None:
    bulge = Chain((Cubic(190 + 40j, 174 + 120j, 170 + 250j, 240 + 260j),))
    best = ways_to_lay([[NECK], [ARMHOLE]], [[NECK], [bulge]])[0]
    assert best.line == 1
    assert 0.5 < best.apart < 4
    assert min(abs(best.where - p) for p in bulge.samples(0.5)) < 0.6


@given(st.floats(-3, 3), st.floats(0.5, 30))
def test_points_that_coincide_are_only_shifted(angle: float, size: float) -> None:
    """A closed curve of one place in the middle: nothing says how far to turn, and nothing breaks."""
    ring = [size * cmath.exp(1j * (angle + k * math.pi / 2)) for k in range(4)]
    line = Chain(tuple(Line(a, b) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)))
    assert ways_to_lay([[line]], [[line]])[0].apart < 1e-9


def test_points_that_coincide_are_brought_over_by_a_rigid_motion() -> None:
    motion = best_motion(np.full(3, 1 + 1j), np.full(3, 5j), mirrors=False)
    assert motion(1 + 1j) == pytest.approx(5j)
    assert abs(motion(4 + 5j) - motion(1 + 1j)) == pytest.approx(5.0)


def test_lines_of_one_shape_are_alike_whichever_way_they_are_drawn() -> None:
    moved = NECK.moved(Motion.reflection(7 + 3j, 1 + 2j)).reversed()
    assert are_alike([[NECK]], [[moved]], 0.5)
    assert not are_alike([[NECK]], [[ARMHOLE]], 0.5)
    # A straight line 1.6 mm longer sticks out by 0.8 mm at each end.
    line, longer = Chain((Line(0j, 120 + 0j),)), Chain((Line(0j, 121.6 + 0j),))
    assert are_alike([[line]], [[longer]], 0.9)
    assert not are_alike([[line]], [[longer]], 0.7)


def test_lines_that_lie_beside_each_other_nowhere_are_laid_all_the_same() -> None:
    """An armhole and a hem of about one length: every place of one is nearest to an end of the other."""
    armhole = Chain((Cubic(320.74 + 70.67j, 301.95 + 124.13j, 326.45 + 274.2j, 388.78 + 276.07j),))
    hem = Chain((Cubic(385.17 + 483.98j, 305.21 + 492.11j, 227.6 + 494.25j, 150 + 494.25j),))
    best = ways_to_lay([[armhole]], [[hem]])[0]
    assert best.apart > 20
    assert not are_alike([[armhole]], [[hem]], 0.5)
