"""Where a piece came from in its file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from transform.pattern.drawn_lines import LineSource
from transform.pattern.model import Piece, Role
from transform.svg.document import Document
from transform.svg.shapes import Drawing


@dataclass(frozen=True)
class PieceSource:
    """Where a piece came from, and what writing it back needs.

    ``lines`` are its outlines as drawn; ``drawings`` are the shapes of outlines, items and darts by element,
    split where an outline is; ``item_subpaths`` are by element the subpaths whose chains an item has;
    ``dart_layer`` is the last element of the piece's darts layer, None where it has none; ``shared_darts``
    are names of darts that stand outside all sizes; ``new_layer_label`` is what a new layer beside that of
    the outline must say of piece and size, None where the groups around say it; ``new_shape_labels`` gives by
    element of a line what a group around a new shape beside it must say; ``unused_edges`` is True
    where the rules give the piece edges, but its shapes say themselves which edges they are; ``user_unit``
    is the rules' (mm).
    """

    document: Document
    piece: Piece
    lines: Mapping[Role, LineSource]
    drawings: Mapping[int, Drawing]
    item_subpaths: Mapping[int, tuple[int, ...]]
    dart_layer: int | None
    shared_darts: frozenset[str]
    new_layer_label: str | None
    new_shape_labels: Mapping[int, str]
    unused_edges: bool
    user_unit: float | None
