"""Caps folded flat by reflections lie on the seam, straight or curved."""

import cmath
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from transform.geometry.chain import Chain
from transform.geometry.folding import CapError, cap, first_half, fold_line
from transform.geometry.motion import Motion
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment

POINT = 20 + 30j


def legs(leg: float, angle: float, turn: float = 0.0) -> tuple[complex, complex]:
    ends = (leg * cmath.exp(1j * (turn - angle / 2)), leg * cmath.exp(1j * (turn + angle / 2)))
    return POINT + ends[0], POINT + ends[1]


def folded(drawn: Chain, leg_end: complex, other: complex) -> tuple[list[complex], list[complex]]:
    """Points of both halves of a cap after folding: along the fold line, then along the leg."""
    along = fold_line(POINT, leg_end, other)
    over_leg = Motion.reflection(POINT, leg_end - POINT)
    over_middle = Motion.reflection(POINT, along)
    points = drawn.samples(0.5)
    side = [((p - POINT) * along.conjugate()).imag for p in points]
    own = math.copysign(1, ((leg_end - POINT) * along.conjugate()).imag)
    near = [over_leg(p) for p, s in zip(points, side, strict=True) if s * own > -1e-9]
    far = [over_leg(over_middle(p)) for p, s in zip(points, side, strict=True) if s * own < 1e-9]
    return near, far


@settings(max_examples=60, deadline=None)
@given(
    st.floats(60, 250),
    st.floats(math.radians(2), math.radians(30)),
    st.floats(-math.pi, math.pi),
    st.floats(math.radians(60), math.radians(120)),
    st.floats(-0.006, 0.006),
    st.sampled_from(["cubic", "quadratic", "arc", "line"]),
)
def test_both_halves_lie_on_the_seam(
    leg: float, angle: float, turn: float, beta: float, bend: float, kind: str
) -> None:
    end, other = legs(leg, angle, turn)
    away = -(end - POINT) / leg * cmath.exp(1j * beta)
    far = end + away * 120
    sag = 1j * away * bend * 120 * 120 / 4
    seams: dict[str, Segment] = {
        "line": Line(end, far),
        "quadratic": Quadratic(end, end + away * 60 + sag, far),
        "cubic": Cubic(end, end + away * 40 + sag, end + away * 80 + sag, far),
        "arc": Arc(end, far, 400, 400, 0, large=False, sweep=bend > 0),
    }
    seam = seams[kind]
    drawn = cap(Chain((seam,)), end, other, POINT)
    assert drawn.start == end
    assert drawn.end == other
    judge = LineString([(p.real, p.imag) for p in Chain((seam,)).samples(0.05)])
    for half in folded(drawn, end, other):
        assert len(half) > 1
        assert max(judge.distance(Point(p.real, p.imag)) for p in half) < 0.05
    assert {type(segment) for segment in drawn.segments} == {type(seam)}


def test_a_seam_of_several_segments_reflects_segment_by_segment() -> None:
    end, other = legs(100, 0.3)
    seam = Chain(
        (Line(end, end - 8j), Quadratic(end - 8j, end - 16j, end - 24j + 3), Line(end - 24j + 3, end - 60j))
    )
    drawn = cap(seam, end, other, POINT)
    assert [type(s).__name__ for s in drawn.segments] == ["Line", "Quadratic", "Quadratic", "Line"]
    assert all(a.end == b.start for a, b in zip(drawn.segments, drawn.segments[1:], strict=False))


def test_a_short_seam_is_extended_straight() -> None:
    end, other = legs(100, 0.3)
    short = cap(Chain((Line(end, end - 2j),)), end, other, POINT)
    long = cap(Chain((Line(end, end - 200j),)), end, other, POINT)
    assert (
        max(abs(a - b) for a, b in zip((short.segments[1].end,), (long.segments[0].end,), strict=True)) < 1e-9
    )


def test_a_closed_dart_needs_no_cap() -> None:
    end, _ = legs(100, 0.3)
    assert cap(Chain((Line(end, end - 20j),)), end, end, POINT).segments == ()


def test_a_seam_that_runs_along_the_leg_gives_no_cap() -> None:
    end, other = legs(100, 0.3)
    seam = Chain((Line(end, end + (end - POINT) + 4j),))
    with pytest.raises(CapError, match="does not reach the fold line"):
        first_half(seam.moved(Motion.reflection(POINT, end - POINT)), end, other, POINT)


def test_legs_must_be_equally_long() -> None:
    end, other = legs(100, 0.3)
    with pytest.raises(ValueError, match="equally long"):
        cap(Chain((Line(end, end - 20j),)), end, other * 1.01, POINT)
