"""New chains in old shapes: what did not change keeps its characters, the rest lies where it should."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.strategies import motions, points, segments
from tests.svg.making import MILLIMETRES, document, drawn, element_of, redrawn
from tests.svg.strategies import chains, joined, matrices, path_texts, transform_text
from transform.geometry.chain import Chain
from transform.geometry.motion import STAY, Affine, Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment
from transform.svg.document import Document, read_document
from transform.svg.matching import MEETS
from transform.svg.numbers import CLOSE, format_number
from transform.svg.pathdata import read_path
from transform.svg.pen import path_text
from transform.svg.redraw import contradicting, redraw
from transform.svg.shapes import Drawing, read_drawing
from transform.svg.splice import splice

EXACT = CLOSE * 1.5
"""How far a drawn point may lie from where it should, mm: rounding, and the reading's own floats."""


def written(body: str, alter: object, attributes: str = MILLIMETRES) -> str:
    """The element's characters after ``alter`` (drawing -> chains by subpath)."""
    doc, drawing = drawn(body, attributes)
    return element_of(redrawn(doc, drawing, alter(drawing)))  # type: ignore[operator]


def same(drawing: Drawing) -> list[list[Chain]]:
    return [[chain] for chain in drawing.chains]


def with_end(segment: Segment, end: complex) -> Segment:
    return replace(segment, end=end)


def vertex_moved(
    drawing: Drawing, place: int, shift: complex = 1 + 1j, subpath: int = 0
) -> list[list[Chain]]:
    """The chains where the end of one segment, and the start of the one after it, moved."""
    chain = drawing.chains[subpath]
    found = list(chain.segments)
    end = found[place].end + shift
    found[place] = with_end(found[place], end)
    if chain.closed or place + 1 < len(found):
        following = (place + 1) % len(found)
        found[following] = replace(found[following], start=end)
    new = same(drawing)
    new[subpath] = [Chain(tuple(found), chain.closed)]
    return new


def assert_alike(wanted: Chain, found: Chain) -> None:
    """The same curve; arcs may stand in several parts."""
    if [type(segment) for segment in wanted.segments] == [type(segment) for segment in found.segments]:
        for one, other in zip(wanted.segments, found.segments, strict=True):
            for t in (0.0, 0.2, 0.5, 0.8, 1.0):
                assert abs(one.point(t) - other.point(t)) <= EXACT
        return
    # An arc may stand as several arcs, or as cubics within 7e-8 of its radius.
    radii = [e.rx + e.ry for s in wanted.segments if isinstance(s, Arc) for e in [s.ellipse()]]
    assert radii
    for segment in wanted.segments:
        for part in range(17):
            assert nearest(found, segment.point(part / 16))[1] <= EXACT + 1.5e-7 * max(radii)


@given(path_texts, matrices())
@settings(max_examples=60, deadline=None)
def test_what_did_not_change_is_not_edited(text: str, matrix: Affine) -> None:
    doc, drawing = drawn(f'<path d="{text}" transform="{transform_text(matrix)}"/>')
    assert redraw(doc, drawing, same(drawing)) == []


@given(st.lists(chains(), min_size=1, max_size=3), matrices())
@settings(max_examples=150, deadline=None)
def test_new_chains_are_read_as_they_were_meant(new: list[Chain], matrix: Affine) -> None:
    doc = document(f'<path d="{path_text(new, matrix)}" transform="{transform_text(matrix)}"/>')
    drawing = read_drawing(doc, 1, None)
    assert len(drawing.chains) == len(new)
    for wanted, found in zip(new, drawing.chains, strict=True):
        assert found.closed == wanted.closed
        assert_alike(wanted, found)


@given(path_texts, matrices(), st.data())
@settings(max_examples=200, deadline=None)
def test_what_moves_is_drawn_anew_and_the_rest_keeps_its_characters(
    text: str, matrix: Affine, data: st.DataObject
) -> None:
    doc, drawing = drawn(f'<path d=" {text}&#10;" transform="{transform_text(matrix)}"/>')
    lively = [k for k, chain in enumerate(drawing.chains) if chain.segments]
    assume(lively)
    subpath = data.draw(st.sampled_from(lively))
    chain = drawing.chains[subpath]
    place = data.draw(st.integers(0, len(chain.segments) - 1))
    new = vertex_moved(drawing, place, data.draw(points.filter(lambda p: abs(p) > 1)), subpath)
    altered = new[subpath][0]
    assume(len(set(chain.segments)) == len(chain.segments))
    assume(all(abs(s.end - s.start) > 1e-3 for s in altered.segments if isinstance(s, Arc | Line)))
    again = redrawn(doc, drawing, new)
    found = read_drawing(again, 1, None)
    assert len(found.chains) == len(drawing.chains)
    for wanted, chain in zip(new, found.chains, strict=True):
        assert chain.closed == wanted[0].closed
        compare_up_to_start(wanted[0], chain)
    raw = again.attribute(1, "d").raw  # type: ignore[union-attr]
    assert raw.startswith(" ")
    assert raw.endswith("&#10;")
    at = 0
    for old, wanted in zip(drawing.subpaths, new, strict=True):
        for command in old.commands:
            kept = command.segments and set(command.segments) <= set(wanted[0].segments)
            if kept and command.command.kind != "Z" and command.command.letter.isupper():
                begin, end = command.command.span
                numbers = doc.get(1, "d")[begin:end].lstrip("LHVCSQTA \n")  # type: ignore[index]
                assert numbers in raw[at:]
                at = raw.index(numbers, at)


def compare_up_to_start(wanted: Chain, found: Chain) -> None:
    if wanted.closed and found.segments:
        starts = sorted(
            range(len(wanted.segments)), key=lambda k: abs(wanted.segments[k].start - found.start)
        )
        errors = []
        for first in starts[:4]:
            try:
                assert_alike(Chain(wanted.segments[first:] + wanted.segments[:first], True), found)
            except AssertionError as error:
                errors.append(error)
            else:
                return
        raise errors[0]
    assert_alike(wanted, found)


SHAPES = (
    '<path d="M10 20c5-5 10-5 15 0s10 5 15 0a9 5 20 0 1 9 9z m3 3 l4 4"/>',
    '<rect x="10" y="20" width="30" height="40"/>',
    '<rect x="10" y="20" width="30" height="40" rx="5" ry="3"></rect>',
    '<circle cx="30" cy="40" r="15"/>',
    '<ellipse cx="30" cy="40" rx="15" ry="5"/>',
    '<line x1="10mm" y1="5%" x2="40" y2="7"/>',
    '<polyline points="10,20 30,20 30,60"/>',
    '<polygon points="10,20 30,20 30,60"/>',
)


@pytest.mark.parametrize("shape", SHAPES)
@given(matrix=matrices(), motion=motions())
@settings(max_examples=25, deadline=None)
def test_every_shape_can_be_moved_as_a_whole(shape: str, matrix: Affine, motion: Motion) -> None:
    doc = document(f'<g transform="{transform_text(matrix)}">{shape}</g>')
    drawing = read_drawing(doc, 2, None)
    again = redrawn(doc, drawing, [[chain.moved(motion)] for chain in drawing.chains])
    for wanted, found in zip(drawing.chains, read_drawing(again, 2, None).chains, strict=True):
        assert found.closed == wanted.closed
        compare_up_to_start(wanted.moved(motion), found)


@pytest.mark.parametrize(
    ("path", "place", "expected"),
    [
        ("m10,10 20,0 0,20 h-20 z m 5,5 l3,3", 0, "m10,10 L 31 11 L 30 30 h-20 z m 5,5 l3,3"),
        ("m10,10 20,0 0,20 h-20 z m 5,5 l3,3", 1, "m10,10 20,0 L 31 31 L 10 30 z m 5,5 l3,3"),
        ("m10,10 20,0 0,20 h-20 z m 5,5 l3,3", 2, "m10,10 20,0 0,20 L 11 31 z m 5,5 l3,3"),
        # The start itself moved: the relative move after Z must not follow it.
        ("m10,10 20,0 0,20 h-20 z m 5,5 l3,3", 3, "M 11 11 L 30 10 l0,20 h-20 z M 15 15 l3,3"),
        # A shorthand after a new curve is spelled out, its own numbers kept.
        ("M0 0C1 1 2 2 3 0S5 5 6 0S8 8 9 0", 1, "M0 0C1 1 2 2 3 0 C 4 -2 5 5 7 1 C 7 -5 8 8 9 0"),
        ("M0 0c1 1 2 2 3 0s2 2 3 0 2 2 3 0", 0, "M0 0 C 1 1 2 2 4 1 C 4 -2 5 2 6 0 s2 2 3 0"),
        ("M0 0Q1 1 2 0T4 0 6 0", 0, "M0 0 Q 1 1 3 1 Q 3 -1 4 0 T6 0"),
        # An implied command whose letter is gone gets one.
        ("M0 0L1 1 2 2H5 7V3", 2, "M0 0L1 1 2 2 L 6 3 L 7 2 V3"),
        ("M0 0 10 0 10 10 0 10", 0, "M0 0 L 11 1 10 10 0 10"),
        ("M0 0l10 0,0 10-10,0", 0, "M0 0 L 11 1 L 10 10 l-10,0"),
        # Where the very end moved, nothing else does.
        ("M0 0 10 0 10 10", 1, "M0 0 10 0 L 11 11"),
    ],
)
def test_examples(path: str, place: int, expected: str) -> None:
    text = written(f'<path d="{path}"/>', lambda drawing: vertex_moved(drawing, place))
    assert text == f'<path d="{expected}"/>'


def test_numbers_of_a_spelled_out_shorthand_are_kept() -> None:
    text = written(
        '<path d="M0 0C1 1 2 2 3 0S5.500 5 6.000 0"/>',
        lambda drawing: [[Chain((Line(0j, 3 + 0j), drawing.chains[0].segments[1]))]],
    )
    assert text == '<path d="M0 0 L 3 0 C 4 -2 5.500 5 6.000 0"/>'
    text = written(
        '<path d="M0 0q1 1 3 0t3.00 0"/>',
        lambda drawing: [[Chain((Line(0j, 3 + 0j), drawing.chains[0].segments[1]))]],
    )
    assert text == '<path d="M0 0 L 3 0 q 2 -1 3.00 0"/>'


def test_character_references_in_kept_commands_survive() -> None:
    text = written(
        '<path d="M0 0&#xA;L10&#32;0&#10;L10 10&#9;L0 10"/>', lambda drawing: vertex_moved(drawing, 2)
    )
    assert text == '<path d="M0 0&#xA;L10&#32;0&#10;L10 10 L 1 11"/>'


def test_the_start_is_kept_where_it_still_exists_whatever_the_chain_begins_with() -> None:
    def turned(drawing: Drawing) -> list[list[Chain]]:
        found = drawing.chains[0].segments
        return [
            [Chain((*found[2:], *found[:1], with_end(found[1], 12 + 10j), Line(12 + 10j, 10 + 10j)), True)]
        ]

    text = written('<path d="M0 0H10V10H0Z"/>', turned)
    assert text == '<path d="M0 0H10 L 12 10 L 10 10 H0Z"/>'


def test_a_chain_that_merely_begins_elsewhere_is_no_change() -> None:
    doc, drawing = drawn('<path d="M0 0H10V10H0Z"/>')
    segments_ = drawing.chains[0].segments
    assert redraw(doc, drawing, [[Chain(segments_[2:] + segments_[:2], True)]]) == []


def test_where_the_start_is_gone_kept_commands_stay_in_their_order() -> None:
    def cut(drawing: Drawing) -> list[list[Chain]]:
        _, b, c, _ = drawing.chains[0].segments
        new = (Line(5 + 0j, 10 + 0j), b, c, Line(10j, 5j), Line(5j, 5 + 0j))
        return [[Chain(new[3:] + new[:3], True)]]

    assert written('<path d="M0 0H10V10H0Z"/>', cut) == '<path d="M 0 10 L 0 5 L 5 0 H10V10H0Z"/>'

    def cut_again(drawing: Drawing) -> list[list[Chain]]:
        _, b, c, _ = drawing.chains[0].segments
        new = (Line(5 + 0j, 10 + 0j), b, c, Line(10j, 5j), Line(5j, 5 + 0j))
        return [[Chain(new[2:] + new[:2], True)]]

    assert written('<path d="M0 0H10V10H0Z"/>', cut_again) == ('<path d="M 10 0 V10H0 L 0 5 L 5 0 Z"/>')


def test_a_subpath_is_split_or_dropped() -> None:
    path = '<path id="a" d="M0 0 10 0 10 10z M20 20 30 20 30 30" style="fill:none"/>'

    def split(drawing: Drawing) -> list[list[Chain]]:
        one, two = drawing.chains[1].segments
        return [
            [drawing.chains[0]],
            [Chain((one,)), Chain((with_end(two, 30 + 25j),)), Chain((Line(1j, 2j),))],
        ]

    assert written(path, split) == (
        '<path id="a" d="M0 0 10 0 10 10z M20 20 30 20 M 30 20 L 30 25 M 0 1 L 0 2" style="fill:none"/>'
    )
    drop = written(path, lambda drawing: [[], [drawing.chains[1]]])
    assert drop == '<path id="a" d="M20 20 30 20 30 30" style="fill:none"/>'
    doc, drawing = drawn(f"\n{path}\n")
    gone = splice(doc, redraw(doc, drawing, [[], []]))
    assert gone == doc.data.replace(f"\n{path}".encode(), b"")


def test_a_subpath_that_begins_without_a_move() -> None:
    path = '<path d="M0 0 10 0 10 10z L-5 5 l1 1"/>'
    assert written(path, lambda drawing: vertex_moved(drawing, 0)) == (
        '<path d="M0 0 L 11 1 10 10z L-5 5 l1 1"/>'
    )
    assert written(path, lambda d: [[], [d.chains[1]]]) == '<path d="M 0 0 L-5 5 l1 1"/>'
    moved = written(path, lambda d: vertex_moved(d, 2))
    assert moved == '<path d="M 1 1 10 0 10 10z M 0 0 L-5 5 l1 1"/>'


def test_commands_without_length_stay_beside_kept_ones() -> None:
    path = '<path d="M0 0l0 0 10 0h0v10l0,0z"/>'
    assert written(path, lambda drawing: vertex_moved(drawing, 1)) == (
        '<path d="M0 0l0 0 10 0h0 L 11 11 z"/>'
    )


def test_marks_of_no_size_stay_what_they_are() -> None:
    doc, drawing = drawn('<path d="M5 5h0 M8 8 l1 1"/>')
    assert drawing.chains[0].segments == ()
    assert drawing.subpaths[0].start == 5 + 5j
    new = redrawn(doc, drawing, [[drawing.chains[0]], [Chain((Line(8 + 8j, 9 + 10j),))]])
    assert element_of(new) == '<path d="M5 5h0 M8 8 L 9 10"/>'
    closed = drawn('<path d="M5 5z M8 8 l1 1"/>')
    new = redrawn(*closed, [[Chain((), True)], [Chain((Line(8 + 8j, 9 + 10j),))]])
    assert element_of(new) == '<path d="M5 5z M8 8 L 9 10"/>'


def test_closing_lines() -> None:
    # Z drew a line: a new last line is drawn by it.
    square = '<path d="M0 0 10 0 10 10Z"/>'
    text = written(square, lambda d: vertex_moved(d, 1))
    assert text == '<path d="M0 0 10 0 L 11 11 Z"/>'
    # Z drew none: a new last line is drawn before it.
    triangle = '<path d="M0 0 10 0 10 10 0 0Z"/>'
    text = written(triangle, lambda d: vertex_moved(d, 1))
    assert text == '<path d="M0 0 10 0 L 11 11 0 0Z"/>'
    # A curve in its place is drawn, and Z closes it.
    text = written(
        square,
        lambda d: [[Chain((*d.chains[0].segments[:2], Quadratic(10 + 10j, 5 + 1j, 0j)), True)]],
    )
    assert text == '<path d="M0 0 10 0 10 10 Q 5 1 0 0 Z"/>'
    # Opened, it loses its Z; closed, it gains one.
    assert written(square, lambda d: [[Chain(d.chains[0].segments[:2])]]) == '<path d="M0 0 10 0 10 10"/>'
    closed = written(
        '<path d="M0 0 10 0 10 10"/>',
        lambda d: [[Chain((*d.chains[0].segments, Line(10 + 10j, 0j)), True)]],
    )
    assert closed == '<path d="M0 0 10 0 10 10 L 0 0 Z"/>'


def test_an_outline_that_meets_itself_without_a_z_gets_none() -> None:
    doc, drawing = drawn('<path d="M0 0 10 0 10 10 0 0"/>')
    closed = Chain(drawing.chains[0].segments, True)
    assert redraw(doc, drawing, [[closed]]) == []
    new = vertex_moved(drawing, 1)[0][0]
    again = redrawn(doc, drawing, [[Chain(new.segments, True)]])
    assert element_of(again) == '<path d="M0 0 10 0 L 11 11 0 0"/>'
    assert MEETS == 0.2
    doc, drawing = drawn('<polyline points="0,0 10,0 10,10 0,0"/>')
    again = redrawn(doc, drawing, [[Chain(new.segments, True)]])
    assert element_of(again) == '<polyline points="0,0 10,0 11,11 0,0"/>'


def test_a_closed_path_meets_its_own_start_to_the_last() -> None:
    start = 1 / 3 + 2j / 3
    text = f"M{start.real!r} {start.imag!r} L 10 0 L 10 10 L{start.real!r} {start.imag!r}Z"
    doc, drawing = drawn(f'<path d="{text}"/>')
    found = drawing.chains[0].segments
    for last in (Cubic(10 + 10j, 4 + 9j, 3 + 5j, start), Arc(10 + 10j, start, 30, 30, 0, False, True)):
        again = redrawn(doc, drawing, [[Chain((*found[:2], last), True)]])
        subpath = read_drawing(again, 1, None).subpaths[0]
        assert subpath.commands[-1].segments == ()
        assert abs(subpath.segments[-1].end - subpath.start) < 1e-12


def test_parts_of_a_divided_segment_are_recognised() -> None:
    doc, drawing = drawn('<path d="M0 0 C 10 0 20 10 30 0 L 40 0 40 40z"/>')
    curve, *rest = drawing.chains[0].segments
    parts = curve.split(0.3)
    known = drawing.with_split(curve, parts)
    assert known.chains[0].segments == (*parts, *rest)
    assert redraw(doc, known, [[known.chains[0]]]) == []
    again = redrawn(doc, known, vertex_moved(known, 3))
    assert element_of(again).startswith('<path d="M0 0 C 10 0 20 10 30 0 L 40 0 L 41 41')
    half = redrawn(doc, known, vertex_moved(known, 0, 0.5j))
    assert element_of(half).count("C") == 2
    with pytest.raises(KeyError):
        drawing.with_split(Line(0j, 1j), ())


def test_a_split_closing_line_is_still_drawn_by_z() -> None:
    doc, drawing = drawn('<path d="M0 0 10 0 10 10Z"/>')
    last = drawing.chains[0].segments[-1]
    known = drawing.with_split(last, last.split(0.5))
    assert redraw(doc, known, [[known.chains[0]]]) == []
    again = redrawn(doc, known, vertex_moved(known, 0))
    assert element_of(again) == '<path d="M0 0 L 11 1 10 10Z"/>'
    bent = redrawn(doc, known, vertex_moved(known, 2))
    assert element_of(bent) == '<path d="M0 0 10 0 10 10 L 6 6 Z"/>'


def test_the_same_line_drawn_twice_is_kept_twice() -> None:
    text = written('<path d="M0 0H10H0H10H0V5"/>', lambda d: vertex_moved(d, 4))
    assert text == '<path d="M0 0H10H0H10H0 L 1 6"/>'


def test_distorted_arcs_are_kept_whole_or_drawn_as_cubics() -> None:
    body = '<path transform="scale(1 2)" d="M0 0 A 10 10 0 0 1 20 0 L 30 30 L 0 30"/>'
    doc, drawing = drawn(body)
    assert len(drawing.subpaths[0].commands[1].segments) > 2
    count = len(drawing.chains[0].segments)
    again = redrawn(doc, drawing, vertex_moved(drawing, count - 1))
    assert 'd="M0 0 A 10 10 0 0 1 20 0 L 30 30 L 1 30.5"' in element_of(again)
    bent = redrawn(doc, drawing, vertex_moved(drawing, 0))
    assert "A" not in element_of(bent)
    assert element_of(bent).count("C") == count - 2
    turned = Arc(0j, 20 + 0j, 10, 10, 0, False, True)
    flat = redrawn(doc, drawing, [[Chain((turned,))]])
    assert_alike(Chain(turned.cubics()), read_drawing(flat, 1, None).chains[0].cut(0, 100))


def test_arcs_stay_arcs_and_mirrors_flip_their_sweep() -> None:
    body = '<path transform="scale(-2 2)" d="M0 0 A 10 5 30 0 1 10 10"/>'
    doc, drawing = drawn(body)
    motion = Motion.rotation(3 + 4j, 0.5)
    again = redrawn(doc, drawing, [[drawing.chains[0].moved(motion)]])
    commands = read_path(again.get(1, "d") or "")
    assert [command.kind for command in commands] == ["M", "A"]
    assert commands[1].arc is not None
    assert commands[1].arc[4] is True
    mirrored = redrawn(doc, drawing, [[drawing.chains[0].moved(Motion.reflection(0j, 1j))]])
    assert read_path(mirrored.get(1, "d") or "")[1].arc[4] is False  # type: ignore[index]


@pytest.mark.parametrize("motion", [STAY, Motion.rotation(40 + 30j, 0.3)])
def test_a_circle_of_two_halves_stays_round(motion: Motion) -> None:
    halves = "A 15.7612 15.7612 0 1 0 500.5761 91.21258 A 15.7612 15.7612 0 1 0 532.0985 91.21258z"
    doc, drawing = drawn(f'<path d="M 532.0985 91.21258 {halves}"/>')
    first, second = (half.moved(motion) for half in drawing.chains[0].segments)
    rest = second.split(0.4)[1]
    new = Chain((first, Line(first.end, rest.start), rest), True)
    chain = read_drawing(redrawn(doc, drawing, [[new]]), 1, None).chains[0]
    centre = motion(516.3373 + 91.21258j)
    for segment in chain.segments:
        if isinstance(segment, Arc):
            # An exact half is known to its own floats' root only: 1e-16 of its size becomes 1e-8.
            assert abs(abs(segment.point(0.3) - centre) - 15.7612) < 2e-6


@pytest.mark.parametrize("sweep", [3.1, 3.14159, 3.1415926535, 3.2, 6.28, 6.2831])
@pytest.mark.parametrize("turn", [0.0, 0.7])
def test_touchy_arcs_lie_where_they_should(sweep: float, turn: float) -> None:
    motion = Motion.rotation(100 + 30j, turn)
    end = 50 + 50 * complex(math.cos(sweep), math.sin(sweep))
    arc = Arc(100 + 0j, end, 50, 50, 0, sweep > 3.14159265, True).moved(motion)
    doc = document(f'<path d="{path_text([Chain((arc,))], Affine())}"/>')
    chain = read_drawing(doc, 1, None).chains[0]
    for part in range(101):
        point = chain.point(chain.length * part / 100)
        assert abs(abs(point - motion(50 + 0j)) - 50) < 2e-7


@pytest.mark.parametrize(
    ("shape", "place", "expected"),
    [
        ('<polygon points="10,10 20,10&#10;20,20 10,20"/>', 1, '"10,10 20,10 21,21 10,20"'),
        ('<polygon points="10,10 20,10&#10;20,20 10,20 "/>', 3, '"11,11 20,10&#10;20,20 10,20 "'),
        ('<polygon points="10 10,20 10,20 20,10 20"/>', 2, '"10 10,20 10,20 20 11,21"'),
        ('<polyline points="10 10,20 10,20 20,10 20"/>', 2, '"10 10,20 10,20 20 11,21"'),
        ('<polyline points=" 10 10 20 10 20 20 "/>', 0, '" 10 10 21,11 20 20 "'),
    ],
)
def test_points_stay_points(shape: str, place: int, expected: str) -> None:
    text = written(shape, lambda drawing: vertex_moved(drawing, place))
    assert text == shape[: shape.index('"')] + expected + "/>"


def test_points_that_are_no_longer_points_become_a_path() -> None:
    curve = Quadratic(10 + 10j, 30 + 10j, 20 + 20j)
    text = written('<polyline id="a" points="10 10 20 20"></polyline>', lambda d: [[Chain((curve,))]])
    assert text == '<path id="a" d="M 10 10 Q 30 10 20 20"></path>'
    opened = written('<polygon points="0 0 9 0 9 9"/>', lambda d: [[Chain(d.chains[0].segments[:2])]])
    assert opened == '<path d="M 0 0 L 9 0 L 9 9"/>'
    halves = [Chain((Line(0j, 4 + 0j),)), Chain((Line(5 + 0j, 9 + 0j),))]
    assert (
        written('<polyline points="0 0 9 0"/>', lambda d: [halves]) == '<path d="M 0 0 L 4 0 M 5 0 L 9 0"/>'
    )
    two = written('<line x2="9"/>', lambda d: [[Chain((Line(0j, 4 + 0j),)), Chain((Line(5 + 0j, 9 + 0j),))]])
    assert two == '<path d="M 0 0 L 4 0 M 5 0 L 9 0"/>'


def test_lines_stay_lines_and_only_what_moved_is_written() -> None:
    line = '<line class="a" x1="10mm" y1="1" x2="5" y2="6"/>'
    attributes = 'width="100mm" height="100mm" viewBox="0 0 100 100"'
    end = written(line, lambda d: [[Chain((with_end(d.chains[0].segments[0], 5 + 8j),))]], attributes)
    assert end == line.replace('y2="6"', 'y2="8"')
    both = written(line, lambda d: [[d.chains[0].moved(Motion(shift=1j))]], attributes)
    assert both == '<line class="a" x1="37.7952756" y1="2" x2="5" y2="7"/>'
    point = written("<line/>", lambda d: [[Chain((Line(0j, 5 + 0j),))]])
    assert point == '<line x2="5"/>'
    curve = written("<line x2='7'/>", lambda d: [[Chain((Quadratic(0j, 3j, 7 + 0j),))]])
    assert curve == '<path d="M 0 0 Q 0 3 7 0"/>'


def test_basic_shapes_become_a_path_that_keeps_all_else() -> None:
    doc = read_document(
        b'<s:svg xmlns:s="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
        b'<s:rect id="r" x="1" y="2" width="3"\n height="4" style="fill:red">'
        b"<s:title>t</s:title></s:rect ></s:svg>",
        "p.svg",
    )
    drawing = read_drawing(doc, 1, None)
    again = redrawn(doc, drawing, [[drawing.chains[0].moved(Motion(shift=1 + 0j))]])
    assert element_of(again) == (
        '<s:path id="r" style="fill:red" d="M 2 2 L 5 2 L 5 6 L 2 6 Z"><s:title>t</s:title></s:path >'
    )


def test_an_editors_own_copies_are_dropped_from_the_altered_shape_alone() -> None:
    shape = (
        '<path d="M0 0 9 0" sodipodi:nodetypes="cc" inkscape:original-d="M0 0 8 0" id="a"'
        ' inkscape:path-effect="#e" inkscape:connector-curvature="0" sodipodi:type="arc" sodipodi:cx="3"/>'
    )
    doc = document(shape + shape.replace('id="a"', 'id="b"'))
    drawing = read_drawing(doc, 1, None)
    assert contradicting(doc, 1) == (
        "inkscape:original-d", "inkscape:path-effect", "sodipodi:nodetypes", "sodipodi:type", "sodipodi:cx",
    )  # fmt: skip
    again = redrawn(doc, drawing, vertex_moved(drawing, 0))
    assert element_of(again) == '<path d="M0 0 L 10 1" id="a" inkscape:connector-curvature="0"/>'
    assert element_of(again, 2) == shape.replace('id="a"', 'id="b"')
    assert redraw(doc, drawing, same(drawing)) == []


@pytest.mark.parametrize(
    ("attributes", "decimals"),
    [
        ('width="90mm" height="90mm" viewBox="0 0 90 90"', 7),
        ('width="90" height="90"', 7),
        ('width="90mm" height="90mm" viewBox="0 0 9000 9000"', 5),
        ('width="9m" height="9m"', None),
        ('width="900mm" height="900mm" viewBox="0 0 9 9"', 9),
    ],
)
def test_decimals_follow_the_user_unit(attributes: str, decimals: int | None) -> None:
    if decimals is None:
        with pytest.raises(ValueError, match="no real size"):
            drawn('<path d="M0 0 1 1"/>', attributes)
        return
    text = written('<path d="M0 0 1 1"/>', lambda d: [[Chain((Line(0j, 1 / 3 + 1j / 7),))]], attributes)
    number = text.split()[-2]
    assert len(number.partition(".")[2]) == decimals


def test_faults_of_ours_are_not_written() -> None:
    doc, drawing = drawn('<path d="M0 0 9 0 9 9z"/>')
    with pytest.raises(ValueError, match="gap"):
        redraw(doc, drawing, [[Chain((Line(0j, 1j), Line(2j, 3j)))]])
    with pytest.raises(ValueError, match="gap"):
        redraw(doc, drawing, [[Chain((Line(0j, 1j), Line(1j, 3j)), True)]])
    with pytest.raises(ValueError, match="2 lists of chains for 1 subpaths"):
        redraw(doc, drawing, [[], []])


def test_data_out_of_an_entity_is_refused() -> None:
    doc = read_document(
        b'<!DOCTYPE svg [<!ENTITY d "0 0 L 9 9">]><svg width="9" height="9"><path d="M &d;"/></svg>', "e.svg"
    )
    drawing = read_drawing(doc, 1, None)
    with pytest.raises(ValueError, match="comes out of an entity"):
        redraw(doc, drawing, vertex_moved(drawing, 0))


def test_numbers() -> None:
    assert format_number(-0.00000001, 7) == "0"
    assert format_number(1e21, 2) == "1000000000000000000000"
    assert format_number(12.3400, 5) == "12.34"
    assert format_number(100.0, 0) == "100"


@given(segments(), segments())
def test_joined_segments_follow_each_other(one: Segment, other: Segment) -> None:
    assert abs(joined(one.end, other).start - one.end) < 1e-9


def test_wide_and_foreign_encodings_are_spliced_in_their_own_bytes() -> None:
    text = (
        "<?xml version='1.0' encoding='{}'?><svg width='9mm' height='9mm' viewBox='0 0 9 9'>"
        "<g id='é'/><path d='M0 0\r\n9,0 9 9'/></svg>"
    )
    for name, codec, mark in (("utf-16", "utf-16-be", b"\xfe\xff"), ("iso-8859-1", "latin-1", b"")):
        data = mark + text.format(name).encode(codec)
        doc: Document = read_document(data, "w.svg")
        drawing = read_drawing(doc, 2, None)
        new = splice(doc, redraw(doc, drawing, vertex_moved(drawing, 1)))
        assert new == data.replace("9,0 9 9".encode(codec), "9,0 L 10 10".encode(codec))
