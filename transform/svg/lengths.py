"""SVG lengths: a number with a unit, in user units of the drawing."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

MM_PER_PX = 25.4 / 96
"""One px (one user unit where nothing scales): 96 to the inch (SVG 2, 8.9)."""

_PX = {
    "": 1.0,
    "px": 1.0,
    "in": 96.0,
    "cm": 96 / 2.54,
    "mm": 96 / 25.4,
    "q": 96 / 101.6,
    "pt": 96 / 72,
    "pc": 16.0,
}
_MM = {
    "": MM_PER_PX,
    "px": MM_PER_PX,
    "in": 25.4,
    "cm": 10.0,
    "mm": 1.0,
    "q": 0.25,
    "pt": 25.4 / 72,
    "pc": 25.4 / 6,
}
_LENGTH = re.compile(
    r"[ \t\r\n\f]*([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)(%|[A-Za-z]*)[ \t\r\n\f]*"
)
KNOWN = "px, mm, cm, in, pt, pc, Q and %"
"""The units that are read, in words."""


@dataclass(frozen=True, slots=True)
class Size:
    """A viewport's width and height in user units; None where it has none that is known."""

    width: float | None
    height: float | None

    def of(self, axis: str) -> float | None:
        """What a per cent refers to along ``x``, ``y``, or for radii (``r``; SVG 2, 8.9)."""
        if axis == "x":
            return self.width
        if axis == "y":
            return self.height
        if self.width is None or self.height is None:
            return None
        return math.hypot(self.width, self.height) / math.sqrt(2)


def read_length(text: str, axis: str, size: Size) -> float:
    """A length in user units; ``axis`` (x, y or r) says to what a per cent refers.

    Raises:
        ValueError: with the reason, where it is no length or has an unknown unit.
    """
    match = _LENGTH.fullmatch(text)
    if match is None:
        raise ValueError(f"{text!r} is no length")
    number, unit = float(match[1]), match[2].lower()
    if not math.isfinite(number):
        raise ValueError(f"{text!r} is too large")
    if unit == "%":
        whole = size.of(axis)
        if whole is None:
            raise ValueError(f"{text!r} is a share of a drawing that has no size of its own")
        return number / 100 * whole
    if unit not in _PX:
        raise ValueError(f"{text!r} has the unit {match[2]!r}; known are {KNOWN}")
    return number * _PX[unit]


def real_length(text: str | None) -> float | None:
    """A length in mm where it has a size of its own; None for a missing one, a per cent, em and the like.

    Exact for mm: a drawing of 100 mm across 100 units has units of 1 mm, to the last digit.
    """
    match = _LENGTH.fullmatch(text or "")
    if match is None or match[2].lower() not in _MM:
        return None
    value = float(match[1]) * _MM[match[2].lower()]
    return value if 0 < value < math.inf else None
