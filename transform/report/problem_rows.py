"""Problems that are the same in several sizes, told once at a terminal; the report has each by itself."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rules.problems import Problem

_IN_SIZE = re.compile(r"\bin size (?P<size>[^:;()]{1,200}?)(?: \([^()]*\))?(?=[:;]|$| already;)")
"""How a problem with a piece names its size, with the file behind it; a text may be very long."""
_DRAWING = re.compile(r"(?<![^\s(])[^\s(]+\.svg\b")


def once(problems: Iterable[Problem]) -> list[Problem]:
    """The problems, those of one place in the rules that differ in their size only as one, with all sizes."""
    found: dict[object, list[Problem]] = {}
    for problem in problems:
        alike = (
            problem.file,
            problem.line,
            problem.column,
            problem.kind,
            _DRAWING.sub("", _IN_SIZE.sub("", problem.text)),
        )
        # Without a line of the rules they are of several drawings.
        found.setdefault(alike if problem.line is not None else id(problem), []).append(problem)
    return [_told(rows) for rows in found.values()]


def _told(rows: list[Problem]) -> Problem:
    sizes = [match["size"] for row in rows[1:] if (match := _IN_SIZE.search(row.text)) is not None]
    if not sizes:
        return rows[0]
    within = f" (likewise in size{'s' if len(sizes) > 1 else ''} {', '.join(dict.fromkeys(sizes))})"
    return replace(rows[0], text=rows[0].text + within)
