"""Strips: cut shorter by what their edges have lost, ends and joins kept."""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.lengths import Fixed
from rules.model import Position, Strip, Term
from tests.alter.linked_pieces import band, piece_of, size_of
from tests.builders import front, moved_piece, removal
from tests.strategies import motions
from transform.alter.facts import SizeResult
from transform.alter.problems import AlterError
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Cubic, Line, Segment
from transform.pattern.altered import AlteredPiece, Moved, Redrawn, Shifted
from transform.pattern.model import Dart, Item, Piece, Role, Way
from transform.pattern.outline import Detour, Outline, Stretch

NECK = front().stitching.edge("neckline").length
BINDING = Strip("neck binding", (Term("front", "neckline", 2),), 0.95, Position(12, 5))
LENGTH = 0.95 * 2 * NECK


def cut(piece: Piece, strip: Strip = BINDING, **changes: object) -> tuple[SizeResult, AlteredPiece]:
    result = size_of([front(), piece], [removal(**changes)], (), [strip])
    return result, next(done for done in result.altered if done.piece.name == piece.name)


def lost(result: SizeResult) -> float:
    return 0.95 * 2 * result.removals[0].shortened


def points(outline: Outline | None) -> list[complex]:
    assert outline is not None
    return [segment.start for segment in outline.chain.segments]


def of(points_: Sequence[complex], name: str = "neck binding") -> Piece:
    lines = [Line(a, b) for a, b in zip(points_, [*points_[1:], points_[0]], strict=True)]
    return piece_of(name, Stretch(Chain(tuple(lines)), source=41))


@settings(deadline=None, max_examples=25)
@given(motions(), st.floats(20, 60), st.floats(5, 25))
def test_a_rectangle_gets_shorter_and_stays_a_rectangle(motion: Motion, width: float, amount: float) -> None:
    result, done = cut(moved_piece(band(LENGTH, width), motion), amount=Fixed(amount))
    assert done.stitching is not None
    sides = sorted(abs(segment.end - segment.start) for segment in done.stitching.chain.segments)
    after = LENGTH - lost(result)
    assert sides == pytest.approx([width, width, after, after], abs=1e-6)
    (facts,) = result.strips
    assert (facts.piece, facts.before) == ("neck binding", pytest.approx(LENGTH))
    assert facts.after == pytest.approx(after)
    assert result.notices == ()
    corners = done.stitching.chain.segments
    for one, other in zip(corners, (*corners[1:], corners[0]), strict=True):
        turn = cmath.phase(other.derivative(0) / one.derivative(1))
        assert abs(turn) == pytest.approx(cmath.pi / 2)


def test_one_end_stays_where_it_is() -> None:
    result, done = cut(band(LENGTH, 40))
    after = LENGTH - lost(result)
    assert points(done.stitching) == pytest.approx([0j, after, after + 40j, 40j])


def test_slanting_ends_keep_their_slant() -> None:
    """A bias strip: its length is that of its middle, whatever the ends."""
    slant = of([0j, LENGTH + 0j, LENGTH + 40 + 40j, 40 + 40j])
    result, done = cut(slant)
    after = LENGTH - lost(result)
    assert points(done.stitching) == pytest.approx([0j, after, after + 40 + 40j, 40 + 40j])
    assert result.strips[0].before == pytest.approx(LENGTH)


def test_curves_are_cut_at_the_slab_and_joined() -> None:
    """The long sides are cubics that run straight, as some programs draw every line."""
    third = (LENGTH + 0j) / 3
    top: Segment = Cubic(0j, third, 2 * third, LENGTH + 0j)
    low: Segment = Cubic(LENGTH + 40j, 40j + 2 * third, 40j + third, 40j)
    sides: tuple[Segment, ...] = (top, Line(LENGTH + 0j, LENGTH + 40j), low, Line(40j, 0j))
    result, done = cut(piece_of("neck binding", Stretch(Chain(sides))))
    assert done.stitching is not None
    chain = done.stitching.chain
    assert chain.length == pytest.approx(2 * (LENGTH - lost(result)) + 80, abs=1e-6)
    gaps = [abs(a.end - b.start) for a, b in zip(chain.segments, chain.segments[1:], strict=False)]
    assert max(gaps) < 1e-9
    assert [type(s) for s in chain.segments] == [Cubic, Cubic, Line, Cubic, Cubic, Line]


@pytest.mark.parametrize("curved", [False, True])
def test_a_strip_grows_where_its_edge_has_grown(curved: bool) -> None:
    """Opened beyond a seam an edge may get longer: here, through a strip that follows a strip."""
    sides = list(band(100, 30, name="stay").stitching.chain.segments)
    if curved:
        sides[0] = Cubic(0j, 30 + 0j, 70 + 0j, 100 + 0j)
    stay = piece_of("stay", Stretch(Chain(tuple(sides)), "whole"))
    # The strip before it gets shorter by 0.95 x 2 x the loss on each of two long sides.
    binding = replace(band(LENGTH, 40), stitching=named(band(LENGTH, 40)))
    result = size_of(
        [front(), binding, stay],
        [removal()],
        (),
        [BINDING, replace(BINDING, strip="stay", follows=(Term("neck binding", "rim"),), ratio=-0.1)],
    )
    first, second = result.strips
    grown = second.after - second.before
    assert grown == pytest.approx(0.1 * 2 * (first.before - first.after))
    done = next(d for d in result.altered if d.piece.name == "stay").stitching
    assert done is not None
    assert done.chain.length == pytest.approx(260 + 2 * grown, abs=1e-6)


def named(piece: Piece) -> Outline:
    (whole,) = piece.stitching.stretches
    return Outline((replace(whole, edge="rim"),))


def test_the_cut_line_is_cut_with_it() -> None:
    piece = band(LENGTH, 40)
    outer = of([-10 - 10j, LENGTH + 10 - 10j, LENGTH + 10 + 50j, -10 + 50j]).stitching
    result, done = cut(replace(piece, cut=outer))
    after = LENGTH - lost(result)
    assert points(done.cut) == pytest.approx([-10 - 10j, after + 10 - 10j, after + 10 + 50j, -10 + 50j])


def test_what_lies_on_the_strip() -> None:
    def line(element: int, a: complex, b: complex, role: Role | None = None) -> Item:
        way = Way.WHOLE if role is Role.NOTCHES else Way.CUT
        return Item(element, role, None, way, (a + b) / 2, (Chain((Line(a, b),)),))

    items = (
        line(51, 20 + 0j, 20 + 40j),  # a join near the end that stays
        line(52, LENGTH - 20 + 0j, LENGTH - 20 + 40j),  # and one near the other
        line(53, 10 + 20j, LENGTH - 10 + 20j),  # a fold along the whole
        line(54, LENGTH / 4 + 0j, LENGTH / 4 + 5j, Role.NOTCHES),
        Item(55, None, "neck binding", Way.UPRIGHT, LENGTH * 0.9 + 20j),
        Item(56, None, "cut 1", Way.UPRIGHT, LENGTH * 0.1 + 20j),
        Item(57, Role.GRAINLINE, None, Way.WHOLE, LENGTH / 2 + 20j),
        replace(line(58, LENGTH - 5 + 0j, LENGTH - 5 + 40j), shared=True),
        Item(59, None, None, Way.CUT, 5j, ()),
        line(60, 0j, 0j, Role.NOTCHES),
    )
    result, done = cut(replace(band(LENGTH, 40), items=items))
    shift = -lost(result)
    changes = done.items
    assert set(changes) == {52, 53, 54, 55, 57}
    assert changes[52] == Moved(Motion(shift=complex(shift)))
    redrawn = changes[53]
    assert isinstance(redrawn, Redrawn)
    (((whole,),),) = [[list(chain.segments) for chain in row] for row in redrawn.chains]
    assert whole.end == pytest.approx(LENGTH - 10 + 20j + shift)
    moved = changes[54]
    assert isinstance(moved, Moved)
    assert moved.motion.shift == pytest.approx(shift / 4)
    assert changes[55] == Shifted(complex(shift))
    middle = changes[57]
    assert isinstance(middle, Moved)
    assert middle.motion.shift == pytest.approx(shift / 2)


def test_the_slab_keeps_clear_of_joins() -> None:
    """A join in the middle: it stays whole, and so do both halves' own ends."""
    middle = Chain((Line(LENGTH / 2 - 20 + 0j, LENGTH / 2 + 20 + 40j),))
    items = (Item(51, None, "join", Way.CUT, LENGTH / 2 + 20j, (middle,)),)
    result, done = cut(replace(band(LENGTH, 40), items=items))
    change = done.items.get(51)
    assert change is None or change == Moved(Motion(shift=complex(-lost(result))))


def test_a_strip_on_the_fold_is_drawn_by_half() -> None:
    half = band(LENGTH / 2, 40)
    for fold, kept in ((Line(0j, 40j), 0.0), (Line(LENGTH / 2 + 0j, LENGTH / 2 + 40j), LENGTH / 2)):
        result, done = cut(replace(half, fold=Chain((fold,))))
        xs = [p.real for p in points(done.stitching)]
        assert kept in (pytest.approx(min(xs)), pytest.approx(max(xs)))
        assert max(xs) - min(xs) == pytest.approx((LENGTH - lost(result)) / 2)
        assert result.notices == ()
        assert result.strips[0].after == pytest.approx((LENGTH - lost(result)) / 2)


def test_a_fold_along_the_strip_or_one_that_is_drawn_whole_changes_nothing() -> None:
    lengthwise = replace(band(LENGTH, 40), fold=Chain((Line(0j, LENGTH + 0j),)))
    result, _ = cut(lengthwise)
    assert result.strips[0].after == pytest.approx(LENGTH - lost(result))
    whole = replace(band(LENGTH, 40), fold=Chain((Line(0j, 40j),)))
    result, _ = cut(whole)
    assert result.strips[0].after == pytest.approx(LENGTH - lost(result))


def test_notches_drawn_into_the_line_keep_their_share() -> None:
    piece = band(LENGTH, 40)
    tooth = Chain((Line(LENGTH / 4 - 2 + 0j, LENGTH / 4 + 4j), Line(LENGTH / 4 + 4j, LENGTH / 4 + 2 + 0j)))
    outline = replace(piece.stitching, detours=(Detour(LENGTH / 4 - 2, 4.0, tooth),))
    result, done = cut(replace(piece, stitching=outline))
    assert done.stitching is not None
    (detour,) = done.stitching.detours
    assert detour.place == pytest.approx(LENGTH / 4 - 2 - lost(result) / 4, abs=0.01)


def test_a_strip_that_did_not_fit_is_told_and_shortened_all_the_same() -> None:
    result, _ = cut(band(LENGTH + 3, 40))
    (notice,) = result.notices
    assert (notice.kind, notice.piece) == ("strip was off before", "neck binding")
    assert result.strips[0].after == pytest.approx(LENGTH + 3 - lost(result))
    assert cut(band(LENGTH + 0.9, 40))[0].notices == ()


def test_an_edge_that_was_not_altered_counts_with_its_whole_length() -> None:
    both = (Term("front", "neckline", 2), Term("back", "nape"))
    nape = piece_of(
        "back",
        Stretch(Chain((Line(0j, 80 + 0j),)), "nape"),
        Stretch(Chain((Line(80 + 0j, 90j), Line(90j, 0j)))),
    )
    result = size_of(
        [front(), nape, band(LENGTH + 76, 40)], [removal()], (), [replace(BINDING, follows=both)]
    )
    assert result.notices == ()
    assert result.strips[0].after == pytest.approx(LENGTH + 76 - lost(result))


def bowed(rise: float) -> Piece:
    """A band whose long sides are drawn as curves that rise by about ``rise`` mm."""
    third = LENGTH / 3 + 0j
    h = rise * 4j / 3
    top = Cubic(0j, third - h, 2 * third - h, LENGTH + 0j)
    low = Cubic(LENGTH + 40j, 2 * third + 40j - h, third + 40j - h, 40j)
    return piece_of(
        "neck binding", Stretch(Chain((top, Line(LENGTH + 0j, LENGTH + 40j), low, Line(40j, 0j))))
    )


def test_a_band_that_is_hardly_bowed_is_joined_and_one_that_is_more_is_refused() -> None:
    result, done = cut(bowed(0.005))
    assert done.stitching is not None
    segments = done.stitching.chain.segments
    following = (*segments[1:], segments[0])
    assert max(abs(a.end - b.start) for a, b in zip(segments, following, strict=True)) < 1e-9
    assert result.strips[0].after < LENGTH
    joins = tuple(
        Item(70 + k, None, None, Way.CUT, 0j, (Chain((Line(x + 0j, x + 40j),)),))
        for k, x in enumerate(range(0, int(LENGTH) - 30, 5))
    )
    assert refused([replace(bowed(3.0), items=joins)]) == ["no room in the strip"]


def test_a_strip_whose_edges_lost_nothing_is_told_and_stays() -> None:
    strip = replace(BINDING, follows=(Term("front", "hem"),), ratio=1.0)
    length = front().stitching.edge("hem").length
    result = size_of([front(), band(length, 40)], [removal()], (), [strip])
    assert [notice.kind for notice in result.notices] == ["link receives nothing"]
    assert result.strips[0].before == result.strips[0].after == pytest.approx(length)
    assert [done.piece.name for done in result.altered] == ["front"]


def refused(pieces: Sequence[Piece], strip: Strip = BINDING, *more: Strip) -> list[str]:
    with pytest.raises(AlterError) as error:
        size_of([front(), *pieces], [removal()], (), [strip, *more])
    assert {(p.line, p.column, p.exit) for p in error.value.problems} == {(12, 5, 3)}
    return [problem.kind for problem in error.value.problems]


def test_what_cannot_be_cut_is_refused() -> None:
    assert refused([]) == ["unknown piece"]
    assert refused([band(LENGTH, 40)], replace(BINDING, follows=(Term("back", "neckline"),))) == [
        "unknown piece"
    ]
    assert refused([band(LENGTH, 40)], replace(BINDING, follows=(Term("front", "nape"),))) == ["unknown edge"]
    assert refused([replace(band(LENGTH, 40), size=None)]) == ["piece outside the sizes"]
    assert refused([band(LENGTH, 40)], BINDING, BINDING) == ["strip is altered otherwise"]
    assert refused([], replace(BINDING, strip="front")) == ["strip is altered otherwise"]
    tuck = Dart("tuck", 10 + 10j, (0j, 5 + 0j), (0.0, 5.0), drawn_in=False, capped=False)
    assert refused([replace(band(LENGTH, 40), darts=(tuck,))]) == ["strip is altered otherwise"]


def test_a_strip_without_room_between_its_joins_is_refused() -> None:
    joins = tuple(
        Item(70 + k, None, None, Way.CUT, 0j, (Chain((Line(x + 0j, x + 40j),)),))
        for k, x in enumerate(range(0, int(LENGTH), 5))
    )
    assert refused([replace(band(LENGTH, 40), items=joins)]) == ["no room in the strip"]


def test_a_band_that_is_curved_is_refused() -> None:
    bow = (Cubic(0j, LENGTH / 3 - 30j, LENGTH * 2 / 3 - 30j, LENGTH + 0j), Line(LENGTH + 0j, LENGTH + 40j))
    back = (Cubic(LENGTH + 40j, LENGTH * 2 / 3 + 10j, LENGTH / 3 + 10j, 40j), Line(40j, 0j))
    assert refused([piece_of("neck binding", Stretch(Chain((*bow, *back))))]) == ["no room in the strip"]
