"""Shapes that meet end to end become one closed line; where they do not, it is said where and how wide.

  a           Every line is an edge of a graph whose nodes are the places where ends lie within
+----+ b      0.2 mm of each other. Lines with a loose end cannot be part of a loop; of the loops
|    |        that remain the largest is the outline.
+----+--- c
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from transform.geometry.chain import Chain

MEETING = 0.2
"""Ends this near (mm) to each other meet."""
_STEP = 2.0
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


def area_of(chain: Chain) -> float:
    """Signed area (mm²) within a line, flattened to 2 mm; positive where the piece lies on ``1j*tangent``."""
    points = chain.samples(_STEP)
    return sum((a.conjugate() * b).imag for a, b in zip(points, [*points[1:], points[0]], strict=True)) / 2


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
    return max(loops, key=lambda loop: abs(area_of(_run(lines, loop))))


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
    """Which ends of which lines lie together."""

    def __init__(self, lines: Sequence[DrawnLine], used: Sequence[int]) -> None:
        self._places: list[complex] = []
        self._members: list[list[tuple[int, int]]] = []
        self._of: dict[tuple[int, int], int] = {}
        for k in used:
            for end in (0, 1):
                self._put(k, end, _end(lines[k], end))

    def _put(self, line: int, end: int, point: complex) -> None:
        distances = [abs(point - place) for place in self._places]
        node = min(range(len(distances)), key=distances.__getitem__, default=-1)
        if node < 0 or distances[node] > MEETING:
            node = len(self._places)
            self._places.append(point)
            self._members.append([])
        self._members[node].append((line, end))
        self._of[line, end] = node

    def node(self, line: int, end: int) -> int:
        return self._of[line, end]

    def at(self, line: int, end: int) -> list[tuple[int, int]]:
        """The ends that lie where this one lies, itself too."""
        return self._members[self._of[line, end]]


def _joined_loops(lines: Sequence[DrawnLine]) -> list[tuple[Link, ...]]:
    alive = [k for k, line in enumerate(lines) if line.chain.segments and not closes_itself(line.chain)]
    while alive:
        nodes = _Nodes(lines, alive)
        kept = [k for k in alive if all(len(nodes.at(k, end)) > 1 for end in (0, 1))]
        if kept == alive:
            break
        alive = kept
    found: list[tuple[Link, ...]] = []
    if not alive:
        return found
    for first in alive:
        # Each loop is found from its first line only, which it runs as drawn.
        _walk(nodes, first, [Link(first, False)], found)
        if len(found) > _MOST_LOOPS:
            break
    return found


def _walk(nodes: _Nodes, first: int, begun: list[Link], found: list[tuple[Link, ...]]) -> None:
    """Every simple loop that goes on from the links in ``begun`` over lines after ``first``."""
    home = nodes.node(first, 0)
    stack = [(begun, {home})]
    while stack and len(found) <= _MOST_LOOPS:
        path, seen = stack.pop()
        last = path[-1]
        end = 0 if last.flipped else 1
        node = nodes.node(last.line, end)
        if node == home:
            found.append(tuple(path))
            continue
        if node in seen:
            continue
        for line, at in nodes.at(last.line, end):
            if line > first and line != last.line:
                stack.append(([*path, Link(line, at == 1)], seen | {node}))
