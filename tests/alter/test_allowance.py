"""The cut line is kept where its stitching line was kept, and redrawn at the old allowance elsewhere."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from rules.lengths import Fixed
from tests.alter.cut_lines import WIDTHS, cut_outline
from tests.alter.new_lines import (
    all_kept,
    drawn,
    front_with_seam,
    kept,
    opened,
    part_of,
    rectangle,
    with_new,
)
from tests.builders import altered, front, front_outline, removal
from transform.alter.allowance import redraw_cut
from transform.alter.cut_sides import AllowanceError
from transform.alter.runs import Kept, NewStretch, Run
from transform.checks.allowance import distance_errors
from transform.geometry.chain import Chain
from transform.geometry.motion import STAY, Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Arc, Cubic, Line
from transform.pattern.outline import Detour, Outline, Stretch

CORNERS = {
    ("neckline", "shoulder"): "square to second",
    ("shoulder", "armhole"): "square",
    ("side seam", "hem"): "mirrored",
}
WIDE = {"top": 10.0, "right": 15.0, "bottom": 30.0, "left": 20.0}


def polygon(outline: Outline) -> Polygon:
    return Polygon([(p.real, p.imag) for p in outline.chain.samples(0.2)])


def is_closed(outline: Outline) -> bool:
    rows = outline.chain.segments
    return all(abs(rows[k - 1].end - rows[k].start) < 1e-9 for k in range(len(rows)))


def test_nothing_moved_gives_the_very_same_line() -> None:
    outline = front_outline()
    cut = cut_outline(outline)
    assert redraw_cut(outline, cut, all_kept(outline), ()) is cut


def test_a_piece_that_moves_as_a_whole_takes_its_cut_line_along() -> None:
    outline = front_outline()
    cut = cut_outline(outline, labelled=True)
    notch = Chain((Line(cut.chain.point(50), 3 + 3j), Line(3 + 3j, cut.chain.point(53))))
    cut = replace(cut, detours=(Detour(50.0, 3.0, notch),), corners={"neck point": 20.0})
    turn = Motion.rotation(30 + 20j, 0.4)
    new = redraw_cut(outline, cut, all_kept(outline, turn), ())
    assert [s.chain for s in new.stretches] == [s.chain.moved(turn) for s in cut.stretches]
    assert [s.source for s in new.stretches] == [s.source for s in cut.stretches]
    assert new.detours[0].chain == notch.moved(turn)
    assert new.corners == cut.corners


def test_a_neckline_drawn_anew_leaves_the_rest_untouched() -> None:
    outline = front_outline()
    cut = cut_outline(outline, WIDTHS, CORNERS)
    neck = Cubic(130j, 45 + 130j, 72 + 70j, 70 + 0j)
    front = drawn(outline, 5, Line(610j, 130j))
    new = redraw_cut(outline, cut, with_new(all_kept(outline), (0, drawn(outline, 0, neck)), (5, front)), ())
    assert is_closed(new)
    old = {id(segment) for segment in cut.chain.segments}
    touched = [s for s in new.chain.segments if id(s) not in old]
    # The neckline, the line that squares it off, the shoulder that this meets, the centre front.
    assert len(touched) <= len([s for s in touched if s.start.imag < 131 or s.end.imag < 131])
    assert len(touched) <= 6
    for k in range(1, 20):
        point = neck.point(k / 20)
        assert nearest(new.chain, point)[1] == pytest.approx(6, abs=0.02)
    assert abs(new.chain.segments[-1].end - 124j) < 1e-9


def test_a_line_drawn_in_the_middle_of_an_edge_joins_what_was_kept_smoothly() -> None:
    outline = front_outline()
    cut = cut_outline(outline)
    seam = outline.stretches[2].chain
    a, b = 80.0, 150.0
    start, end = seam.point(a), seam.point(b)
    bent = Cubic(start, start + seam.tangent(a) * 30, end - seam.tangent(b) * 30, end)
    armhole = replace(
        kept(outline, 2),
        runs=(part_of(outline, 2, 0.0, a), Run(Chain((bent,))), part_of(outline, 2, b, seam.length)),
    )
    new = redraw_cut(outline, cut, with_new(all_kept(outline), (2, armhole)), ())
    assert is_closed(new)
    old = set(map(id, cut.chain.segments))
    assert sum(id(s) in old for s in new.chain.segments) >= len(cut.chain.segments) - 2
    for k in range(21):
        assert nearest(new.chain, bent.point(k / 20))[1] == pytest.approx(10, abs=0.015)
    for place in (a, b):
        joint, _ = nearest(new.chain, seam.point(place) - 1j * seam.tangent(place) * 10)
        turn = new.chain.tangent(joint + 0.05) / new.chain.tangent(joint - 0.05)
        assert abs(cmath.phase(turn)) < math.radians(0.1)
    assert not list(distance_errors(outline, cut, with_new(all_kept(outline), (2, armhole)), new))


def test_an_allowance_that_widens_goes_on_widening() -> None:
    outline = rectangle()
    cut = cut_outline(outline, {**WIDE, "right": (10.0, 20.0)})
    run = Run(Chain((Cubic(100 + 50j, 100 + 80j, 106 + 120j, 106 + 150j),)))
    right = replace(
        kept(outline, 1),
        runs=(
            part_of(outline, 1, 0.0, 50.0),
            run,
            part_of(outline, 1, 150.0, 200.0, Motion(shift=6 + 0j)),
        ),
    )
    bottom = drawn(outline, 2, Line(106 + 200j, 200j))
    new = redraw_cut(outline, cut, with_new(all_kept(outline), (1, right), (2, bottom)), ())
    assert is_closed(new)
    for place, width in ((20, 11), (75, 13.75), (100, 15), (125, 16.25), (180, 19)):
        point, tangent = right.chain.point(place), right.chain.tangent(place)
        ray = Chain((Line(point, point - 1j * tangent * 60),))
        met = min(nearest(new.chain, ray.point(r / 100))[1] + abs(r / 100 - width) for r in range(3000))
        assert met < 0.05


def test_arcs_and_lines_keep_their_kind() -> None:
    arc = Arc(0j, 100 + 0j, 80, 80, 0, large=False, sweep=True)
    outline = Outline((Stretch(Chain((arc,)), "top", source=11), *rectangle().stretches[1:]))
    cut = cut_outline(outline, WIDE)
    higher = Arc(0j, 100 - 10j, 70, 70, 0, large=False, sweep=True)
    right = drawn(outline, 1, Line(100 - 10j, 100 + 200j))
    new = redraw_cut(
        outline, cut, with_new(all_kept(outline), (0, drawn(outline, 0, higher)), (1, right)), ()
    )
    (found,) = [s for s in new.chain.segments if isinstance(s, Arc)]
    assert found.rx == pytest.approx(80)
    assert {type(s) for s in new.chain.segments} == {Arc, Line}


def test_a_raised_hem_takes_its_allowance_along() -> None:
    outline = front_outline()
    cut = cut_outline(outline, WIDTHS, CORNERS, labelled=True)
    seam = outline.stretches[3].chain
    corner = seam.point(seam.length - 15)
    hem = Cubic(corner, corner + (-80 + 5j), 80 + 610j, 610j)
    side = replace(kept(outline, 3), runs=(part_of(outline, 3, 0.0, seam.length - 15),))
    rows = with_new(all_kept(outline), (3, side), (4, drawn(outline, 4, hem)))
    new = redraw_cut(outline, cut, rows, ())
    assert is_closed(new)
    assert not list(distance_errors(outline, cut, rows, new))
    assert [s.source for s in new.stretches] == [s.source for s in cut.stretches]
    assert new.stretches[0] == cut.stretches[0]
    assert polygon(new).is_valid
    # The end is mirrored across the new hem: its side, folded, lies on the side seam's cut line.
    fold = Motion.reflection(corner, hem.control1 - hem.start)
    lowest = max((s.start for s in new.stretches[4].chain.segments), key=lambda p: p.real)
    assert nearest(new.chain, fold(lowest))[1] < 0.01


def test_without_an_allowance_the_cut_line_is_the_stitching_line() -> None:
    outline = front_outline()
    cut = Outline(tuple(replace(s, source=50 + k) for k, s in enumerate(outline.stretches)))
    rows, mouth = opened(outline, place=80.0, angle=0.1)
    new = redraw_cut(outline, cut, rows, (mouth,))
    assert is_closed(new)
    for row in rows:
        if row.dart is None:
            for place in range(0, int(row.chain.length), 10):
                assert nearest(new.chain, row.chain.point(place))[1] < 1e-3
    assert [s.source for s in new.stretches] == [50, 51, 52, None, None, 53, 54, 55]


def test_a_short_part_kept_in_a_hollow_corner_is_drawn_as_well() -> None:
    points = [0j, 60 + 0j, 60 + 60j, 120 + 60j, 120 + 200j, 200j]
    rows = tuple(
        Stretch(Chain((Line(points[k], points[(k + 1) % 6]),)), f"edge {k}", source=20 + k) for k in range(6)
    )
    outline = Outline(rows)
    cut = cut_outline(outline, dict.fromkeys((r.edge or "" for r in rows), 15.0))
    bent = Cubic(75 + 60j, 90 + 60j, 100 + 66j, 120 + 66j)
    row = replace(
        kept(outline, 3),
        runs=(part_of(outline, 3, 0.0, 15.0 - 6), Run(Chain((Line(69 + 60j, 75 + 60j), bent)))),
    )
    right = drawn(outline, 4, Line(120 + 66j, 120 + 200j))
    new = redraw_cut(outline, cut, with_new(all_kept(outline), (3, row), (4, right)), ())
    assert is_closed(new)
    assert polygon(new).is_valid
    assert nearest(new.chain, bent.point(0.5))[1] == pytest.approx(15, abs=0.02)
    assert min(abs(s.start - (75 + 45j)) for s in new.chain.segments) < 0.01


def test_a_line_drawn_anew_over_two_shapes_of_one_edge() -> None:
    halves = (
        Stretch(Chain((Line(0j, 50 + 0j),)), "top", source=11),
        Stretch(Chain((Line(50 + 0j, 100 + 0j),)), "top", source=21),
    )
    outline = Outline((*halves, *rectangle().stretches[1:]))
    cut = cut_outline(outline, {**WIDE, "top": 10.0}, labelled=True)
    first, second = Cubic(0j, 20 + 0j, 30 + 10j, 50 + 10j), Cubic(50 + 10j, 70 + 10j, 80 + 0j, 100 + 0j)
    rows = with_new(all_kept(outline), (0, drawn(outline, 0, first)), (1, drawn(outline, 1, second)))
    new = redraw_cut(outline, cut, rows, ())
    assert is_closed(new)
    assert [s.source for s in new.stretches] == [s.source for s in cut.stretches]
    assert abs(new.stretches[0].chain.end - 50j * 0 - 50) < 1e-6
    assert nearest(new.chain, 50 + 10j)[1] == pytest.approx(10, abs=0.01)


def test_an_outline_drawn_anew_all_round() -> None:
    circle = (
        Arc(0j, 200 + 0j, 100, 100, 0, large=False, sweep=True),
        Arc(200 + 0j, 0j, 100, 100, 0, large=False, sweep=True),
    )
    outline = Outline((Stretch(Chain(circle), "edge", source=11),))
    wider = tuple(replace(a, start=a.start * 1.1 - 10, end=a.end * 1.1 - 10, rx=110, ry=110) for a in circle)
    cut = Outline(
        (
            Stretch(
                Chain(
                    tuple(
                        replace(a, start=a.start * 1.1 - 10, end=a.end * 1.1 - 10, rx=110, ry=110)
                        for a in circle
                    )
                ),
                "edge",
                source=31,
            ),
        )
    )
    new = redraw_cut(outline, cut, (drawn(outline, 0, *wider),), ())
    assert is_closed(new)
    assert nearest(new.chain, 100 - 110j)[1] == pytest.approx(10, abs=0.01)
    assert len(new.stretches) == 1


def test_the_line_begins_where_it_began() -> None:
    outline = front_outline()
    cut = cut_outline(outline)
    rows = all_kept(outline)
    turned = with_new(rows, (4, drawn(outline, 4, Line(230 + 600j, 610j))))
    for k in range(len(rows)):
        new = redraw_cut(outline, cut, (*turned[k:], *turned[:k]), ())
        assert new.chain.start == cut.chain.start


def test_notches_stay_on_their_part_and_come_on_to_the_line() -> None:
    outline = front_outline()
    cut = cut_outline(outline)
    places = (40.0, 400.0, 900.0)
    cut = replace(
        cut,
        detours=tuple(
            Detour(p, 2.0, Chain((Line(cut.chain.point(p), cut.chain.point(p + 2)),))) for p in places
        ),
        corners={"hem corner": 900.0},
    )
    rows, mouth = opened(outline, place=100.0, angle=0.1)
    new = redraw_cut(outline, cut, rows, (mouth,))
    assert len(new.detours) == 3
    for detour in new.detours:
        assert detour.chain.start == pytest.approx(new.chain.point(detour.place), abs=1e-6)
    turn = Motion.rotation(95 + 260j, -0.1)
    assert new.detours[1].chain.start == pytest.approx(turn(cut.chain.point(400.0)), abs=1e-6)
    assert new.detours[2].chain == cut.detours[2].chain
    assert new.chain.point(new.corners["hem corner"]) == pytest.approx(cut.chain.point(900.0), abs=1e-6)


necks = st.sampled_from(["round", "scooped", "straight", "wrapped"])
kinds = st.sampled_from(["extended", "square", "square to second"])


@settings(max_examples=15, deadline=None)
@given(
    necks,
    st.sampled_from(["straight", "hollow", "full"]),
    st.floats(40, 250),
    st.floats(0.02, 0.16),
    st.tuples(kinds, kinds, kinds),
    st.sampled_from([6.0, 10.0, 15.0]),
    st.booleans(),
)
def test_the_cut_line_keeps_its_distance_edge_by_edge(
    neck: str,
    seam: str,
    place: float,
    angle: float,
    corners: tuple[str, str, str],
    width: float,
    labelled: bool,
) -> None:
    outline = front_with_seam(seam, neck)
    pairs = [("neckline", "shoulder"), ("shoulder", "armhole"), ("armhole", "side seam")]
    chosen = {**dict(zip(pairs, corners, strict=True)), ("side seam", "hem"): "mirrored"}
    cut = cut_outline(outline, {**WIDTHS, "neckline": width}, chosen, labelled=labelled)
    rows, mouth = opened(outline, place=place, angle=angle)
    new = redraw_cut(outline, cut, rows, (mouth,))
    assert is_closed(new)
    assert list(distance_errors(outline, cut, rows, new)) == []
    assert polygon(new).is_valid
    inner = Polygon([(p.real, p.imag) for row in rows for p in row.chain.samples(0.5)[:-1]])
    assert inner.difference(polygon(new).buffer(0.02)).area < 0.01
    untouched = {id(s) for s in cut.chain.segments} & {id(s) for s in new.chain.segments}
    assert len(untouched) >= 3


def test_a_cut_line_that_is_not_beside_the_stitching_line_is_refused() -> None:
    outline = rectangle()
    rows = with_new(all_kept(outline), (0, drawn(outline, 0, Line(0j, 100 + 10j))))
    with pytest.raises(AllowanceError, match="no allowance of up to 80 mm") as far:
        redraw_cut(outline, cut_outline(outline, dict.fromkeys(WIDE, 95.0)), rows, ())
    assert nearest(outline.chain, far.value.place)[1] < 1e-6
    inside = cut_outline(outline, dict.fromkeys(WIDE, -12.0))
    with pytest.raises(AllowanceError, match=r"12.0 mm inside the stitching line"):
        redraw_cut(outline, inside, rows, ())


def test_a_line_that_bends_too_tightly_for_its_allowance_is_refused() -> None:
    outline = rectangle()
    cut = cut_outline(outline, WIDE)
    dip = Arc(0j, 12 + 0j, 6, 6, 0, large=False, sweep=False)
    rows = with_new(
        all_kept(outline), (0, drawn(outline, 0, dip)), (1, drawn(outline, 1, Line(12 + 0j, 100 + 200j)))
    )
    with pytest.raises(AllowanceError, match="bends too tightly"):
        redraw_cut(outline, cut, rows, ())


def test_distances_that_are_off_are_found() -> None:
    outline = front_outline()
    cut = cut_outline(outline)
    rows, _ = opened(outline, place=80.0, angle=0.1)
    assert [e for e in distance_errors(outline, cut, rows, cut) if "armhole" in e.text]
    neck = Cubic(130j, 45 + 130j, 72 + 70j, 70 + 0j)
    drawn_neck = with_new(all_kept(outline), (0, drawn(outline, 0, neck)))
    (error,) = distance_errors(outline, cut, drawn_neck, cut)
    assert "from neckline" in error.text
    assert "where it was 6.0 mm" in error.text
    assert error.off == pytest.approx(
        max(error.allowed[0] - error.distance, error.distance - error.allowed[1])
    )
    nameless = (NewStretch((Run(Chain((Line(0j, 50j),)), None),)), NewStretch(()), replace(rows[4]))
    assert list(distance_errors(outline, cut, nameless, cut)) == []
    kept_run = Run(outline.stretches[1].chain, Kept(*outline.interval(1), STAY))
    assert list(distance_errors(outline, cut, (NewStretch((kept_run,), "shoulder"),), cut)) == []


def test_a_long_part_that_was_kept_keeps_its_cut_line_whatever_its_corner_shows() -> None:
    """At a straight V the cut line is squared off beyond the corner, so that no foot is found at its end."""
    outline = front_outline("straight")
    pairs = {("neckline", "shoulder"): "square", ("side seam", "hem"): "square to second"}
    pairs[("centre front", "neckline")] = "square to second"
    widths = {**WIDTHS, "neckline": 15.0, "side seam": 10.0, "hem": 15.0, "centre front": 20.0}
    cut = cut_outline(outline, {**widths, "shoulder": 30.0, "armhole": 30.0}, pairs)
    neck = drawn(outline, 0, Line(200j, 66 + 0j))
    rows = with_new(all_kept(outline), (0, neck), (1, drawn(outline, 1, Line(66 + 0j, 190 + 40j))))
    new = redraw_cut(outline, cut, rows, ())
    assert list(distance_errors(outline, cut, rows, new)) == []


def test_what_is_kept_beside_a_slanting_fold_keeps_its_allowance() -> None:
    """A V neck on the fold with 25 mm: there the outward normals lead past the fold, where no cut line is."""
    vee = Cubic(107.3j, 21.84 + 75.11j, 54.6 + 37.56j, 70 + 0j)
    rows = front_outline().stretches
    centre = replace(rows[5], chain=Chain((Line(610j, 107.3j),)))
    outline = Outline((replace(rows[0], chain=Chain((vee,))), *rows[1:5], centre))
    cut = cut_outline(outline, {**WIDTHS, "neckline": 25.0})
    piece = replace(front(), stitching=outline, cut=cut)
    result = altered(piece, removal(distance=Fixed(60), amount=Fixed(6)))
    new = result.altered[0].cut
    assert new is not None
    assert is_closed(new)
    assert not list(distance_errors(outline, cut, result.workings[0].stretches, new))
    assert new.chain.point(nearest(new.chain, 107.3j - 25j)[0]).real == pytest.approx(0, abs=1e-9)
