"""Corners of the cut line stay of the kind they were, at figures that are worked out by hand."""

import pytest

from tests.alter.cut_lines import cut_outline
from tests.alter.new_lines import all_kept, drawn, kept, rectangle, with_new
from transform.alter.allowance import redraw_cut
from transform.alter.cut_corners import Kind, old_corner
from transform.alter.cut_sides import allowances_of
from transform.alter.runs import NewStretch
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Arc, Cubic, Line
from transform.pattern.outline import Outline, Stretch

WIDTHS = {"top": 10.0, "right": 15.0, "bottom": 30.0, "left": 20.0}
LOWERED = Line(0j, 100 + 20j)
"""The top, drawn lower on the right: a slope of 0.2, so that the right edge is 20 mm shorter."""


def lowered(outline: Outline) -> tuple[NewStretch, ...]:
    right = drawn(outline, 1, Line(100 + 20j, 100 + 200j))
    return with_new(all_kept(outline), (0, drawn(outline, 0, LOWERED)), (1, right))


def vertices(outline: Outline) -> list[complex]:
    return [s.start for s in outline.chain.segments]


def has(outline: Outline, *points: complex) -> bool:
    return all(min(abs(p - v) for v in vertices(outline)) < 1e-6 for p in points)


def test_extended() -> None:
    outline = rectangle()
    cut = cut_outline(outline, WIDTHS)
    assert has(cut, 115 - 10j, -20 - 10j)
    new = redraw_cut(outline, cut, lowered(outline), ())
    # The top's cut line: y = 0.2 x - 10·√1.04.
    rise = 10 * 1.04**0.5
    assert has(new, complex(115, 23 - rise), complex(-20, -4 - rise), 115 + 230j, -20 + 230j)
    assert len(new.chain.segments) == 4


def test_square_to_the_edge_that_is_drawn_anew() -> None:
    outline = rectangle()
    # At a right angle a square corner is an extended one.
    cut = cut_outline(outline, WIDTHS, {("top", "right"): "square"})
    assert old_corner(allowances_of(outline, cut), 100.0).kind is Kind.EXTENDED
    slanted = Outline(
        (
            Stretch(Chain((Line(0j, 100 - 40j),)), "top", source=11),
            Stretch(Chain((Line(100 - 40j, 100 + 200j),)), "right", source=12),
            *outline.stretches[2:],
        )
    )
    cut = cut_outline(slanted, WIDTHS, {("top", "right"): "square"})
    corner = old_corner(allowances_of(slanted, cut), slanted.begins[1])
    assert (corner.kind, corner.by_first, corner.shift) == (Kind.SQUARE, True, None)
    new = redraw_cut(
        slanted, cut, with_new(all_kept(slanted), (0, drawn(slanted, 0, Line(0j, 100 - 40j)))), ()
    )
    assert has(new, *vertices(cut))
    new = redraw_cut(slanted, cut, lowered(slanted), ())
    # The top, drawn on, meets the right cut line at (115, 23); its own cut line lies 10 mm square to it.
    unit = (1 + 0.2j) / abs(1 + 0.2j)
    assert has(new, 115 + 23j, 115 + 23j - 10j * unit)


def test_a_corner_cut_out_to_the_stitching_line_is_carried_along() -> None:
    outline = rectangle()
    lines = [
        Line(-20 - 10j, 100 - 10j),
        Line(100 - 10j, 100 + 0j),
        Line(100 + 0j, 115 + 0j),
        Line(115 + 0j, 115 + 230j),
        Line(115 + 230j, -20 + 230j),
        Line(-20 + 230j, -20 - 10j),
    ]
    cut = Outline((Stretch(Chain(tuple(lines)), source=31),))
    corner = old_corner(allowances_of(outline, cut), 100.0)
    assert corner.kind is Kind.OTHER
    new = redraw_cut(outline, cut, lowered(outline), ())
    assert len(new.chain.segments) == 6
    assert has(new, 100 + 20j)


def test_square_to_the_second() -> None:
    outline = Outline(
        (
            Stretch(Chain((Line(0j, 100 - 40j),)), "top", source=11),
            Stretch(Chain((Line(100 - 40j, 100 + 200j),)), "right", source=12),
            *rectangle().stretches[2:],
        )
    )
    cut = cut_outline(outline, WIDTHS, {("top", "right"): "square to second"})
    corner = old_corner(allowances_of(outline, cut), outline.begins[1])
    assert (corner.kind, corner.by_first, corner.shift) == (Kind.SQUARE, False, None)
    new = redraw_cut(outline, cut, lowered(outline), ())
    rise = 10 * 1.04**0.5
    # The right stitching line, drawn on, meets the top's cut line at x = 100; from there square to 115.
    assert has(new, complex(100, 20 - rise), complex(115, 20 - rise))


def test_square_a_little_past_the_end() -> None:
    outline = Outline(
        (
            Stretch(Chain((Line(0j, 100 - 40j),)), "top", source=11),
            Stretch(Chain((Line(100 - 40j, 100 + 200j),)), "right", source=12),
            *rectangle().stretches[2:],
        )
    )
    by_hand = cut_outline(outline, WIDTHS, {("top", "right"): "square to second"}).chain.segments
    # Square to the right edge 12 mm past its end, not where it meets the top's cut line.
    unit = (100 - 40j) / abs(100 - 40j)
    top = -10j * unit
    x = 100.0
    y = (top + unit * ((100 - top.real) / unit.real)).imag
    lifted = complex(x, -52.0)
    place = (lifted.imag - y) / (-40 / 100)
    meets = complex(x + place, lifted.imag)
    lines = [
        Line(by_hand[0].start, meets),
        Line(meets, 115 - 52j),
        Line(115 - 52j, 115 + 230j),
        *by_hand[-2:],
    ]
    cut = Outline((Stretch(Chain(tuple(lines)), source=31),))
    corner = old_corner(allowances_of(outline, cut), outline.begins[1])
    assert corner.kind is Kind.SQUARE
    assert not corner.by_first
    assert corner.shift == pytest.approx(-12)
    new = redraw_cut(outline, cut, lowered(outline), ())
    assert has(new, 115 + 8j)


@pytest.mark.parametrize("way", ["mirrored", "mirrored back"])
def test_mirrored_for_folding(way: str) -> None:
    slanted = Outline(
        (
            Stretch(Chain((Line(0j, 100 + 0j),)), "top", source=11),
            Stretch(Chain((Line(100 + 0j, 120 + 200j),)), "right", source=12),
            Stretch(Chain((Line(120 + 200j, -30 + 200j),)), "bottom", source=13),
            Stretch(Chain((Line(-30 + 200j, 0j),)), "left", source=14),
        )
    )
    pair = ("right", "bottom") if way == "mirrored" else ("bottom", "left")
    cut = cut_outline(slanted, WIDTHS, {pair: way})
    index = 2 if way == "mirrored" else 3
    corner = old_corner(allowances_of(slanted, cut), slanted.begins[index])
    assert (corner.kind, corner.by_first) == (Kind.MIRRORED, way == "mirrored")
    raised = Line(116 + 160j, -24 + 160j)
    new = redraw_cut(
        slanted,
        cut,
        with_new(
            all_kept(slanted),
            (1, drawn(slanted, 1, Line(100 + 0j, 116 + 160j))),
            (2, drawn(slanted, 2, raised)),
            (3, drawn(slanted, 3, Line(-24 + 160j, 0j))),
        ),
        (),
    )
    # Folded up along the new hem, the end of the side's cut line comes to lie on itself.
    hem = Motion.reflection(raised.start, raised.end - raised.start)
    below = [v for v in vertices(new) if v.imag > 161 and (v.real > 60) == (way == "mirrored")]
    (lowest,) = below
    assert lowest.imag == pytest.approx(190)
    side = nearest(new.chain, hem(lowest))
    assert side[1] < 1e-6
    assert min(abs(v.imag - 160) for v in vertices(new)) < 1e-6


def test_round() -> None:
    outline = rectangle()
    widths = {**WIDTHS, "right": 10.0}
    cut = cut_outline(outline, widths, {("top", "right"): "round"})
    assert old_corner(allowances_of(outline, cut), 100.0).kind is Kind.ROUND
    new = redraw_cut(outline, cut, lowered(outline), ())
    (arc,) = [s for s in new.chain.segments if isinstance(s, Arc)]
    assert arc.ellipse().centre == pytest.approx(100 + 20j)
    assert arc.rx == pytest.approx(10)
    unit = (1 + 0.2j) / abs(1 + 0.2j)
    assert arc.start == pytest.approx(100 + 20j - 10j * unit)
    assert arc.end == pytest.approx(110 + 20j)


def test_round_where_the_corner_turns_hollow_is_trimmed() -> None:
    outline = Outline(
        (
            Stretch(Chain((Line(0j, 50 + 4j),)), "top", source=11),
            Stretch(Chain((Line(50 + 4j, 100 + 20j),)), "slope", source=12),
            *rectangle().stretches[1:],
        )
    )
    outline = Outline(
        (
            *outline.stretches[:2],
            Stretch(Chain((Line(100 + 20j, 100 + 200j),)), "right"),
            *outline.stretches[3:],
        )
    )
    widths = {**WIDTHS, "slope": 10.0}
    cut = cut_outline(outline, widths, {("top", "slope"): "round"})
    rows = with_new(
        all_kept(outline),
        (0, drawn(outline, 0, Line(0j, 50 + 15j))),
        (1, drawn(outline, 1, Line(50 + 15j, 100 + 20j))),
    )
    new = redraw_cut(outline, cut, rows, ())
    assert not [s for s in new.chain.segments if isinstance(s, Arc)]
    for point in (10 + 3j, 90 + 19j):
        assert nearest(new.chain, point)[1] == pytest.approx(10, abs=1e-6)


def test_a_bevelled_corner_is_carried_along() -> None:
    outline = rectangle()
    sharp = cut_outline(outline, WIDTHS).chain.segments
    lines = [
        Line(sharp[0].start, 105 - 10j),
        Line(105 - 10j, 115 + 2j),
        Line(115 + 2j, sharp[1].end),
        *sharp[2:],
    ]
    cut = Outline((Stretch(Chain(tuple(lines)), source=31),))
    assert old_corner(allowances_of(outline, cut), 100.0).kind is Kind.OTHER
    new = redraw_cut(outline, cut, lowered(outline), ())
    assert len(new.chain.segments) == 5
    bevel = new.chain.segments[1]
    assert nearest(new.chain, 100 + 20j)[1] > 9.0
    assert abs(bevel.end - bevel.start) == pytest.approx(abs(10 + 12j), rel=0.15)


def test_a_step_between_two_allowances_on_one_smooth_line() -> None:
    outline = Outline(
        (
            Stretch(Chain((Line(0j, 40 + 0j),)), "top", source=11),
            Stretch(Chain((Line(40 + 0j, 100 + 0j),)), "tab", source=12),
            *rectangle().stretches[1:],
        )
    )
    cut = cut_outline(outline, {**WIDTHS, "tab": 25.0}, {("top", "tab"): "step"})
    corner = old_corner(allowances_of(outline, cut), 40.0)
    assert (corner.kind, corner.shift) == (Kind.SQUARE, 0.0)
    hollow = Cubic(0j, 15 + 6j, 30 + 6j, 40 + 5j)
    rows = with_new(
        all_kept(outline), (0, drawn(outline, 0, hollow)), (1, drawn(outline, 1, Line(40 + 5j, 100 + 0j)))
    )
    new = redraw_cut(outline, cut, rows, ())
    for point, width in ((hollow.point(0.4), 10), (80 + 5j / 3, 25)):
        assert nearest(new.chain, point)[1] == pytest.approx(width, abs=0.02)
    steps = [s for s in new.chain.segments if isinstance(s, Line) and 13 < abs(s.end - s.start) < 17]
    assert len(steps) == 1


def test_a_corner_whose_sides_move_apart_is_rebuilt() -> None:
    outline = rectangle()
    cut = cut_outline(outline, WIDTHS)
    turn = Motion.rotation(100 + 0j, 0.1)
    rows = with_new(
        all_kept(outline),
        (1, kept(outline, 1, turn)),
        (2, drawn(outline, 2, Line(turn(100 + 200j), 200j))),
    )
    new = redraw_cut(outline, cut, rows, ())
    assert new.chain.segments[0].start == cut.chain.segments[0].start
    for point in (50 + 0j, turn(100 + 100j), 100j):
        assert min(abs(nearest(new.chain, point)[1] - w) for w in (10, 15, 20)) < 1e-6


def test_corners_without_a_place_on_the_old_line_are_extended() -> None:
    outline = rectangle()
    cut = cut_outline(outline, WIDTHS)
    rows = (
        drawn(outline, 0, Line(0j, 60 + 0j), Line(60 + 0j, 100 + 60j)),
        drawn(outline, 1, Line(100 + 60j, 100 + 200j)),
        *all_kept(outline)[2:],
    )
    new = redraw_cut(outline, cut, rows, ())
    slope = (40 + 60j) / abs(40 + 60j)
    for point in (80 + 30j, 30 + 0j):
        assert nearest(new.chain, point)[1] == pytest.approx(10, abs=1e-6)
    # The new corner within the edge lies on the cut lines of both its sides.
    ends = Chain((Line(60 + 0j - 10j * slope - slope * 100, 60 + 0j - 10j * slope + slope * 100),))
    assert min(nearest(ends, v)[1] + abs(v.imag + 10) for v in vertices(new)) < 1e-6
    gone = (rows[0], *all_kept(outline)[2:])
    gone = with_new(gone, (0, drawn(outline, 0, Line(0j, 100 + 200j))))
    triangle = redraw_cut(outline, cut, gone, ())
    assert nearest(triangle.chain, 50 + 100j)[1] == pytest.approx(10, abs=1e-6)
