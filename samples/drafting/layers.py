"""What is drawn of a piece: role layers with their shapes, still in mm and in no house style."""

from dataclasses import dataclass

from .allowance import cut_line
from .curves import Chain, line, unit
from .piece import Piece

NOTCH = 6.0  # mm, length of a notch
NOTCH_GAP = 5.0  # mm between two notches that belong together
LETTERS = 4.6  # mm, size of the lettering
LINE_FEED = 6.5  # mm from one printed line to the next
REVISION_COLUMN = 118.0  # mm from the start of a single printed line to its revision


@dataclass(frozen=True, slots=True)
class Stroke:
    """A drawn line of curves; `closed` where it comes back to its start."""

    chain: Chain
    label: str = ""
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """A small circle, such as marks a corner or the apex."""

    centre: complex
    radius: float
    label: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """One printed line; `at` is where its baseline begins."""

    text: str
    at: complex
    label: str = ""
    size: float = LETTERS


Shape = Stroke | Ring | Words


@dataclass(frozen=True, slots=True)
class Layer:
    """The shapes of one role; `role` is the plain word for it."""

    role: str
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, slots=True)
class House:
    """What a house draws."""

    cut_lines: bool
    """Cut lines round the stitching lines; else the pattern is net."""
    labelled_edges: bool
    """Every edge a shape of its own; else one closed outline with its corners marked."""


def layers(piece: Piece, house: House, words: tuple[Words, ...]) -> list[Layer]:
    """All layers of a piece, in the order in which they are drawn; empty ones are left out."""
    drawn = [
        Layer("cut line", (Stroke(cut_line(piece), closed=True),) if house.cut_lines else ()),
        Layer("stitching line", _stitching(piece, house)),
        Layer("inner lines", tuple(Stroke(chain, name) for name, chain in piece.inner.items())),
        Layer("corner marks", () if house.labelled_edges else _corners(piece)),
        Layer("darts", tuple(_dart(dart.name, dart.points) for dart in piece.darts)),
        Layer("apex mark", () if piece.apex is None else (Ring(piece.apex, 3.0),)),
        Layer("notches", _notches(piece, house)),
        Layer("fold line", () if piece.fold is None else (Stroke(piece.walk(piece.fold)),)),
        Layer("grainline", (Stroke(_arrow(*piece.grain)),)),
        Layer("lettering", words),
    ]
    return [layer for layer in drawn if layer.shapes]


def block_letters(piece: Piece, size: str, revision: str) -> tuple[Words, ...]:
    """Piece name, size, cutting instruction and revision, one under the other from the caption point."""
    rows = [piece.caption + 1j * LINE_FEED * row for row in range(4)]
    printed = zip((piece.name, f"size {size}", piece.cutting), rows, strict=False)
    return (*(Words(text, at) for text, at in printed), *_revision(revision, rows[3]))


def single_line(piece: Piece, size: str, revision: str, row: int = 0) -> tuple[Words, ...]:
    """The same on one line, for bands and for sizes drawn over one another, each in a row of its own."""
    at = piece.caption + 1j * LINE_FEED * row
    told = Words(f"{piece.name}, size {size}, {piece.cutting}", at)
    return (told, *_revision(revision, at + REVISION_COLUMN))


def _revision(revision: str, at: complex) -> tuple[Words, ...]:
    """The mark and its date are a text of their own, so that they can be replaced."""
    return Words("rev.", at), Words(revision, at + 11, "revision")


def _stitching(piece: Piece, house: House) -> tuple[Stroke, ...]:
    if house.labelled_edges:
        return tuple(Stroke(edge.chain, edge.name) for edge in piece.edges)
    return (Stroke(piece.outline(), closed=True),)


def _corners(piece: Piece) -> tuple[Ring, ...]:
    return tuple(Ring(edge.chain[0].a, 0.8, edge.corner) for edge in piece.edges)


def _dart(name: str, points: tuple[complex, complex, complex]) -> Stroke:
    first, point, last = points
    return Stroke((line(first, point), line(point, last)), name)


def _notches(piece: Piece, house: House) -> tuple[Stroke, ...]:
    """Square to the seam: inward from the cut line where there is one, else from the stitching line."""
    outward, strokes = piece.outward(), []
    for notch in piece.notches:
        at, along = piece.notched(notch)
        out = along * outward
        reach = piece.allowance(notch.edge) if house.cut_lines else 0.0
        for index in range(notch.count):
            foot = at + along * NOTCH_GAP * (index - (notch.count - 1) / 2) + out * reach
            strokes.append(Stroke((line(foot, foot - out * NOTCH),)))
    return tuple(strokes)


def _arrow(tail: complex, tip: complex) -> Chain:
    """A shaft with a head at both ends; the heads are strokes of their own."""
    along = unit(tip - tail)
    heads = [
        line(end + along * complex(back, side), end)
        for end, back in ((tail, 5), (tip, -5))
        for side in (2, -2)
    ]
    return (line(tail, tip), *heads)
