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


def arc_words(arc: Arc, start: complex, decimals: int, near: float) -> Iterator[str]:
    """The numbers behind ``A`` for an arc in the drawing's own units, for one or several arcs.

    ``start`` is where the arc begins for the reader. No point is farther off than about ``near``.
    """
    yield from _words(arc, start, decimals, near, _DEEPEST)


def _words(arc: Arc, start: complex, decimals: int, near: float, deeper: int) -> Iterator[str]:
    rx, ry = (format_number(radius, decimals) for radius in (arc.rx, arc.ry))
    rotation = format_number(math.degrees(arc.rotation) % 360, 12)
    end = format_point(arc.end, decimals)
    x, y = (float(word) for word in end.split())
    read = Arc(
        start, complex(x, y), float(rx), float(ry), math.radians(float(rotation)), arc.large, arc.sweep
    )
    if deeper and (read.start == read.end or _apart(arc, read) > near):
        first, second = arc.split(0.5)
        for half in (first, second):
            for words in _words(half, start, decimals, near, deeper - 1):
                yield words
                start = complex(*(float(word) for word in words.split()[-2:]))
        return
    yield f"{rx} {ry} {rotation} {int(arc.large)} {int(arc.sweep)} {end}"


def _apart(one: Arc, other: Arc) -> float:
    return max(abs(one.point(t) - other.point(t)) for t in (0.25, 0.5, 0.75))
