"""The four kinds of curve that SVG draws, as immutable values.

Every kind answers to the same names: ``start``, ``end``, ``point(t)``, ``derivative(t)``,
``second(t)``, ``split(t)``, ``reversed()``, ``moved(motion)`` and ``mapped(affine)``, with t from 0 to 1.
A rigid motion keeps the kind: a line stays a line, an arc an arc.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from transform.geometry.motion import Affine, Motion


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    start: complex
    end: complex

    def point(self, t: float) -> complex:
        """The point at ``t``."""
        return self.start + (self.end - self.start) * t

    def derivative(self, t: float) -> complex:
        """The derivative with respect to t."""
        return self.end - self.start

    def second(self, t: float) -> complex:
        """The second derivative with respect to t."""
        return 0j

    def split(self, t: float) -> tuple[Line, Line]:
        """The two parts before and after ``t``."""
        middle = self.point(t)
        return Line(self.start, middle), Line(middle, self.end)

    def reversed(self) -> Line:
        """The same curve drawn the other way."""
        return Line(self.end, self.start)

    def moved(self, motion: Motion) -> Line:
        """The curve after a rigid motion."""
        return Line(motion(self.start), motion(self.end))

    def mapped(self, affine: Affine) -> tuple[Segment, ...]:
        """The curve after an affine map."""
        return (Line(affine(self.start), affine(self.end)),)

    def controls(self) -> tuple[complex, ...]:
        """Points whose hull holds the curve."""
        return (self.start, self.end)


@dataclass(frozen=True, slots=True)
class Quadratic:
    """A quadratic Bézier curve."""

    start: complex
    control: complex
    end: complex

    def point(self, t: float) -> complex:
        """The point at ``t``."""
        u = 1 - t
        return u * u * self.start + 2 * u * t * self.control + t * t * self.end

    def points(self, t: NDArray[np.float64]) -> NDArray[np.complex128]:
        """The points at many ``t``; each is the very number that `point` gives."""
        u = 1 - t
        found: NDArray[np.complex128] = u * u * self.start + 2 * u * t * self.control + t * t * self.end
        return found

    def derivative(self, t: float) -> complex:
        """The derivative with respect to t."""
        return 2 * ((1 - t) * (self.control - self.start) + t * (self.end - self.control))

    def second(self, t: float) -> complex:
        """The second derivative with respect to t."""
        return 2 * (self.start - 2 * self.control + self.end)

    def split(self, t: float) -> tuple[Quadratic, Quadratic]:
        """The two parts before and after ``t`` (de Casteljau)."""
        a = self.start + (self.control - self.start) * t
        b = self.control + (self.end - self.control) * t
        middle = a + (b - a) * t
        return Quadratic(self.start, a, middle), Quadratic(middle, b, self.end)

    def reversed(self) -> Quadratic:
        """The same curve drawn the other way."""
        return Quadratic(self.end, self.control, self.start)

    def moved(self, motion: Motion) -> Quadratic:
        """The curve after a rigid motion."""
        return Quadratic(motion(self.start), motion(self.control), motion(self.end))

    def mapped(self, affine: Affine) -> tuple[Segment, ...]:
        """The curve after an affine map."""
        return (Quadratic(affine(self.start), affine(self.control), affine(self.end)),)

    def controls(self) -> tuple[complex, ...]:
        """Points whose hull holds the curve."""
        return (self.start, self.control, self.end)


@dataclass(frozen=True, slots=True)
class Cubic:
    """A cubic Bézier curve."""

    start: complex
    control1: complex
    control2: complex
    end: complex

    def point(self, t: float) -> complex:
        """The point at ``t``."""
        u = 1 - t
        return u * u * (u * self.start + 3 * t * self.control1) + t * t * (
            3 * u * self.control2 + t * self.end
        )

    def points(self, t: NDArray[np.float64]) -> NDArray[np.complex128]:
        """The points at many ``t``; each is the very number that `point` gives."""
        u = 1 - t
        first: NDArray[np.complex128] = u * self.start + 3 * t * self.control1
        second: NDArray[np.complex128] = 3 * u * self.control2 + t * self.end
        found: NDArray[np.complex128] = u * u * first + t * t * second
        return found

    def derivative(self, t: float) -> complex:
        """The derivative with respect to t."""
        u = 1 - t
        return 3 * (
            u * u * (self.control1 - self.start)
            + 2 * u * t * (self.control2 - self.control1)
            + t * t * (self.end - self.control2)
        )

    def second(self, t: float) -> complex:
        """The second derivative with respect to t."""
        return 6 * (
            (1 - t) * (self.start - 2 * self.control1 + self.control2)
            + t * (self.control1 - 2 * self.control2 + self.end)
        )

    def split(self, t: float) -> tuple[Cubic, Cubic]:
        """The two parts before and after ``t`` (de Casteljau)."""
        a = self.start + (self.control1 - self.start) * t
        b = self.control1 + (self.control2 - self.control1) * t
        c = self.control2 + (self.end - self.control2) * t
        ab = a + (b - a) * t
        bc = b + (c - b) * t
        middle = ab + (bc - ab) * t
        return Cubic(self.start, a, ab, middle), Cubic(middle, bc, c, self.end)

    def reversed(self) -> Cubic:
        """The same curve drawn the other way."""
        return Cubic(self.end, self.control2, self.control1, self.start)

    def moved(self, motion: Motion) -> Cubic:
        """The curve after a rigid motion."""
        return Cubic(motion(self.start), motion(self.control1), motion(self.control2), motion(self.end))

    def mapped(self, affine: Affine) -> tuple[Segment, ...]:
        """The curve after an affine map."""
        return (Cubic(affine(self.start), affine(self.control1), affine(self.control2), affine(self.end)),)

    def controls(self) -> tuple[complex, ...]:
        """Points whose hull holds the curve."""
        return (self.start, self.control1, self.control2, self.end)


class Ellipse(NamedTuple):
    """An arc's centre parameters: point = centre + turn·(rx·cos a + ry·sin a·j), a from first on."""

    centre: complex
    rx: float
    ry: float
    turn: complex
    first: float
    sweep: float


@dataclass(frozen=True, slots=True)
class Arc:
    """An elliptical arc in SVG's endpoint form; ``rotation`` (rad) is that of the ellipse's x axis."""

    start: complex
    end: complex
    rx: float
    ry: float
    rotation: float
    large: bool
    sweep: bool

    def ellipse(self) -> Ellipse:
        """Centre parameters, too small radii scaled up (SVG 2, appendix B.2.4 and B.2.5)."""
        return _ellipse(self)

    def point(self, t: float) -> complex:
        """The point at ``t`` (t runs with the ellipse's own angle, not with the length)."""
        if t == 0:
            return self.start
        if t == 1:
            return self.end
        e = _ellipse(self)
        angle = e.first + e.sweep * t
        return e.centre + e.turn * complex(e.rx * math.cos(angle), e.ry * math.sin(angle))

    def derivative(self, t: float) -> complex:
        """The derivative with respect to t."""
        e = _ellipse(self)
        angle = e.first + e.sweep * t
        return e.turn * e.sweep * complex(-e.rx * math.sin(angle), e.ry * math.cos(angle))

    def second(self, t: float) -> complex:
        """The second derivative with respect to t."""
        e = _ellipse(self)
        angle = e.first + e.sweep * t
        return e.turn * e.sweep**2 * complex(-e.rx * math.cos(angle), -e.ry * math.sin(angle))

    def split(self, t: float) -> tuple[Arc, Arc]:
        """The two parts before and after ``t``."""
        e = _ellipse(self)
        middle = self.point(t)
        return (
            Arc(self.start, middle, e.rx, e.ry, self.rotation, abs(e.sweep) * t > math.pi, self.sweep),
            Arc(middle, self.end, e.rx, e.ry, self.rotation, abs(e.sweep) * (1 - t) > math.pi, self.sweep),
        )

    def reversed(self) -> Arc:
        """The same curve drawn the other way."""
        return Arc(self.end, self.start, self.rx, self.ry, self.rotation, self.large, not self.sweep)

    def moved(self, motion: Motion) -> Arc:
        """The curve after a rigid motion: the ellipse's axis turns with it."""
        rotation = motion.angle + (-self.rotation if motion.mirrors else self.rotation)
        sweep = self.sweep != motion.mirrors
        return Arc(motion(self.start), motion(self.end), self.rx, self.ry, rotation, self.large, sweep)

    def mapped(self, affine: Affine) -> tuple[Segment, ...]:
        """The curve after an affine map: an arc under a similarity, else cubics."""
        if not affine.is_similarity:
            return tuple(part for cubic in self.cubics() for part in cubic.mapped(affine))
        turn = cmath.phase(complex(affine.a, affine.b))
        rotation = turn + (-self.rotation if affine.mirrors else self.rotation)
        return (
            Arc(
                affine(self.start),
                affine(self.end),
                self.rx * affine.scale,
                self.ry * affine.scale,
                rotation,
                self.large,
                self.sweep != affine.mirrors,
            ),
        )

    def cubics(self) -> tuple[Cubic, ...]:
        """Cubics along the arc, one for each 22.5° at most: within 7e-8 of the radius.

        The handle is 4/3·tan(angle/4) of the radius, which meets the arc at both ends and the middle.
        """
        e = _ellipse(self)
        count = max(1, math.ceil(abs(e.sweep) / (math.pi / 8) - 1e-9))
        handle = 4 / 3 * math.tan(e.sweep / count / 4)
        points = [self.point(k / count) for k in range(count + 1)]
        tangents = [self.derivative(k / count) / e.sweep * handle for k in range(count + 1)]
        return tuple(
            Cubic(points[k], points[k] + tangents[k], points[k + 1] - tangents[k + 1], points[k + 1])
            for k in range(count)
        )

    def controls(self) -> tuple[complex, ...]:
        """Points whose hull holds the curve."""
        return tuple(point for cubic in self.cubics() for point in cubic.controls())


@lru_cache(maxsize=65536)
def _ellipse(arc: Arc) -> Ellipse:
    turn = cmath.exp(1j * arc.rotation)
    rx, ry = abs(arc.rx), abs(arc.ry)
    half = (arc.start - arc.end) / 2 * turn.conjugate()
    unit = complex(half.real / rx, half.imag / ry)
    size = abs(unit)
    if size >= 1:
        rx, ry, unit, size = rx * size, ry * size, unit / size, 1.0
    # The centre lies square to the chord, in coordinates in which the ellipse is the unit circle.
    height = math.sqrt(max(0.0, 1 - size * size))
    if size:
        side = 1j if arc.large == arc.sweep else -1j
        middle = side * unit / size * height
    else:
        middle = 0j
    centre = (arc.start + arc.end) / 2 + turn * complex(middle.real * rx, middle.imag * ry)
    first = cmath.phase(unit - middle)
    last = cmath.phase(-unit - middle)
    sweep = last - first
    if arc.sweep and sweep < 0:
        sweep += 2 * math.pi
    elif not arc.sweep and sweep > 0:
        sweep -= 2 * math.pi
    return Ellipse(centre, rx, ry, turn, first, sweep)


Segment = Line | Quadratic | Cubic | Arc


def curvature(segment: Segment, t: float) -> float:
    """Signed curvature in 1/mm at ``t``, positive where the curve turns from x towards y."""
    first, second = segment.derivative(t), segment.second(t)
    speed = abs(first)
    if speed < 1e-12:
        return 0.0
    return (first.conjugate() * second).imag / speed**3


def direction(segment: Segment, t: float) -> complex:
    """Unit tangent at ``t``; where handles are of no length, the limit from inside the curve."""
    vector = segment.derivative(t)
    if abs(vector) > 1e-9:
        return vector / abs(vector)
    inner = segment.second(t) * (1 if t < 0.5 else -1)
    if abs(inner) > 1e-9:
        return inner / abs(inner)
    chord = segment.end - segment.start
    return chord / abs(chord) if chord else 1 + 0j
