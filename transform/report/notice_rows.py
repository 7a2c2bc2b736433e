"""Notices that differ in their figures only, told once, from the least figure to the greatest."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from transform.report.sentences import in_units

if TYPE_CHECKING:
    from collections.abc import Sequence

    from transform.alter.facts import Notice
    from transform.report.facts import DesignFacts

_FIGURE = re.compile(
    r"(?<![\w.])-?(?:(?:\d+ )?\d+/\d+(?= in\b)|\d+\.\d+(?!\w)|\d+(?= (?:mm|cm|in)\b|°| ?%))", re.ASCII
)
"""What is measured: a number with decimals, or with a unit behind it. Numbers in names are none."""

_OF_THE_DESIGN = {"accepted nothing", "found nothing", "left-over file", "size left out"}
"""About the rules and the folder: the report tells them with the first size, but they are of no size."""


@dataclass(frozen=True, slots=True)
class NoticeRow:
    """One notice, with the sizes in which it is said (none: it is of no size) and what it says in each."""

    sizes: tuple[str, ...]
    notices: tuple[Notice, ...]

    @property
    def notice(self) -> Notice:
        """The first of them, for all that is the same in every size."""
        return self.notices[0]

    def said(self, units: str) -> str:
        """The text with lengths in ``units``, each figure from the least to the greatest."""
        return over_sizes([in_units(notice.text, units) for notice in self.notices])


def notice_rows(design: DesignFacts) -> list[NoticeRow]:
    """Every notice, those that differ in their figures only laid together."""
    found: dict[tuple[str, str | None, str, bool], list[tuple[str, Notice]]] = {}
    for size, notice in design.notices:
        key = (notice.kind, notice.piece, _FIGURE.sub("0", notice.text), notice.accepted)
        found.setdefault(key, []).append((size.size, notice))
    return [
        NoticeRow(
            () if kind in _OF_THE_DESIGN else tuple(dict.fromkeys(size for size, _ in row)),
            tuple(notice for _, notice in row),
        )
        for (kind, *_), row in found.items()
    ]


def over_sizes(texts: Sequence[str]) -> str:
    """Texts that differ in their figures only as one; a range in them stays one range.

    >>> over_sizes(["only 9.0 mm shorter", "only 15.7 mm shorter"])
    'only 9.0 to 15.7 mm shorter'
    >>> over_sizes(["it was 9.0 to 9.5 mm", "it was 8.0 to 9.0 mm"])
    'it was 8.0 to 9.5 mm'
    """
    figures = [_FIGURE.findall(text) for text in texts]
    if len({len(found) for found in figures}) > 1:
        return texts[0]
    between = _FIGURE.split(texts[0])
    said = [between[0]]
    for index, column in enumerate(zip(*figures, strict=True), 1):
        low, high = min(column, key=_value), max(column, key=_value)
        if between[index] == " to ":
            said.append(low)
        elif between[index - 1] == " to " or _value(low) == _value(high):
            said.append(high)
        else:
            said.append(f"{low} to {high}")
        said.append(between[index])
    return "".join(said)


def _value(figure: str) -> Fraction:
    whole = sum(Fraction(part) for part in figure.removeprefix("-").split())
    return -Fraction(whole) if figure.startswith("-") else Fraction(whole)
