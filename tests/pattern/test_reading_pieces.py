"""One piece in each of the styles in which it may be drawn."""

from __future__ import annotations

import pytest

from rules.lengths import Fixed
from rules.model import Allowance, EdgePath, Rules
from rules.problems import UngapeError
from tests.pattern.sketches import (
    CORNERS,
    EDGES,
    LEGS,
    LENGTHS,
    MARKS,
    POINT,
    RULED,
    corner_marks,
    dart_layer,
    dart_marks,
    front,
    labelled_line,
    layer,
    outline,
    path,
    polygon,
    read,
)
from transform.geometry.chain import Chain, area_within
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line, Segment
from transform.pattern.model import Piece, Role, Way


def only(text: str, rules: Rules | None = None) -> Piece:
    (piece,) = read(text, rules).pieces
    return piece


def assert_is_the_front(piece: Piece) -> None:
    assert (piece.name, piece.size) == ("front", "12")
    assert {name: piece.stitching.edge(name).length for name in piece.stitching.edge_names} == pytest.approx(
        LENGTHS
    )
    assert area_within(piece.stitching.chain) > 0
    (dart,) = piece.darts
    assert dart.name == "bust dart"
    assert abs(dart.point - POINT) < 1e-9
    assert dart.legs == pytest.approx(LEGS)
    assert (dart.capped, dart.drawn_in) == (True, False)
    assert piece.stitching.mouth_of("bust dart") == pytest.approx(dart.mouth)
    chain = piece.stitching.chain
    assert (chain.point(dart.mouth[0]), chain.point(dart.mouth[1])) == pytest.approx(LEGS)


def test_open_labelled_shapes() -> None:
    piece = only(front(labelled_line(), dart_layer()))
    assert_is_the_front(piece)
    assert piece.stitching_drawn
    assert piece.cut is None
    assert all(not s.flipped for s in piece.stitching.stretches)
    assert len({s.source for s in piece.stitching.stretches}) == len(EDGES)


def test_one_closed_shape_with_corner_marks() -> None:
    text = front(layer("stitching line", path(outline())), corner_marks(), dart_layer())
    piece = only(text, Rules("r", edges=RULED))
    assert_is_the_front(piece)
    chain = piece.stitching.chain
    assert {name: chain.point(place) for name, place in piece.stitching.corners.items()} == pytest.approx(
        CORNERS
    )
    assert len({s.source for s in piece.stitching.stretches}) == 1


def test_a_cut_line_alone_is_the_stitching_line_where_no_allowance_is_given() -> None:
    piece = only(front(labelled_line(label="cut line"), dart_layer()))
    assert_is_the_front(piece)
    assert not piece.stitching_drawn
    assert piece.cut is not None
    assert piece.cut.chain == piece.stitching.chain
    assert all(s.source is None for s in piece.stitching.stretches)


def test_a_cut_line_alone_is_carried_in_edge_by_edge_and_never_at_the_fold() -> None:
    allowance = Allowance(
        Fixed(10), {"neckline": Fixed(6), "front/hem": Fixed(20), "back/shoulder": Fixed(99)}
    )
    text = front(labelled_line(label="cut line"), dart_layer(), MARKS)
    piece = only(text, Rules("r", allowance=allowance))
    wanted = {"neckline": 6.0, "hem": 20.0, "centre front": 0.0}
    cut = outline()
    for stretch in (s for s in piece.stitching.stretches if s.dart is None):
        inner = stretch.chain.point(stretch.chain.length / 2)
        assert nearest(cut, inner)[1] == pytest.approx(wanted.get(stretch.edge or "", 10.0), abs=0.02)
    (dart,) = piece.darts
    chain = piece.stitching.chain
    assert (chain.point(dart.mouth[0]), chain.point(dart.mouth[1])) == pytest.approx(dart.legs)
    for leg, drawn in zip(dart.legs, LEGS, strict=True):
        assert abs(((leg - POINT) * (drawn - POINT).conjugate()).imag) / abs(drawn - POINT) < 0.06
        assert 9 < abs(leg - drawn) < 12
    assert piece.stitching.edge("side seam").length < LENGTHS["side seam"]


def test_items_know_how_they_follow() -> None:
    piece = only(front(labelled_line(), dart_layer(), MARKS))
    ways = {(item.role, item.way) for item in piece.items}
    assert ways == {
        (Role.APEX_MARK, Way.TRANSFORM),
        (Role.NOTCHES, Way.WHOLE),
        (Role.NOTCHES, Way.TRANSFORM),
        (Role.GRAINLINE, Way.WHOLE),
        (Role.FOLD_LINE, Way.CUT),
        (None, Way.CUT),
        (None, Way.UPRIGHT),
        (None, Way.TRANSFORM),
    }
    assert piece.apexes == {"": 95 + 205j}
    assert piece.grain == (40 + 120j, 40 + 350j)
    assert piece.fold is not None
    assert (piece.fold.start, piece.fold.end) == (0 + 70j, 0 + 390j)
    by_label = {item.label: item for item in piece.items}
    assert by_label["style line"].chains == (Chain((Line(20 + 100j, 150 + 300j),)),)
    assert by_label["pocket"].place == 85 + 320j
    (text,) = [item for item in piece.items if item.way is Way.UPRIGHT]
    assert text.place == 30 + 200j
    notch = next(item for item in piece.items if item.role is Role.NOTCHES and item.way is Way.WHOLE)
    assert notch.place == 120 + 10j
    grain = next(item for item in piece.items if item.role is Role.GRAINLINE)
    assert grain.place == 40 + 235j


def test_both_lines_and_marks_on_the_stitching_line() -> None:
    cut = polygon(-10 - 15j, 215 - 15j, 215 + 415j, -10 + 415j)
    piece = only(front(layer("cut line", path(cut)), labelled_line(), corner_marks(), dart_layer()))
    assert_is_the_front(piece)
    assert piece.cut is not None
    assert piece.cut.chain.length == pytest.approx(cut.length)
    assert piece.stitching.corners.keys() == CORNERS.keys()
    assert {item.corner for item in piece.items} == CORNERS.keys()


def drawn_in() -> list[tuple[str, tuple[Segment, ...]]]:
    legs: tuple[Segment, ...] = (Line(LEGS[0], POINT), Line(POINT, LEGS[1]))
    return [(name, legs if name == "bust dart" else segments) for name, segments in EDGES]


def test_a_dart_drawn_into_a_labelled_outline() -> None:
    piece = only(front(labelled_line(drawn_in())))
    (dart,) = piece.darts
    assert (dart.name, dart.drawn_in, dart.capped, dart.point, dart.legs) == (
        "bust dart",
        True,
        False,
        POINT,
        LEGS,
    )
    assert "bust dart" not in piece.stitching.edge_names
    assert piece.stitching.edge("side seam").length == pytest.approx(LENGTHS["side seam"])


def test_a_dart_drawn_into_the_outline_by_two_shapes() -> None:
    split = [(name, (s,)) for name, segments in drawn_in() for s in segments]
    (dart,) = only(front(labelled_line(split))).darts
    assert (dart.point, dart.legs, dart.drawn_in) == (POINT, LEGS, True)


def test_a_dart_drawn_into_one_closed_shape_by_its_three_corners() -> None:
    whole = Chain(tuple(s for _, segments in drawn_in() for s in segments), closed=True)
    ruled = {"front": (*RULED["front"], EdgePath("bust dart", (("upper leg", "dart point", "lower leg"),)))}
    text = front(layer("stitching line", path(whole)), corner_marks({**CORNERS, "dart point": POINT}))
    piece = only(text, Rules("r", edges=ruled))
    (dart,) = piece.darts
    assert (dart.point, dart.legs, dart.drawn_in) == (POINT, LEGS, True)
    assert piece.stitching.edge("side seam").length == pytest.approx(LENGTHS["side seam"])


def test_a_dart_drawn_into_the_outline_and_in_its_layer_too() -> None:
    piece = only(front(labelled_line(drawn_in()), dart_layer()))
    (dart,) = piece.darts
    assert dart.drawn_in
    assert len(dart.elements) == 1


def test_a_mouth_that_one_shape_of_the_side_seam_crosses_straight() -> None:
    edges = [(n, s) for n, s in EDGES if n not in ("side seam", "bust dart")]
    edges.insert(3, ("side seam", (Line(200 + 150j, 190 + 400j),)))
    on = Line(200 + 150j, 190 + 400j)
    legs = on.point(0.2), on.point(0.3)
    piece = only(front(labelled_line(edges), dart_layer(legs=legs)))
    (dart,) = piece.darts
    assert not dart.capped
    assert [(s.edge, s.dart) for s in piece.stitching.stretches if s.edge == "side seam" or s.dart] == [
        ("side seam", None),
        (None, "bust dart"),
        ("side seam", None),
    ]
    assert piece.stitching.edge("side seam").length == pytest.approx(
        on_length := abs(on.end - on.start) * 0.9
    )
    assert on_length > 200


def test_a_piece_outside_all_sizes_and_marks_outside_all_sizes() -> None:
    belt = layer("belt", layer("cut line", '<rect x="300" y="20" width="40" height="200"/>'))
    shared = layer("front", layer("apex mark", '<circle cx="95" cy="205" r="2"/>'))
    reading = read(front(labelled_line(), dart_layer(), head=belt + shared))
    assert [(p.name, p.size) for p in reading.pieces] == [("belt", None), ("front", "12")]
    front_piece = reading.pieces[1]
    assert front_piece.apexes == {"": 95 + 205j}
    assert [item.shared for item in front_piece.items] == [True]
    assert reading.sizes == ("12",)


def test_darts_within_the_piece_are_inner_lines() -> None:
    fish = polygon(100 + 250j, 106 + 300j, 100 + 360j, 94 + 300j)
    piece = only(front(labelled_line(), layer("darts", path(fish, "waist dart")), dart_layer()))
    assert [dart.name for dart in piece.darts] == ["bust dart"]
    (item,) = piece.items
    assert (item.role, item.way, item.label) == (Role.DARTS, Way.CUT, "waist dart")


def test_darts_without_names_are_numbered() -> None:
    shape = path(Chain((Line(LEGS[0], POINT), Line(POINT, LEGS[1]))))
    assert [d.name for d in only(front(labelled_line(), layer("darts", shape))).darts] == ["dart"]
    hem = EDGES[6][1][0]
    other = path(Chain((Line(hem.point(0.4), 100 + 330j), Line(100 + 330j, hem.point(0.5)))))
    assert [d.name for d in only(front(labelled_line(), layer("darts", shape, other))).darts] == [
        "dart 1",
        "dart 2",
    ]


def test_dart_of_several_shapes_with_its_fold_line() -> None:
    shapes = [path(Chain((Line(leg, POINT),)), "bust dart") for leg in LEGS]
    fold_line = path(Chain((Line(POINT, 199 + 215j),)), "bust dart")
    (dart,) = only(front(labelled_line(), layer("darts", *shapes, fold_line))).darts
    assert (dart.point, len(dart.elements)) == (POINT, 3)
    assert dart.legs == pytest.approx(LEGS)


def test_a_dart_beside_the_point_of_one_that_is_drawn_into_the_outline() -> None:
    waist = 95 + 225j
    hem: list[tuple[str, tuple[Segment, ...]]] = [
        ("hem", (Line(190 + 400j, 120 + 400j),)),
        ("waist dart", (Line(120 + 400j, waist), Line(waist, 100 + 400j))),
        ("hem", (Line(100 + 400j, 400j),)),
    ]
    at = next(k for k, (name, _) in enumerate(EDGES) if name == "hem")
    edges = [*EDGES[:at], *hem, *EDGES[at + 1 :]]
    piece = only(front(labelled_line(edges), dart_layer()))
    assert {dart.name: dart.point for dart in piece.darts} == {"bust dart": POINT, "waist dart": waist}


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 0, 2)])
def test_a_dart_marked_by_three_small_shapes(order: tuple[int, int, int]) -> None:
    shapes = dart_marks(POINT, LEGS)
    (dart,) = only(front(labelled_line(), layer("darts", *(shapes[k] for k in order)))).darts
    assert dart.point == pytest.approx(POINT, abs=1e-6)
    assert dart.legs == pytest.approx(LEGS, abs=1e-6)
    assert (dart.drawn_in, dart.capped) == (False, True)


def test_marks_that_miss_the_outline_are_told() -> None:
    off = (LEGS[0] - 2, LEGS[1])
    with pytest.raises(UngapeError, match="needs two leg ends on the stitching line"):
        read(front(labelled_line(), layer("darts", *dart_marks(POINT, off))))


def test_a_very_small_dart_is_still_drawn_by_its_lines() -> None:
    ends, point = (298j, 302j, 300j), 8 + 300j
    lines = layer("darts", *(path(Chain((Line(end, point),)), "tuck") for end in ends))
    (dart,) = only(front(labelled_line(), lines)).darts
    assert dart.point == pytest.approx(point)


def test_legs_drawn_on_into_the_allowance_end_where_they_cross_the_stitching_line() -> None:
    long = tuple(POINT + (leg - POINT) * 1.15 for leg in LEGS)
    (dart,) = only(front(labelled_line(), dart_layer(legs=(long[0], long[1])))).darts
    assert dart.legs == pytest.approx(LEGS, abs=0.5)


@pytest.mark.parametrize(
    ("legs", "point", "said"),
    [
        ((190 + 200j, 188 + 225j), POINT, "needs two leg ends on the stitching line, within 0.5 mm"),
        (LEGS, 196.6 + 212j, "has no point within the piece"),
    ],
)
def test_a_dart_that_is_none_is_said(legs: tuple[complex, complex], point: complex, said: str) -> None:
    with pytest.raises(UngapeError, match=said) as error:
        read(front(labelled_line(), dart_layer(point, legs)))
    (problem,) = error.value.problems
    assert (problem.kind, problem.exit, problem.file) == ("dart", 3, "front.svg")
    assert "front" in problem.element


def test_an_edge_too_short_for_its_allowance_is_said() -> None:
    with pytest.raises(UngapeError, match=r"carried in by 80\.0 mm"):
        read(front(labelled_line(label="cut line")), Rules("r", allowance=Allowance(Fixed(80))))
