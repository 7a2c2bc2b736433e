"""Stitching lines carried in from a cut line: distances kept, corners rejoined, darts' legs crossed."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.pattern.sketches import EDGES, LEGS, POINT, polygon
from transform.geometry.chain import Chain, area_within
from transform.geometry.measure import length
from transform.geometry.nearest import nearest
from transform.geometry.segments import Arc, Cubic, Line
from transform.pattern.carried_in import TooTightError, allowances, carried_in
from transform.pattern.model import Dart
from transform.pattern.outline import Outline, Stretch

FRONT = Outline(
    tuple(
        Stretch(
            Chain(segments),
            edge=None if name == "bust dart" else name,
            dart=name if name == "bust dart" else None,
            source=k,
        )
        for k, (name, segments) in enumerate(EDGES)
    )
)
DART = Dart("bust dart", POINT, LEGS, FRONT.mouth_of("bust dart") or (0, 0), drawn_in=False, capped=True)
SQUARE = polygon(0j, 100 + 0j, 100 + 100j, 100j)


def one_shape(chain: Chain, **corners: float) -> Outline:
    return Outline((Stretch(Chain(chain.segments)),), corners)


@settings(max_examples=15, deadline=None)
@given(st.floats(1, 15), st.floats(1, 15), st.floats(1, 15))
def test_every_edge_lies_its_own_allowance_within_the_cut_line(neck: float, hem: float, rest: float) -> None:
    by_edge = {"neckline": neck, "hem": hem}
    carried = carried_in(FRONT, (DART,), allowances(FRONT, lambda edge: by_edge.get(edge or "", rest)))
    outline = carried.outline
    assert [(s.edge, s.dart) for s in outline.stretches] == [(s.edge, s.dart) for s in FRONT.stretches]
    assert all(s.source is None for s in outline.stretches)
    for old, new in zip(FRONT.stretches, outline.stretches, strict=True):
        if new.dart is None:
            wanted = by_edge.get(new.edge or "", rest)
            for k in range(1, 20):
                point = new.chain.point(new.chain.length * k / 20)
                assert abs(nearest(old.chain, point)[1] - wanted) < 0.02 or nearest(old.chain, point)[0] in (
                    pytest.approx(0, abs=20),
                    pytest.approx(old.chain.length, abs=20),
                )
    for before, after in zip(outline.stretches, (*outline.stretches[1:], outline.stretches[0]), strict=True):
        assert abs(before.chain.end - after.chain.start) < 1e-9
    (dart,) = carried.darts
    for leg, drawn in zip(dart.legs, LEGS, strict=True):
        assert abs(cmath.phase((leg - POINT) / (drawn - POINT))) < 1e-3


def test_a_mouth_has_the_allowance_of_the_edge_before_it_and_drawn_legs_have_none() -> None:
    assert allowances(FRONT, lambda edge: {"side seam": 7.0}.get(edge or "", 1.0)) == [1, 1, 1, 7, 7, 7, 1, 1]
    drawn = Outline(
        (
            Stretch(Chain(()), dart="a"),
            Stretch(Chain(()), edge="seam"),
            Stretch(Chain(()), dart="b", drawn_in=True),
        )
    )
    assert allowances(drawn, lambda _: 5.0) == [0, 5, 0]
    assert allowances(Outline((Stretch(Chain(()), dart="a"),)), lambda _: 5.0) == [0]


def test_without_any_allowance_it_is_the_very_line() -> None:
    carried = carried_in(FRONT, (DART,), [0.0] * len(FRONT.stretches))
    assert carried.outline.chain == FRONT.chain
    assert carried.darts == (DART,)


def test_corners_go_with_the_joints_at_which_they_stood() -> None:
    outline = one_shape(SQUARE, a=0.0, b=100.0, middle=150.0)
    carried = carried_in(outline, (), [10.0]).outline
    assert {name: carried.chain.point(place) for name, place in carried.corners.items()} == pytest.approx(
        {"a": 10 + 10j, "b": 90 + 10j, "middle": 90 + 50j}
    )
    assert carried.chain.length == pytest.approx(320)


def test_a_round_piece_and_one_with_a_single_corner() -> None:
    circle = Chain(
        (Arc(50 + 0j, -50 + 0j, 50, 50, 0, False, True), Arc(-50 + 0j, 50 + 0j, 50, 50, 0, False, True))
    )
    inside = carried_in(one_shape(circle), (), [10.0]).outline
    assert inside.chain.length == pytest.approx(2 * math.pi * 40)
    assert all(isinstance(s, Arc) for s in inside.chain.segments)
    drop = Chain((Cubic(0j, 100 + 20j, 100 + 150j, 0 + 150j), Cubic(0 + 150j, -100 + 150j, -100 + 20j, 0j)))
    inside = carried_in(one_shape(drop), (), [10.0]).outline
    assert abs(inside.chain.start - inside.chain.end) < 1e-9
    assert min(nearest(drop, p)[1] for p in inside.chain.samples(2)) == pytest.approx(10, abs=0.02)


def test_where_the_allowance_changes_in_a_smooth_line_there_is_a_square_step() -> None:
    sides = SQUARE.segments
    half = sides[0].split(0.5)
    outline = Outline(
        (
            Stretch(Chain((half[0],)), edge="a"),
            Stretch(Chain((half[1],)), edge="b"),
            Stretch(Chain(sides[1:]), edge="c"),
        )
    )
    carried = carried_in(outline, (), [5.0, 15.0, 5.0]).outline
    assert carried.stretches[1].chain.segments[0] == Line(50 + 5j, 50 + 15j)
    assert area_within(carried.chain) == pytest.approx(90 * 90 - 45 * 10)


@pytest.mark.parametrize(("top", "bottom"), [(20, 80), (-50, 150), (-6, 93), (60, 130)])
def test_what_lies_on_the_fold_is_not_carried_in_however_long_the_fold_line(top: int, bottom: int) -> None:
    fold_line = Chain((Line(0.5 + top * 1j, 0.5 + bottom * 1j),))
    carried = carried_in(one_shape(SQUARE), (), [10.0], fold_line).outline
    assert area_within(carried.chain) == pytest.approx(90 * 80)


def test_a_fold_line_elsewhere_leaves_all_edges_their_allowance() -> None:
    beyond = Chain((Line(0.5 + 70j, 0.5 + 150j),))
    assert area_within(carried_in(one_shape(SQUARE), (), [10.0], beyond).outline.chain) == pytest.approx(
        80 * 80
    )
    across = Chain((Line(-5 + 50j, 105 + 50j),))
    assert area_within(carried_in(one_shape(SQUARE), (), [10.0], across).outline.chain) == pytest.approx(
        80 * 80
    )


@pytest.mark.parametrize(
    ("points", "allowance"),
    [
        ((0j, 100 + 0j, 105 + 5j, 105 + 100j, 100j), 30.0),
        ((0j, 100 + 0j, 100 + 100j), 120.0),
    ],
)
def test_an_edge_that_the_allowance_swallows_is_named(points: tuple[complex, ...], allowance: float) -> None:
    sides = polygon(*points).segments
    outline = Outline(tuple(Stretch(Chain((s,)), edge=f"side {k}") for k, s in enumerate(sides)))
    with pytest.raises(TooTightError, match=r"side \d is too short or bends too tightly") as error:
        carried_in(outline, (), [allowance] * len(sides))
    assert error.value.allowance == allowance
    assert error.value.edge in [f"side {k}" for k, s in enumerate(sides) if length(s) < 2 * allowance]


def test_a_rounding_that_is_an_edge_of_its_own_and_too_tight_is_named() -> None:
    rounding = Arc(90 + 0j, 100 + 10j, 10, 10, 0, False, True)
    outline = Outline(
        (
            Stretch(Chain((Line(0j, 90 + 0j),)), edge="top"),
            Stretch(Chain((rounding,)), edge="curve"),
            Stretch(Chain((Line(100 + 10j, 100 + 100j), Line(100 + 100j, 0j)))),
        )
    )
    with pytest.raises(TooTightError, match="curve"):
        carried_in(outline, (), [15.0] * 3)
    with pytest.raises(TooTightError, match="a part of the outline without a name"):
        carried_in(one_shape(polygon(0j, 10 + 0j, 10 + 10j, 10j)), (), [40.0])


def test_the_legs_of_a_dart_drawn_into_the_cut_line_are_trimmed_to_the_carried_edges() -> None:
    legs = (Line(LEGS[0], POINT), Line(POINT, LEGS[1]))
    stretches = tuple(
        Stretch(Chain(legs), dart=s.dart, drawn_in=True) if s.dart is not None else s for s in FRONT.stretches
    )
    outline = Outline(stretches)
    mouth = outline.mouth_of("bust dart")
    assert mouth is not None
    dart = Dart("bust dart", POINT, LEGS, mouth, drawn_in=True, capped=False)
    carried = carried_in(outline, (dart,), allowances(outline, lambda _: 10.0))
    (found,) = carried.darts
    for leg, drawn in zip(found.legs, LEGS, strict=True):
        assert abs(cmath.phase((leg - POINT) / (drawn - POINT))) < 1e-9
        assert 9 < abs(leg - drawn) < 12
    assert carried.outline.mouth_of("bust dart") == pytest.approx(found.mouth)


def test_a_leg_that_meets_nothing_ends_at_the_nearest_place() -> None:
    outline = one_shape(SQUARE)
    dart = Dart("tuck", 300 + 50j, (400 + 50j, 400 + 60j), (140.0, 160.0), drawn_in=False, capped=False)
    (found,) = carried_in(outline, (dart,), [10.0]).darts
    assert found.legs == pytest.approx((90 + 50j, 90 + 60j))
