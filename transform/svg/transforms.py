"""The ``transform`` attribute: its text to a matrix and a matrix to its text."""

from __future__ import annotations

import math
import re

from transform.geometry.motion import Affine
from transform.svg.numbers import format_number

_WS = r"[ \t\r\n\f]*+"
_NUMBER = r"(?>[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)"
_FUNCTION = re.compile(rf"{_WS}([A-Za-z0-9]+){_WS}\(([^()]*)\)")
_ARGUMENTS = re.compile(rf"{_WS}{_NUMBER}(?:{_WS},?{_WS}{_NUMBER})*{_WS}")
_FIND = re.compile(_NUMBER)
_BETWEEN = re.compile(rf"{_WS}(?:,{_WS})*+")
_LONGEST = 10_000
_COUNTS = {
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewX": (1,),
    "skewY": (1,),
}


def read_transform(text: str) -> Affine:
    """The matrix of a transform list (CSS Transforms 1, “The SVG transform attribute”).

    Raises:
        ValueError: with the reason, where the text is not a transform list.
    """
    whole = Affine()
    if len(text) > _LONGEST:
        raise ValueError(f"a list of {len(text)} characters: at most {_LONGEST} are read")
    if text.strip(" \t\r\n\f") == "none":
        return whole
    at = 0
    end = len(text.rstrip(" \t\r\n\f"))
    while at < end:
        found = _FUNCTION.match(text, at)
        if found is None:
            raise ValueError(f"{text[at : at + 24].strip()!r} is no transform function: {_allowed()}")
        whole = whole @ _one(found[1], found[2])
        between = _BETWEEN.match(text, found.end())
        at = between.end() if between else found.end()
    if not all(math.isfinite(v) for v in (whole.a, whole.b, whole.c, whole.d, whole.e, whole.f)):
        raise ValueError(f"{text.strip()!r} moves things too far away")
    return whole


def _one(name: str, inside: str) -> Affine:
    if name not in _COUNTS:
        raise ValueError(f"{name!r} is no transform function that is read: {_allowed()}")
    if _ARGUMENTS.fullmatch(inside) is None:
        raise ValueError(f"{name}({inside}) does not hold numbers alone")
    values = [float(number) for number in _FIND.findall(inside)]
    if len(values) not in _COUNTS[name]:
        wanted = " or ".join(str(count) for count in _COUNTS[name])
        raise ValueError(f"{name}({inside}) holds {len(values)} numbers, where {wanted} are allowed")
    if name == "matrix":
        return Affine(*values)
    if name == "translate":
        return Affine(e=values[0], f=values[1] if len(values) == 2 else 0.0)
    if name == "scale":
        return Affine(a=values[0], d=values[-1])
    if name == "rotate":
        turn = rotation(values[0])
        if len(values) == 1:
            return turn
        return Affine(e=values[1], f=values[2]) @ turn @ Affine(e=-values[1], f=-values[2])
    slope = math.tan(math.radians(values[0]))
    return Affine(c=slope) if name == "skewX" else Affine(b=slope)


def rotation(degrees: float) -> Affine:
    """A turn about the origin, exact for quarter turns."""
    quarters, rest = divmod(degrees, 90)
    if rest == 0:
        cosine, sine = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    else:
        cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return Affine(cosine, sine, -sine, cosine)


def write_transform(matrix: Affine, decimals: int) -> str:
    """``translate()`` where it is one, else ``matrix()``; ``decimals`` are those of the shift.

    The other four numbers have 13 decimals, so that what lies within 3 m is placed to 1e-9 mm.
    """
    shift = " ".join(format_number(value, decimals) for value in (matrix.e, matrix.f))
    if (matrix.a, matrix.b, matrix.c, matrix.d) == (1, 0, 0, 1):
        return f"translate({shift})"
    linear = " ".join(format_number(value, 13) for value in (matrix.a, matrix.b, matrix.c, matrix.d))
    return f"matrix({linear} {shift})"


def _allowed() -> str:
    return "allowed are matrix, translate, scale, rotate, skewX and skewY"
