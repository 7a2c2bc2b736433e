"""Where the pieces lie on the sheet, and what is printed beside them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .allowance import cut_line
from .curves import shifted
from .layers import Layer, Words
from .piece import Piece

MARGIN = 12.0  # mm round the sheet
GAP = 14.0  # mm between pieces
HEAD = 74.0  # mm above the pieces for title, cautions and test square
SQUARE = 50.0  # mm, the test square

Box = tuple[complex, complex]


@dataclass(frozen=True, slots=True)
class Drawn:
    """One piece in one size: its layers lie about the piece's own zero, which lies at `at` on the sheet."""

    size: str
    rank: int
    """Where the size stands in the range, from 0; gives its dash and weight."""
    piece: str
    at: complex
    layers: tuple[Layer, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """All that is drawn in one file."""

    width: float
    height: float
    title: str
    cautions: tuple[str, ...]
    drawn: tuple[Drawn, ...]

    def head(self) -> tuple[Words, ...]:
        """Title and cautions, printed to the right of the test square."""
        at = complex(MARGIN + SQUARE + 10, MARGIN + 7)
        return (
            Words(self.title, at, size=7.0),
            *(Words(text, at + 1j * (10 + 7 * row)) for row, text in enumerate(self.cautions)),
        )


def box(pieces: Iterable[Piece], cut_lines: bool) -> Box:
    """Smallest upright box round the pieces as they lie: upper left and lower right corner."""
    points = [
        curve.at(i / 16)
        for piece in pieces
        for curve in (cut_line(piece) if cut_lines else piece.outline())
        for i in range(17)
    ]
    xs, ys = [p.real for p in points], [p.imag for p in points]
    return complex(min(xs), min(ys)), complex(max(xs), max(ys))


def shelves(boxes: Sequence[Box], width: float) -> tuple[list[complex], float]:
    """Where each box's zero comes to lie, in rows across a sheet of this width; and the height they take."""
    places: list[complex] = []
    at, lowest = complex(MARGIN, HEAD), HEAD
    for upper, lower in boxes:
        size = lower - upper
        if at.real + size.real > width - MARGIN and at.real > MARGIN:
            at = complex(MARGIN, lowest + GAP)
        # Whole millimetres, so that the sheet reads well.
        places.append(complex(round((at - upper).real), round((at - upper).imag)))
        lowest = max(lowest, at.imag + size.imag)
        at += size.real + GAP
    return places, float(round(lowest + MARGIN))


def row_width(boxes: Sequence[Box]) -> float:
    """Width of the sheet on which the boxes lie in one row."""
    return float(round(sum((lower - upper).real + GAP for upper, lower in boxes) + 2 * MARGIN))


def about_origin(piece: Piece) -> Piece:
    """The piece with its origin at zero: sizes so moved lie over one another."""
    return piece.moved(shifted(-piece.origin))
