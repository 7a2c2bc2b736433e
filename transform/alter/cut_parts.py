"""Parts of the new cut line: trimmed, extended and made to meet, each segment knowing whose it was.

What was kept of the old cut line is never bent to meet what was drawn anew: the drawn part gives way.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from transform.geometry.chain import Chain
from transform.geometry.crossing import crossings
from transform.geometry.joining import NEAR, with_end, with_start
from transform.geometry.meeting import line_meets
from transform.geometry.segments import Line, direction


@dataclass(frozen=True)
class Part:
    """An open part of the new cut line.

    ``owners`` gives for every segment the index of the old cut line's stretch to which it belongs. ``kept``
    parts are the old line, moved; ``still`` ones did not move at all.
    """

    chain: Chain
    owners: tuple[int, ...]
    kept: bool = False
    still: bool = False

    def reversed(self) -> Part:
        """The same part run the other way."""
        return replace(self, chain=self.chain.reversed(), owners=self.owners[::-1])

    def moved_end(self, past: float, meeting: complex) -> Part:
        """The part ended at ``meeting``, ``past`` mm after its end (before it, where negative)."""
        chain, owners = self.chain, self.owners
        if abs(past) <= NEAR:
            return replace(self, chain=with_end(chain, meeting))
        if past < 0:
            shorter = chain.cut(0.0, chain.length + past)
            return replace(self, chain=with_end(shorter, meeting), owners=owners[: len(shorter.segments)])
        last = chain.segments[-1]
        if isinstance(last, Line):
            return replace(self, chain=Chain((*chain.segments[:-1], Line(last.start, meeting))))
        longer = Chain((*chain.segments, Line(last.end, meeting)))
        return replace(self, chain=longer, owners=(*owners, owners[-1]))

    def moved_start(self, skipped: float, meeting: complex) -> Part:
        """The part begun at ``meeting``, ``skipped`` mm after its start (before it, where negative)."""
        return self.reversed().moved_end(-skipped, meeting).reversed()

    def ended_on_line(self, origin: complex, along: complex, reach: float) -> Part | None:
        """The part ended where it meets a straight line, trimmed or extended by the least that does it.

        It is extended along its end tangent by at most ``reach`` mm; None where it does not meet the line.
        """
        longer = _longer(self.chain, reach)
        met = [place - self.chain.length for _, place in line_meets(longer, origin, along)]
        if not met:
            return None
        past = min(met, key=abs)
        return self.moved_end(past, longer.point(self.chain.length + past))

    def begun_on_line(self, origin: complex, along: complex, reach: float) -> Part | None:
        """As `ended_on_line`, at the part's start."""
        turned = self.reversed().ended_on_line(origin, along, reach)
        return None if turned is None else turned.reversed()


def _longer(chain: Chain, reach: float) -> Chain:
    leave = direction(chain.segments[-1], 1.0)
    return Chain((*chain.segments, Line(chain.end, chain.end + leave * reach)))


def met(first: Part, second: Part, reach: float) -> tuple[Part, Part] | None:
    """The two parts made to meet: trimmed where they cross, else extended by at most ``reach`` mm.

    Of several ways the one that trims and extends least is taken; None where they do not meet.
    """
    end, start = first.chain.end, second.chain.start
    if abs(end - start) <= NEAR:
        meeting = (end + start) / 2
        if first.kept or second.kept:
            meeting = end if (first.still, first.kept) >= (second.still, second.kept) else start
        return (
            replace(first, chain=with_end(first.chain, meeting)),
            replace(second, chain=with_start(second.chain, meeting)),
        )
    longer = _longer(first.chain, reach)
    earlier = _longer(second.chain.reversed(), reach).reversed()
    found = [(p - first.chain.length, q - reach) for p, q in crossings(longer, earlier)]
    if not found:
        return None
    past, skipped = min(found, key=lambda pair: abs(pair[0]) + abs(pair[1]))
    meeting = longer.point(first.chain.length + past)
    if first.kept and abs(past) <= NEAR:
        past, meeting = 0.0, end
    elif second.kept and abs(skipped) <= NEAR:
        skipped, meeting = 0.0, start
    return first.moved_end(past, meeting), second.moved_start(skipped, meeting)


def stepped(first: Part, second: Part, owner: int) -> tuple[Part, Part]:
    """The two parts, the second begun with a straight line from where the first ends."""
    line = Line(first.chain.end, second.chain.start)
    chain = Chain((line, *second.chain.segments))
    return first, replace(second, chain=chain, owners=(owner, *second.owners))
