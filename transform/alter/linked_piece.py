"""A linked piece as it lies on the one that it follows, and straight cuts through it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from transform.alter.problems import Asked
from transform.alter.registration import Registration
from transform.geometry.chain import Chain
from transform.geometry.meeting import line_meets
from transform.geometry.nearest import nearest
from transform.pattern.model import Piece
from transform.pattern.outline import Edge

ON_OUTLINE = 0.05
"""A pivot this near (mm) to the linked piece's outline, or to its dart's point, lies on it."""
CLEAR = 0.01
"""Nearer to its start than this (mm) a cut has not met anything."""
DartKind = Literal["closed", "sewn"]


@dataclass(frozen=True)
class Following:
    """A linked piece that follows another: how they lie on each other, and what becomes of darts."""

    asked: Asked
    followed: Piece
    registration: Registration
    dart: DartKind
    tolerance: float

    @property
    def piece(self) -> Piece:
        """The linked piece."""
        return self.asked.piece

    @property
    def outline(self) -> Chain:
        """The linked piece's outline as it came."""
        return self.piece.stitching.chain


def nearest_on(edge: Edge, point: complex) -> float:
    """The outline's place of an edge that is nearest to a point."""
    outline = edge.outline
    rows = [(nearest(outline.stretches[k].chain, point), outline.begins[k]) for k in edge.indices]
    (place, _), begin = min(rows, key=lambda row: row[0][1])
    return outline.chain.wrap(begin + place)


def cut_on(following: Following, pivot: complex, goal: complex) -> float:
    """Where the straight cut from the pivot towards ``goal`` leaves the linked piece."""
    chain = following.outline
    return next(place for distance, place in line_meets(chain, pivot, goal - pivot) if distance > CLEAR)


def refuse_over_dart(following: Following, name: str, first: float, last: float) -> None:
    """Refuse a wedge, of the removal ``name``, that takes the mouth of a dart between two places.

    Raises:
        AlterError: where one lies there.
    """
    stitching, whole = following.piece.stitching, following.outline.length
    for index, stretch in enumerate(stitching.stretches):
        begin, end = stitching.interval(index)
        if stretch.dart is not None and ((begin + end) / 2 - first) % whole < (last - first) % whole:
            raise following.asked.refusal(
                "over a dart", f"the wedge of {name} runs over the mouth of {stretch.dart}"
            )


def filled_name(name: str) -> str:
    """What a mouth is called that no dart comes of: like no dart of a pattern."""
    return f"{name} (filled)"
