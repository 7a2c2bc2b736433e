"""How far points lie outside a closed edge, against another library and by hand."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.geometry.closures import Closure, closures
from transform.geometry.border import border
from transform.geometry.chain import Chain
from transform.geometry.segments import Line


def strip(chains: tuple[Chain, ...]) -> shapely.Geometry:
    points = [point for chain in chains for point in chain.samples(0.2)]
    first, last = chains[0], chains[-1]
    points += [
        last.end + 1j * last.tangent(last.length, before=True) * 200,
        first.start + 1j * first.tangent(0.0) * 200,
    ]
    return shapely.Polygon([(p.real, p.imag) for p in points]).buffer(0)


@settings(max_examples=30, deadline=None)
@given(closures(), st.floats(-15, 15), st.floats(-6, 6))
def test_distances_near_the_closure_agree_with_shapely(closure: Closure, along: float, aside: float) -> None:
    left, right = closure.chains
    # Beside the very ends of the edge there is no border to speak of.
    assume(min(left.length, right.length) > 20 + closure.removed)
    way = left.tangent(left.length, before=True)
    point = (left.end + right.start) / 2 + way * complex(along, aside)
    found = border((left, right), left.length, right.length).distances(np.array([point])).away[0]
    piece, seen = strip((left, right)), shapely.Point(point.real, point.imag)
    if found > 0:
        assert piece.distance(seen) == pytest.approx(found, abs=0.01)
    else:
        line = shapely.LineString([(p.real, p.imag) for p in (*left.samples(0.2), *right.samples(0.2))])
        assert line.distance(seen) == pytest.approx(-found, abs=0.01)


@settings(max_examples=30, deadline=None)
@given(closures(), st.floats(-15, 15), st.floats(-6, 6), st.floats(0, 2 * math.pi))
def test_the_gradient_says_how_the_distance_changes(
    closure: Closure, along: float, aside: float, heading: float
) -> None:
    left, right = closure.chains
    edge = border((left, right), left.length, right.length)
    way = left.tangent(left.length, before=True)
    point = (left.end + right.start) / 2 + way * complex(along, aside)
    step = 1e-5 * complex(math.cos(heading), math.sin(heading))
    at, before, after = edge.distances(np.array([point, point - step, point + step])).away
    slope = edge.distances(np.array([point])).outwards[0]
    change = (after - before) / 2e-5
    # On a ridge, from which two places are equally near, there is no one gradient.
    if abs((after - at) - (at - before)) < 1e-8:
        assert change == pytest.approx((slope.conjugate() * step).real / 1e-5, abs=2e-2)


def test_a_step_of_two_straight_edges_by_hand() -> None:
    left, right = Chain((Line(-50 + 0j, 0j),)), Chain((Line(4 - 3j, 60 - 3j),))
    edge = border((left, right), 50.0, 56.0)
    assert edge.drawn == (True, False, True)
    points = np.array([-20 - 2j, -20 + 2j, 30 - 4j, 30 - 1j, 4 - 5j, 2 - 1.5j, 0j])
    assert list(edge.distances(points).away) == pytest.approx([2, -2, 1, -2, 2, 0, 0], abs=1e-9)
    assert edge.turning(1 + 0j, 1 + 0j) == pytest.approx(0.0)


def test_within_a_reach_there_is_that_and_no_more_than_a_sample_besides() -> None:
    left, right = Closure("round 75", 0.5, 6.0, 0.3, 150.0).chains
    edge = border((left, right), left.length, right.length)
    near = edge.within(30.0, 20.0)
    first, last = near.runs[0], near.runs[-1]
    assert first.places[-1] - first.places[0] == pytest.approx(30.0, abs=1.5)
    assert last.places[-1] - last.places[0] == pytest.approx(20.0, abs=1.5)
    assert first.places[-1] - first.places[0] >= 30.0 - 1e-6
    assert last.places[-1] - last.places[0] >= 20.0 - 1e-6
    assert edge.within(1e4, 1e4).runs[0].places[0] == 0.0


def test_extremes_of_a_line_find_the_peak_over_a_corner() -> None:
    left, right = Chain((Line(-50 + 0j, 0j),)), Chain((Line(0j, 50 - 50j),))
    edge = border((left, right), 50.0, 70.0)
    # Over a valley of 135° the chord is farthest outside where it is equally far from both edges.
    outside, inside, _ = edge.extremes([Line(-20 + 0j, 20 * complex(1, -1) / math.sqrt(2))])
    assert outside == pytest.approx(20 * math.sin(math.pi / 8) * math.cos(math.pi / 8), abs=0.05)
    assert inside == pytest.approx(0.0, abs=1e-9)


def test_how_far_the_edges_are_from_a_line_that_replaces_them() -> None:
    left, right = Chain((Line(-50 + 0j, 0j),)), Chain((Line(0j, 50 + 50j),))
    edge = border((left, right), 50.0, 70.0)
    line = np.array([-30 + 0j, 30 + 30j])
    expected = abs(((0 - line[0]) / (line[1] - line[0])).imag) * abs(line[1] - line[0])
    assert edge.farthest_from(line, line[0], line[1]) == pytest.approx(expected)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.floats(2, 60), st.floats(-1, 1), st.floats(-6, 6)), min_size=8, max_size=40),
    st.integers(0, 2**31),
)
def test_of_many_runs_only_those_near_are_looked_at(
    parts: list[tuple[float, float, float]], seed: int
) -> None:
    chains: list[Chain] = []
    at, heading = 0j, 1 + 0j
    for size, turn, step in parts:
        chains.append(Chain((Line(at, at + size * heading),)))
        at += size * heading
        heading *= complex(math.cos(turn), math.sin(turn))
        at += 1j * heading * step
    edge = border(chains, chains[0].length, chains[-1].length)
    chance = np.random.default_rng(seed)
    way = np.cumsum(chance.normal(0, 5, 300) + 1j * chance.normal(0, 5, 300))
    some, every = edge.distances(way), edge._among(range(len(edge.runs)), way)
    assert some.away.tolist() == every.away.tolist()
    assert some.outwards.tolist() == every.outwards.tolist()
