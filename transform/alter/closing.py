"""A removal in numbers: where its wedge, its pivot and its mouths lie on one piece in one size.

Every place is measured on the pattern as it came.
"""

from __future__ import annotations

import cmath
from dataclasses import dataclass

from rules.lengths import KeptAngle
from rules.model import Removal
from transform.alter.problems import Asked


@dataclass(frozen=True, slots=True)
class Mouth:
    """Where the outline opens: between two places (equal for a new dart and for a pivot on an edge).

    ``dart`` is None where nothing opens; ``share`` is the part of the closing angle that it takes. A mouth
    without a dart that has a width is where a wedge comes out again at the far side of a piece that is cut
    right across. A ``filled`` mouth opens and is closed again with new piece between: no dart is made.
    ``stands_off`` is how far (mm) the point of a dart that is there stands off the pivot which opens it.
    """

    first: float
    last: float
    dart: str | None
    share: float
    is_new: bool
    filled: bool = False
    stands_off: float | None = None

    @property
    def is_gone(self) -> bool:
        """Whether the wedge takes the outline from the first place to the last."""
        return self.dart is None and self.first != self.last


@dataclass(frozen=True, slots=True)
class Closing:
    """One wedge to close; ``index`` is its removal's place in the rules, from 0.

    ``low`` and ``high`` are its outline places in the outline's order; ``first_leg`` and ``second_leg`` are
    B and A, the legs as the person measures them; ``asked_mm`` is the width asked for. What a linked piece
    takes over from another is ``followed``, with the index of the part that is ``held``. Where such a wedge
    lies beside the linked piece, which then only turns about a place of its outline, low and high are that
    place and ``turn`` is the angle (rad, signed) by which the part after it turns.
    """

    index: int
    name: str
    edge: str
    low: float
    high: float
    first_leg: complex
    second_leg: complex
    asked_mm: float
    pivot: complex
    pivot_dart: str | None
    pivot_place: float | None
    mouths: tuple[Mouth, ...]
    followed: bool
    removal: Removal
    asked: Asked
    held: int | None = None
    turn: float | None = None

    def stands_off(self, dart: str) -> float | None:
        """How far (mm) the point of ``dart`` stands off the pivot; None where it does not, or is new."""
        return next((mouth.stands_off for mouth in self.mouths if mouth.dart == dart), None)

    @property
    def is_across(self) -> bool:
        """Whether the piece is cut right across, from edge to edge."""
        return any(mouth.is_gone for mouth in self.mouths)

    @property
    def measured_along(self) -> bool:
        """Whether the width asked for is an arc of the edge, not a width across or an angle kept."""
        along = not self.removal.across and not isinstance(self.removal.amount, KeptAngle)
        return along and not self.followed

    @property
    def angle(self) -> float:
        """The wedge's angle on the pattern as it came, rad."""
        if self.turn is not None:
            return abs(self.turn)
        return abs(cmath.phase((self.second_leg - self.pivot) / (self.first_leg - self.pivot)))
