"""What lies on the piece: notches, marks, text, pictures and inner lines, on either part and in the wedge."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from rules.lengths import Fixed
from rules.model import DartPivot, KnownDart, TakenOut
from tests.builders import APEX, altered, front, front_with_dart, removal, result_piece
from transform.geometry.chain import Chain
from transform.geometry.nearest import nearest
from transform.geometry.segments import Arc, Line
from transform.pattern.altered import Moved, Redrawn, Removed, Shifted
from transform.pattern.model import Item, Piece, Role, Way
from transform.pattern.outline import Detour


def with_items(*items: Item, piece: Piece | None = None) -> Piece:
    return replace(piece or front(), items=items)


def line(*points: complex, closed: bool = False) -> Chain:
    row = [*points, points[0]] if closed else list(points)
    return Chain(tuple(Line(a, b) for a, b in pairwise(row)), closed)


def item(
    element: int, way: Way, place: complex, *chains: Chain, role: Role | None = None, **more: object
) -> Item:
    return replace(Item(element, role, None, way, place, chains), **more)  # type: ignore[arg-type]


def turned(point: complex) -> complex:
    """Where the shoulder's part goes: the rotation is told by the new shoulder."""
    after = result_piece(altered(front(), removal()))
    shoulder = next(s.chain for s in after.stitching.stretches if s.edge == "shoulder")
    old = next(s.chain for s in front().stitching.stretches if s.edge == "shoulder")
    turn = (shoulder.end - shoulder.start) / (old.end - old.start)
    return APEX + (point - APEX) * turn


def test_marks_go_with_their_part_and_stay_on_the_held_one() -> None:
    piece = with_items(
        item(1, Way.WHOLE, 130 + 21j, line(130 + 21j, 132 + 14j), role=Role.NOTCHES),
        item(2, Way.WHOLE, 234 + 480j, line(230 + 480j, 238 + 480j), role=Role.NOTCHES),
        item(3, Way.UPRIGHT, 150 + 120j),
        item(4, Way.TRANSFORM, 150 + 150j),
        item(5, Way.WHOLE, APEX, line(APEX - 3, APEX + 3), role=Role.APEX_MARK),
        item(6, Way.TRANSFORM, 150 + 150j, shared=True),
    )
    changes = altered(piece, removal()).altered[0].items
    assert set(changes) == {1, 3, 4}
    notch, text, picture = changes[1], changes[3], changes[4]
    assert isinstance(notch, Moved)
    assert notch.motion(130 + 21j) == pytest.approx(turned(130 + 21j), abs=1e-6)
    assert isinstance(text, Shifted)
    assert 150 + 120j + text.vector == pytest.approx(turned(150 + 120j), abs=1e-9)
    assert isinstance(picture, Moved)
    assert abs(picture.motion.turn) == pytest.approx(1)


def test_a_notch_in_the_wedge_goes_to_the_closure_with_a_notice() -> None:
    piece = front()
    neckline = piece.stitching.edge("neckline")
    place = piece.stitching.chain.point(neckline.place(neckline.length - 70))
    result = altered(
        with_items(item(1, Way.WHOLE, place, line(place, place + 5), role=Role.NOTCHES)), removal()
    )
    (notice,) = [n for n in result.notices if n.kind == "mark in the wedge"]
    assert "neck gape" in notice.text
    change = result.altered[0].items[1]
    assert isinstance(change, Moved)
    after = result_piece(result)
    assert nearest(after.stitching.chain, change.motion(place))[1] < 1e-6


def test_an_inner_line_across_the_wedge_is_cut_at_both_legs_and_rejoined() -> None:
    across = line(20 + 170j, 150 + 100j)
    change = altered(with_items(item(1, Way.CUT, 0j, across)), removal()).altered[0].items[1]
    assert isinstance(change, Redrawn)
    ((new,),) = change.chains
    assert new.start == 20 + 170j
    assert new.end == pytest.approx(turned(150 + 100j), abs=1e-9)
    assert across.length - 20 < new.length < across.length - 3
    assert all(abs(a.end - b.start) < 1e-9 for a, b in pairwise(new.segments))


def test_an_inner_line_across_the_mouth_is_split() -> None:
    down = line(180 + 200j, 180 + 400j)
    change = altered(with_items(item(1, Way.CUT, 0j, down)), removal()).altered[0].items[1]
    assert isinstance(change, Redrawn)
    (parts,) = change.chains
    assert len(parts) == 2
    assert parts[1].end == 180 + 400j
    assert parts[0].start == pytest.approx(turned(180 + 200j), abs=1e-9)
    assert parts[0].length + parts[1].length == pytest.approx(200)
    assert abs(parts[0].end - parts[1].start) > 2


def test_inner_lines_on_one_part_move_whole_or_not_at_all() -> None:
    piece = with_items(
        item(1, Way.CUT, 0j, line(150 + 100j, 160 + 120j)), item(2, Way.CUT, 0j, line(50 + 500j, 90 + 500j))
    )
    changes = altered(piece, removal()).altered[0].items
    assert isinstance(changes[1], Moved)
    assert 2 not in changes


def test_an_inner_shape_in_the_wedge_is_removed_with_a_notice() -> None:
    facts = altered(front(), removal()).removals[0]
    middle = (facts.legs[0] + facts.legs[1]) / 2
    inside = middle + (APEX - middle) * 0.2
    small = line(inside - 1, inside + 1, inside + 1j, closed=True)
    result = altered(with_items(item(1, Way.CUT, 0j, small)), removal())
    assert result.altered[0].items[1] == Removed()
    assert "inner line in the wedge" in {n.kind for n in result.notices}


def test_a_closed_inner_line_across_the_wedge_stays_closed_and_across_the_mouth_opens() -> None:
    facts = altered(front(), removal()).removals[0]
    middle = (facts.legs[0] + facts.legs[1]) / 2
    centre = middle + (APEX - middle) * 0.4
    circle = Chain(
        tuple(
            Arc(centre + a * 15, centre + b * 15, 15, 15, 0, large=False, sweep=True)
            for a, b in ((1, 1j), (1j, -1), (-1, -1j), (-1j, 1))
        ),
        closed=True,
    )
    pocket = line(150 + 250j, 200 + 250j, 200 + 350j, 150 + 350j, closed=True)
    piece = with_items(item(1, Way.CUT, 0j, circle), item(2, Way.CUT, 0j, pocket))
    changes = altered(piece, removal()).altered[0].items
    ring, square = changes[1], changes[2]
    assert isinstance(ring, Redrawn)
    ((new,),) = ring.chains
    assert new.closed
    assert new.length < circle.length
    assert abs(new.end - new.start) < 1e-9
    assert isinstance(square, Redrawn)
    (parts,) = square.chains
    assert [part.closed for part in parts] == [False, False]
    assert sum(part.length for part in parts) == pytest.approx(pocket.length)


def test_corner_marks_stand_on_their_corners_after_the_hem_was_raised() -> None:
    piece = front()
    outline = replace(piece.stitching, corners={"side hem": piece.stitching.edge("hem").begin})
    mark = item(
        1, Way.WHOLE, 230 + 600j, line(228 + 600j, 232 + 600j), role=Role.CORNER_MARKS, corner="side hem"
    )
    piece = replace(piece, stitching=outline, items=(mark,))
    result = altered(piece, removal(finish=TakenOut("hem", "centre front")))
    after = result_piece(result)
    change = result.altered[0].items[1]
    assert isinstance(change, Moved)
    corner = after.stitching.chain.point(after.stitching.corners["side hem"])
    assert change.motion(230 + 600j) == pytest.approx(corner, abs=1e-6)
    assert corner == pytest.approx(after.stitching.chain.point(after.stitching.edge("hem").begin), abs=1e-6)
    assert corner.imag < 599


def test_a_notch_drawn_into_the_line_goes_with_it() -> None:
    piece = front()
    armhole = piece.stitching.edge("armhole")
    place = armhole.place(60)
    base = piece.stitching.chain.point(place)
    slit = Chain((Line(base, base - 4), Line(base - 4, base)))
    outline = replace(piece.stitching, detours=(Detour(place, 0.0, slit),))
    after = result_piece(altered(replace(piece, stitching=outline), removal()))
    (detour,) = after.stitching.detours
    assert detour.chain.start == pytest.approx(turned(base), abs=1e-6)
    assert after.stitching.chain.point(detour.place) == pytest.approx(detour.chain.start, abs=1e-6)


def test_another_dart_moves_with_its_part() -> None:
    piece = front_with_dart()
    waist = replace(piece.darts[0], name="shoulder dart", point=130 + 90j, legs=(126 + 20j, 136 + 23j))
    piece = replace(piece, darts=(*piece.darts, waist))
    asked = removal(pivot=DartPivot("bust dart"), opens=(KnownDart("bust dart"),), amount=Fixed(10))
    done = altered(piece, asked).altered[0].darts
    moved = done["shoulder dart"]
    assert abs(moved.point - waist.point) > 1
    assert abs(moved.legs[0] - moved.point) == pytest.approx(abs(waist.legs[0] - waist.point))
    assert done["bust dart"].elements == (21,)
