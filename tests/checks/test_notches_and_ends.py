"""Walking seams after an alteration: notches, angles at the seam's ends, ease."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest

from rules.lengths import Fixed
from rules.model import Linked, Removal, Rules, Seam, TakenOut, Term
from tests.alter.linked_pieces import facing, linked, piece_of
from tests.builders import front, moved_piece, removal, stretch
from transform.alter.design import alter_size
from transform.alter.facts import Notice
from transform.checks.seams import walk
from transform.checks.sides import sides_of
from transform.checks.walking import walking
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Cubic, Line
from transform.pattern.altered import AlteredPiece, Shifted
from transform.pattern.model import Item, Piece, Role, Way
from transform.pattern.outline import Detour, Stretch

AWAY = Motion.reflection(400 + 0j, 1j)
SIDE = Seam(((Term("front", "side seam"),), (Term("back", "side seam"),)), tolerance=50.0)
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


def test_notches_below_a_dart_taken_out_part() -> None:
    """The hem is raised by what filling the mouth added, so what lies below lies farther down."""
    one = with_notches(front(), "side seam", 40, 250)
    asked = removal(amount=Fixed(25), finish=TakenOut("hem", "centre front"))
    (notice,) = told([one, back(40, 250)], [asked], SIDE)
    assert notice.kind == "notches apart"
    assert "a pair of notches" in notice.text
    assert "250 mm along" in notice.text
    many = told([with_notches(front(), "side seam", 200, 250), back(200, 250)], [asked], SIDE)
    assert "2 pairs of notches" in many[0].text


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
    sides = sides_of(seam, pieces, {})
    assert sides is not None
    assert [edge.backwards for edge in sides[0].edges] == [True, True]
    assert sorted(m.before for m in sides[0].marks()) == pytest.approx([60, 2 * length - 60])
    asked = removal(edge="armhole", start="shoulder", distance=Fixed(60), amount=Fixed(10))
    assert told([first, second, both], [asked], seam) == []


def test_a_seam_that_counts_an_edge_twice_is_not_walked_by_notches() -> None:
    seam = Seam(((Term("front", "side seam", 2),), (Term("back", "side seam", 2),)))
    one = with_notches(front(), "side seam", 40)
    assert told([one, back(40)], [removal()], seam) == []


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


def test_edges_that_met_at_a_corner_may_meet_at_another() -> None:
    other = moved_piece(replace(front(), name="back"), AWAY)
    assert told([front(), other], [removal(line="straight")], SHOULDER) == []


def test_a_facing_is_turned_back_and_runs_on_nowhere() -> None:
    square = Seam(((Term("front", "neckline"),), (Term("front facing", "neckline"),)))
    assert told([front(), facing()], [removal(line="straight")], square, links=[linked()]) == []


def test_notches_drawn_into_a_line_are_walked_too() -> None:
    def tooth(piece: Piece, distance: float) -> Piece:
        place = piece.stitching.edge("side seam").place(distance) - 2
        a, b = piece.stitching.chain.point(place), piece.stitching.chain.point(place + 4)
        tip = (a + b) / 2 + 1j * (b - a)
        detour = Detour(place, 4.0, Chain((Line(a, tip), Line(tip, b))))
        return replace(piece, stitching=replace(piece.stitching, detours=(detour,)))

    length = front().stitching.edge("side seam").length
    other = tooth(back(), length - 250)
    asked = removal(amount=Fixed(25), finish=TakenOut("hem", "centre front"))
    (notice,) = told([tooth(front(), 250), other], [asked], SIDE)
    assert notice.kind == "notches apart"


def test_a_mark_that_was_shifted_or_left_the_edge() -> None:
    piece = with_notches(front(), "side seam", 40, 100)
    down = piece.stitching.edge("side seam")
    along = piece.stitching.chain.tangent(down.place(40))
    away = AlteredPiece(piece, items={200: Shifted(along * 5), 201: Shifted(-100 + 0j)})
    pieces = {"front": piece, "back": back(40, 100)}
    sides = sides_of(SIDE, pieces, {"front": away})
    assert sides is not None
    first = sorted(sides[0].marks(), key=lambda mark: mark.before)
    assert first[0].after == pytest.approx(first[0].before + 5, abs=1e-6)
    assert first[1].after is None
    assert math.isclose(sides[0].lengths[0], sides[0].lengths[1])
