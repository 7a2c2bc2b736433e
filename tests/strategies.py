"""Hypothesis strategies: points, motions and curves of the size of a pattern, in mm."""

from __future__ import annotations

import math

from hypothesis import strategies as st

from transform.geometry.motion import Motion
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment

coordinates = st.floats(-500, 500, allow_nan=False).map(lambda x: round(x, 3))
points = st.builds(complex, coordinates, coordinates)
angles = st.floats(-math.pi, math.pi, allow_nan=False)


@st.composite
def segments(draw: st.DrawFn) -> Segment:
    """A curve of any kind, at least 1 mm from end to end."""
    start = draw(points)
    end = draw(points.filter(lambda p: abs(p - start) > 1))
    kind = draw(st.sampled_from("LQCA"))
    if kind == "L":
        return Line(start, end)
    if kind == "Q":
        return Quadratic(start, draw(points), end)
    if kind == "C":
        return Cubic(start, draw(points), draw(points), end)
    radii = st.floats(5, 600, allow_nan=False)
    return Arc(start, end, draw(radii), draw(radii), draw(angles), draw(st.booleans()), draw(st.booleans()))


@st.composite
def motions(draw: st.DrawFn) -> Motion:
    """A turn about a point, mirrored or not."""
    turn = Motion.rotation(draw(points), draw(angles))
    if draw(st.booleans()):
        return Motion.reflection(draw(points), complex(math.cos(draw(angles)), 0.3)).after(turn)
    return turn
