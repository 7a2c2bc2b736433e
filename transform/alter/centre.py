"""The centre of a half piece: its fold line, or a seam in the centre."""

from __future__ import annotations

import math

from rules.labels import fold
from transform.geometry.nearest import nearest
from transform.pattern.model import Piece

TOUCH = 0.5
"""A wedge this near (mm) to the fold line or a centre seam touches it."""
CENTRE_EDGES = frozenset(fold(f"{c} {side}") for c in ("centre", "center") for side in ("front", "back"))


def distance_to_fold(piece: Piece, place: float) -> float:
    """Distance (mm) of an outline place from the fold line or a centre seam; inf where there is none."""
    outline = piece.stitching
    point = outline.chain.point(place)
    found = math.inf
    if piece.fold is not None:
        found = nearest(piece.fold, point)[1]
    for stretch in outline.stretches:
        if stretch.edge is not None and fold(stretch.edge) in CENTRE_EDGES:
            found = min(found, nearest(stretch.chain, point)[1])
    return found
