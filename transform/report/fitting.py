"""Tables as wide as the terminal, in which no figure is torn from its unit where there is any room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.box import SIMPLE_HEAD
from rich.cells import cell_len
from rich.table import Table
from rich.text import Text

_BREAKS: tuple[tuple[tuple[str, str], ...], ...] = (
    (),
    ((": ", ":\n"), (", ", ",\n"), ("; ", ";\n")),
    ((": ", ":\n"), (", ", ",\n"), ("; ", ";\n"), (" to ", " to\n"), (" ± ", "\n± ")),
)
"""Where cells of figures are broken, the roomiest way first."""
_GAP = 2
_EASY = 24
"""Words are read easily in a column of so many characters, and get it where there is room."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column: of figures, which break at few places only, or of words, which break between any two."""

    name: str
    figures: bool = False


def fitted(title: Text, columns: Sequence[Column], rows: Sequence[Sequence[str]], width: int) -> Table:
    """The table, no wider than ``width`` characters, of which no cell is cut short.

    Cells of figures are broken at as few places as will do; where even the most are too few, anywhere.
    ``rows`` hold printable text only.
    """
    ways = [_broken(columns, rows, breaks) for breaks in _BREAKS]
    fits = next(
        (way for ease in (_EASY, 0) for way in ways if _least_width(columns, *way, ease) <= width), None
    )
    heads, cells = fits if fits is not None else ([column.name for column in columns], rows)
    table = Table(title=title, title_justify="left", box=SIMPLE_HEAD, padding=(0, 1, 0, 0), show_edge=False)
    for column, head in zip(columns, heads, strict=True):
        table.add_column(head, overflow="fold", no_wrap=column.figures and fits is not None)
    for row in cells:
        table.add_row(*(Text(cell) for cell in row))
    return table


def _broken(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], breaks: Sequence[tuple[str, str]]
) -> tuple[list[str], list[list[str]]]:
    def one(column: Column, cell: str) -> str:
        for old, new in breaks if column.figures else ():
            cell = cell.replace(old, new)
        return cell

    heads = [c.name.replace(" ", "\n") if c.figures and breaks else c.name for c in columns]
    return heads, [[one(c, cell) for c, cell in zip(columns, row, strict=True)] for row in rows]


def _least_width(
    columns: Sequence[Column], heads: Sequence[str], rows: Sequence[Sequence[str]], ease: int
) -> int:
    """The least characters: of figures the longest line, of words the longest word, or ``ease``."""
    width = 0
    for index, (column, head) in enumerate(zip(columns, heads, strict=True)):
        cells = [head, *(row[index] for row in rows)]
        if column.figures:
            width += max(cell_len(line) for cell in cells for line in cell.split("\n"))
        else:
            longest = max(cell_len(cell) for cell in cells)
            width += max(min(ease, longest), *(cell_len(word) for cell in cells for word in cell.split()))
    return width + _GAP * len(columns)
