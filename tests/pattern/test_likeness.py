"""The same pattern drawn in another way is the same pattern, turned, mirrored and moved alike."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.lengths import Fixed
from rules.model import Allowance, Rules
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
    front,
    labelled_line,
    layer,
    outline,
    path,
    read,
    turned,
)
from transform.geometry.chain import Chain, area_within
from transform.geometry.motion import Affine
from transform.pattern.model import Piece

RULES = Rules("r", edges=RULED, allowance=Allowance(Fixed(9), {"neckline": Fixed(5)}))

frames = st.builds(
    Frame,
    st.sampled_from([1.0, 25.4 / 96, 10.0, 0.01, 25.4 / 72]),
    st.builds(
        lambda angle, x, y, mirrored: turned(angle, complex(x, y), mirrored=mirrored),
        st.floats(-3.1, 3.1),
        st.floats(-300, 300),
        st.floats(-300, 300),
        st.booleans(),
    ),
    st.sampled_from([0j, 100 - 50j]),
)


def splits(chain: Chain, count: int) -> Chain:
    """The chain with every curve split in ``count``."""
    places = [k * chain.length / count for k in range(count + 1)]
    parts = [chain.cut(a, b) for a, b in pairwise(places)]
    return Chain(tuple(s for part in parts for s in part.segments), chain.closed)


def assert_alike(piece: Piece, base: Piece, to: Affine, *, corners: bool = True) -> None:
    assert set(piece.stitching.edge_names) == set(base.stitching.edge_names)
    for name in base.stitching.edge_names:
        assert piece.stitching.edge(name).length == pytest.approx(base.stitching.edge(name).length, abs=2e-4)
    assert area_within(piece.stitching.chain) > 0
    (dart,), (wanted,) = piece.darts, base.darts
    assert abs(dart.point - to(wanted.point)) < 1e-6
    legs = [to(leg) for leg in wanted.legs]
    assert sorted(dart.legs, key=abs) == pytest.approx(sorted(legs, key=abs), abs=5e-4)
    assert dart.capped == wanted.capped
    if corners:
        for name, place in base.stitching.corners.items():
            found = piece.stitching.chain.point(piece.stitching.corners[name])
            assert abs(found - to(base.stitching.chain.point(place))) < 5e-4
    for label, apex in base.apexes.items():
        assert abs(piece.apexes[label] - to(apex)) < 1e-6


def one(text: str) -> Piece:
    (piece,) = read(text, RULES).pieces
    return piece


LABELLED = one(front(labelled_line(), dart_layer(), MARKS))
ONE_SHAPE = one(front(layer("stitching line", path(outline())), corner_marks(), dart_layer(), MARKS))
CUT_ONLY = one(front(layer("cut line", path(outline())), corner_marks(), dart_layer(), MARKS))


@settings(max_examples=25, deadline=None)
@given(frames, st.permutations(range(len(EDGES))), st.integers(0, 255), st.integers(1, 3))
def test_labelled_shapes_in_any_frame_order_direction_and_splitting(
    frame: Frame, order: list[int], flips: int, count: int
) -> None:
    shapes = []
    for k in order:
        name, segments = EDGES[k]
        chain = splits(Chain(segments), count)
        shapes.append((name, (chain.reversed() if flips >> k & 1 else chain).segments))
    piece = one(front(labelled_line(shapes), dart_layer(), MARKS, frame=frame))
    assert_alike(piece, LABELLED, frame.map)


@settings(max_examples=25, deadline=None)
@given(frames, st.floats(0, 1), st.booleans(), st.sampled_from(["stitching line", "cut line"]))
def test_one_shape_in_any_frame_start_and_direction(
    frame: Frame, start: float, backwards: bool, role: str
) -> None:
    chain = outline()
    place = start * chain.length
    drawn = Chain(chain.cut(place, place).segments, closed=True)
    drawn = drawn.reversed() if backwards else drawn
    text = front(layer(role, path(drawn)), corner_marks(), dart_layer(), MARKS, frame=frame)
    assert_alike(one(text), ONE_SHAPE if role == "stitching line" else CUT_ONLY, frame.map)


@settings(max_examples=10, deadline=None)
@given(frames, st.booleans())
def test_a_dart_in_the_outline_in_any_frame(frame: Frame, backwards: bool) -> None:
    shape = f"M{LEGS[0].real} {LEGS[0].imag}L{POINT.real} {POINT.imag} {LEGS[1].real} {LEGS[1].imag}"
    if backwards:
        shape = f"M{LEGS[1].real} {LEGS[1].imag}L{POINT.real} {POINT.imag} {LEGS[0].real} {LEGS[0].imag}"
    line = labelled_line([edge for edge in EDGES if edge[0] != "bust dart"])
    line = line.replace("</g>", f'<path inkscape:label="bust dart" d="{shape}"/></g>')
    (dart,) = one(front(line, frame=frame)).darts
    assert dart.drawn_in
    assert abs(dart.point - frame.map(POINT)) < 1e-6
    assert {round(abs(leg - dart.point), 6) for leg in dart.legs} == {
        round(abs(leg - POINT), 6) for leg in LEGS
    }


def test_the_three_styles_agree() -> None:
    assert_alike(ONE_SHAPE, LABELLED, Affine(), corners=False)
    assert ONE_SHAPE.stitching.corners.keys() == CORNERS.keys()
