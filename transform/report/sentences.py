"""Sentences that several reports share."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from rules.lengths import format_length
from transform.report.over_sizes import lengths

if TYPE_CHECKING:
    from collections.abc import Sequence

    from transform.checks.seams import WalkedSeam
    from transform.report.facts import DesignFacts

_LONGEST_NAME = 200
_LENGTH = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) mm\b")


def size_words(size: str) -> str:
    """``, size 12``; nothing for the one size of a design without sizes."""
    return f", size {size}" if size else ""


def titles(designs: Sequence[DesignFacts]) -> list[str]:
    """What each design is called: by its title, or by its rules file where it has none of its own."""
    said = [design.design for design in designs]
    return [
        design.design
        if design.design and said.count(design.design) == 1
        else (design.folder / design.rules).as_posix()
        for design in designs
    ]


def short(text: str) -> str:
    """The text, or the beginning of one that nobody would read to its end."""
    return text if len(text) <= _LONGEST_NAME else f"{text[:_LONGEST_NAME]} …"


def shortened(seam: WalkedSeam) -> WalkedSeam:
    """The seam with short names of its sides: one can add up thousands of edges."""
    first, second = (short(side) for side in seam.join)
    return replace(seam, join=(first, second))


def seam_sentence(seam: WalkedSeam, units: str) -> str:
    """How the two sides of a seam compare, and what to do where they do not fit."""
    first, second = (format_length(side, units) for side in seam.after)
    ease = f"{lengths(seam.ease, units)} and " if any(seam.ease) else ""
    return (
        f"{seam.join[0]} is {first} and {seam.join[1]} {second}: second minus first is "
        f"{format_length(seam.after[1] - seam.after[0], units)}, allowed is {ease}"
        f"{format_length(seam.tolerance, units)} more or less; in the files as they came it was "
        f"{format_length(seam.before[1] - seam.before[0], units)}; true one of the two, or allow it with "
        "`ease` or `tolerance`"
    )


def in_units(text: str, units: str) -> str:
    """The text with every length in mm said in ``units``.

    >>> in_units("takes in 44.5 mm; sew it in two steps", "in")
    'takes in 1 3/4 in; sew it in two steps'
    """
    if units == "mm":
        return text
    return _LENGTH.sub(lambda found: format_length(_meant(found[1], units), units), text)


def _meant(written: str, units: str) -> float:
    """The length (mm) that was rounded to a tenth: in inches the sixteenth that reads so, if one does."""
    mm = float(written)
    sixteenth = round(mm / 25.4 * 16) * 25.4 / 16
    tenth = len(written.partition(".")[2]) == 1
    return sixteenth if units == "in" and tenth and abs(sixteenth - mm) <= 0.0501 else mm
