"""Which part of a divided piece stays put; looked at on the pattern as it came."""

from __future__ import annotations

from transform.alter.closing import Closing
from transform.alter.placing import edge_of
from transform.alter.regions import Division
from transform.geometry.chain import Chain
from transform.geometry.segments import Line
from transform.pattern.model import Piece


def held_part(piece: Piece, closing: Closing, division: Division) -> int:
    """The part with the edge that `hold` names, else the fold line, else the whole grain, else the larger.

    On a linked piece, the part that belongs to the one held on the piece that it follows.

    Raises:
        AlterError: where the edge that is to be held lies on both parts.
    """
    if closing.held is not None:
        return closing.held
    hold = closing.removal.hold
    if hold is not None:
        asked = closing.asked.of("hold")
        edge = edge_of(asked, hold)
        part = division.part_of_edge([edge.outline.interval(k) for k in edge.indices])
        if part is None:
            raise asked.refusal(
                "held on both parts",
                f"{edge.name} lies on both parts of the piece; hold an edge that is on one of them",
            )
        return part
    lines = [piece.fold] if piece.fold is not None else []
    if piece.grain is not None and piece.grain[0] != piece.grain[1]:
        lines.append(Chain((Line(*piece.grain),)))
    for line in lines:
        part = division.part_of_chain(line)
        if part is not None:
            return part
    return division.largest
