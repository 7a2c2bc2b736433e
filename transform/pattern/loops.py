"""Shapes that meet end to end become one closed line; where they do not, it is said where and how wide.

  a           Every line is an edge of a graph whose nodes are the places where ends lie within
+----+ b      0.2 mm of each other. Lines with a loose end cannot be part of a loop; of the loops
|    |        that remain the largest is the outline.
+----+--- c
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from transform.geometry.chain import Chain, area_within

MEETING = 0.2
"""Ends this near (mm) to each other meet."""
_MOST_LOOPS = 2000


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """One subpath of one shape; ``label`` is the shape's name, None where it has none."""

    element: int
    subpath: int
    chain: Chain
    label: str | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """A line as a loop runs through it: by number, and whether against the way it is drawn."""

    line: int
    flipped: bool


@dataclass(frozen=True, slots=True)
class Gap:
    """Two loose ends that ought to meet, by line number, with their points and the distance in mm."""

    first: int
    second: int
    points: tuple[complex, complex]
    width: float


def closes_itself(chain: Chain) -> bool:
    """Whether a line is closed, by its command or by its ends."""
    return bool(chain.segments) and (chain.closed or (abs(chain.end - chain.start) <= MEETING < chain.length))


def largest_loop(lines: Sequence[DrawnLine]) -> tuple[Link, ...] | None:
    """The largest closed line that one or several of ``lines`` make, running as its first one is drawn.

    It begins with its first line in document order. None where nothing closes.
    """
    loops: list[tuple[Link, ...]] = [
        (Link(k, False),) for k, line in enumerate(lines) if closes_itself(line.chain)
    ]
    loops.extend(_joined_loops(lines))
    if not loops:
        return None
    return max(loops, key=lambda loop: abs(area_within(_run(lines, loop))))


def _run(lines: Sequence[DrawnLine], loop: Iterable[Link]) -> Chain:
    segments = [
        segment
        for link in loop
        for segment in (
            lines[link.line].chain.reversed() if link.flipped else lines[link.line].chain
        ).segments
    ]
    return Chain(tuple(segments), closed=True)


def gaps_of(lines: Sequence[DrawnLine]) -> list[Gap]:
    """Loose ends of open lines, each with the loose end nearest to it, the narrowest gaps first."""
    open_lines = [k for k, line in enumerate(lines) if line.chain.segments and not closes_itself(line.chain)]
    nodes = _Nodes(lines, open_lines)
    loose = [(k, end) for k in open_lines for end in (0, 1) if len(nodes.at(k, end)) == 1]
    pairs = sorted(
        (abs(_end(lines[k], e) - _end(lines[m], f)), k, e, m, f)
        for n, (k, e) in enumerate(loose)
        for m, f in loose[n + 1 :]
        if (k, e) != (m, f)
    )
    found: list[Gap] = []
    used: set[tuple[int, int]] = set()
    for width, k, e, m, f in pairs:
        if (k, e) not in used and (m, f) not in used:
            used |= {(k, e), (m, f)}
            found.append(Gap(k, m, (_end(lines[k], e), _end(lines[m], f)), width))
    return found


def _end(line: DrawnLine, end: int) -> complex:
    return line.chain.end if end else line.chain.start


class _Nodes:
    """Which ends of which lines lie together; an end is (line, 0 for its start or 1 for its end)."""

    def __init__(self, lines: Sequence[DrawnLine], used: Sequence[int]) -> None:
        self._places: list[complex] = []
        self._cells: dict[tuple[int, int], list[int]] = {}
        self.members: list[list[tuple[int, int]]] = []
        self.of: dict[tuple[int, int], int] = {}
        for k in used:
            for end in (0, 1):
                self._put(k, end, _end(lines[k], end))

    def _put(self, line: int, end: int, point: complex) -> None:
        x, y = int(point.real // MEETING), int(point.imag // MEETING)
        near = [n for i in (-1, 0, 1) for j in (-1, 0, 1) for n in self._cells.get((x + i, y + j), ())]
        node = min(near, key=lambda n: abs(self._places[n] - point), default=-1)
        if node < 0 or abs(self._places[node] - point) > MEETING:
            node = len(self._places)
            self._places.append(point)
            self._cells.setdefault((x, y), []).append(node)
            self.members.append([])
        self.members[node].append((line, end))
        self.of[line, end] = node

    def at(self, line: int, end: int) -> list[tuple[int, int]]:
        """The ends that lie where this one lies, itself too."""
        return self.members[self.of[line, end]]

    def drop_dead_ends(self) -> None:
        """Take away every line that has a loose end, and those that are loose without it, and so on."""
        loose = [ends[0][0] for ends in self.members if len(ends) == 1]
        while loose:
            line = loose.pop()
            for end in (0, 1):
                ends = self.members[self.of[line, end]]
                if (line, end) in ends:
                    ends.remove((line, end))
                    if len(ends) == 1:
                        loose.append(ends[0][0])


@dataclass(frozen=True, slots=True)
class _Way:
    """Lines from one branching to the next, in order; ``first`` and ``last`` are the nodes at its ends."""

    links: tuple[Link, ...]
    first: int
    last: int

    def back(self) -> _Way:
        """The same lines the other way."""
        links = tuple(Link(link.line, not link.flipped) for link in reversed(self.links))
        return _Way(links, self.last, self.first)


def _joined_loops(lines: Sequence[DrawnLine]) -> list[tuple[Link, ...]]:
    """The simple loops of several open lines, each begun with its first line, as that is drawn."""
    used = [k for k, line in enumerate(lines) if line.chain.segments and not closes_itself(line.chain)]
    nodes = _Nodes(lines, used)
    nodes.drop_dead_ends()
    ways, found = _ways(nodes)
    at: dict[int, list[tuple[int, _Way]]] = {}
    for number, way in enumerate(ways):
        at.setdefault(way.first, []).append((number, way))
        at.setdefault(way.last, []).append((number, way.back()))
    for number, way in enumerate(ways):
        # Each loop is found from its first way only.
        stack = [([way], {way.first})]
        while stack and len(found) <= _MOST_LOOPS:
            path, seen = stack.pop()
            node = path[-1].last
            if node == way.first:
                found.append(tuple(link for part in path for link in part.links))
            elif node not in seen:
                further = [other for k, other in at[node] if k > number]
                stack.extend(([*path, other], seen | {node}) for other in further)
    return [_begun_at_its_first(loop) for loop in found]


def _ways(nodes: _Nodes) -> tuple[list[_Way], list[tuple[Link, ...]]]:
    """The ways between branchings, and the loops that have no branching at all."""
    ways: list[_Way] = []
    loops: list[tuple[Link, ...]] = []
    seen: set[int] = set()

    def follow(line: int, end: int) -> _Way:
        """From an end of a line on, over nodes at which just two ends meet."""
        first = nodes.of[line, end]
        links: list[Link] = []
        while line not in seen:
            seen.add(line)
            links.append(Link(line, end == 1))
            last = nodes.of[line, 1 - end]
            ends = nodes.members[last]
            if len(ends) != 2 or last == first:
                break
            line, end = ends[1] if ends[0] == (line, 1 - end) else ends[0]
        return _Way(tuple(links), first, last)

    for branching in (True, False):
        for ends in nodes.members:
            for line, end in ends:
                if line in seen or (branching and len(ends) == 2):
                    continue
                way = follow(line, end)
                if branching:
                    ways.append(way)
                else:
                    loops.append(way.links)
    return ways, loops


def _begun_at_its_first(loop: tuple[Link, ...]) -> tuple[Link, ...]:
    at = min(range(len(loop)), key=lambda k: loop[k].line)
    loop = loop[at:] + loop[:at]
    if not loop[0].flipped:
        return loop
    return tuple(Link(link.line, not link.flipped) for link in (loop[0], *reversed(loop[1:])))
