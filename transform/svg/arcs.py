"""Arcs written in rounded numbers: split where rounding would move the curve.

An arc of nearly half an ellipse or nearly a whole one is written by its ends, and a change of the last
decimal there moves its middle by much more. Such an arc becomes two, which are not so sensitive.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from transform.geometry.segments import Arc
from transform.svg.numbers import format_number, format_point

_DEEPEST = 5


def arc_words(arc: Arc, start: complex, end: str | None, decimals: int, near: float) -> Iterator[str]:
    """The numbers behind ``A`` for an arc in the drawing's own units, for one or several arcs.

    ``start`` is where the arc begins for the reader, ``end`` how its end is to be written (None: to
    ``decimals``, as all else). No point is farther off than about ``near``.
    """
    yield from _words(arc, start, end or format_point(arc.end, decimals), decimals, near, _DEEPEST)


def _words(arc: Arc, start: complex, end: str, decimals: int, near: float, deeper: int) -> Iterator[str]:
    rx, ry = (format_number(radius, decimals) for radius in (arc.rx, arc.ry))
    rotation = format_number(math.degrees(arc.rotation) % 360, 12)
    turned = math.radians(float(rotation))
    read = Arc(start, _point(end), float(rx), float(ry), turned, arc.large, arc.sweep)
    if not deeper or (read.start != read.end and _apart(arc, read) <= near):
        yield f"{rx} {ry} {rotation} {int(arc.large)} {int(arc.sweep)} {end}"
        return
    first, second = arc.split(0.5)
    middle = format_point(first.end, decimals)
    yield from _words(first, start, middle, decimals, near, deeper - 1)
    yield from _words(second, _point(middle), end, decimals, near, deeper - 1)


def _point(words: str) -> complex:
    x, y = words.split()
    return complex(float(x), float(y))


def _apart(one: Arc, other: Arc) -> float:
    return max(abs(one.point(t) - other.point(t)) for t in (0.25, 0.5, 0.75))
