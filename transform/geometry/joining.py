"""Two lines that ought to meet at a corner: trimmed where they cross, extended straight where they do not."""

from __future__ import annotations

from dataclasses import replace

from transform.geometry.chain import Chain
from transform.geometry.crossing import crossings
from transform.geometry.segments import Cubic, Line, Segment, direction

NEAR = 0.01
"""Ends closer than this (mm) are drawn together without a new line between them."""


def join(first: Chain, second: Chain, reach: float) -> tuple[Chain, Chain] | None:
    """The two open chains, made to meet: the end of ``first`` at the start of ``second``.

    Where they cross, both are trimmed to the crossing; else each is extended by at most ``reach`` mm along
    its end tangent. Of several ways the one that trims and extends least is taken. None where they do
    not meet at all.
    """
    if abs(first.end - second.start) <= NEAR:
        meeting = (first.end + second.start) / 2
        return with_end(first, meeting), with_start(second, meeting)
    leave = direction(first.segments[-1], 1.0)
    arrive = direction(second.segments[0], 0.0)
    ahead = Line(first.end, first.end + leave * reach)
    behind = Line(second.start - arrive * reach, second.start)
    longer = Chain((*first.segments, ahead))
    earlier = Chain((behind, *second.segments))
    found = [(p - first.length, q - reach) for p, q in crossings(longer, earlier)]
    if not found:
        return None
    past, skipped = min(found, key=lambda pair: abs(pair[0]) + abs(pair[1]))
    meeting = longer.point(first.length + past)
    return _ending(first, past, meeting), _beginning(second, skipped, meeting)


def _ending(chain: Chain, past: float, meeting: complex) -> Chain:
    """The chain ended ``past`` mm after its end (before it, where negative)."""
    if abs(past) <= NEAR:
        return with_end(chain, meeting)
    if past < 0:
        return with_end(chain.cut(0.0, chain.length + past), meeting)
    last = chain.segments[-1]
    if isinstance(last, Line):
        return Chain((*chain.segments[:-1], Line(last.start, meeting)))
    return Chain((*chain.segments, Line(last.end, meeting)))


def _beginning(chain: Chain, skipped: float, meeting: complex) -> Chain:
    """The chain begun ``skipped`` mm after its start (before it, where negative)."""
    return _ending(chain.reversed(), -skipped, meeting).reversed()


def with_end(chain: Chain, point: complex) -> Chain:
    """The chain with its last point moved to ``point``, close by; a cubic's handle goes with it."""
    if not chain.segments or chain.end == point:
        return chain
    return Chain((*chain.segments[:-1], _ended(chain.segments[-1], point)), chain.closed)


def with_start(chain: Chain, point: complex) -> Chain:
    """The chain with its first point moved to ``point``, close by; a cubic's handle goes with it."""
    if not chain.segments or chain.start == point:
        return chain
    return Chain((_ended(chain.segments[0].reversed(), point).reversed(), *chain.segments[1:]), chain.closed)


def _ended(segment: Segment, point: complex) -> Segment:
    if isinstance(segment, Cubic):
        return replace(segment, control2=segment.control2 + (point - segment.end), end=point)
    return replace(segment, end=point)
