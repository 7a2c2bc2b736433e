"""Numbers as they are written: fixed decimals, no exponent, no minus nought, no trailing noughts."""

from __future__ import annotations

import math

from transform.geometry.motion import Affine

CLOSE = 1e-7
"""How near (mm) everything written lies to where it should."""


def format_number(value: float, decimals: int) -> str:
    """``value`` rounded to ``decimals`` places, as short as that is.

    >>> [format_number(value, 3) for value in (1.5, -0.0001, 2.0, 1e-9, 0.12345)]
    ['1.5', '0', '2', '0', '0.123']
    """
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def stretch_of(matrix: Affine) -> float:
    """The largest factor by which a matrix stretches any length (its greater singular value)."""
    turning = complex(matrix.a + matrix.d, matrix.b - matrix.c) / 2
    mirroring = complex(matrix.a - matrix.d, matrix.b + matrix.c) / 2
    return abs(turning) + abs(mirroring)


def decimals_for(matrix: Affine) -> int:
    """Decimals of coordinates with which a rounded point, after ``matrix``, is within `CLOSE` mm."""
    return max(0, math.ceil(math.log10(stretch_of(matrix) * math.sqrt(0.5) / CLOSE)))


def format_point(point: complex, decimals: int) -> str:
    """``x y``, both rounded."""
    return f"{format_number(point.real, decimals)} {format_number(point.imag, decimals)}"
