"""Lengths as people write them, shares of an edge, and amounts that differ by size. Inside, all is mm."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from rules.problems import Problem, RulesError

MM_PER = {"mm": Fraction(1), "cm": Fraction(10), "in": Fraction(254, 10)}
"""Millimetres in each unit; the inch is 25.4 mm exactly."""

_UNIT = {"mm": "mm", "cm": "cm", "in": "in", '"': "in", "″": "in", "inch": "in", "inches": "in"}
_LENGTH = re.compile(
    r"""(?P<sign>[+-]?)\s*
        (?: (?P<whole>\d+)\s+(?P<n>\d+)\s*/\s*(?P<d>\d+)   # 1 3/8
          | (?P<n2>\d+)\s*/\s*(?P<d2>\d+)                  # 5/8
          | (?P<decimal>\d+(?:\.\d*)?|\.\d+) )
        \s*(?P<unit>[a-z"″]*)""",
    re.VERBOSE | re.ASCII,
)
_LONGEST_MM = 1e5


def read_length(text: str, units: str) -> float:
    """A length in mm from text: a number in ``units``, or such as `12 mm`, `1/2 in`, `1 3/8"`.

    Raises:
        ValueError: where it is no length; the message says what is allowed.
    """
    allowed = 'a length is a number, or text such as `12 mm`, `1.2 cm`, `5/8 in` or `1 3/8"`'
    match = _LENGTH.fullmatch(text.strip())
    if match is None:
        raise ValueError(allowed)
    unit = _UNIT.get(match["unit"] or units)
    if unit is None:
        raise ValueError(f"{match['unit']!r} is no unit here; the units are mm, cm and in")
    denominator = int(match["d"] or match["d2"] or 1)
    if denominator == 0:
        raise ValueError("a fraction cannot be divided by 0")
    if match["decimal"]:
        number = Fraction(
            match["decimal"].rstrip(".") if match["decimal"].endswith(".") else match["decimal"]
        )
    else:
        number = int(match["whole"] or 0) + Fraction(int(match["n"] or match["n2"]), denominator)
    mm = float(number * MM_PER[unit]) * (-1 if match["sign"] == "-" else 1)
    if not math.isfinite(mm) or abs(mm) > _LONGEST_MM:
        raise ValueError("a length here is at most 100 m")
    return mm


def format_length(mm: float, units: str) -> str:
    """A length for a person, in ``units``; inches as fractions to 1/16 where that is exact to 0.01 mm."""
    if units == "in":
        sixteenths = round(mm / 25.4 * 16)
        if abs(sixteenths * 25.4 / 16 - mm) <= 0.01 and sixteenths:
            whole, part = divmod(abs(sixteenths), 16)
            fraction = Fraction(part, 16)
            text = " ".join([*([str(whole)] if whole else []), *([str(fraction)] if part else [])])
            return f"{'-' if mm < 0 else ''}{text} in"
        return f"{mm / 25.4:.3f} in"
    if units == "cm":
        return f"{mm / 10:.2f} cm"
    return f"{mm:.1f} mm"


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
        if size not in self.by_size:
            raise _no_entry(size, self.by_size, self.where)
        return self.by_size[size]


@dataclass(frozen=True, slots=True)
class Stepped:
    """``mm`` at one size, growing by ``step`` mm for each size after it in order."""

    at_size: str
    mm: float
    step: float
    where: tuple[str, int, int] = ("", 1, 1)

    def at(self, size: str, sizes: Sequence[str]) -> float:
        """The length in ``size``, mm.

        Raises:
            RulesError: where the design has no such size to count from.
        """
        order = list(sizes)
        if self.at_size not in order or size not in order:
            raise _no_entry(self.at_size if self.at_size not in order else size, order, self.where)
        return self.mm + self.step * (order.index(size) - order.index(self.at_size))


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


def _no_entry(
    size: str, known: Mapping[str, float] | Sequence[str], where: tuple[str, int, int]
) -> RulesError:
    file, line, column = where
    there = ", ".join(known) or "none"
    text = f"size {size} has no entry here; there are entries for: {there}"
    return RulesError((Problem("missing size", text, file, line, column),))
