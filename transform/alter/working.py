"""How a piece was altered, kept for the checks that judge the result."""

from __future__ import annotations

from dataclasses import dataclass

from transform.alter.closed_edges import ClosedEdge
from transform.alter.cutting import Cut
from transform.alter.runs import NewStretch, SewnMouth
from transform.pattern.model import Piece


@dataclass(frozen=True)
class Working:
    """What was cut and turned, the stitching line that came of it, its sewn darts and its closed edges.

    ``bare`` are the stretches before anything was drawn anew: kept runs in place, closures and mouths
    open.
    """

    piece: Piece
    cut: Cut
    bare: tuple[NewStretch, ...]
    stretches: tuple[NewStretch, ...]
    mouths: tuple[SewnMouth, ...]
    closed: tuple[ClosedEdge, ...]
