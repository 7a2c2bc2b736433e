"""Notches that are drawn into a line: taken out for measuring, put back for drawing.

         /\\
    ____/  \\____     the pen leaves the line, turns, and is back a little further on:
        ^  ^          less than 10 mm drawn, back within 8 mm, going on as before
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from transform.geometry.chain import SNAP, Chain, chain_of
from transform.geometry.joining import with_end, with_start
from transform.geometry.measure import length
from transform.geometry.segments import Line, Segment, direction
from transform.pattern.corners import CORNER
from transform.pattern.outline import Detour

LONGEST = 10.0
WIDEST = 8.0
"""A detour is shorter than ``LONGEST`` and comes back within ``WIDEST``, mm."""
_SHALLOWEST = 0.5
_GOES_ON = math.radians(30)


def without_detours(chain: Chain) -> tuple[Chain, tuple[Detour, ...]]:
    """The line run straight across its drawn notches, and the notches, by place along that line.

    A closed line that began within a notch begins with the notch's gap instead.
    """
    segments = chain.segments
    count = len(segments)
    found = _found(chain)
    if not found:
        return chain, ()
    if found[-1][1] >= count:
        # The line begins within this one: begin where it leaves the line.
        first, last = found[-1]
        segments = segments[first:] + segments[:first]
        found = [(0, last - first), *((a + count - first, b + count - first) for a, b in found[:-1])]
    bare: list[Segment] = []
    detours: list[Detour] = []
    at = 0
    place = 0.0
    for first, last in found:
        bare.extend(segments[at:first])
        place += sum(length(segment) for segment in segments[at:first])
        drawn = segments[first : last + 1]
        gap = abs(drawn[-1].end - drawn[0].start)
        detours.append(Detour(place, gap, Chain(tuple(drawn))))
        if gap > SNAP:
            bare.append(Line(drawn[0].start, drawn[-1].end))
            place += gap
        at = last + 1
    bare.extend(segments[at:])
    return Chain(tuple(bare), chain.closed), tuple(detours)


def with_detours(chain: Chain, detours: Sequence[Detour]) -> Chain:
    """An open line with notches drawn into it at their places, which count from its start."""
    parts: list[Chain] = []
    at = 0.0
    for detour in sorted(detours, key=lambda d: d.place):
        before = chain.cut(at, detour.place)
        at = min(detour.place + detour.gap, chain.length)
        drawn = detour.chain
        start, end = chain.point(detour.place), chain.point(at)
        if abs(drawn.start - start) > SNAP:
            drawn = with_start(drawn, start)
        if abs(drawn.end - end) > SNAP:
            drawn = with_end(drawn, end)
        parts += [before, drawn]
    parts.append(chain.cut(at, chain.length))
    return chain_of(parts)


def _found(chain: Chain) -> list[tuple[int, int]]:
    """First and last segment of every detour, ascending; the last may pass a closed chain's end."""
    segments = chain.segments
    count = len(segments)
    found: list[tuple[int, int]] = []
    at = 0 if chain.closed else 1
    limit = count if chain.closed else count - 1
    while at < limit:
        last = _detour_from(segments, at, count + at - 2 if chain.closed else count - 2)
        if last is None or (found and last - count >= found[0][0]):
            at += 1
        else:
            found.append((at, last))
            # The next one may begin only after a part of the line itself.
            at = last + 2
    return found


def _detour_from(segments: Sequence[Segment], first: int, furthest: int) -> int | None:
    count = len(segments)
    arriving = direction(segments[first - 1], 1.0)
    start = segments[first % count].start
    out = cmath.phase(direction(segments[first % count], 0.0) / arriving)
    if abs(out) <= CORNER:
        return None
    drawn = 0.0
    for last in range(first, furthest + 1):
        drawn += length(segments[last % count])
        if drawn >= LONGEST:
            return None
        end = segments[last % count].end
        leaving = direction(segments[(last + 1) % count], 0.0)
        back = cmath.phase(leaving / direction(segments[last % count], 1.0))
        if (
            abs(back) > CORNER
            and (back > 0) == (out > 0)
            and abs(end - start) <= WIDEST
            and _goes_on(start, end, arriving, leaving)
            and _depth(segments, first, last, start, arriving) >= _SHALLOWEST
        ):
            return last
    return None


def _goes_on(start: complex, end: complex, arriving: complex, leaving: complex) -> bool:
    """Whether the line goes on after the detour as it came, straight across the gap."""
    if abs(cmath.phase(leaving / arriving)) > _GOES_ON:
        return False
    gap = end - start
    return abs(gap) < _SHALLOWEST or all(abs(cmath.phase(gap / d)) < _GOES_ON for d in (arriving, leaving))


def _depth(segments: Sequence[Segment], first: int, last: int, start: complex, arriving: complex) -> float:
    """How far (mm) the detour goes from the line on which it leaves."""
    count = len(segments)
    return max(
        abs(((segments[k % count].point(t) - start) * arriving.conjugate()).imag)
        for k in range(first, last + 1)
        for t in (0.25, 0.5, 0.75, 1.0)
    )
