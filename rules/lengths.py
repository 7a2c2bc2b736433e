"""Lengths as people write them, shares of an edge, and amounts that differ by size. Inside, all is mm."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from rules.labels import spelled
from rules.problems import Problem, RulesError, listed, nearest

_MM_PER = {"mm": (1, 1), "cm": (10, 1), "in": (127, 5)}
"""Millimetres in each unit as a fraction; the inch is 25.4 mm exactly."""
_UNIT = {"mm": "mm", "cm": "cm"} | dict.fromkeys(("in", "in.", '"', "″", "”", "inch", "inches"), "in")
_SIGNS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
"""Fractions that are one character."""
NUMBER = r"(?:[0-9]{1,30}(?:\.[0-9]{0,30})?|\.[0-9]{1,30})"
"""A decimal number without a sign, as a pattern."""
FRACTION = (
    r"(?:(?:[0-9]{1,9}(?: +|-))?[0-9]{1,9} ?/ ?[0-9]{1,9}|(?:[0-9]{1,9}[ -]?)?[" + "".join(_SIGNS) + "])"
)
"""A fraction such as `5/8`, `1 3/8`, `1-3/8` or `1⅜`, as a pattern."""
UNITS = '(?:mm|cm|in|in\\.|inch|inches|"|″|”)'
"""The units that text may carry, as a pattern."""
_LENGTH = re.compile(
    rf"""(?P<sign>[+-]?)[ ]?
         (?: (?:(?P<whole>[0-9]{{1,9}})[ -])?(?P<top>[0-9]{{1,9}})[ ]?/[ ]?(?P<bottom>[0-9]{{1,9}})
           | (?P<decimal>{NUMBER})(?:[eE](?P<power>[+-]?[0-9]{{1,3}}))? )
         [ ]?(?P<unit>[^0-9 ].*)?""",
    re.VERBOSE,
)
_SIGN = re.compile(rf"(?:(?P<before>[0-9])[ -]?)?(?P<sign>[{''.join(_SIGNS)}])")
_LONGEST_MM = 1e5
_ALLOWED = 'a length is a number, or text such as `12 mm`, `1.2 cm`, `5/8 in` or `1 3/8"`'


def read_length(text: str | float, units: str) -> float:
    """A length in mm from a number in ``units``, or from text such as `12 mm`, `1/2 in`, `1 3/8"`, `1⅜"`.

    The result is the nearest there is to what was written: 5/8 in are 15.875, 1.1 cm are 11.

    Raises:
        ValueError: where it is no length; the message says what is allowed.
    """
    written = " ".join(_SIGN.sub(_spelled_out, str(text)).split())
    match = _LENGTH.fullmatch(written)
    if match is None:
        raise ValueError(_ALLOWED)
    unit = _unit(match["unit"], units, written)
    top, bottom = _fraction(match)
    if bottom == 0:
        raise ValueError("a fraction cannot be divided by 0")
    mm_top, mm_bottom = _MM_PER[unit]
    try:
        mm = top * mm_top / (bottom * mm_bottom)
    except OverflowError:
        mm = math.inf
    if mm > _LONGEST_MM:
        raise ValueError("a length here is at most 100 m")
    return -mm if match["sign"] == "-" else mm


def _spelled_out(sign: re.Match[str]) -> str:
    """`1½` and `1-½` as `1 1/2`."""
    return f"{sign['before'] or ''} {_SIGNS[sign['sign']]} "


def _unit(found: str | None, units: str, written: str) -> str:
    if found is None:
        return units
    if found in _UNIT:
        return _UNIT[found]
    if re.match(r",[0-9]", found):
        raise ValueError(f"a decimal point is needed, not a comma: `{written.replace(',', '.', 1)}`")
    if found.isalpha():
        raise ValueError(f"{found!r} is no unit here; the units are mm, cm and in")
    raise ValueError(_ALLOWED)


def _fraction(match: re.Match[str]) -> tuple[int, int]:
    """The number as numerator and denominator, both whole and exact."""
    if match["bottom"] is not None:
        bottom = int(match["bottom"])
        return int(match["whole"] or 0) * bottom + int(match["top"]), bottom
    whole, _, decimals = match["decimal"].partition(".")
    power = int(match["power"] or 0) - len(decimals)
    digits = int(whole + decimals)
    return (digits * 10**power, 1) if power >= 0 else (digits, 10**-power)


def format_length(mm: float, units: str) -> str:
    """A length for a person, in ``units``; inches as fractions to 1/16 where that is exact to 0.01 mm."""
    if units == "in":
        sixteenths = round(mm / 25.4 * 16)
        if abs(sixteenths * 25.4 / 16 - mm) <= 0.01 and sixteenths:
            whole, part = divmod(abs(sixteenths), 16)
            of = math.gcd(part, 16)
            text = " ".join(
                [*([str(whole)] if whole else []), *([f"{part // of}/{16 // of}"] if part else [])]
            )
            return f"{'-' if mm < 0 else ''}{text} in"
        return f"{round(mm / 25.4, 3) + 0.0:.3f} in"
    if units == "cm":
        return f"{round(mm / 10, 2) + 0.0:.2f} cm"
    return f"{round(mm, 1) + 0.0:.1f} mm"


class Sign(Enum):
    """How small a length may be; the value says what is wrong with one that is smaller."""

    ANY = ""
    NOT_BELOW_ZERO = "a length here is not negative"
    ABOVE_ZERO = "this must be more than 0"

    def allows(self, mm: float) -> bool:
        """Whether a length of ``mm`` is not too small."""
        return mm > 0 or self is Sign.ANY or (mm == 0 and self is Sign.NOT_BELOW_ZERO)


@dataclass(frozen=True, slots=True)
class Fixed:
    """The same length in every size, mm."""

    mm: float

    def at(self, size: str, sizes: Sequence[str]) -> float:
        """The length in ``size``, mm."""
        return self.mm


@dataclass(frozen=True, slots=True)
class PerSize:
    """A length for each size, mm; ``where`` tells (file, line, column) for the error of a missing size."""

    by_size: Mapping[str, float]
    where: tuple[str, int, int] = ("", 1, 1)

    def at(self, size: str, sizes: Sequence[str]) -> float:
        """The length in ``size``, mm.

        Raises:
            RulesError: where the size has no entry.
        """
        return self.by_size[_known(size, self.by_size, self.where)]


@dataclass(frozen=True, slots=True)
class Stepped:
    """``mm`` at one size, growing by ``step`` mm for each size after it in order."""

    at_size: str
    mm: float
    step: float
    where: tuple[str, int, int] = ("", 1, 1)
    sign: Sign = Sign.NOT_BELOW_ZERO

    def at(self, size: str, sizes: Sequence[str]) -> float:
        """The length in ``size``, mm.

        Raises:
            RulesError: where the design has no such size to count from, or the steps lead below what the
                length may be.
        """
        order = list(sizes)
        at = spelled(self.at_size, order)
        if at is None:
            raise RulesError((_unknown_size(self.at_size, order, self.where),))
        base = order.index(at)
        mm = self.mm + self.step * (order.index(_known(size, order, self.where)) - base)
        if not self.sign.allows(mm):
            file, line, column = self.where
            text = f"the steps lead to {mm:g} mm in size {size}; {self.sign.value}"
            raise RulesError((Problem("wrong value", text, file, line, column),))
        return mm


Amount = Fixed | PerSize | Stepped


@dataclass(frozen=True, slots=True)
class KeptAngle:
    """The wedge's angle that ``mm`` has at one size, in every size."""

    at_size: str
    mm: float

    def plain(self) -> Fixed:
        """The amount at the size from which the angle is taken."""
        return Fixed(self.mm)


@dataclass(frozen=True, slots=True)
class Share:
    """A share of an edge's length, 0 to 1."""

    fraction: float


Distance = Amount | Share


def _unknown_size(size: str, order: Sequence[str], where: tuple[str, int, int]) -> Problem:
    near = nearest(size, order)
    hint = f"; did you mean {near}?" if near else ""
    text = f"`at` names the size {size!r}, which is not one of the design's; there is: {listed(order)}{hint}"
    return Problem("unknown size", text, *where)


def _known(size: str, known: Iterable[str], where: tuple[str, int, int]) -> str:
    """The size as ``known`` spells it."""
    names = list(known)
    name = size if size in names else spelled(size, names)
    if name is None:
        file, line, column = where
        there = listed(names) or "none"
        text = f"size {size} has no entry here; there are entries for: {there}"
        raise RulesError((Problem("missing size", text, file, line, column),))
    return name
