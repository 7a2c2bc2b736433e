"""Hypothesis strategies for drawings: matrices, path data, chains."""

from __future__ import annotations

import math

from hypothesis import strategies as st

from tests.strategies import segments
from transform.geometry.chain import Chain
from transform.geometry.motion import Affine, Motion
from transform.geometry.segments import Line, Segment
from transform.svg.numbers import format_number

numbers = st.floats(-200, 200).map(lambda x: format_number(x, 3))
positive = st.floats(1, 200).map(lambda x: format_number(x, 3))


@st.composite
def matrices(draw: st.DrawFn) -> Affine:
    """A turn, a mirror, unlike scales, a skew and a shift: anything that flattens nothing."""
    angle = draw(st.floats(0, 6.3))
    across = draw(st.floats(0.1, 4))
    down = draw(st.one_of(st.just(across), st.floats(0.1, 4)))
    turn = Affine(math.cos(angle), math.sin(angle), -math.sin(angle), math.cos(angle))
    mirror = Affine(a=draw(st.sampled_from([1.0, -1.0])))
    skew = Affine(c=draw(st.one_of(st.just(0.0), st.floats(-1, 1))))
    shift = Affine(e=draw(st.floats(-300, 300)), f=draw(st.floats(-300, 300)))
    return shift @ turn @ mirror @ Affine(a=across, d=down) @ skew


def transform_text(matrix: Affine) -> str:
    """A ``transform`` that says just this matrix."""
    return f"matrix({matrix.a!r} {matrix.b!r} {matrix.c!r} {matrix.d!r} {matrix.e!r} {matrix.f!r})"


@st.composite
def commands(draw: st.DrawFn) -> str:
    """One command after a move, in any letter, sometimes repeated without it."""
    letter = draw(st.sampled_from("LlHhVvCcSsQqTtAa"))
    arity = {"l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "t": 2, "a": 7}[letter.lower()]
    groups = []
    for _ in range(draw(st.integers(1, 2))):
        if letter in "Aa":
            flags = [draw(st.sampled_from("01")), draw(st.sampled_from("01"))]
            radii = [draw(positive), draw(positive), draw(numbers)]
            groups.append(
                draw(st.sampled_from([" ", ","])).join([*radii, *flags, draw(numbers), draw(numbers)])
            )
        else:
            groups.append(draw(st.sampled_from([" ", ", "])).join(draw(numbers) for _ in range(arity)))
    return letter + draw(st.sampled_from(["", " "])) + draw(st.sampled_from([" ", ",", "\n"])).join(groups)


@st.composite
def subpath_texts(draw: st.DrawFn) -> str:
    """A subpath from its move to its ``Z``, if it has one."""
    move = draw(st.sampled_from("Mm")) + draw(numbers) + " " + draw(numbers)
    middle = draw(st.lists(commands(), min_size=1, max_size=6))
    return draw(st.sampled_from(["", " "])).join([move, *middle]) + draw(st.sampled_from(["", " Z", "z"]))


path_texts = st.lists(subpath_texts(), min_size=1, max_size=3).map(" ".join)


@st.composite
def chains(draw: st.DrawFn) -> Chain:
    """One to six curves of any kind laid end to end, sometimes closed."""
    drawn: list[Segment] = [draw(segments())]
    for _ in range(draw(st.integers(0, 5))):
        drawn.append(joined(drawn[-1].end, draw(segments())))
    closed = draw(st.booleans()) and abs(drawn[-1].end - drawn[0].start) > 1
    if closed:
        drawn.append(Line(drawn[-1].end, drawn[0].start))
    return Chain(tuple(drawn), closed)


def joined(start: complex, segment: Segment) -> Segment:
    """The segment shifted so that it begins at ``start``."""
    return segment.moved(Motion(shift=start - segment.start))
