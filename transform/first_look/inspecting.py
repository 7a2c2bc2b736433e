"""What files hold, as the tool understands them: for a person who wants to write rules for them."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from rules.model import Rules
from rules.plain_files import read_plain
from rules.problems import Problem, UngapeError
from transform.alter.cut_sides import foot
from transform.files.patterns import PatternFile, pattern_file
from transform.pattern.model import Dart, Item, Piece
from transform.pattern.outline import Edge, Outline
from transform.pattern.reading import Reading, examine_pieces
from transform.svg.document import read_document
from transform.svg.parsing import LARGEST

_PLACES = (0.1, 0.25, 0.4, 0.5, 0.6, 0.75, 0.9)
"""Where along an edge its allowance is measured: away from its corners."""


@dataclass(frozen=True, slots=True)
class EdgeFacts:
    """An edge: its length on the stitching line, darts folded out, and its allowance, mm.

    ``allowance`` is the narrowest and the widest; None where no cut line runs beside it.
    """

    name: str
    length: float
    allowance: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class CornerFacts:
    """A corner: its name (without one, the edges that meet there), the piece's angle in rad, its place."""

    name: str
    angle: float
    place: complex


@dataclass(frozen=True, slots=True)
class DartFacts:
    """A dart: intake and both legs in mm (in the outline's order), its point."""

    name: str
    intake: float
    legs: tuple[float, float]
    point: complex
    drawn_in: bool


@dataclass(frozen=True, slots=True)
class MarkFacts:
    """A mark, or an inner line or note where ``role`` is None."""

    role: str | None
    label: str | None
    place: complex


@dataclass(frozen=True, slots=True)
class PieceFacts:
    """A piece in one size (None: outside all sizes), and which lines draw it."""

    name: str
    size: str | None
    labels: str
    lines: tuple[str, ...]
    edges: tuple[EdgeFacts, ...]
    corners: tuple[CornerFacts, ...]
    darts: tuple[DartFacts, ...]
    marks: tuple[MarkFacts, ...]


@dataclass(frozen=True, slots=True)
class PlacedFacts:
    """Where an element is, what it was taken for, and why."""

    where: str
    what: str
    why: str


@dataclass(frozen=True, slots=True)
class UnplacedFacts:
    """What could not be placed: where it is, what it is, and what would be needed."""

    where: str
    what: str
    needed: str


@dataclass(frozen=True, slots=True)
class FileContents:
    """One file: sizes in natural order, pieces, what was placed, what could not be, what is wrong with it."""

    name: str
    sizes: tuple[str, ...] = ()
    pieces: tuple[PieceFacts, ...] = ()
    placed: tuple[PlacedFacts, ...] = ()
    unplaced: tuple[UnplacedFacts, ...] = ()
    problems: tuple[Problem, ...] = ()


def inspect_files(paths: Sequence[Path], rules: Rules) -> Iterator[FileContents]:
    """What each of the files holds under the rules (which may be empty ones)."""
    for path in paths:
        file = pattern_file(rules, path)
        try:
            reading, problems = examine(file, rules)
        except UngapeError as error:
            yield FileContents(str(path), problems=error.problems)
            continue
        yield FileContents(
            str(path),
            tuple(reading.sizes),
            tuple(_piece(piece) for piece in reading.pieces),
            tuple(
                PlacedFacts(reading.document.path_of_labels(one.element), one.what, one.why)
                for one in reading.placed
            ),
            tuple(
                UnplacedFacts(
                    reading.document.path_of_labels(one.element) if one.element is not None else "",
                    one.what,
                    one.needed,
                )
                for one in reading.unplaced
            ),
            tuple(replace(problem, file=problem.file or str(path)) for problem in problems),
        )


def examine(file: PatternFile, rules: Rules) -> tuple[Reading, tuple[Problem, ...]]:
    """The pieces of a file that can be read, and its problems.

    Raises:
        UngapeError: where the file cannot be read at all.
    """
    try:
        data = read_plain(file.path, LARGEST)
    except OSError as error:
        text = f"the file cannot be read: {error.strerror or error}"
        raise UngapeError((Problem("unreadable file", text, str(file.path), exit=3),)) from None
    return examine_pieces(read_document(data, str(file.path)), rules, size=file.size, piece=file.piece)


def _piece(piece: Piece) -> PieceFacts:
    lines = ["stitching line"] if piece.stitching_drawn else []
    return PieceFacts(
        piece.name,
        piece.size,
        piece.label_path,
        (*lines, *(["cut line"] if piece.cut is not None else [])),
        tuple(_edge(piece, name) for name in piece.stitching.edge_names),
        tuple(corners(piece.stitching)),
        tuple(_dart(dart) for dart in piece.darts),
        tuple(_mark(item) for item in piece.items),
    )


def _edge(piece: Piece, name: str) -> EdgeFacts:
    edge = piece.stitching.edge(name)
    return EdgeFacts(name, edge.length, _allowance(piece, edge) if piece.cut is not None else None)


def _allowance(piece: Piece, edge: Edge) -> tuple[float, float] | None:
    """The least and the largest distance (mm) from places along an edge, square to it, to the cut line."""
    if piece.cut is None:
        return None
    chain = piece.stitching.chain
    places = [edge.place(edge.length * share) for share in _PLACES]
    feet = [foot(chain, piece.cut.chain, chain.wrap(place)) for place in places]
    distances = [found.distance for found in feet if found is not None]
    return (min(distances), max(distances)) if distances else None


def corners(outline: Outline) -> Iterator[CornerFacts]:
    """The named corners, and those places without a name at which one edge ends and another begins.

    In the order in which the outline meets them.
    """
    chain = outline.chain
    named = {chain.wrap(place): name for name, place in outline.corners.items()}
    places = dict(named)
    for index, stretch in enumerate(outline.stretches):
        before = outline.stretches[index - 1]
        place = chain.wrap(outline.begins[index])
        if (
            stretch.edge is None
            or before.edge is None
            or stretch.edge == before.edge
            or any(abs(place - known) < 1e-3 for known in named)
        ):
            continue
        places[place] = f"{before.edge} to {stretch.edge}"
    for place, name in sorted(places.items()):
        turn = cmath.phase(chain.tangent(place) / chain.tangent(place, before=True))
        yield CornerFacts(name, math.pi - turn, chain.point(place))


def _dart(dart: Dart) -> DartFacts:
    first, second = dart.legs
    legs = (abs(dart.point - first), abs(dart.point - second))
    return DartFacts(dart.name, abs(second - first), legs, dart.point, dart.drawn_in)


def _mark(item: Item) -> MarkFacts:
    return MarkFacts(
        item.role.value if item.role is not None else None, item.label or item.corner, item.place
    )
