"""Walking seams after an alteration: notches, angles at the seam's ends, ease."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest

from rules.lengths import Fixed
from rules.model import EdgePivot, Linked, Removal, Rules, Seam, TakenOut, Term
from tests.alter.cut_lines import cut_outline, with_cut
from tests.alter.linked_pieces import facing, linked, piece_of
from tests.builders import front, moved_piece, removal, stretch
from transform.alter.design import alter_size
from transform.alter.facts import Notice
from transform.checks.seams import walk
from transform.checks.sides import Walks, meetings
from transform.checks.walking import walking
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Cubic, Line
from transform.pattern.altered import AlteredPiece, Moved, Shifted
from transform.pattern.model import Item, Piece, Role, Way
from transform.pattern.outline import Detour, Outline, Stretch

AWAY = Motion.reflection(400 + 0j, 1j)
SIDE = Seam(((Term("front", "side seam"),), (Term("back", "side seam"),)), tolerance=50.0)
ACROSS_TO_FRONT = removal(
    edge="armhole",
    start="shoulder",
    distance=Fixed(60),
    amount=Fixed(10),
    pivot=EdgePivot("centre front", "neckline", Fixed(40)),
    opens=(),
)
SHOULDER = Seam(((Term("front", "shoulder"),), (Term("back", "shoulder"),)))


def told(
    pieces: Sequence[Piece], removals: Sequence[Removal], *seams: Seam, links: Sequence[Linked] = ()
) -> list[Notice]:
    rules = Rules(file="r", removals=tuple(removals), seams=seams, linked=tuple(links))
    result = alter_size(rules, "12", pieces, ("12",), {})
    after = {
        done.piece.name: replace(done.piece, stitching=done.stitching)
        for done in result.altered
        if done.stitching is not None
    }
    walked, _ = walk(rules, "12", ("12",), pieces, after)
    return list(walking(rules, "12", ("12",), pieces, result.altered, walked))


def notch(piece: Piece, edge: str, distance: float, element: int) -> Item:
    """A notch on an edge, measured from the edge's first point, its tick drawn outwards."""
    place = piece.stitching.edge(edge).place(distance)
    point, out = piece.stitching.chain.point(place), -1j * piece.stitching.chain.tangent(place)
    line = Chain((Line(point, point + out * 5),))
    return Item(element, Role.NOTCHES, None, Way.WHOLE, point, (line,))


def with_notches(piece: Piece, edge: str, *distances: float) -> Piece:
    items = [notch(piece, edge, d, 200 + k) for k, d in enumerate(distances)]
    return replace(piece, items=(*items, replace(items[0], element=250)))


def back(*notches: float) -> Piece:
    """A back with the front's side seam and shoulder, drawn elsewhere and mirrored; notches on its side seam.

    Mirrored, its side seam runs from the hem up.
    """
    length = front().stitching.edge("side seam").length
    piece = moved_piece(replace(front(), name="back"), AWAY)
    return with_notches(piece, "side seam", *(length - d for d in notches)) if notches else piece


def test_notches_that_still_meet_are_not_told() -> None:
    one = with_notches(front(), "side seam", 40, 250)
    assert told([one, back(40, 250)], [removal()], SIDE) == []


@pytest.mark.parametrize("drawn", ["ticks", "in the line", "in the cut line"])
def test_notches_of_a_seam_whose_mouth_was_taken_out_meet_again(drawn: str) -> None:
    """The hem is raised by what filling the mouth added, and the notches between come back along the seam."""
    distances = (40, 58, 75, 130, 250)
    one, other = front(), back()
    length = one.stitching.edge("side seam").length
    if drawn == "ticks":
        one, other = with_notches(one, "side seam", *distances), back(*distances)
    elif drawn == "in the line":
        one = with_teeth(one, *distances)
        other = with_teeth(other, *(length - d for d in distances))
    else:
        one = with_cut(one, cut_outline(one.stitching))
        assert one.cut is not None
        places = [one.stitching.edge("side seam").place(d) for d in distances]
        on_cut = [nearest(one.cut.chain, one.stitching.chain.point(place))[0] for place in places]
        one = replace(one, cut=replace(one.cut, detours=tuple(teeth(one.cut, on_cut))))
        other = back(*distances)
    asked = removal(amount=Fixed(25), finish=TakenOut("hem", "centre front"))
    assert told([one, other], [asked], SIDE) == []
    rules = Rules(file="r", removals=(asked,), seams=(SIDE,))
    result = alter_size(rules, "12", [one, other], ("12",), {})
    (done,) = result.altered
    sides = Walks({"front": one, "back": other}, {"front": done}).sides_of(SIDE)
    assert sides is not None
    met = meetings(*sides)
    assert sorted(min(m.marks[0].before, length - m.marks[0].before) for m in met) == pytest.approx(
        sorted(min(d, length - d) for d in distances), abs=0.1
    )
    assert max(m.after for m in met) < 0.1


def test_a_notch_brought_back_stands_on_the_seam_as_it_stood() -> None:
    """Its foot lies on the new line and its tick as square to it as before; on the cut line just so."""
    one = with_notches(with_cut(front(), cut_outline(front().stitching)), "side seam", 75, 250)
    asked = removal(amount=Fixed(25), finish=TakenOut("hem", "centre front"))
    (done,) = alter_size(Rules(file="r", removals=(asked,)), "12", [one], ("12",), {}).altered
    assert done.stitching is not None
    assert done.cut is not None
    seam = done.stitching.edge("side seam")
    for item in (item for item in one.items if item.element < 250):
        change = done.items[item.element]
        assert isinstance(change, Moved)
        (line,) = item.chains
        foot, tip = change.motion(line.start), change.motion(line.end)
        place, off = nearest(done.stitching.chain, foot)
        assert off < 1e-6
        distance = seam.distance(place)
        assert distance is not None
        assert cmath.phase((tip - foot) / (-1j * done.stitching.chain.tangent(place))) == pytest.approx(
            0, abs=1e-9
        )
        assert nearest(done.cut.chain, tip)[1] == pytest.approx(10.0, abs=0.05)


def test_notches_that_did_not_meet_before_are_not_told() -> None:
    one = with_notches(front(), "side seam", 40, 250)
    assert told([one, back(100, 180)], [removal()], SIDE) == []


def test_an_unaltered_seam_is_not_walked() -> None:
    seam = Seam(((Term("back", "side seam"),), (Term("sleeve", "side seam"),)))
    sleeve = replace(back(50), name="sleeve")
    assert told([front(), back(40), sleeve], [removal()], seam) == []


def test_the_armhole_closes_above_its_notch_and_the_sleeve_gains_ease() -> None:
    """The notch still meets from the underarm up; what the armhole lost is added to the cap's ease."""
    armhole = front().stitching.edge("armhole").length
    cap = armhole + 20
    sleeve = piece_of(
        "sleeve",
        stretch("cap", Cubic(0j, cap / 3 - 90j, cap * 2 / 3 - 90j, complex(cap * 0.79))),
        stretch("underarm", Line(complex(cap * 0.79), 100 + 300j), Line(100 + 300j, 0j)),
    )
    whole = sleeve.stitching.edge("cap").length
    one = with_notches(front(), "armhole", armhole - 80)
    two = with_notches(sleeve, "cap", 80)
    seam = Seam(
        ((Term("front", "armhole"),), (Term("sleeve", "cap"),)), ease=(0.0, whole - armhole + 30), tolerance=1
    )
    asked = removal(edge="armhole", start="shoulder", distance=Fixed(60), amount=Fixed(10))
    (notice,) = told([one, two], [asked], seam)
    assert notice.kind == "ease changed"
    assert f"was {whole - armhole:.1f} mm" in notice.text
    assert "front/armhole is" in notice.text
    assert "shorter" in notice.text
    # A notch above the wedge meets from the shoulder down.
    one = with_notches(front(), "armhole", 30)
    two = with_notches(sleeve, "cap", whole - 30)
    assert [n.kind for n in told([one, two], [asked], seam)] == ["ease changed"]
    # One that met from both ends keeps meeting from one; on the other side of the wedge it parts.
    plain = Seam(seam.join)
    assert told([one, two], [asked], plain) == []


def test_an_armhole_notch_that_a_closing_shifted_is_told_with_its_place_on_the_sleeve() -> None:
    """Walked from the shoulder, the notches below the wedge met the cap's and now lie higher up."""
    armhole = front().stitching.edge("armhole").length
    cap = armhole + 20
    sleeve = piece_of(
        "sleeve",
        stretch("cap", Line(0j, complex(cap))),
        stretch("underarm", Line(complex(cap), 100 + 300j), Line(100 + 300j, 0j)),
    )
    seam = Seam(((Term("front", "armhole"),), (Term("sleeve", "cap"),)), ease=(10.0, 50.0))
    asked = ACROSS_TO_FRONT
    one = with_notches(front(), "armhole", 150)
    _, notice = told([one, with_notches(sleeve, "cap", 150)], [asked], seam)
    assert notice.kind == "notches apart"
    assert "a pair of notches of front/armhole and sleeve/cap met before" in notice.text
    assert "that of front/armhole, 150 mm along" in notice.text
    assert "mark that of sleeve/cap 14" in notice.text
    assert "from the end that adjoins underarm" in notice.text
    one = with_notches(front(), "armhole", 130, 150)
    _, notice = told([one, with_notches(sleeve, "cap", 130, 150)], [asked], seam)
    assert "2 pairs of notches" in notice.text
    turned = Seam((seam.join[1], seam.join[0]), ease=(-50.0, -10.0))
    (_, notice) = told([one, with_notches(sleeve, "cap", 130, 150)], [asked], turned)
    assert "mark that of sleeve/cap 1" in notice.text


@pytest.mark.parametrize(
    ("ease", "advice"),
    [
        ((0.0, 40.0), "ease it in"),
        ((0.0, 22.0), "mm out of sleeve/cap"),
        ((40.0, 60.0), "mm into sleeve/cap"),
    ],
)
def test_what_becomes_of_the_ease_is_told_with_what_to_do(ease: tuple[float, float], advice: str) -> None:
    cap = front().stitching.edge("armhole").length + 20
    sleeve = piece_of(
        "sleeve",
        stretch("cap", Line(0j, complex(cap))),
        stretch("underarm", Line(complex(cap), 100 + 300j), Line(100 + 300j, 0j)),
    )
    seam = Seam(((Term("front", "armhole"),), (Term("sleeve", "cap"),)), ease=ease)
    asked = ACROSS_TO_FRONT
    (notice,) = told([front(), sleeve], [asked], seam)
    assert "was 20.0 mm" in notice.text
    assert advice in notice.text


def test_several_edges_are_walked_one_after_the_other() -> None:
    """Both armholes against the cap: the sides are laid so that the shoulders meet."""
    seam = Seam(
        (
            (Term("front", "armhole"), Term("back", "armhole")),
            (Term("both", "whole armhole"),),
        )
    )
    length = front().stitching.edge("armhole").length
    both = piece_of(
        "both",
        stretch("whole armhole", Line(0j, complex(2 * length))),
        stretch("rest", Line(complex(2 * length), 50j), Line(50j, 0j)),
    )
    both = with_notches(both, "whole armhole", 60, 2 * length - 60)
    first = with_notches(front(), "armhole", length - 60)
    second = moved_piece(replace(front(), name="back"), AWAY)
    second = with_notches(second, "armhole", 60)
    pieces = {p.name: p for p in (first, second, both)}
    sides = Walks(pieces, {}).sides_of(seam)
    assert sides is not None
    assert [edge.backwards for edge in sides[0].edges] == [True, True]
    assert sorted(m.before for m in sides[0].marks) == pytest.approx([60, 2 * length - 60])
    asked = removal(edge="armhole", start="shoulder", distance=Fixed(60), amount=Fixed(10))
    assert told([first, second, both], [asked], seam) == []


def test_pieces_cut_twice_are_walked_once() -> None:
    """Both sides sewn twice are walked as one; an edge that a longer one meets twice is walked twice."""
    asked = ACROSS_TO_FRONT
    armhole = front().stitching.edge("armhole").length
    one = with_notches(front(), "armhole", 150)
    band = piece_of(
        "band",
        stretch("long edge", Line(0j, complex(2 * armhole))),
        stretch("rest", Line(complex(2 * armhole), 50j), Line(50j, 0j)),
    )
    single = piece_of(
        "cap",
        stretch("edge", Line(0j, complex(armhole + 20))),
        stretch("rest", Line(complex(armhole + 20), 50j), Line(50j, 0j)),
    )
    twice = Seam(((Term("front", "armhole", 2),), (Term("cap", "edge", 2),)), ease=(0.0, 80.0))
    kinds = [n.kind for n in told([one, with_notches(single, "edge", 150)], [asked], twice)]
    assert kinds == ["ease changed", "notches apart"]
    folded = Seam(((Term("front", "armhole", 2),), (Term("band", "long edge"),)))
    marked = with_notches(band, "long edge", 150, 2 * armhole - 150)
    sides = Walks({"front": one, "band": marked}, {}).sides_of(folded)
    assert sides is not None
    assert [edge.backwards for edge in sides[0].edges] in ([False, True], [True, False])
    assert len(meetings(*sides)) == 2
    many = Seam(((Term("front", "armhole", 7),), (Term("band", "long edge"),)))
    assert Walks({"front": one, "band": marked}, {}).sides_of(many) is None


def smooth_back() -> Piece:
    """A back whose neckline and armhole run on from the front's where the shoulders are laid together."""
    piece = front()
    rows = piece.stitching.stretches
    shoulder = rows[1].chain
    along = shoulder.tangent(0.0)
    mirror = Motion.reflection(shoulder.start, along)

    def across(chain: Chain, place: float, before: bool) -> complex:
        return chain.tangent(place, before=before)

    neck_end = across(rows[0].chain, rows[0].chain.length, True)
    arm_start = across(rows[2].chain, 0.0, False)
    # Beyond the shoulder, as if the front's lines went straight on.
    neck_far = shoulder.start + neck_end * 90
    arm_far = shoulder.end - arm_start * 120
    lying = piece_of(
        "back",
        stretch("neckline", Line(neck_far, shoulder.start)),
        Stretch(shoulder, "shoulder"),
        stretch("armhole", Line(shoulder.end, arm_far)),
        stretch("rest", Line(arm_far, neck_far)),
    )
    lines = [replace(s, chain=s.chain.reversed()) for s in reversed(lying.stitching.stretches)]
    return moved_piece(replace(lying, stitching=replace(lying.stitching, stretches=tuple(lines))), mirror)


def test_edges_that_run_smoothly_across_a_shoulder_and_then_bend_are_told() -> None:
    """The wedge takes the neckline's last bit, so that it arrives at the shoulder in another direction."""
    pieces = [front(), smooth_back()]
    assert told(pieces, [removal()], SHOULDER) == []
    asked = removal(line="straight")
    (notice,) = told(pieces, [asked], SHOULDER)
    assert notice.kind == "kink across a seam"
    assert "adjoins neckline" in notice.text
    assert "(180.0°)" in notice.text


def test_the_ends_of_a_seam_of_several_edges_are_looked_at_too() -> None:
    """The back's shoulder in two panels: the neckline runs on into that of the panel beside it."""
    whole = smooth_back()
    rows = whole.stitching.stretches
    index = next(k for k, row in enumerate(rows) if row.edge == "shoulder")
    shoulder = rows[index].chain
    middle = shoulder.point(40.0)
    below = whole.stitching.chain.point(whole.stitching.edge("rest").place(90))
    halves = []
    for name, row, beside in (
        ("first panel", Stretch(shoulder.cut(0.0, 40.0), "shoulder"), rows[index - 1]),
        (
            "second panel",
            Stretch(shoulder.cut(40.0, shoulder.length), "shoulder"),
            rows[(index + 1) % len(rows)],
        ),
    ):
        if name == "first panel":
            lines = (beside, row, stretch("panel seam", Line(middle, below)))
            halves.append(piece_of(name, *lines, stretch("rest", Line(below, beside.chain.start))))
        else:
            lines = (row, beside, stretch("rest", Line(beside.chain.end, below)))
            halves.append(piece_of(name, *lines, stretch("panel seam", Line(below, middle))))
    seam = Seam((SHOULDER.join[0], (Term("first panel", "shoulder"), Term("second panel", "shoulder"))))
    assert told([front(), *halves], [removal()], seam) == []
    (notice,) = told([front(), *halves], [removal(line="straight")], seam)
    assert notice.kind == "kink across a seam"
    assert "adjoins neckline" in notice.text


def test_edges_that_met_at_a_corner_may_meet_at_another() -> None:
    other = moved_piece(replace(front(), name="back"), AWAY)
    assert told([front(), other], [removal(line="straight")], SHOULDER) == []


def test_a_facing_is_turned_back_and_runs_on_nowhere() -> None:
    square = Seam(((Term("front", "neckline"),), (Term("front facing", "neckline"),)))
    assert told([front(), facing()], [removal(line="straight")], square, links=[linked()]) == []


def teeth(outline: Outline, places: Sequence[float]) -> Iterator[Detour]:
    """Notches drawn into a line, 4 mm wide, about these places of the outline."""
    for place in places:
        a, b = outline.chain.point(place - 2), outline.chain.point(place + 2)
        tip = (a + b) / 2 + 1j * (b - a)
        yield Detour(place - 2, 4.0, Chain((Line(a, tip), Line(tip, b))))


def with_teeth(piece: Piece, *distances: float, edge: str = "side seam") -> Piece:
    places = [piece.stitching.edge(edge).place(distance) for distance in distances]
    return replace(piece, stitching=replace(piece.stitching, detours=tuple(teeth(piece.stitching, places))))


def test_a_mark_that_was_shifted_or_left_the_edge() -> None:
    piece = with_notches(front(), "side seam", 40, 100)
    down = piece.stitching.edge("side seam")
    along = piece.stitching.chain.tangent(down.place(40))
    away = AlteredPiece(piece, items={200: Shifted(along * 5), 201: Shifted(-100 + 0j)})
    pieces = {"front": piece, "back": back(40, 100)}
    sides = Walks(pieces, {"front": away}).sides_of(SIDE)
    assert sides is not None
    first = sorted(sides[0].marks, key=lambda mark: mark.before)
    assert first[0].after == pytest.approx(first[0].before + 5, abs=1e-6)
    assert first[1].after is None
    assert math.isclose(sides[0].lengths[0], sides[0].lengths[1])
