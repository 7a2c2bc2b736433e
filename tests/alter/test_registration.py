"""Laying a linked piece on the one that it follows: which of several fits, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from rules.lengths import Fixed
from rules.model import Linked
from tests.alter.linked_pieces import facing, lining, linked, piece_of, size_of
from tests.builders import front, moved_piece, removal, stretch
from tests.strategies import motions
from transform.alter.problems import AlterError, Asked
from transform.alter.registration import Registration, agreement, register
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Cubic, Line
from transform.pattern.model import Piece
from transform.pattern.outline import Stretch


def laid(piece: Piece, *along: str, on: Piece | None = None, tolerance: float = 0.5) -> Registration:
    asked = Asked("design.gape.yaml", 7, 3, f"{piece.name} follows front", piece)
    return register(asked, front() if on is None else on, along or ("neckline",), tolerance)


def kind_of(error: pytest.ExceptionInfo[AlterError]) -> str:
    (problem,) = error.value.problems
    assert (problem.file, problem.line, problem.column, problem.exit) == ("design.gape.yaml", 7, 3, 3)
    return problem.kind


@settings(deadline=None, max_examples=30)
@given(motions())
def test_a_facing_drawn_anywhere_is_laid_on_its_front(motion: Motion) -> None:
    found = laid(moved_piece(facing(), motion))
    assert found.same_side
    assert found.misfit < 1e-9
    for point in (0j, 300 + 0j, 300j):
        assert abs(found.motion(point) - motion(point)) < 1e-6
    assert agreement(found, front(), moved_piece(facing(), motion)) < 1e-9


def square(name: str, *edges: tuple[str | None, complex]) -> Piece:
    """A four-cornered piece with its shared edge along x, inside below it; its edges with their starts."""
    points = [point for _, point in edges]
    ends = points[1:] + points[:1]
    lines = [Line(a, b) for a, b in zip(points, ends, strict=True)]
    return piece_of(
        name, *(Stretch(Chain((line,)), edge) for (edge, _), line in zip(edges, lines, strict=True))
    )


CORNERS = (0j, 200 + 0j, 200 + 100j, 100j)


def box(name: str, *edges: str | None) -> Piece:
    return square(name, *zip(edges, CORNERS, strict=True))


def test_of_equal_fits_the_one_on_the_same_side_with_the_same_neighbours_is_taken() -> None:
    front_yoke = box("front", "top", "right", "hem", "left")
    found = laid(box("facing", "top", "right", "free", "left"), "top", on=front_yoke)
    assert found.same_side
    assert found.same_way
    assert not found.motion.mirrors
    found = laid(box("facing", "top", "left", "free", "right"), "top", on=front_yoke)
    assert found.same_side
    assert found.motion.mirrors
    assert not found.same_way


def test_one_neighbour_of_the_same_name_is_enough() -> None:
    found = laid(
        box("facing", "top", None, "free", "right"), "top", on=box("front", "top", "right", "hem", "left")
    )
    assert found.motion.mirrors


def test_fits_that_nothing_tells_apart_are_refused() -> None:
    with pytest.raises(AlterError) as error:
        laid(box("facing", "top", "a", "free", "b"), "top", on=box("front", "top", "right", "hem", "left"))
    assert kind_of(error) == "several fits"
    assert "2 ways" in error.value.problems[0].text


def test_the_other_side_is_taken_where_only_that_fits() -> None:
    neck = front().stitching.stretches[0].chain
    collar = piece_of(
        "collar",
        Stretch(neck.reversed(), "neckline"),
        stretch("front end", Line(120j, 100j - 30)),
        stretch("leaf", Line(100j - 30, 50 - 60j), Line(50 - 60j, 60 - 40j)),
        stretch("back end", Line(60 - 40j, 70 + 0j)),
    )
    found = laid(collar)
    assert not found.same_side
    assert found.misfit < 1e-9


def test_edges_that_differ_are_refused_with_the_place_and_the_amount() -> None:
    piece = facing()
    bent = Cubic(120j, 43 + 126j, 70 + 60j, 70 + 0j)
    rows = piece.stitching.stretches
    off = replace(piece, stitching=replace(piece.stitching, stretches=(stretch("neckline", bent), *rows[1:])))
    with pytest.raises(AlterError) as error:
        laid(off)
    assert kind_of(error) == "linked edges differ"
    assert "0.5 mm are allowed" in error.value.problems[0].text
    assert "mm along" in error.value.problems[0].text
    assert laid(off, tolerance=5.0).misfit > 0.5


def test_an_edge_that_is_too_short_differs_at_its_end() -> None:
    with pytest.raises(AlterError) as error:
        laid(
            box("facing", "top", "right", "hem", "left"),
            "top",
            on=square("front", ("top", 0j), ("right", 203 + 0j), ("hem", 203 + 100j), ("left", 100j)),
        )
    assert kind_of(error) == "linked edges differ"
    assert "differs from it by 1.50 mm" in error.value.problems[0].text


@pytest.mark.parametrize(
    ("piece", "along", "whose"), [("facing", "armhole", "facing"), ("lining", "yoke", "front")]
)
def test_an_edge_that_one_of_them_lacks_is_refused(piece: str, along: str, whose: str) -> None:
    with pytest.raises(AlterError) as error:
        laid(facing() if piece == "facing" else lining(), along)
    assert kind_of(error) == "unknown edge"
    assert whose in error.value.problems[0].text


def test_the_rules_tolerance_is_heard() -> None:
    """Through the rules, and by size as any amount: see `rules.lengths`."""
    rows = facing().stitching.stretches
    short = rows[0].chain.cut(0.0, rows[0].chain.length - 1.0)
    piece = facing()
    outline = replace(
        piece.stitching,
        stretches=(
            Stretch(short, "neckline"),
            stretch("shoulder", Line(short.end, rows[1].chain.end)),
            *rows[2:],
        ),
    )
    piece = replace(piece, stitching=outline)
    link: Linked = linked()
    with pytest.raises(AlterError):
        size_of([front(), piece], [removal()], [link])
    result = size_of([front(), piece], [removal()], [replace(link, tolerance=Fixed(1.5))])
    assert [fact.followed for fact in result.removals] == [False, True]
