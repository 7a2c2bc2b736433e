"""Maps of the plane: rigid motions, which keep every length, and affine maps, which need not."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import Self


@dataclass(frozen=True, slots=True)
class Motion:
    """A rigid motion z -> turn·z + shift, or turn·conj(z) + shift where it mirrors; |turn| is 1."""

    turn: complex = 1 + 0j
    shift: complex = 0j
    mirrors: bool = False

    @classmethod
    def rotation(cls, centre: complex, angle: float) -> Self:
        """Turn by ``angle`` rad about ``centre``."""
        turn = cmath.exp(1j * angle)
        return cls(turn, centre - turn * centre)

    @classmethod
    def reflection(cls, point: complex, direction: complex) -> Self:
        """Mirror across the line through ``point`` along ``direction``."""
        unit = direction / abs(direction)
        turn = unit * unit
        return cls(turn, point - turn * point.conjugate(), mirrors=True)

    def __call__(self, point: complex) -> complex:
        """The place to which ``point`` goes."""
        return self.turn * (point.conjugate() if self.mirrors else point) + self.shift

    def direction(self, vector: complex) -> complex:
        """The vector to which ``vector`` goes: turned, not shifted."""
        return self.turn * (vector.conjugate() if self.mirrors else vector)

    def after(self, first: Motion) -> Motion:
        """The motion that does ``first`` and then this one."""
        shift = first.shift.conjugate() if self.mirrors else first.shift
        turn = first.turn.conjugate() if self.mirrors else first.turn
        return Motion(self.turn * turn, self.turn * shift + self.shift, self.mirrors != first.mirrors)

    def inverse(self) -> Motion:
        """The motion that undoes this one."""
        if self.mirrors:
            return Motion(self.turn, -self.turn * self.shift.conjugate(), mirrors=True)
        back = self.turn.conjugate()
        return Motion(back, -back * self.shift)

    @property
    def angle(self) -> float:
        """The angle of ``turn``, rad in (-pi, pi]."""
        return cmath.phase(self.turn)

    @property
    def is_identity(self) -> bool:
        """Whether nothing moves at all."""
        return not self.mirrors and self.turn == 1 and self.shift == 0

    def as_affine(self) -> Affine:
        """The same motion as a matrix."""
        side = -1.0 if self.mirrors else 1.0
        return Affine(
            self.turn.real,
            self.turn.imag,
            -self.turn.imag * side,
            self.turn.real * side,
            self.shift.real,
            self.shift.imag,
        )


STAY = Motion()


@dataclass(frozen=True, slots=True)
class Affine:
    """The matrix of SVG's ``matrix(a b c d e f)``: x' = a·x + c·y + e, y' = b·x + d·y + f."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __call__(self, point: complex) -> complex:
        """The place to which ``point`` goes."""
        x, y = point.real, point.imag
        return complex(self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def __matmul__(self, first: Affine) -> Affine:
        """The map that does ``first`` and then this one."""
        return Affine(
            self.a * first.a + self.c * first.b,
            self.b * first.a + self.d * first.b,
            self.a * first.c + self.c * first.d,
            self.b * first.c + self.d * first.d,
            self.a * first.e + self.c * first.f + self.e,
            self.b * first.e + self.d * first.f + self.f,
        )

    @property
    def determinant(self) -> float:
        """The factor by which areas grow; negative where the map mirrors."""
        return self.a * self.d - self.b * self.c

    @property
    def scale(self) -> float:
        """The mean factor by which lengths grow."""
        return math.sqrt(abs(self.determinant))

    @property
    def mirrors(self) -> bool:
        """Whether a left hand becomes a right hand."""
        return self.determinant < 0

    @property
    def is_similarity(self) -> bool:
        """Whether every length grows by one factor, so that circles stay circles (to 1e-9)."""
        side = -1.0 if self.mirrors else 1.0
        tolerance = 1e-9 * max(abs(self.a), abs(self.b), abs(self.c), abs(self.d))
        return abs(self.a - side * self.d) <= tolerance and abs(self.b + side * self.c) <= tolerance

    def inverse(self) -> Affine:
        """The map that undoes this one.

        Raises:
            ZeroDivisionError: where the map flattens the plane.
        """
        det = self.determinant
        a, b, c, d = self.d / det, -self.b / det, -self.c / det, self.a / det
        return Affine(a, b, c, d, -(a * self.e + c * self.f), -(b * self.e + d * self.f))
