"""The cut line across a sewn dart: folded flat it lies on the cut line of the side it is pressed to."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from tests.alter.cut_lines import WIDTHS, cut_outline
from tests.alter.new_lines import all_kept, drawn, front_with_seam, kept, opened, part_of, rectangle, with_new
from transform.alter.allowance import redraw_cut
from transform.alter.cut_caps import EASED, across
from transform.alter.cut_parts import Part
from transform.alter.cut_sides import AllowanceError
from transform.alter.runs import NewStretch, Run, SewnMouth
from transform.geometry.chain import Chain
from transform.geometry.folding import fold_line
from transform.geometry.motion import STAY, Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Cubic, Line
from transform.pattern.outline import Outline, Stretch

WIDE = {"top": 10.0, "right": 15.0, "bottom": 30.0, "left": 20.0}


def judge(chain: Chain) -> LineString:
    return LineString([(p.real, p.imag) for p in chain.samples(0.05)])


def step_of(new: Outline, mouth: SewnMouth) -> float:
    """Length (mm) of the step along the leg to which the dart is not pressed, 0 where there is none."""
    index = next(k for k, s in enumerate(new.stretches) if mouth.dart in (s.dart, s.edge))
    last = new.stretches[index].chain.segments[-1 if mouth.pressed == 0 else 0]
    leg = mouth.legs[1 - mouth.pressed]
    aside = max(abs(((p - leg) * (leg - mouth.point).conjugate()).imag) for p in (last.start, last.end))
    along_leg = isinstance(last, Line) and aside < 1e-6 * abs(leg - mouth.point)
    return abs(last.end - last.start) if along_leg else 0.0


def off_when_folded(new: Outline, mouth: SewnMouth) -> float:
    """How far both halves of the cap lie off the cut line they are folded on to, mm."""
    gap = step_of(new, mouth)
    index = next(k for k, s in enumerate(new.stretches) if mouth.dart in (s.dart, s.edge))
    cap = new.stretches[index].chain
    beside = new.stretches[index - 1 if mouth.pressed == 0 else (index + 1) % len(new.stretches)].chain
    line = judge(beside)
    axis = fold_line(mouth.point, *mouth.legs)
    leg = mouth.legs[mouth.pressed] - mouth.point
    own = (leg * axis.conjugate()).imag
    over_leg, over_fold = Motion.reflection(mouth.point, leg), Motion.reflection(mouth.point, axis)
    length = cap.length
    worst = 0.0
    for k in range(201):
        # The step along the leg where both sides differ is no part of the cap.
        place = length * k / 200
        from_pressed = place if mouth.pressed == 0 else length - place
        if gap > 0.1 and from_pressed > length - gap - 1e-6:
            continue
        point = cap.point(place)
        same_side = ((point - mouth.point) * axis.conjugate()).imag * own >= -1e-9
        folded = over_leg(point if same_side else over_fold(point))
        worst = max(worst, line.distance(Point(folded.real, folded.imag)))
    return worst


@settings(max_examples=20, deadline=None)
@given(
    st.sampled_from(["straight", "hollow", "full"]),
    st.floats(40, 250),
    st.floats(0.02, 0.16),
    st.floats(5, 60),
    st.integers(0, 1),
    st.sampled_from([6.0, 15.0, 25.0]),
    st.booleans(),
)
def test_both_halves_of_the_cap_fold_on_to_the_cut_line(
    seam: str, place: float, angle: float, back: float, pressed: int, width: float, labelled: bool
) -> None:
    outline = front_with_seam(seam)
    cut = cut_outline(outline, {**WIDTHS, "side seam": width}, labelled=labelled)
    rows, mouth = opened(outline, place=place, angle=angle, draw_back=back, pressed=pressed)
    new = redraw_cut(outline, cut, rows, (mouth,))
    assert off_when_folded(new, mouth) < 0.05
    # One allowance on both sides: no nick is left beside the leg, and the line only turns where it is folded.
    assert step_of(new, mouth) == 0 or step_of(new, mouth) > EASED
    segments = new.chain.segments
    assert all(abs(segments[k - 1].end - segments[k].start) < 1e-9 for k in range(len(segments)))
    assert Polygon([(p.real, p.imag) for p in new.chain.samples(0.5)]).is_valid
    if seam != "straight":
        index = next(k for k, s in enumerate(new.stretches) if s.dart == "bust dart")
        assert any(isinstance(s, Cubic) for s in new.stretches[index].chain.segments)


def test_beside_the_dart_the_cut_line_runs_over_into_its_own() -> None:
    """A dart on a slanting seam: folded, its cap ends 0.9 mm off the other side's line; no nick is left."""
    outline = front_with_seam("straight")
    cut = cut_outline(outline, {**WIDTHS, "side seam": 25.0}, labelled=True)
    rows, mouth = opened(outline, place=181, angle=0.073, draw_back=46, pressed=0)
    new = redraw_cut(outline, cut, rows, (mouth,))
    index = next(k for k, s in enumerate(new.stretches) if s.dart == "bust dart")
    cap, after = new.stretches[index].chain, new.stretches[index + 1].chain
    assert step_of(new, mouth) == 0
    fold = Motion.reflection(mouth.point, fold_line(mouth.point, *mouth.legs))
    assert abs(after.start - fold(cap.start)) < 1e-9
    # Back on the seam's line within 20 mm, and never more aslant than 1 in 10.
    seam = next(row.runs[0].chain for row in rows[::-1] if row.edge == "side seam")
    widths = [nearest(seam, after.point(place))[1] for place in (25.0, 40.0, 60.0)]
    assert widths == pytest.approx([25.0] * 3, abs=0.01)
    assert all(abs((after.tangent(p) * after.tangent(30.0).conjugate()).imag) < 0.1 for p in range(0, 20, 2))
    assert nearest(after, seam.start)[1] != pytest.approx(25.0, abs=0.01)


def test_a_dart_square_to_a_straight_seam_needs_no_step() -> None:
    outline, rows, mouth = square_dart()
    new = redraw_cut(outline, cut_outline(outline, WIDE), rows, (mouth,))
    (cap,) = [s.chain for s in new.stretches if s.dart == "dart"]
    assert len(cap.segments) == 2
    # The tip: where the cut line, mirrored across the leg, meets the fold line (law of sines).
    leg = abs(cap.start - mouth.point)
    theta = 2 * abs((mouth.legs[0] - mouth.point).imag) / abs(mouth.legs[0] - mouth.point)
    assert abs(cap.segments[0].end - mouth.point) > leg
    assert theta > 0


def square_dart(
    trim: float | None = None, pressed: int = 1
) -> tuple[Outline, tuple[NewStretch, ...], SewnMouth]:
    """A rectangle opened on its right: a dart of 20 mm, 60 mm deep, its point on the seam's square."""
    outline = rectangle()
    up = Motion(shift=-20j)
    legs = 100 + 80j, 100 + 100j
    right = kept(outline, 1)
    mouth = SewnMouth("dart", 40 + 90j, legs, pressed, trim)
    rows = (
        kept(outline, 0, up),
        replace(right, runs=(part_of(outline, 1, 0.0, 100.0, up),), source=None),
        NewStretch((Run(Chain((Line(*legs),))),), None, "dart"),
        replace(right, runs=(part_of(outline, 1, 100.0, 200.0),)),
        kept(outline, 2),
        drawn(outline, 3, Line(200j, -20j)),
    )
    return outline, rows, mouth


@pytest.mark.parametrize("pressed", [0, 1])
def test_the_intake_is_cut_away_to_the_allowance(pressed: int) -> None:
    outline, rows, mouth = square_dart(trim=4.0, pressed=pressed)
    new = redraw_cut(outline, cut_outline(outline, WIDE), rows, (mouth,))
    (cap,) = [s.chain for s in new.stretches if s.dart == "dart"]
    assert [type(s) for s in cap.segments] == [Line] * 4
    meeting = cap.segments[1].end
    # The parallels of the legs, 4 mm inside them, meet 4 / sin(θ/2) from the point on the fold line.
    sine = 10 / abs(60 + 10j)
    assert meeting == pytest.approx(40 + 90j + 4 / sine)
    for k, leg in ((1, mouth.legs[0]), (2, mouth.legs[1])):
        line = cap.segments[k]
        unit = (leg - mouth.point) / abs(leg - mouth.point)
        for end in (line.start, line.end):
            assert abs(((end - mouth.point) * unit.conjugate()).imag) == pytest.approx(4.0)


def test_a_narrow_intake_keeps_the_whole_cap() -> None:
    outline, rows, mouth = square_dart(trim=13.0)
    cut = cut_outline(outline, WIDE)
    whole = redraw_cut(outline, cut, rows, (replace(mouth, trim=None),))
    assert redraw_cut(outline, cut, rows, (mouth,)) == whole
    assert redraw_cut(outline, cut, rows, (replace(mouth, trim=40.0),)) == whole


def test_different_allowances_on_both_sides_leave_a_step_along_the_leg() -> None:
    _, rows, mouth = square_dart()
    halves = (
        Stretch(Chain((Line(100 + 0j, 100 + 100j),)), "right", source=12),
        Stretch(Chain((Line(100 + 100j, 100 + 200j),)), "right", source=22),
    )
    rest = rectangle().stretches
    outline = Outline((rest[0], *halves, *rest[2:]))
    stepped = [
        Line(-20 - 10j, 115 - 10j),
        Line(115 - 10j, 115 + 100j),
        Line(115 + 100j, 112 + 100j),
        Line(112 + 100j, 112 + 230j),
        Line(112 + 230j, -20 + 230j),
        Line(-20 + 230j, -20 - 10j),
    ]
    cut = Outline((Stretch(Chain(tuple(stepped)), source=31),))
    new = redraw_cut(outline, cut, rows, (mouth,))
    assert step_of(new, mouth) == pytest.approx(3 / (60 / abs(60 + 10j)), abs=0.01)


def test_the_mouth_of_a_dart_that_was_there_takes_the_cap() -> None:
    outline = rectangle()
    legs = 100 + 90j, 100 + 110j
    halves = (
        Stretch(Chain((Line(100 + 0j, legs[0]),)), "right", source=12),
        Stretch(Chain((Line(*legs),)), None, "dart", source=22),
        Stretch(Chain((Line(legs[1], 100 + 200j),)), "right", source=23),
    )
    outline = Outline((outline.stretches[0], *halves, *outline.stretches[2:]))
    mouth = SewnMouth("dart", 50 + 100j, legs, 0)
    rows = with_new(all_kept(outline), (2, replace(kept(outline, 2), runs=(Run(halves[1].chain),))))
    for labelled in (True, False):
        cut = cut_outline(outline, WIDE, labelled=labelled)
        new = redraw_cut(outline, cut, rows, (mouth,))
        assert off_when_folded(new, mouth) < 0.05
        assert [s.source for s in new.stretches if mouth.dart == s.dart] == [42 if labelled else 31]
        assert new.chain.length > cut.chain.length + 1
    bare = tuple(s for s in cut_outline(outline, WIDE, labelled=True).stretches if s.dart is None)
    joined = replace(bare[1], chain=Chain((Line(bare[1].chain.start, bare[2].chain.start),)))
    new = redraw_cut(outline, Outline((bare[0], joined, *bare[2:])), rows, (mouth,))
    assert [(s.dart, s.source) for s in new.stretches if s.dart] == [("dart", None)]
    assert [s.source for s in new.stretches if s.edge == "right"] == [41, 43]


def test_a_divided_shape_stays_with_the_part_that_did_not_move() -> None:
    outline, rows, mouth = square_dart()
    cut = cut_outline(outline, WIDE, labelled=True)
    flipped = tuple(replace(s, flipped=s.edge == "right") for s in cut.stretches)
    new = redraw_cut(outline, Outline(flipped), rows, (mouth,))
    assert [(s.edge, s.dart, s.source, s.flipped) for s in new.stretches] == [
        ("top", None, 40, False),
        ("right", None, None, True),
        (None, "dart", None, True),
        ("right", None, 41, True),
        ("bottom", None, 42, False),
        ("left", None, 43, False),
    ]


def test_two_mouths_in_one_shape_leave_one_part_its_element() -> None:
    outline, rows, mouth = square_dart()
    second = SewnMouth("other", 40 + 40j, (100 + 30j, 100 + 50j), 0)
    up = Motion(shift=-20j)
    right = kept(outline, 1)
    seam = (
        replace(right, runs=(part_of(outline, 1, 0.0, 50.0, Motion(shift=-20j)),)),
        NewStretch((Run(Chain((Line(*second.legs),))),), None, "other"),
        replace(
            right,
            runs=(
                Run(part_of(outline, 1, 70.0, 100.0, up).chain, part_of(outline, 1, 70.0, 100.0, up).kept),
            ),
        ),
        *rows[2:4],
    )
    cut = cut_outline(outline, WIDE, labelled=True)
    new = redraw_cut(outline, cut, (rows[0], *seam, *rows[4:]), (mouth, second))
    assert [s.source for s in new.stretches if s.edge == "right"] == [None, None, 41]
    assert [s.dart for s in new.stretches if s.dart] == ["other", "dart"]


def test_a_mouth_at_the_end_of_the_list_and_a_piece_of_one_body() -> None:
    outline, rows, mouth = square_dart()
    cut = cut_outline(outline, WIDE)
    straight = redraw_cut(outline, cut, rows, (mouth,))
    for k in (2, 3):
        new = redraw_cut(outline, cut, (*rows[k:], *rows[:k]), (mouth,))
        assert {s.start for s in new.chain.segments} == {s.start for s in straight.chain.segments}
    legs = 100 + 100j, 100 + 100.5j
    still = (
        kept(outline, 0),
        replace(kept(outline, 1), runs=(part_of(outline, 1, 0.0, 100.0),)),
        NewStretch((Run(Chain((Line(*legs),))),), None, "dart"),
        replace(kept(outline, 1), runs=(part_of(outline, 1, 100.0, 200.0, STAY),)),
        kept(outline, 2),
        kept(outline, 3),
    )
    new = redraw_cut(outline, cut, still, (SewnMouth("dart", 40 + 100j, legs, 0),))
    assert nearest(new.chain, cut.chain.start)[1] < 1e-9


def test_a_leg_that_misses_the_cut_line_is_refused() -> None:
    outline, rows, mouth = square_dart()
    astray = replace(mouth, point=160 + 90j)
    with pytest.raises(AllowanceError, match="does not meet the cut line"):
        redraw_cut(outline, cut_outline(outline, WIDE), rows, (astray,))


def test_a_seam_along_the_leg_gives_no_cap() -> None:
    mouth = SewnMouth("dart", 0j, (100 - 10j, 100 + 10j), 0)
    # Mirrored across its leg, a cut line that runs out beside the leg never reaches the fold line.
    away = (100 - 12j) / abs(100 - 12j)
    before = Part(Chain((Line(120 - 12j + away * 200, 120 - 12j - away * 5),)), (0,))
    after = Part(Chain((Line(119 + 11j, 125 + 80j),)), (0,))
    with pytest.raises(AllowanceError, match="no cap that folds flat") as refused:
        across(mouth, before, after)
    assert refused.value.place == mouth.legs[0]
