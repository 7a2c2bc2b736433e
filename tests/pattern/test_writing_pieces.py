"""Altered pieces written back: nothing asked, nothing changed; what moved is read again where it went."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.lengths import Fixed
from rules.model import Allowance, Rules
from rules.problems import UngapeError
from tests.pattern.sketches import (
    CORNERS,
    EDGES,
    LEGS,
    MARKS,
    POINT,
    RULED,
    Frame,
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
    turned,
)
from transform.geometry.chain import Chain
from transform.geometry.motion import STAY, Motion
from transform.geometry.segments import Line, Segment
from transform.pattern.altered import AlteredPiece, Change, Moved, Redrawn, Removed, Shifted
from transform.pattern.model import Dart, Item, Piece
from transform.pattern.outline import Outline, Stretch
from transform.pattern.reading import Reading
from transform.pattern.writing import edits_for
from transform.svg.splice import Edit, splice

CUT = polygon(-10 - 15j, 215 - 15j, 215 + 415j, -10 + 415j)
STYLES = {
    "labelled": (front(labelled_line(), dart_layer(), MARKS), Rules("r")),
    "one shape": (
        front(layer("stitching line", path(outline())), corner_marks(), dart_layer(), MARKS),
        Rules("r", edges=RULED),
    ),
    "one shape, drawn the other way": (
        front(layer("stitching line", path(outline().reversed())), corner_marks(), dart_layer(), MARKS),
        Rules("r", edges=RULED),
    ),
    "cut line only": (
        front(layer("cut line", path(outline())), corner_marks(), dart_layer(), MARKS),
        Rules("r", edges=RULED, allowance=Allowance(Fixed(10))),
    ),
    "both lines": (
        front(layer("cut line", path(CUT)), labelled_line(), corner_marks(), dart_layer()),
        Rules("r"),
    ),
}
styles = pytest.mark.parametrize("style", STYLES)


def moved_outline(line: Outline, motion: Motion) -> Outline:
    """The outline after a rigid motion, kept on the side of ``1j * tangent``."""
    stretches = [replace(s, chain=s.chain.moved(motion)) for s in line.stretches]
    detours = [replace(d, chain=d.chain.moved(motion)) for d in line.detours]
    return replace(line, stretches=tuple(stretches), detours=tuple(detours))


def moved_item(item: Item, motion: Motion) -> Change:
    return Moved(motion)


def moved_dart(dart: Dart, motion: Motion) -> Dart:
    return replace(dart, point=motion(dart.point), legs=(motion(dart.legs[0]), motion(dart.legs[1])))


def all_moved(piece: Piece, motion: Motion) -> AlteredPiece:
    return AlteredPiece(
        piece,
        moved_outline(piece.stitching, motion),
        moved_outline(piece.cut, motion) if piece.cut is not None else None,
        {item.element: moved_item(item, motion) for item in piece.items},
        {dart.name: moved_dart(dart, motion) for dart in piece.darts},
    )


def edits_of(reading: Reading, altered: Sequence[AlteredPiece]) -> list[Edit]:
    taken: set[str] = set()
    return [
        edit for each in altered for edit in edits_for(reading.document, reading, each.piece, each, taken)
    ]


def write(reading: Reading, *altered: AlteredPiece) -> bytes:
    return splice(reading.document, edits_of(reading, altered))


def write_again(reading: Reading, altered: AlteredPiece, rules: Rules) -> tuple[bytes, Piece]:
    data = write(reading, altered)
    (piece,) = read(data.decode(), rules).pieces
    return data, piece


@styles
def test_nothing_altered_gives_no_edits(style: str) -> None:
    text, rules = STYLES[style]
    reading = read(text, rules)
    (piece,) = reading.pieces
    assert edits_for(reading.document, reading, piece, AlteredPiece(piece)) == []
    assert edits_for(reading.document, reading, piece, all_moved(piece, STAY)) == []


@settings(max_examples=12, deadline=None)
@given(
    st.sampled_from(sorted(STYLES)),
    st.floats(-3, 3),
    st.complex_numbers(max_magnitude=200, allow_nan=False),
)
def test_what_is_moved_is_read_again_where_it_went(style: str, angle: float, shift: complex) -> None:
    text, rules = STYLES[style]
    reading = read(text, rules)
    (piece,) = reading.pieces
    motion = Motion(shift=shift).after(Motion.rotation(100 + 200j, angle))
    _, again = write_again(reading, all_moved(piece, motion), rules)
    for old, new in ((piece.stitching, again.stitching), (piece.cut, again.cut)):
        if old is None or new is None:
            assert old is new
            continue
        assert [(s.edge, s.dart) for s in new.stretches] == [(s.edge, s.dart) for s in old.stretches]
        for before, after in zip(old.stretches, new.stretches, strict=True):
            assert abs(after.chain.start - motion(before.chain.start)) < 1e-6
            middle = before.chain.point(before.chain.length / 2)
            assert abs(after.chain.point(after.chain.length / 2) - motion(middle)) < 1e-6
        for name, place in old.corners.items():
            assert abs(new.chain.point(new.corners[name]) - motion(old.chain.point(place))) < 1e-6
    for before_dart, after_dart in zip(piece.darts, again.darts, strict=True):
        assert abs(after_dart.point - motion(before_dart.point)) < 1e-6
        assert after_dart.mouth == pytest.approx(before_dart.mouth, abs=1e-6)
    for before_item, after_item in zip(piece.items, again.items, strict=True):
        assert abs(after_item.place - motion(before_item.place)) < 1e-5 or before_item.label == "pocket"
    assert again.apexes == pytest.approx({label: motion(point) for label, point in piece.apexes.items()})


def test_text_stays_upright_and_marks_that_are_no_paths_turn_by_transform() -> None:
    reading = read(*STYLES["labelled"])
    (piece,) = reading.pieces
    data = write(reading, all_moved(piece, Motion.rotation(0j, 0.5))).decode()
    (text,) = re.findall(r"<text[^>]*>", data)
    assert 'transform="translate(' in text
    assert re.search(r'<circle cx="95" cy="205" r="2" transform="[^"]*"/>', data)
    assert re.search(r'<line x1="199" y1="170" x2="205" y2="170" transform="[^"]*"/>', data)
    assert re.search(r"<image [^>]*transform=", data)


def test_only_the_edge_that_changed_is_touched() -> None:
    reading = read(*STYLES["labelled"])
    (piece,) = reading.pieces
    line = piece.stitching
    bent = replace(line.stretches[1], chain=Chain((Line(70 + 0j, 120 + 8j), Line(120 + 8j, 170 + 20j))))
    altered = replace(line, stretches=(line.stretches[0], bent, *line.stretches[2:]))
    data = write(reading, AlteredPiece(piece, altered))
    before, after = reading.document.data.splitlines(), data.splitlines()
    assert [k for k, (a, b) in enumerate(zip(before, after, strict=True)) if a != b] == [6]
    assert b'd="M 70.0 0.0 L 120 8 L 170.0 20.0"' in after[6]


@pytest.mark.parametrize("style", ["one shape", "one shape, drawn the other way"])
def test_one_closed_shape_keeps_the_commands_that_did_not_move(style: str) -> None:
    text, rules = STYLES[style]
    reading = read(text, rules)
    (piece,) = reading.pieces
    line = piece.stitching
    index = next(k for k, s in enumerate(line.stretches) if s.edge == "shoulder")
    bent = replace(line.stretches[index], chain=Chain((Line(70 + 0j, 120 + 8j), Line(120 + 8j, 170 + 20j))))
    altered = replace(line, stretches=(*line.stretches[:index], bent, *line.stretches[index + 1 :]))
    data, again = write_again(reading, AlteredPiece(piece, altered), rules)
    assert "L 120 8" in data.decode()
    assert "2000 2000 0.0 0" in data.decode()
    assert again.stitching.edge("hem").length == line.edge("hem").length
    assert again.stitching.edge("shoulder").length == pytest.approx(bent.chain.length)


def opened_side_seam(piece: Piece) -> tuple[Outline, Dart]:
    """A new dart in the lower side seam: its upper part held, its lower part new."""
    line = piece.stitching
    index = max(k for k, s in enumerate(line.stretches) if s.edge == "side seam")
    seam = line.stretches[index].chain
    here, there = seam.length * 0.4, seam.length * 0.5
    parts = seam.cut(0, here), seam.cut(here, there), seam.cut(there, seam.length)
    held = replace(line.stretches[index], chain=parts[0])
    mouth = Stretch(parts[1], dart="waist dart")
    rest = Stretch(parts[2], edge="side seam")
    new = replace(line, stretches=(*line.stretches[:index], held, mouth, rest, *line.stretches[index + 1 :]))
    dart = Dart(
        "waist dart",
        130 + 320j,
        (parts[1].start, parts[1].end),
        new.mouth_of("waist dart") or (0.0, 0.0),
        drawn_in=False,
        capped=False,
    )
    return new, dart


def test_the_marks_of_a_dart_go_with_what_they_mark_and_stay_what_they_are() -> None:
    reading = read(front(labelled_line(), layer("darts", *dart_marks())))
    (piece,) = reading.pieces
    (old,) = piece.darts
    new = replace(old, point=old.point + 6 + 2j, legs=(old.legs[0], 195.34 + 230j))
    data, again = write_again(reading, AlteredPiece(piece, darts={"bust dart": new}), Rules("r"))
    assert again.dart("bust dart").point == pytest.approx(new.point, abs=1e-6)
    assert again.dart("bust dart").legs == pytest.approx(new.legs, abs=0.01)
    before, after = (bytes_.decode() for bytes_ in (reading.document.data, data))
    cross, square, circle = dart_marks()
    assert cross in before
    assert cross in after
    assert square not in after
    assert circle not in after
    for tag in ("rect", "circle"):
        assert after.count(f"<{tag} ") == before.count(f"<{tag} ")


@pytest.mark.parametrize("reverse", [False, True])
def test_a_new_dart_opens_a_labelled_edge(reverse: bool) -> None:
    edges = [(name, Chain(s).reversed().segments if reverse else s) for name, s in EDGES]
    text = front(labelled_line(edges), dart_layer())
    reading = read(text)
    (piece,) = reading.pieces
    new, dart = opened_side_seam(piece)
    data, again = write_again(reading, AlteredPiece(piece, new, darts={"waist dart": dart}), Rules("r"))
    assert {d.name for d in again.darts} == {"bust dart", "waist dart"}
    assert again.dart("waist dart").point == pytest.approx(dart.point)
    assert again.stitching.edge("side seam").length == pytest.approx(
        piece.stitching.edge("side seam").length - abs(dart.legs[1] - dart.legs[0])
    )
    lines = data.decode().splitlines()
    labels = [found[1] for line in lines if (found := re.search(r'label="([^"]*)"', line))]
    at = labels.index("bust dart")
    assert labels[at : at + 5] == ["bust dart", "side seam", "waist dart", "side seam", "hem"]
    assert len(re.findall(r'inkscape:label="darts"', data.decode())) == 1


@pytest.mark.parametrize("style", ["labelled", "one shape"])
def test_a_new_dart_in_a_piece_without_a_darts_layer(style: str) -> None:
    line = labelled_line() if style == "labelled" else layer("stitching line", path(outline(), stroke="red"))
    rules = Rules("r", edges=RULED)
    reading = read(front(line, corner_marks()), rules)
    (piece,) = reading.pieces
    new, dart = opened_side_seam(piece)
    if style == "one shape":
        source = new.stretches[0].source
        new = replace(new, stretches=tuple(replace(s, source=source) for s in new.stretches))
    data, again = write_again(reading, AlteredPiece(piece, new, darts={"waist dart": dart}), rules)
    (found,) = [d for d in again.darts if d.name == "waist dart"]
    assert found.point == pytest.approx(dart.point)
    assert found.legs == pytest.approx(dart.legs)
    if style == "one shape":
        assert re.search(r'<path inkscape:label="[^"]*" id="waist_dart" stroke="red" d=', data.decode()) or (
            re.search(r'stroke="red" d="M 19', data.decode())
        )


def test_darts_of_a_cut_line_alone_run_on_to_the_cut_line() -> None:
    rules = Rules("r", allowance=Allowance(Fixed(10)))
    reading = read(front(labelled_line(label="cut line")), rules)
    (piece,) = reading.pieces
    assert piece.cut is not None
    point = 100 + 330j
    legs = tuple(piece.stitching.edge("side seam").outline.chain.point(p) for p in ())
    seam = next(s for s in reversed(piece.stitching.stretches) if s.edge == "side seam").chain
    legs = seam.point(60.0), seam.point(80.0)
    dart = Dart("waist dart", point, legs, (0.0, 0.0), drawn_in=False, capped=False)
    _, again = write_again(reading, AlteredPiece(piece, darts={"waist dart": dart}), rules)
    found = again.dart("waist dart")
    assert found.point == pytest.approx(point)
    assert found.legs == pytest.approx(legs, abs=1e-4)


def test_an_existing_dart_is_redrawn_with_all_its_lines() -> None:
    shapes = [path(Chain((Line(leg, POINT),)), "bust dart") for leg in LEGS]
    middle = 199 + 215j
    fold_line = path(Chain((Line(POINT, middle),)), "bust dart")
    reading = read(front(labelled_line(), layer("darts", *shapes, fold_line)))
    (piece,) = reading.pieces
    (old,) = piece.darts
    motion = Motion.rotation(POINT, 0.1)
    new = replace(old, point=POINT + 10, legs=(old.legs[0], motion(old.legs[1])))
    data = write(reading, AlteredPiece(piece, darts={old.name: new})).decode()
    drawn = re.findall(r'label="bust dart" d="M (\S+) (\S+) L (\S+) (\S+)"', data)
    ends = [[complex(float(a), float(b)), complex(float(c), float(d))] for a, b, c, d in drawn[-3:]]
    assert ends[0] == pytest.approx([new.legs[0], new.point], abs=1e-5)
    assert ends[1] == pytest.approx([new.legs[1], new.point], abs=1e-5)
    assert ends[2][0] == pytest.approx(new.point, abs=1e-5)


def test_a_shared_dart_cannot_change() -> None:
    text = front(labelled_line(), head=layer("front", dart_layer()))
    reading = read(text)
    (piece,) = reading.pieces
    (old,) = piece.darts
    same = AlteredPiece(piece, darts={old.name: old})
    assert edits_of(reading, [same]) == []
    with pytest.raises(UngapeError, match="stands outside all sizes"):
        edits_of(reading, [AlteredPiece(piece, darts={old.name: replace(old, point=POINT + 1)})])


def test_items_redrawn_shifted_and_removed() -> None:
    reading = read(*STYLES["labelled"])
    (piece,) = reading.pieces
    by_label = {item.label: item.element for item in piece.items}
    text = next(i.element for i in piece.items if i.way.name == "UPRIGHT")
    image = max(i.element for i in piece.items)
    changes: dict[int, Change] = {
        by_label["style line"]: Redrawn(
            ((Chain((Line(20 + 100j, 60 + 150j),)), Chain((Line(70 + 160j, 150 + 300j),))),)
        ),
        by_label["pocket"]: Removed(),
        text: Shifted(5 + 7j),
        image: Removed(),
    }
    data = write(reading, AlteredPiece(piece, items=changes)).decode()
    assert '"style line" d="M 20.0 100.0 L 60 150 M 70 160 L 150.0 300.0"' in data
    assert "pocket" not in data
    assert "<image" not in data
    assert '<text x="30" y="200" transform="translate(5 7)">' in data


def test_inner_lines_of_the_outline_s_own_path_move_apart_from_it() -> None:
    inner = polygon(50 + 300j, 80 + 300j, 80 + 340j, 50 + 340j)
    from_both = path(outline()).replace('"/>', " " + path(inner).split('d="')[1].replace('"/>', "") + '"/>')
    rules = Rules("r", edges=RULED)
    reading = read(front(layer("stitching line", from_both), corner_marks()), rules)
    (piece,) = reading.pieces
    (item,) = [item for item in piece.items if item.corner is None]
    assert item.chains == (inner,)
    data, again = write_again(
        reading, AlteredPiece(piece, items={item.element: Moved(Motion(shift=10 + 0j))}), rules
    )
    assert again.stitching == piece.stitching
    assert "M 60 300" in data.decode()
    gone, again = write_again(reading, AlteredPiece(piece, items={item.element: Removed()}), rules)
    assert gone.decode().count(" Z") == 1


def test_notches_drawn_into_the_line_are_put_back() -> None:
    notched = tuple(
        (
            name,
            (
                Line(195.5 + 225j, 194 + 270j),
                Line(194 + 270j, 190.5 + 271j),
                Line(190.5 + 271j, 193.8 + 275j),
                Line(193.8 + 275j, 190 + 400j),
            )
            if k == 5
            else s,
        )
        for k, (name, s) in enumerate(EDGES)
    )
    reading = read(front(labelled_line(notched), dart_layer()))
    (piece,) = reading.pieces
    (detour,) = piece.stitching.detours
    assert detour.gap == pytest.approx(abs(193.8 + 275j - 194 - 270j))
    assert edits_of(reading, [all_moved(piece, STAY)]) == []
    motion = Motion.rotation(0j, 0.2)
    _, again = write_again(reading, all_moved(piece, motion), Rules("r"))
    (found,) = again.stitching.detours
    assert found.chain.segments[0].end == pytest.approx(motion(190.5 + 271j))
    assert again.stitching.edge("side seam").length == pytest.approx(piece.stitching.edge("side seam").length)


def test_ids_of_several_pieces_do_not_collide() -> None:
    sizes = "".join(
        layer(f"size {size}", layer("front", labelled_line().replace("inkscape:label", "id")))
        for size in (10, 12)
    )
    text = f"{Frame().head}{sizes}</svg>"
    # One id may stand in a file only once, so the second set is told apart by its counters.
    head, tail = text[: len(text) // 2], text[len(text) // 2 :]
    for name, _ in EDGES:
        tail = tail.replace(f'id="{name}"', f'id="{name}-2"')
    reading = read(head + tail)
    altered = []
    for piece in reading.pieces:
        new, dart = opened_side_seam(piece)
        altered.append(AlteredPiece(piece, new, darts={dart.name: dart}))
    data = write(reading, *altered).decode()
    ids = re.findall(r'id="([^"]*waist[^"]*)"', data)
    assert len(ids) == len(set(ids)) == 4
    again = read(data)
    assert [{d.name for d in p.darts} for p in again.pieces] == [{"waist dart"}] * 2


def test_a_flat_file_gets_its_new_darts_layer_where_it_is_read_again() -> None:
    whole = outline()
    text = (
        f'{Frame().head}<path id="front_stitching_line_size_12" d="{path(whole).split(chr(34))[-2]}"/></svg>'
    )
    rules = Rules("r")
    reading = read(text, rules)
    (piece,) = reading.pieces
    assert (piece.name, piece.size) == ("front", "12")
    source = piece.stitching.stretches[0].source
    chain = piece.stitching.chain
    places = 520.0, 540.0
    stretches = (
        Stretch(chain.cut(0, places[0]), source=source),
        Stretch(chain.cut(*places), dart="waist dart", source=source),
        Stretch(chain.cut(places[1], chain.length), source=source),
    )
    dart = Dart(
        "waist dart", 120 + 320j, (chain.point(places[0]), chain.point(places[1])), places, False, False
    )
    altered = AlteredPiece(piece, Outline(stretches), darts={"waist dart": dart})
    _, again = write_again(reading, altered, rules)
    assert again.dart("waist dart").point == pytest.approx(120 + 320j)
    assert again.dart("waist dart").mouth == pytest.approx(places)


def test_coordinates_are_those_of_the_group_in_which_a_shape_stands() -> None:
    frame = Frame(0.25, turned(0.3, 200 + 50j), 3 + 4j)
    reading = read(front(labelled_line(), frame=frame))
    (piece,) = reading.pieces
    new, dart = opened_side_seam(piece)
    _, again = write_again(reading, AlteredPiece(piece, new, darts={dart.name: dart}), Rules("r"))
    assert again.dart("waist dart").legs == pytest.approx(dart.legs)
    assert CORNERS.keys() != again.stitching.corners.keys()


@pytest.mark.parametrize("parts", [1, 2])
@pytest.mark.parametrize("reverse", [False, True])
@pytest.mark.parametrize("begun", [0, 4, 5])
def test_a_dart_in_the_outline_that_several_shapes_draw_stays_with_them(
    parts: int, reverse: bool, begun: int
) -> None:
    shapes: list[Segment] = []
    for leg in (Line(LEGS[0], POINT), Line(POINT, LEGS[1])):
        shapes.extend(leg.split(0.3) if parts == 2 else (leg,))
    shapes = [shape.reversed() if reverse else shape for shape in shapes]
    edges = [(n, s) for n, seg in EDGES for s in ([(x,) for x in shapes] if n == "bust dart" else [seg])]
    edges = [*edges[begun:], *edges[:begun]]
    reading = read(front(labelled_line(edges)))
    (piece,) = reading.pieces
    line = piece.stitching
    (index,) = [k for k, s in enumerate(line.stretches) if s.dart is not None]
    assert edits_of(reading, [all_moved(piece, STAY)]) == []
    point = POINT + 5
    legs = Chain((Line(LEGS[0], point), Line(point, LEGS[1])))
    bent = replace(line.stretches[index], chain=legs)
    new = replace(line, stretches=(*line.stretches[:index], bent, *line.stretches[index + 1 :]))
    data, again = write_again(reading, AlteredPiece(piece, new), Rules("r"))
    assert again.dart("bust dart").point == pytest.approx(point)
    assert data.decode().count('"bust dart"') == 2 * parts


def test_a_shared_corner_mark_cannot_stay_behind() -> None:
    text = front(layer("stitching line", path(outline())), head=layer("front", corner_marks()))
    rules = Rules("r", edges=RULED)
    reading = read(text, rules)
    (piece,) = reading.pieces
    near = all_moved(piece, Motion(shift=2 + 0j))
    assert edits_of(reading, [replace(near, items={})])
    far = all_moved(piece, Motion(shift=5 + 0j))
    with pytest.raises(UngapeError, match="corner mark neck point stands outside all sizes") as error:
        edits_of(reading, [replace(far, items={})])
    assert {p.kind for p in error.value.problems} == {"corner mark"}
    assert len(error.value.problems) == len(CORNERS)


def test_a_new_line_without_a_name_gets_an_id_of_its_own() -> None:
    reading = read(front(labelled_line(), dart_layer()))
    (piece,) = reading.pieces
    line = piece.stitching
    (seam,) = line.stretches[1].chain.segments
    halves = seam.split(0.5)
    kept = replace(line.stretches[1], chain=Chain(halves[:1]))
    new = Stretch(Chain(halves[1:]))
    stretches = (line.stretches[0], kept, new, *line.stretches[2:])
    data = write(reading, AlteredPiece(piece, replace(line, stretches=stretches))).decode()
    assert '<path id="line" d="M 120 10 L 170 20"/>' in data
    assert read(data).pieces[0].stitching.chain.length == pytest.approx(line.chain.length)


def test_a_dart_that_the_outline_draws_needs_no_layer() -> None:
    reading = read(front(labelled_line()))
    (piece,) = reading.pieces
    dart = Dart("tuck", 0j, (0j, 0j), (0.0, 0.0), drawn_in=True, capped=False)
    assert edits_of(reading, [AlteredPiece(piece, darts={"tuck": dart})]) == []


def test_a_dart_drawn_into_a_cut_line_alone_stays_drawn_in() -> None:
    legs = (Line(LEGS[0], POINT), Line(POINT, LEGS[1]))
    edges = [(n, legs if n == "bust dart" else s) for n, s in EDGES]
    rules = Rules("r", allowance=Allowance(Fixed(10)))
    reading = read(front(labelled_line(edges, "cut line")), rules)
    (piece,) = reading.pieces
    assert piece.cut is not None
    index = next(k for k, s in enumerate(piece.cut.stretches) if s.dart is not None)
    capped = replace(piece.cut.stretches[index], chain=Chain((Line(*LEGS),)), drawn_in=False)
    stretches = (*piece.cut.stretches[:index], capped, *piece.cut.stretches[index + 1 :])
    dart = replace(piece.dart("bust dart"), point=POINT + 3)
    altered = AlteredPiece(
        piece, piece.stitching, replace(piece.cut, stretches=stretches), darts={"bust dart": dart}
    )
    _, again = write_again(reading, altered, rules)
    assert again.dart("bust dart").drawn_in
    assert again.dart("bust dart").point == pytest.approx(POINT + 3)
