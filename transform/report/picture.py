"""What the proof sheet shows of a piece, as path data in mm: before, after, wedge, pivot, darts, marks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Side = Literal["left", "right", "across"]
"""Where a width is written beside its place."""


@dataclass(frozen=True, slots=True)
class WidthLabel:
    """What was removed (mm), to be written at a place outside the edge: on its left, its right or across."""

    place: tuple[float, float]
    removed: float
    side: Side


@dataclass(frozen=True, slots=True)
class Picture:
    """One piece in one size: path data, each a text for `d`, and the box (x, y, width, height, mm)."""

    piece: str
    size: str
    box: tuple[float, float, float, float]
    before: str
    after: str
    cut_before: str
    cut_after: str
    turned: str
    wedges: str
    closures: str
    darts_before: str
    darts_after: str
    marks_before: str
    marks_after: str
    pivots: tuple[tuple[float, float], ...]
    labels: tuple[WidthLabel, ...]
