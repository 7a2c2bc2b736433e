"""Names, lengths and places of the rules, on one piece in one size."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rules.labels import fold
from rules.lengths import Amount, Share
from transform.alter.problems import Asked
from transform.pattern.outline import Edge


@dataclass(frozen=True, slots=True)
class Grade:
    """The size being altered, the order of all sizes, and angles (rad) kept from another size, by removal."""

    size: str
    sizes: Sequence[str]
    angles: Mapping[str, float]

    def mm(self, amount: Amount) -> float:
        """The amount in this size, mm."""
        return amount.at(self.size, self.sizes)

    def along(self, distance: Amount | Share, edge: Edge) -> float:
        """The distance along ``edge`` in this size, mm."""
        return distance.fraction * edge.length if isinstance(distance, Share) else self.mm(distance)


def name_in(asked: Asked, what: str, wanted: str, known: Sequence[str]) -> str:
    """The piece's own spelling of a name.

    Raises:
        AlterError: where the piece has none that compares equal.
    """
    for name in known:
        if fold(name) == fold(wanted):
            return name
    raise asked.unknown(what, wanted, known)


def edge_of(asked: Asked, wanted: str) -> Edge:
    """The edge of the asked piece that is named ``wanted``."""
    outline = asked.piece.stitching
    return outline.edge(name_in(asked, "edge", wanted, outline.edge_names))


def measured_from(asked: Asked, edge: Edge, start: str) -> bool:
    """Whether ``edge`` is measured from its beginning (else from its end).

    Raises:
        AlterError: where ``start`` is at neither end.
    """
    outline = edge.outline
    for name in (*outline.corners, *outline.edge_names):
        if fold(name) == fold(start):
            runs = edge.runs_from(name)
            if runs is not None:
                return runs
    ends = [name for name in (*outline.corners, *outline.edge_names) if edge.runs_from(name) is not None]
    raise asked.unknown("end", start, ends, f" of {edge.name}")


def place_on(asked: Asked, edge: Edge, start: str, distance: float) -> float:
    """Outline place at ``distance`` mm along ``edge`` from ``start``.

    Raises:
        AlterError: where the edge is not that long.
    """
    if not -1e-9 <= distance <= edge.length + 1e-6:
        raise asked.refusal(
            "past the edge",
            f"{distance:.2f} mm is past the end of {edge.name}, which is {edge.length:.2f} mm long",
        )
    return edge.place(distance if measured_from(asked, edge, start) else edge.length - distance)
