"""Sizes, pieces and roles in every order, sharing labels or not; what is said where they do not fit."""

from __future__ import annotations

from itertools import permutations

import pytest

from rules.model import Find, Rules
from rules.problems import UngapeError
from tests.pattern.sketches import (
    Frame,
    corner_marks,
    dart_layer,
    front,
    labelled_line,
    layer,
    outline,
    path,
    polygon,
    read,
)
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.pattern.model import Role
from transform.pattern.reading import Reading, examine_pieces
from transform.svg.document import read_document

SQUARE = polygon(300 + 300j, 350 + 300j, 350 + 360j, 300 + 360j)


def file(*content: str) -> str:
    return f"{Frame().head}{''.join(content)}</svg>"


def nested(labels: tuple[str, ...], inner: str) -> str:
    for label in reversed(labels):
        inner = layer(label, inner)
    return inner


def keys(reading: Reading) -> list[tuple[str, str | None]]:
    return [(piece.name, piece.size) for piece in reading.pieces]


@pytest.mark.parametrize("labels", list(permutations(("size 12", "front", "stitching line"))))
@pytest.mark.parametrize("inside", ['<g id="g12">{}</g>', '<svg x="10mm" id="a thing">{}</svg>', "{}"])
def test_every_order_of_size_piece_and_role(labels: tuple[str, ...], inside: str) -> None:
    reading = read(file(inside.format(nested(labels, path(outline())))))
    assert keys(reading) == [("front", "12")]


@pytest.mark.parametrize(
    "labels",
    [
        ("front stitching line size 12",),
        ("size 12 front", "stitching line"),
        ("front stitching line", "size 12"),
        ("size 12", "front stitching line"),
        ("front", "stitching line size 12"),
        ("my patterns", "size 12", "front stitching line"),
    ],
)
def test_shared_labels_on_groups_and_on_single_shapes(labels: tuple[str, ...]) -> None:
    assert keys(read(file(nested(labels, path(outline()))))) == [("front", "12")]
    assert keys(read(file(nested(labels[:-1], path(outline(), labels[-1]))))) == [("front", "12")]


def test_one_role_layer_with_several_pieces_and_sizes() -> None:
    pieces = layer("front", path(outline())) + layer("back", path(SQUARE))
    text = file(layer("stitching line", layer("size 10", pieces), layer("size 12", pieces)))
    assert keys(read(text)) == [("front", "10"), ("back", "10"), ("front", "12"), ("back", "12")]
    assert keys(read(file(layer("bodice", layer("stitching line", pieces))))) == [
        ("front", None),
        ("back", None),
    ]


def test_a_piece_s_group_inside_a_layer_names_no_edge_and_no_mark() -> None:
    sides = "".join(path(Chain((segment,))) for segment in SQUARE.segments)
    marks = '<path d="M320 330h5"/><g inkscape:label="left"><circle cx="310" cy="310" r="1"/></g>'
    text = file(layer("stitching line", layer("Front", sides)), layer("apex mark", layer("front", marks)))
    (piece,) = read(text).pieces
    assert piece.name == "Front"
    assert piece.stitching.edge_names == ()
    assert piece.apexes.keys() == {"", "left"}


def test_closed_lines_within_an_outline_are_inner_lines_even_in_a_group_of_their_own() -> None:
    groups = layer("outer", path(outline())), layer("pocket", path(SQUARE.moved(Motion(shift=-200 - 100j))))
    (piece,) = read(file(layer("front", layer("stitching line", *groups)))).pieces
    assert piece.name == "front"
    assert [item.label for item in piece.items] == ["pocket"]


def test_groups_within_a_layer_that_only_sort_its_shapes_are_passed_through() -> None:
    shapes = labelled_line().splitlines()[1:-1]
    text = file(
        layer(
            "front",
            layer("stitching line", layer("upper", *shapes[:3]), layer("lower", *shapes[3:])),
            dart_layer(),
        )
    )
    (piece,) = read(text).pieces
    assert piece.name == "front"
    assert "hem" in piece.stitching.edge_names


def test_no_roles_are_sought_inside_a_role_s_layer() -> None:
    shapes = labelled_line().splitlines()[1:-1]
    renamed = [shape.replace('"centre front"', '"fold"') for shape in shapes]
    (piece,) = read(file(layer("front", layer("stitching line", *renamed), dart_layer()))).pieces
    assert "fold" in piece.stitching.edge_names
    assert piece.fold is not None
    assert piece.fold.length == pytest.approx(340)
    inner = layer("front", layer("stitching line", layer("size 12 notches", *shapes)), dart_layer())
    assert keys(read(file(inner))) == [("front", "12")]


def test_a_size_name_of_two_words_where_the_piece_is_named_further_in() -> None:
    text = file(layer("size 32 B", layer("front", layer("stitching line", path(outline())))))
    assert keys(read(text)) == [("front", "32 B")]
    text = file(layer("front", layer("size 32 B", layer("stitching line", path(outline())))))
    assert keys(read(text)) == [("front", "32 B")]
    text = file(layer("size 12 front", layer("front stitching line", path(outline()))))
    assert keys(read(text)) == [("front", "12")]
    text = file(
        layer("size 12 front", layer("stitching line", path(outline()))), layer("size 14 x", "<rect/>")
    )
    assert keys(read(text)) == [("front", "12")]


def test_a_listed_size_that_shares_a_label_counts_where_nothing_else_says_a_size() -> None:
    rules = Rules("r", sizes=("S", "M"))
    line = layer("cut line", path(SQUARE))
    assert keys(read(file(layer("pocket M", line)), rules)) == [("pocket", "M")]
    assert keys(read(file(layer("size S", layer("pocket M", line))), rules)) == [("pocket M", "S")]
    assert keys(read(file(layer("M", layer("pocket", line))), rules)) == [("pocket", "M")]
    assert keys(read(file(path(SQUARE, "M pocket cut line")), rules)) == [("pocket", "M")]


def test_names_from_the_file() -> None:
    line = layer("stitching line", path(outline()))
    assert keys(read(file(line), size="12", piece="front")) == [("front", "12")]
    assert keys(read(file(layer("Front", layer("size 12", line))), size="12", piece="front")) == [
        ("front", "12")
    ]
    assert keys(read(file(layer("front", line)), size="12")) == [("front", "12")]


@pytest.mark.parametrize(
    ("labels", "said"),
    [
        (("size 14", "front"), "stands in size 14, but the file's name says size 12"),
        (("size 12", "back"), "belongs to piece back, but the file's name says front"),
    ],
)
def test_names_in_the_file_and_of_the_file_must_agree(labels: tuple[str, ...], said: str) -> None:
    with pytest.raises(UngapeError, match=said) as error:
        read(
            file(
                nested((*labels, "stitching line"), path(outline()) + path(SQUARE)),
                nested((*labels, "cut line"), path(outline())),
            ),
            size="12",
            piece="front",
        )
    assert [p.kind for p in error.value.problems] == ["names disagree"]


@pytest.mark.parametrize(
    ("body", "kind", "said"),
    [
        (layer("stitching line", path(outline())), "piece without a name", "put it into a group labelled"),
        (
            layer("front", layer("stitching line", path(outline())), layer("stitching line", path(SQUARE))),
            "two outlines",
            "2 elements could be the stitching line of one piece and size",
        ),
        (
            layer("front", layer("cut line", '<use href="#x"/>')),
            "outline by reference",
            "by reference",
        ),
        (layer("front", layer("cut line", '<path d="M0 0L10 0"/>')), "gap", "a gap of 10.00 mm"),
        (layer("front", layer("cut line", '<path d="M0 0"/>')), "no outline", "draws no closed line"),
        (
            layer("front", labelled_line().replace('"hem" d="M 190.0', '"hem" d="M 189.5'), dart_layer()),
            "gap",
            r"open between side seam and hem: a gap of 0\.50 mm from \(190\.00, 400\.00\) to \(189\.50",
        ),
        (
            layer("front", layer("stitching line", path(outline())), corner_marks({"neck": 100 + 100j})),
            "corner mark",
            "corner mark neck lies 55.* mm from the stitching line; at most 3 mm",
        ),
        (
            layer(
                "front",
                layer("stitching line", path(outline())),
                corner_marks({"a": 70j}),
                corner_marks({"a": 80j}),
            ),
            "corner mark",
            "two corner marks a",
        ),
        (layer("front", layer("stitching line", '<path d="M0 0 L 10"/>')), "path data", "d:"),
    ],
)
def test_what_is_said_where_a_piece_cannot_be_read(body: str, kind: str, said: str) -> None:
    with pytest.raises(UngapeError, match=said) as error:
        read(file(layer("size 12", body)))
    assert [p.kind for p in error.value.problems] == [kind]
    problem = error.value.problems[0]
    assert problem.exit == 3
    assert problem.line is not None
    assert "size 12" in problem.element


def test_all_problems_of_a_file_are_said_at_once_and_the_rest_is_read() -> None:
    text = file(
        layer("front", layer("cut line", '<use href="#x"/>')),
        layer("back", layer("cut line", '<path d="M0 0L10 0"/>')),
        layer("sleeve", layer("cut line", path(SQUARE))),
    )
    reading, problems = examine_pieces(read_document(text.encode(), "x.svg"), Rules("r"))
    assert [p.kind for p in problems] == ["outline by reference", "gap"]
    assert keys(reading) == [("sleeve", None)]


def test_a_small_closed_shape_does_not_hide_a_gap_in_the_outline() -> None:
    text = front(
        labelled_line().replace('"hem" d="M 190.0', '"hem" d="M 180.0').replace("</g>", '<circle r="3"/></g>')
    )
    with pytest.raises(UngapeError, match="a gap of 10"):
        read(text)


def test_tiny_gaps_are_kept_as_they_are() -> None:
    text = front(labelled_line().replace('"hem" d="M 190.0', '"hem" d="M 189.9'), dart_layer())
    (piece,) = read(text).pieces
    hem = next(s for s in piece.stitching.stretches if s.edge == "hem")
    assert hem.chain.start == pytest.approx(189.9 + 400j)


def test_shapes_that_carry_the_role_one_by_one_make_one_outline() -> None:
    shapes = labelled_line().splitlines()[1:-1]
    text = file(layer("size 12", *(s.replace("<path", '<path class="seam"') for s in shapes)))
    rules = Rules("r", find=(Find("front/stitching line", ".seam"), Find("no match", "#nothing")))
    reading = read(text, rules)
    assert keys(reading) == [("front", "12")]
    assert reading.pieces[0].stitching.edge("hem").length > 180
    assert [u.what for u in reading.unplaced] == ["find: no match"]


def test_sizes_found_by_how_they_are_drawn() -> None:
    shapes = "".join(
        path(outline().moved(Motion(shift=k * 2 + 0j)), "front stitching line", stroke_dasharray=dash)
        for k, dash in enumerate(("4 2", "1 1"))
    )
    find = (Find("size 10", "[stroke-dasharray='4 2']"), Find("size 12", "[stroke-dasharray='1 1']"))
    assert keys(read(file(shapes), Rules("r", find=find))) == [("front", "10"), ("front", "12")]


def test_marks_belong_to_the_piece_on_which_they_lie_where_no_label_says_so() -> None:
    moved = outline().moved(Motion(shift=250 + 0j))
    text = file(
        layer(
            "size 12",
            path(outline(), "front stitching line"),
            path(moved, "back stitching line"),
            layer("notches", '<path d="M100 4V-3"/>', '<path d="M450 170h5"/>', '<path d="M900 900h5"/>'),
            path(SQUARE.moved(Motion(shift=-200 - 100j)), "pocket place"),
            '<text x="290" y="250">back</text>',
            '<rect id="sheet" x="-20" y="-20" width="590" height="590"/>',
            '<text x="-300" y="250">Title</text>',
        ),
        '<circle id="apex" cx="100" cy="200" r="2"/>',
    )
    reading = read(text)
    (one, other) = reading.pieces
    assert [item.role or item.label for item in one.items] == [Role.NOTCHES, "pocket place", Role.APEX_MARK]
    assert [item.role or item.way.name for item in other.items] == [Role.NOTCHES, "UPRIGHT"]
    assert one.apexes == {"": 100 + 200j}
    assert [(u.what, u.needed.split(":")[0]) for u in reading.unplaced] == [
        ("notches", "no piece in size 12 is labelled around it, and it lies on none"),
        ("<rect> sheet", "lies in no piece"),
        ("<text>", "lies in no piece"),
    ]


def test_a_role_that_is_nearly_spelled_right_is_asked_about() -> None:
    text = file(layer("front", layer("stiching line", path(outline()))))
    reading = read(text)
    assert reading.pieces == ()
    assert [u.needed for u in reading.unplaced] == [
        "'stiching line' is no role; did you mean 'stitching line'?"
    ]


def test_two_apexes_by_label_and_an_apex_by_reference() -> None:
    marks = layer(
        "apex mark",
        '<g inkscape:label="left"><path d="M60 200h4"/><path d="M62 198v4"/></g>',
        '<rect inkscape:label="right" x="99" y="199" width="2" height="2"/>',
    )
    (piece,) = read(front(labelled_line(), dart_layer(), marks)).pieces
    assert piece.apexes == {"left": 62 + 200j, "right": 100 + 200j}
    by_use = '<defs><circle id="dot" r="2"/></defs>' + layer(
        "front", '<use id="apex" href="#dot" x="95" y="205"/>'
    )
    (piece,) = read(front(labelled_line(), dart_layer(), head=by_use)).pieces
    assert piece.apexes == {"": 95 + 205j}


def test_what_was_placed_is_told() -> None:
    reading = read(front(labelled_line(), dart_layer(), head=layer("belt", layer("cut line", path(SQUARE)))))
    told = [p.what for p in reading.placed]
    assert told[0] == "cut line of belt, outside all sizes"
    assert "stitching line of front, size 12: neckline" in told
    assert "dart bust dart of front, size 12" in told
    assert reading.source_of(reading.pieces[0]).piece is reading.pieces[0]
    with pytest.raises(KeyError):
        reading.source_of(read(front(labelled_line(), dart_layer())).pieces[0])
