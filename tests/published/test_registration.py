"""Laying an edge on an edge, against the rotation fit and the Procrustes distance of scipy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import procrustes
from scipy.spatial.transform import Rotation

from tests.strategies import motions, segments
from transform.geometry.chain import SNAP, Chain
from transform.geometry.laying import best_motion, ways_to_lay
from transform.geometry.motion import Motion
from transform.geometry.segments import Cubic, Line, Segment

noise = st.lists(st.builds(complex, st.floats(-2, 2), st.floats(-2, 2)), min_size=12, max_size=12)
CURVE = Cubic(0j, 60 + 10j, 90 + 60j, 100 + 140j)


def in_space(points: np.ndarray) -> np.ndarray:
    return np.stack([points.real, points.imag, np.zeros(len(points))], axis=1)


@settings(deadline=None)
@given(motions(), noise)
def test_the_motion_of_least_squares_is_that_of_scipy(motion: Motion, away: list[complex]) -> None:
    points = np.array([CURVE.point(k / 11) for k in range(12)])
    onto = np.array([motion(complex(p)) for p in points]) + np.array(away)
    found = best_motion(points, onto, mirrors=motion.mirrors)
    start = points.conj() if motion.mirrors else points
    rotation, distance = Rotation.align_vectors(in_space(onto - onto.mean()), in_space(start - start.mean()))
    assert np.exp(1j * rotation.as_rotvec()[2]) == pytest.approx(found.turn, abs=1e-6)
    mine = found.turn * start + found.shift
    assert np.sqrt((np.abs(mine - onto) ** 2).sum()) == pytest.approx(distance, rel=1e-5, abs=1e-5)


@settings(deadline=None, max_examples=25)
@given(segments().filter(lambda s: not isinstance(s, Line)), motions())
def test_a_moved_edge_has_no_procrustes_disparity_and_is_found(segment: Segment, motion: Motion) -> None:
    chain = Chain((segment,))
    moved = chain.moved(motion)
    shares = [k / 20 for k in range(21)]
    pairs = [
        np.array([[p.real, p.imag] for p in (line.point(line.length * u) for u in shares)])
        for line in (chain, moved)
    ]
    assert procrustes(*pairs)[2] < 1e-9
    # Each of the two places that are compared may snap to its segment's end.
    assert ways_to_lay([[chain]], [[moved]])[0].apart < 3 * SNAP
