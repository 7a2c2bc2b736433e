"""Which commands of a drawing survive in new chains, and in which order the rest is drawn.

old   M  s0 s1 s2 s3 Z          new chain   s1 s2 n0 n1 (closed)
steps Move, Kept(s1), Kept(s2), Drawn(n0), Drawn(n1), Close
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, replace

from transform.geometry.chain import Chain
from transform.geometry.segments import Line, Segment
from transform.svg.shapes import NOTHING, Subpath

GAP = 1e-6
"""Ends of segments in a chain lie no farther apart than this, mm."""
MEETS = 0.2
"""An open subpath whose ends lie no farther apart than this (mm) is closed already, without a command."""


@dataclass(frozen=True, slots=True)
class Move:
    """Begin at ``point`` (mm); ``kept`` where that is where the old subpath begins."""

    point: complex
    kept: bool = False


@dataclass(frozen=True, slots=True)
class Kept:
    """The old command of that index, its numbers unaltered, to draw ``segments``; none for no length."""

    index: int
    segments: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A new segment, in mm."""

    segment: Segment


@dataclass(frozen=True, slots=True)
class Close:
    """Close the subpath; ``kept`` where the old one was closed by a command too."""

    kept: bool


Step = Move | Kept | Drawn | Close


def steps_of(subpath: Subpath, chains: Sequence[Chain]) -> list[list[Step]]:
    """For each chain that stands in the place of ``subpath``: how to draw it from what is there.

    Raises:
        ValueError: where a chain is not laid end to end, which is a fault of ours.
    """
    steps: list[list[Step]] = []
    begun = False
    for chain in chains:
        found = _steps(subpath, chain, begin_free=not begun)
        begun = begun or any(isinstance(step, Move) and step.kept for step in found)
        steps.append(found)
    return steps


def is_unaltered(subpath: Subpath, chains: Sequence[Chain]) -> bool:
    """Whether the chains say just what the subpath draws already."""
    if len(chains) != 1 or chains[0].segments != subpath.segments:
        return False
    return closes(subpath, chains[0]) == subpath.closed


def closes(subpath: Subpath, chain: Chain) -> bool:
    """Whether a closing command ends ``chain``: not where the old subpath met itself without one."""
    if not chain.closed or subpath.closed:
        return chain.closed
    old = subpath.segments
    return not old or abs(old[-1].end - subpath.start) > MEETS


def _steps(subpath: Subpath, chain: Chain, *, begin_free: bool) -> list[Step]:
    if not chain.segments:
        kept: list[Step] = [Kept(i, ()) for i, c in enumerate(subpath.commands) if c.command.kind not in "MZ"]
        end: list[Step] = [Close(kept=True)] if subpath.closed else []
        return [Move(subpath.start, kept=begin_free), *kept, *end]
    _check(chain)
    old = [(c, k) for c, command in enumerate(subpath.commands) for k in range(len(command.segments))]
    found = _match(subpath, chain.segments)
    first = _first(subpath, chain, found)
    segments = [*chain.segments[first:], *chain.segments[:first]]
    found = [*found[first:], *found[:first]]
    begins = begin_free and abs(segments[0].start - subpath.start) <= NOTHING
    steps: list[Step] = [Move(segments[0].start, kept=begins)]
    if begins:
        steps += _without_length(subpath, 0)
    last = len(segments)
    if chain.closed:
        last -= _drawn_by_closing(subpath, segments, found)
    again = _ends_kept(subpath, segments[:last], found)
    at = 0
    while at < last:
        index = _whole_command(subpath, old, found[at:last])
        if index is None:
            follows = again.get(at)
            steps.append(Drawn(segments[at]) if follows is None else Kept(follows, (segments[at],)))
            at += 1
            continue
        count = len(subpath.commands[index].segments)
        steps.append(Kept(index, tuple(segments[at : at + count])))
        steps += _without_length(subpath, index)
        at += count
    if closes(subpath, chain):
        steps.append(Close(kept=subpath.closed))
    return steps


def _whole_command(
    subpath: Subpath, old: Sequence[tuple[int, int]], found: Sequence[int | None]
) -> int | None:
    """The command that begins with the first of ``found`` and all of whose segments follow; not ``Z``."""
    place = found[0]
    if place is None:
        return None
    index, part = old[place]
    command = subpath.commands[index]
    run = list(range(place, place + len(command.segments)))
    whole = part == 0 and command.command.kind != "Z" and list(found[: len(run)]) == run
    return index if whole else None


def _check(chain: Chain) -> None:
    pairs = list(zip(chain.segments, chain.segments[1:], strict=False))
    if chain.closed:
        pairs.append((chain.segments[-1], chain.segments[0]))
    for before, after in pairs:
        if abs(before.end - after.start) > GAP:
            raise ValueError(f"a chain with a gap from {before.end} to {after.start}")


def _match(subpath: Subpath, segments: Sequence[Segment]) -> list[int | None]:
    """For each new segment the place of the equal old one; each old one once, runs kept together."""
    old = subpath.segments
    places: dict[Segment, deque[int]] = {}
    for place, segment in enumerate(old):
        places.setdefault(segment, deque()).append(place)
    found: list[int | None] = []
    used: set[int] = set()
    before = -1
    for at, segment in enumerate(segments):
        waiting = places.get(segment, deque())
        while waiting and waiting[0] in used:
            waiting.popleft()
        if not waiting:
            found.append(None)
            continue
        likely = ((before + 1) % len(old), at)
        fits = (p for p in likely if p < len(old) and p not in used and old[p] == segment)
        before = next(fits, waiting[0])
        used.add(before)
        found.append(before)
    return found


def _first(subpath: Subpath, chain: Chain, found: Sequence[int | None]) -> int:
    """Where a closed chain is begun: at the old start, else where kept commands stay in their order."""
    if not chain.closed:
        return 0
    starts = [i for i, s in enumerate(chain.segments) if abs(s.start - subpath.start) <= NOTHING]
    last = len(subpath.segments) - 1
    for start in starts:
        if found[start] == 0 or found[start - 1] == last:
            return start
    ordered = _ordered(found)
    return next((start for start in (*starts, 0) if start in ordered), ordered[-1])


def _ordered(found: Sequence[int | None]) -> list[int]:
    """The places at which a closed chain can begin so that kept segments come in their old order."""
    count = len(found)
    kept = [i for i, place in enumerate(found) if place is not None]
    falls = [(kept[k - 1], i) for k, i in enumerate(kept) if (found[kept[k - 1]] or 0) >= (found[i] or 0)]
    if len(falls) != 1:
        return list(range(count))
    before, after = falls[0]
    return [(before + 1 + k) % count for k in range((after - before - 1) % count + 1)]


def _drawn_by_closing(subpath: Subpath, segments: Sequence[Segment], found: Sequence[int | None]) -> int:
    """How many of the last segments the closing command draws by itself."""
    closing = subpath.commands[-1].segments if subpath.closed else ()
    if not closing or len(segments) < 2:
        return 0
    if tuple(segments[-len(closing) :]) == closing:
        return len(closing)
    return 1 if isinstance(segments[-1], Line) and found[len(segments) - 1] is None else 0


def _ends_kept(subpath: Subpath, segments: Sequence[Segment], found: Sequence[int | None]) -> dict[int, int]:
    """New segments that differ from an old command's by their start alone: its numbers say them still.

    By place in ``segments`` the command's index. Only absolute letters say where they end.
    """
    free: dict[Segment, list[int]] = {}
    taken = {place for place in found if place is not None}
    flat = 0
    for index, command in enumerate(subpath.commands):
        letter = command.command.letter
        if len(command.segments) == 1 and flat not in taken and letter.isupper() and letter != "Z":
            free.setdefault(_from_nowhere(command.segments[0]), []).append(index)
        flat += len(command.segments)
    kept: dict[int, int] = {}
    for place, segment in enumerate(segments):
        if found[place] is None and (known := free.get(_from_nowhere(segment))):
            kept[place] = known.pop(0)
    return kept


def _from_nowhere(segment: Segment) -> Segment:
    return replace(segment, start=0j)


def _without_length(subpath: Subpath, index: int) -> list[Step]:
    """The commands behind ``index`` that draw nothing: they stay where they were."""
    found: list[Step] = []
    for place in range(index + 1, len(subpath.commands)):
        command = subpath.commands[place]
        if command.segments or command.command.kind in "MZ":
            break
        found.append(Kept(place, ()))
    return found
