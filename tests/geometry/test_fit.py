"""Cubics fitted along samples: near, few, with the ends and their directions kept."""

import cmath
import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from transform.geometry.chain import Chain
from transform.geometry.fit import fit_cubics
from transform.geometry.nearest import nearest
from transform.geometry.segments import Cubic, direction


def samples_of(cubic: Cubic, count: int) -> list[tuple[complex, complex]]:
    return [(cubic.point(k / count), direction(cubic, k / count)) for k in range(count + 1)]


coordinate = st.floats(-300, 300)
point = st.builds(complex, coordinate, coordinate)


@settings(max_examples=40, deadline=None)
@given(point, st.floats(-math.pi, math.pi), st.floats(20, 400), st.floats(-0.9, 0.9), st.floats(-0.9, 0.9))
def test_a_smooth_cubic_is_found_again_as_one_or_two(
    start: complex, heading: float, size: float, leave: float, arrive: float
) -> None:
    unit = cmath.exp(1j * heading)
    end = start + unit * size
    cubic = Cubic(
        start,
        start + unit * cmath.exp(1j * leave) * size * 0.35,
        end - unit * cmath.exp(1j * arrive) * size * 0.3,
        end,
    )
    fitted = fit_cubics(samples_of(cubic, 40), 0.01)
    assert len(fitted) <= 2
    assert max(nearest(Chain(fitted), cubic.point(k / 77))[1] for k in range(78)) < 0.011


@settings(max_examples=25, deadline=None)
@given(st.floats(10, 400), st.floats(0.3, 6.0), st.sampled_from([0.1, 0.01, 0.001]))
def test_an_arc_is_met_within_the_tolerance_end_directions_kept(
    radius: float, sweep: float, tolerance: float
) -> None:
    turns = [cmath.exp(1j * sweep * k / 120) for k in range(121)]
    fitted = fit_cubics([(radius * turn, 1j * turn) for turn in turns], tolerance)
    chain = Chain(fitted)
    assert (
        max(nearest(chain, radius * cmath.exp(1j * sweep * k / 331))[1] for k in range(332)) < 1.3 * tolerance
    )
    assert abs(chain.start - radius) == 0
    assert abs(chain.end - radius * turns[-1]) < 1e-12
    assert abs(direction(fitted[0], 0.0) - 1j) < 1e-12
    assert abs(direction(fitted[-1], 1.0) - 1j * turns[-1]) < 1e-12
    for one, other in pairwise(fitted):
        assert one.end == other.start
        assert abs(direction(one, 1.0) - direction(other, 0.0)) < 1e-9
    assert len(fitted) <= math.ceil(sweep / 0.7) + 1 or tolerance < 0.01


def test_an_uneven_curve_takes_few_cubics_though_equal_lengths_do_not_serve() -> None:
    tight = [(5 * (cmath.exp(1j * a) - 1), 1j * cmath.exp(1j * a)) for a in [k * 0.05 for k in range(60)]]
    point, tangent = tight[-1]
    straight = [(point + tangent * step, tangent) for step in range(5, 300, 5)]
    fitted = fit_cubics(tight + straight, 0.005)
    assert len(fitted) <= 5
    chain = Chain(fitted)
    assert max(nearest(chain, point)[1] for point, _ in tight + straight) <= 0.005 + 1e-9


def test_two_samples_give_the_plain_cubic() -> None:
    assert fit_cubics([(0j, 1 + 0j), (30 + 0j, 1 + 0j)], 0.01) == (Cubic(0j, 10 + 0j, 20 + 0j, 30 + 0j),)


def test_one_sample_is_refused() -> None:
    with pytest.raises(ValueError, match="two samples"):
        fit_cubics([(0j, 1 + 0j)], 0.01)


def test_a_line_that_comes_back_to_its_start_takes_more_than_one_cubic() -> None:
    ring = [(10 * cmath.exp(1j * a), 1j * cmath.exp(1j * a)) for a in [k * math.pi / 40 for k in range(80)]]
    fitted = fit_cubics([*ring, ring[0]], 0.01)
    assert len(fitted) > 2
    assert fitted[0].start == fitted[-1].end
