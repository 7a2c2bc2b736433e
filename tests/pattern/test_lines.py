"""Loops, corners, notches drawn into the line, edges between corners: on plain chains."""

from __future__ import annotations

import cmath
import math
import time
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.model import EdgePath
from tests.pattern.sketches import CORNERS, RULED, outline, polygon
from transform.geometry.chain import Chain, area_within, chain_of
from transform.geometry.motion import Motion
from transform.geometry.segments import Arc, Cubic, Line
from transform.pattern.corners import corners_of, place_of_mark, turns
from transform.pattern.detours import with_detours, without_detours
from transform.pattern.dividing import begun_at, divided, renamed, snapped
from transform.pattern.edges import outline_of, with_labelled_darts, with_ruled_edges
from transform.pattern.loops import DrawnLine, Link, gaps_of, largest_loop
from transform.pattern.outline import Outline, Stretch

SQUARE = polygon(0j, 100 + 0j, 100 + 100j, 100j)


def line(*points: complex) -> Chain:
    return Chain(tuple(Line(a, b) for a, b in pairwise(points)))


def drawn(*chains: Chain) -> list[DrawnLine]:
    return [DrawnLine(k, 0, chain, f"edge {k}") for k, chain in enumerate(chains)]


# Loops -----------------------------------------------------------------------------------------


def test_open_lines_meet_in_any_direction_and_order() -> None:
    lines = drawn(line(0j, 100 + 0j), line(100j, 100 + 100j), line(100j, 0j), line(100 + 100j, 100 + 0j))
    loop = largest_loop(lines)
    assert loop == (Link(0, False), Link(3, True), Link(1, True), Link(2, False))
    found, links = outline_of(lines, loop)
    assert area_within(found.chain) == pytest.approx(10000)
    assert [s.flipped for s in found.stretches] == [False, True, True, False]
    assert [link.line for link in links] == [0, 3, 1, 2]


def test_ends_meet_within_a_fifth_of_a_millimetre_and_the_gap_stays() -> None:
    lines = drawn(line(0j, 99.85 + 0j), line(100 + 0j, 100 + 100j, 100j, 0j))
    loop = largest_loop(lines)
    assert loop is not None
    found, _ = outline_of(lines, loop)
    assert found.chain.segments[0].end == 99.85
    assert largest_loop(drawn(line(0j, 99.7 + 0j), line(100 + 0j, 100 + 100j, 100j, 0j))) is None


def test_the_largest_of_several_loops_and_closed_shapes_is_the_outline() -> None:
    small = SQUARE.moved(Motion(shift=10 + 10j))
    inner = polygon(20 + 20j, 30 + 20j, 30 + 30j)
    lines = drawn(inner, line(0j, 100 + 0j, 100 + 100j), line(100 + 100j, 100j, 0j), line(100 + 0j, 50 + 50j))
    assert largest_loop(lines) == (Link(1, False), Link(2, False))
    assert largest_loop(drawn(inner, small)) == (Link(1, False),)
    assert largest_loop(drawn(line(0j, 50 + 0j, 50 + 50j, 0.1j))) == (Link(0, False),)


def test_an_inner_line_from_corner_to_corner_does_not_shorten_the_outline() -> None:
    across = line(0j, 100 + 100j)
    lines = drawn(
        across, line(0j, 100 + 0j), line(100 + 0j, 100 + 100j), line(100 + 100j, 100j), line(100j, 0j)
    )
    loop = largest_loop(lines)
    assert loop is not None
    assert {link.line for link in loop} == {1, 2, 3, 4}


def test_an_outline_of_very_many_shapes_with_branches_is_joined_in_time() -> None:
    ring = [400 * cmath.exp(2j * math.pi * k / 3000) for k in range(3001)]
    sides = [line(a, b) for a, b in pairwise(ring)]
    hairs = [line(ring[k], ring[k] * 0.9) for k in range(0, 3000, 10)]
    across = [line(ring[0], ring[1500]), line(ring[700], ring[2200])]
    begun = time.perf_counter()
    loop = largest_loop(drawn(*sides, *hairs, *across))
    assert loop is not None
    assert len(loop) == 3000
    assert time.perf_counter() - begun < 5


def test_a_line_that_ends_where_it_began_hangs_on_a_branching() -> None:
    lines = drawn(
        line(0j, 100 + 0j),
        line(100 + 0j, 100 + 100j),
        line(100 + 100j, 0j),
        line(100 + 0j, 120 + 0j, 120 + 20j, 100 + 0j),
    )
    assert largest_loop(lines) == (Link(0, False), Link(1, False), Link(2, False))


def test_gaps_are_paired_the_narrowest_first() -> None:
    lines = drawn(line(0j, 100 + 0j), line(103 + 0j, 103 + 100j), line(103 + 101j, 0 + 0j))
    (first, second) = gaps_of(lines)
    assert (first.width, second.width) == (1.0, 3.0)
    assert first.points == (103 + 100j, 103 + 101j)
    assert gaps_of(drawn(SQUARE)) == []


@given(st.permutations(range(8)), st.lists(st.booleans(), min_size=8, max_size=8))
def test_order_and_direction_of_shapes_change_nothing(order: list[int], flips: list[bool]) -> None:
    ring = [100 * cmath.exp(1j * math.pi / 4 * k) for k in range(9)]
    sides = [line(a, b) for a, b in pairwise(ring)]
    shapes = [sides[k].reversed() if flip else sides[k] for k, flip in zip(order, flips, strict=True)]
    loop = largest_loop(drawn(*shapes))
    assert loop is not None
    found, _ = outline_of(drawn(*shapes), loop)
    assert area_within(found.chain) == pytest.approx(area_within(chain_of(sides, closed=True)))


# Corners ---------------------------------------------------------------------------------------


def test_a_corner_is_a_turn_of_more_than_ten_degrees() -> None:
    for degrees, count in ((9.9, 0), (10.1, 1), (-10.1, 1)):
        turn = cmath.exp(1j * math.radians(degrees))
        chain = line(0j, 100 + 0j, 100 + 100 * turn)
        assert len(corners_of(chain)) == count
    assert corners_of(SQUARE) == pytest.approx([0, 100, 200, 300])
    assert turns(
        Chain(
            (Arc(10 + 0j, -10 + 0j, 10, 10, 0, False, True), Arc(-10 + 0j, 10 + 0j, 10, 10, 0, False, True)),
            closed=True,
        )
    )[0][1] == pytest.approx(0)


def test_segments_without_length_are_no_corners() -> None:
    chain = line(0j, 50 + 0j, 50 + 0.001j, 100 + 0.001j)
    assert corners_of(chain) == []
    assert corners_of(Chain(())) == []


@pytest.mark.parametrize(
    ("mark", "place", "distance"),
    [
        (101 + 1j, 100, 1),
        (97.5 + 0j, 100, 0),
        (96 + 1j, 96, 1),
        (50 - 2.9j, 50, 2.9),
        (50 - 9j, 50, 9),
    ],
)
def test_a_mark_means_the_nearest_corner_or_else_the_nearest_place(
    mark: complex, place: float, distance: float
) -> None:
    assert place_of_mark(SQUARE, mark, corners_of(SQUARE)) == pytest.approx((place, distance))


def test_a_round_outline_has_no_corners_for_a_mark() -> None:
    assert place_of_mark(SQUARE, 30 - 1j, []) == pytest.approx((30, 1))


# Notches drawn into the line --------------------------------------------------------------------

NOTCHES = {
    "vee": [40 + 0j, 42 + 3j, 44 + 0j],
    "slit": [40 + 0j, 40 + 4j, 40 + 0j],
    "castle": [40 + 0j, 40 - 3j, 43 - 3j, 43 + 0j],
    "double vee": [40 + 0j, 41 + 2j, 42 + 0j, 43 + 2j, 44 + 0j],
}


@pytest.mark.parametrize("shape", NOTCHES)
@pytest.mark.parametrize("backwards", [False, True])
@pytest.mark.parametrize("begun", range(6))
def test_a_notch_is_carried_but_not_measured(shape: str, backwards: bool, begun: int) -> None:
    notch = NOTCHES[shape]
    chain = polygon(0j, *notch, 100 + 0j, 100 + 100j, 100j)
    chain = Chain(chain.segments[begun:] + chain.segments[:begun], closed=True)
    if backwards:
        chain = chain.reversed()
    bare, detours = without_detours(chain)
    assert bare.length == pytest.approx(400)
    (detour,) = detours
    assert {detour.chain.start, detour.chain.end} == {notch[0], notch[-1]}
    assert bare.point(detour.place) == pytest.approx(detour.chain.start)
    again = with_detours(Chain(bare.segments), detours)
    # Begun within its notch, the line begins where the notch leaves it.
    assert sorted(map(repr, again.segments)) == sorted(map(repr, chain.segments))


def test_a_round_notch_is_one_arc() -> None:
    chain = chain_of(
        [line(0j, 40 + 0j), [Arc(40 + 0j, 44 + 0j, 2, 2, 0, False, False)], line(44 + 0j, 100 + 0j)]
    )
    bare, (detour,) = without_detours(chain)
    assert bare.length == pytest.approx(100)
    assert detour.gap == pytest.approx(4)


@pytest.mark.parametrize(
    "points",
    [
        [0j, 40 + 0j, 43 + 8j, 46 + 0j, 100 + 0j],
        [0j, 40 + 0j, 40 + 5j, 100 + 5j],
        [0j, 40 + 0j, 45 + 5j, 45 + 50j],
        [0j, 40 + 0j, 42 + 0.4j, 44 + 0j, 100 + 0j],
        [0j, 50 + 0j, 50 + 50j],
        [0j, 3 + 3j, 6 + 0j],
    ],
    ids=["too long", "a step", "a bevel", "too shallow", "a corner", "nothing around it"],
)
def test_what_is_no_notch(points: list[complex]) -> None:
    chain = line(*points)
    assert without_detours(chain) == (chain, ())


def test_a_notch_is_put_back_into_a_line_drawn_anew() -> None:
    _, (detour,) = without_detours(line(0j, *NOTCHES["vee"], 100 + 0j))
    fair = Chain((Cubic(0j, 30 + 2j, 70 + 2j, 100 + 0j),))
    again = with_detours(fair, [detour])
    assert all(abs(a.end - b.start) < 1e-9 for a, b in pairwise(again.segments))
    assert len(again.segments) == 4
    assert again.segments[1].start == fair.point(detour.place)


# Edges between corners --------------------------------------------------------------------------


def square(**corners: float) -> Outline:
    return Outline((Stretch(Chain(SQUARE.segments), source=1),), corners)


def never(_: str) -> bool:
    return False


def refuse(kind: str, text: str) -> Exception:
    return ValueError(f"{kind}: {text}")


def ruled(outline: Outline, **edges: list[list[str]]) -> Outline:
    paths = [EdgePath(name, tuple(map(tuple, rows))) for name, rows in edges.items()]
    return with_ruled_edges(outline, paths, never, refuse)


def test_an_edge_runs_the_way_that_passes_no_corner_in_use() -> None:
    found = ruled(
        square(a=0, b=100, c=200, d=300, unused=150), top=[["b", "a"]], right=[["b", "c"]], left=[["a", "d"]]
    )
    lengths = {name: found.edge(name).length for name in found.edge_names}
    assert lengths == pytest.approx({"top": 100, "right": 100, "left": 100})
    assert [s.edge for s in found.stretches] == ["top", "right", None, "left"]


def test_three_corners_say_which_way() -> None:
    outline = square(a=0, b=150, c=300)
    assert ruled(outline, long=[["a", "b", "c"]]).edge("long").length == pytest.approx(300)
    assert ruled(outline, long=[["c", "b", "a"]]).edge("long").length == pytest.approx(300)
    short = ruled(square(a=0, b=350, c=300), short=[["a", "b", "c"]])
    assert short.edge("short").length == pytest.approx(100)


def test_an_edge_in_several_stretches() -> None:
    found = ruled(square(a=0, b=40, c=60, d=100), top=[["a", "b"], ["c", "d"]])
    assert found.edge("top").length == pytest.approx(80)
    assert [round(s.chain.length) for s in found.stretches] == [40, 20, 40, 300]


@pytest.mark.parametrize(
    ("edges", "said"),
    [
        ({"e": [["a", "b"]]}, "which way round: edge e: .* could run either way"),
        (
            {"e": [["a", "c"]], "f": [["b", "d"]]},
            r"passes other corners on both ways round the outline \(b; d\)",
        ),
        ({"e": [["a", "c", "b", "d"]]}, "are not passed in this order"),
        (
            {"e": [["a", "bb"]]},
            "unknown corner: edge e: there is no corner mark 'bb'; there is: a, b, c, d; did you",
        ),
        ({"e": [["a", "b", "c"]], "f": [["b", "c", "d"]]}, "edges overlap: edges e and f"),
        ({"e": [["a", "b", "c"]], "f": [["c", "b", "a"]]}, "edges overlap"),
    ],
)
def test_what_is_said_where_an_edge_cannot_be_laid(edges: dict[str, list[list[str]]], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        ruled(square(a=0, b=100, c=200, d=300), **edges)


def test_no_corner_marks_at_all_is_said_with_what_to_draw() -> None:
    with pytest.raises(ValueError, match="there is: none: draw a layer `corner marks`"):
        ruled(square(), e=[["a", "b"]])
    assert ruled(square(a=0.0)) == square(a=0.0)


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 1), st.booleans(), st.integers(0, 30))
def test_start_point_and_direction_do_not_matter(start: float, backwards: bool, cuts: int) -> None:
    chain = outline()
    place = start * chain.length
    begun = Chain(chain.cut(place, place).segments, closed=True)
    for k in range(cuts):
        at = begun.length * (k + 0.5) / cuts
        begun = Chain((*begun.cut(0, at).segments, *begun.cut(at, begun.length).segments), closed=True)
    if backwards:
        begun = begun.reversed()
    bare, _ = outline_of([DrawnLine(1, 0, begun)], (Link(0, False),))
    corners = corners_of(bare.chain)
    places = {name: place_of_mark(bare.chain, mark, corners)[0] for name, mark in CORNERS.items()}
    found = with_ruled_edges(Outline(bare.stretches, places), RULED["front"], never, refuse)
    whole, _ = outline_of([DrawnLine(1, 0, chain)], (Link(0, False),))
    corners = corners_of(whole.chain)
    places = {name: place_of_mark(whole.chain, mark, corners)[0] for name, mark in CORNERS.items()}
    wanted = with_ruled_edges(Outline(whole.stretches, places), RULED["front"], never, refuse)
    for name in wanted.edge_names:
        assert found.edge(name).length == pytest.approx(wanted.edge(name).length)
    for name, corner in wanted.corners.items():
        assert found.chain.point(found.corners[name]) == pytest.approx(wanted.chain.point(corner), abs=1e-6)


# Dividing --------------------------------------------------------------------------------------


def test_dividing_and_renaming() -> None:
    outline = square()
    assert divided(outline, [0.0, 400.0]) == outline
    assert [s.chain.length for s in divided(outline, [50.0, 450.0, 120.0]).stretches] == pytest.approx(
        [50, 70, 280]
    )
    across_start = renamed(outline, 380.0, 20.0, dart="tuck")
    assert [(s.dart, round(s.chain.length)) for s in across_start.stretches] == [
        ("tuck", 20),
        (None, 360),
        ("tuck", 20),
    ]
    assert [s.edge for s in renamed(outline, 0.0, 0.0, edge="all").stretches] == ["all"]


def test_beginning_elsewhere_moves_every_place() -> None:
    outline = Outline(square().stretches, {"a": 20.0})
    begun = begun_at(outline, 50.0)
    assert begun.chain.start == 50
    assert begun.corners == {"a": 370.0}
    assert begun_at(outline, 0.0) is outline
    two = divided(outline, [50.0])
    assert begun_at(two, 50.0) is two


def test_snapping() -> None:
    assert snapped(SQUARE, 100.4) == 100
    assert snapped(SQUARE, 399.7) == 0
    assert snapped(SQUARE, 100.6) == 100.6


def test_a_labelled_edge_in_two_places_is_no_dart_though_it_is_named_so() -> None:
    stretches = tuple(
        Stretch(Chain((segment,)), edge="dart" if k % 2 else "seam")
        for k, segment in enumerate(SQUARE.segments)
    )
    outline = Outline(stretches)
    assert with_labelled_darts(outline, lambda name: name == "dart") == outline
