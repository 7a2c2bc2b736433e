"""Places on chains, cutting, the nearest place, and where lines meet."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import motions, points, segments
from transform.geometry.chain import Chain, area_within, chain_of, coordinates, part
from transform.geometry.measure import length
from transform.geometry.meeting import line_meets, line_meets_segment
from transform.geometry.motion import STAY, Motion
from transform.geometry.nearest import nearest, nearest_on_segment
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment


def square() -> Chain:
    corners = [0j, 100 + 0j, 100 + 100j, 100j]
    return Chain(tuple(Line(corners[k], corners[(k + 1) % 4]) for k in range(4)), closed=True)


@st.composite
def chains(draw: st.DrawFn) -> Chain:
    parts = draw(st.lists(segments(), min_size=1, max_size=4))
    joined: list[Segment] = []
    for segment in parts:
        shift = (joined[-1].end if joined else 0j) - segment.start
        moved = segment.moved(Motion(shift=shift))
        joined.append(moved)
    return Chain(tuple(joined))


@given(chains(), st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_what_is_cut_out_has_the_length_asked_for(chain: Chain, a: float, b: float) -> None:
    first, last = sorted((a * chain.length, b * chain.length))
    found = chain.cut(first, last)
    if last - first > 1e-5:
        assert found.length == pytest.approx(last - first, abs=1e-6)
        assert abs(found.start - chain.point(first)) < 1e-5
        assert abs(found.end - chain.point(last)) < 1e-5


@given(chains())
def test_uncut_segments_stay_the_same_objects(chain: Chain) -> None:
    assert all(a is b for a, b in zip(chain.cut(0, chain.length).segments, chain.segments, strict=True))
    assert chain.moved(STAY) is chain


@given(chains(), motions())
def test_places_stay_when_a_chain_moves(chain: Chain, motion: Motion) -> None:
    place = chain.length * 0.37
    assert abs(chain.moved(motion).point(place) - motion(chain.point(place))) < 1e-5


@given(chains(), points)
def test_nothing_is_nearer_than_the_nearest(chain: Chain, point: complex) -> None:
    place, distance = nearest(chain, point)
    assert abs(chain.point(place) - point) == pytest.approx(distance, abs=1e-5)
    sampled = min(abs(s.point(k / 200) - point) for s in chain.segments for k in range(201))
    assert distance <= sampled + 1e-9


@given(segments(), points, points)
def test_a_line_meets_a_segment_where_it_changes_sides(
    segment: Segment, origin: complex, far: complex
) -> None:
    if abs(far - origin) < 1:
        return
    along = (far - origin) / abs(far - origin)
    found = line_meets_segment(segment, origin, along)
    for t in found:
        assert abs(((segment.point(t) - origin) * along.conjugate()).imag) < 1e-5
    heights = [((segment.point(k / 400) - origin) * along.conjugate()).imag for k in range(401)]
    crossings = sum(1 for a, b in pairwise(heights) if a * b < 0 and min(abs(a), abs(b)) > 1e-9)
    assert len(found) >= crossings


def test_round_the_start_of_a_closed_chain() -> None:
    chain = square()
    corner = chain.cut(350, 50)
    assert corner.length == pytest.approx(100)
    assert corner.start == 50j
    assert corner.end == 50
    assert chain.cut(30, 30).length == pytest.approx(400)
    assert chain.wrap(400 - 1e-9) == 0.0
    assert chain.wrap(-10) == 390
    assert Chain(chain.segments).wrap(500) == 400


def test_tangents_at_a_corner_before_and_after() -> None:
    chain = square()
    assert chain.tangent(100) == 1j
    assert chain.tangent(100, before=True) == 1
    assert chain.tangent(0, before=True) == -1j
    assert chain.curvature(50) == 0
    assert chain.place_of(2, 0.5) == 250
    assert chain.begin_of(0) == 0
    assert chain.reversed().tangent(50) == 1j


def test_samples_keep_every_joint() -> None:
    arc = Arc(100 + 0j, 100j, 100, 100, 0, large=False, sweep=True)
    chain = chain_of([Chain((Line(0j, 100 + 0j),)), (arc,)])
    found = chain.samples(5)
    assert found[0] == 0
    assert found[1] == 100
    assert found[-1] == 100j
    assert max(abs(a - b) for a, b in pairwise(found[1:])) < 5.1
    assert Chain(()).samples(1) == []
    assert Chain(()).length == 0


def test_part_of_a_segment() -> None:
    line = Line(0j, 10 + 0j)
    assert part(line, 0, 1) is line
    assert part(line, 0.2, 1) == Line(2 + 0j, 10 + 0j)
    assert part(line, 0.2, 0.6).end == pytest.approx(6)


def test_where_a_ray_meets_a_square() -> None:
    found = line_meets(square(), 50 + 50j, 2j)
    assert [(round(d, 9), round(p, 9)) for d, p in found] == [(-50, 50), (50, 250)]


@pytest.mark.parametrize(
    "segment",
    [
        Line(0j, 10 + 0j),
        Quadratic(0j, 5 + 0j, 10 + 0j),
        Cubic(0j, 3 + 0j, 7 + 0j, 10 + 0j),
    ],
)
def test_a_line_along_a_straight_segment_meets_it_nowhere(segment: Segment) -> None:
    assert line_meets_segment(segment, -5 + 0j, 1 + 0j) == []
    assert line_meets_segment(segment, 5 - 5j, 1j) == [pytest.approx(0.5)]


def test_a_line_that_misses_an_arc() -> None:
    arc = Arc(10 + 0j, -10 + 0j, 10, 10, 0, large=False, sweep=True)
    assert line_meets_segment(arc, 10.1j, 1 + 0j) == []
    assert len(line_meets_segment(arc, 5j, 1 + 0j)) == 2
    assert nearest_on_segment(arc, 20j)[1] == pytest.approx(10)
    assert length(arc) == pytest.approx(10 * math.pi)


@given(chains())
def test_the_area_within_a_chain_is_that_of_its_many_chords(chain: Chain) -> None:
    """The shoelace formula on chords so short that what lies beyond them is little beside the whole."""
    x, y = coordinates([*chain.sampled(0.25), chain.start]).T
    chords = float(x[:-1] @ y[1:] - x[1:] @ y[:-1]) / 2
    assert area_within(chain) == pytest.approx(chords, abs=1e-4 * chain.length**2)


def test_the_area_of_a_disc_and_of_a_triangle_with_gaps() -> None:
    halves = Arc(-30 + 0j, 30 + 0j, 30, 30, 0, False, True), Arc(30 + 0j, -30 + 0j, 30, 30, 0, False, True)
    assert area_within(Chain(halves, closed=True)) == pytest.approx(math.pi * 900, rel=1e-6)
    loose = Chain((Line(0j, 40 + 0j), Line(60 + 0j, 60 + 50j)))
    assert area_within(loose) == pytest.approx(60 * 50 / 2)
    assert area_within(loose.reversed()) == pytest.approx(-60 * 50 / 2)
