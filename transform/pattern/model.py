"""A pattern piece in one size, as it was understood from the file; every point in mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum, StrEnum

from transform.geometry.chain import Chain
from transform.pattern.outline import Outline


class Role(StrEnum):
    """What a layer holds."""

    CUT_LINE = "cut line"
    STITCHING_LINE = "stitching line"
    APEX_MARK = "apex mark"
    CORNER_MARKS = "corner marks"
    DARTS = "darts"
    NOTCHES = "notches"
    GRAINLINE = "grainline"
    FOLD_LINE = "fold line"


class Way(Enum):
    """How a thing on the piece follows the part on which it lies."""

    CUT = "cut where a leg or a mouth crosses it"
    WHOLE = "as one, its own coordinates written anew"
    UPRIGHT = "shifted with its anchor point, never turned"
    TRANSFORM = "by its transform"


@dataclass(frozen=True, slots=True)
class Item:
    """One element that lies on the piece and follows it.

    ``place`` is the point that decides to which part it belongs; elements that make up one mark share it.
    ``chains`` are its lines by subpath, empty for what is not a drawn line. ``shared`` items serve every
    size and never move. ``corner`` names the corner that a corner mark
    stands for.
    """

    element: int
    role: Role | None
    label: str | None
    way: Way
    place: complex
    chains: tuple[Chain, ...] = ()
    shared: bool = False
    corner: str | None = None


@dataclass(frozen=True, slots=True)
class Dart:
    """A dart: its point, its two leg ends in the outline's order, and the outline places between which
    its mouth lies.

    ``drawn_in``: the outline itself runs to the point and back; else the outline crosses the mouth,
    straight or (``capped``) with the cap of the folded dart, and ``elements`` of the darts layer draw it.
    """

    name: str
    point: complex
    legs: tuple[complex, complex]
    mouth: tuple[float, float]
    drawn_in: bool
    capped: bool
    elements: tuple[int, ...] = ()


@dataclass(frozen=True)
class Piece:
    """One piece in one size.

    ``stitching`` is the line on which everything is measured. Where the file draws only a cut line it
    was carried in from there and ``stitching_drawn`` is False; ``cut`` is None where the file draws no
    cut line. ``apexes`` are pivot marks by label (the empty label where a mark has none of its own).
    ``grain`` are the ends of the grainline and ``fold`` is the fold line; None where there is none.
    """

    name: str
    size: str | None
    file: str
    label_path: str
    stitching: Outline
    stitching_drawn: bool
    cut: Outline | None
    darts: tuple[Dart, ...] = ()
    items: tuple[Item, ...] = ()
    apexes: Mapping[str, complex] = field(default_factory=dict)
    grain: tuple[complex, complex] | None = None
    fold: Chain | None = None

    def dart(self, name: str) -> Dart:
        """The dart of that name.

        Raises:
            KeyError: where there is none.
        """
        for dart in self.darts:
            if dart.name == name:
                return dart
        raise KeyError(name)
