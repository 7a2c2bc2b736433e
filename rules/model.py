"""One rules file, understood: frozen values, every length in mm, every share a fraction."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from rules.lengths import Amount, Distance, Fixed, KeptAngle

Press = Literal["down", "up", "to centre", "to side"]
LineKind = Literal["fair", "straight"]


@dataclass(frozen=True, slots=True)
class Position:
    """Where a thing stands in the rules file; both count from 1."""

    line: int
    column: int


NOWHERE = Position(1, 1)
LINKED_TOLERANCE = Fixed(0.5)
"""Edges of linked pieces may differ by this much, mm, where the rules do not say."""


@dataclass(frozen=True, slots=True)
class SewnDart:
    """A mouth finished as a dart; None is what is usual for it."""

    draw_back: Amount | None = None
    press: Press | None = None
    trim: Amount | None = None


@dataclass(frozen=True, slots=True)
class TakenOut:
    """A mouth filled, and the hem ``at`` raised in a curve that ends at the edge or corner ``to``."""

    at: str
    to: str


Finish = SewnDart | TakenOut


@dataclass(frozen=True, slots=True)
class ApexPivot:
    """The wedge closes to an apex mark, by its label where there are several."""

    label: str | None = None


@dataclass(frozen=True, slots=True)
class DartPivot:
    """The wedge closes to the point of a dart."""

    dart: str


@dataclass(frozen=True, slots=True)
class EdgePivot:
    """The wedge closes to nothing at a place on an edge."""

    edge: str
    start: str
    distance: Distance


Pivot = ApexPivot | DartPivot | EdgePivot


@dataclass(frozen=True, slots=True)
class NewDart:
    """A dart that opens at a place on an edge; ``share`` of the angle, None for all of it."""

    name: str
    edge: str
    start: str
    distance: Distance
    share: float | None = None


@dataclass(frozen=True, slots=True)
class KnownDart:
    """A dart of the pattern, or one that an earlier removal opens; ``share`` of the angle."""

    name: str
    share: float | None = None


Opening = NewDart | KnownDart


@dataclass(frozen=True, slots=True)
class Removal:
    """One wedge to take out. ``amount`` is the full width; ``start`` is what the format calls `from`."""

    name: str
    piece: str
    edge: str
    start: str
    distance: Distance
    amount: Amount | KeptAngle
    pivot: Pivot
    opens: tuple[Opening, ...] = ()
    pinched: bool = False
    across: bool = False
    finish: Finish | None = None
    hold: str | None = None
    line: LineKind | None = None
    again: bool = False
    where: Position = NOWHERE
    keys: Mapping[str, Position] = field(default_factory=dict, compare=False)
    """Where the value of each key stands."""

    def with_amount(self, amount: Fixed) -> Removal:
        """The same removal with another amount."""
        return replace(self, amount=amount)


@dataclass(frozen=True, slots=True)
class Term:
    """An edge of a piece, counted ``times`` over."""

    piece: str
    edge: str
    times: int = 1


@dataclass(frozen=True, slots=True)
class Linked:
    """A piece that receives the removals of another along the edges that both share."""

    piece: str
    follows: str
    along: tuple[str, ...]
    dart: Literal["closed", "sewn"] = "closed"
    tolerance: Amount = LINKED_TOLERANCE
    where: Position = NOWHERE


@dataclass(frozen=True, slots=True)
class Strip:
    """A band cut to ``ratio`` times the length of edges."""

    strip: str
    follows: tuple[Term, ...]
    ratio: float = 1.0
    where: Position = NOWHERE


@dataclass(frozen=True, slots=True)
class Graded:
    """What a seam allows, size by size: ends of the ease, and the tolerance."""

    low: Amount
    high: Amount
    tolerance: Amount


@dataclass(frozen=True, slots=True)
class Seam:
    """Two sides that are sewn together; ``ease`` is the range allowed for second minus first, mm.

    Where ease or tolerance differ by size, ``graded`` has them, and both numbers are not-a-number until `at`
    fills them in.
    """

    join: tuple[tuple[Term, ...], tuple[Term, ...]]
    ease: tuple[float, float] = (0.0, 0.0)
    tolerance: float = 1.0
    where: Position = NOWHERE
    graded: Graded | None = None

    def at(self, size: str, sizes: Sequence[str]) -> Seam:
        """The seam with the numbers of one size.

        Raises:
            RulesError: where the size has no number.
        """
        if self.graded is None:
            return self
        low, high, tolerance = (
            amount.at(size, sizes) for amount in (self.graded.low, self.graded.high, self.graded.tolerance)
        )
        return replace(self, ease=(low, high), tolerance=tolerance, graded=None)


@dataclass(frozen=True, slots=True)
class Accept:
    """A kind of notice that a person has looked at, on one piece or anywhere."""

    kind: str
    piece: str | None = None
    why: str = ""
    where: Position = NOWHERE


@dataclass(frozen=True, slots=True)
class Revision:
    """The mark and the date of a reissue, as text."""

    mark: str
    date: str
    where: Position = NOWHERE


@dataclass(frozen=True, slots=True)
class Find:
    """What the CSS selector matches counts as labelled ``label``."""

    label: str
    selector: str
    where: Position = NOWHERE


@dataclass(frozen=True, slots=True)
class EdgePath:
    """An edge as rows of corners, one row for each stretch."""

    name: str
    stretches: tuple[tuple[str, ...], ...]
    where: Position = NOWHERE


@dataclass(frozen=True, slots=True)
class Allowance:
    """Seam allowance where one of the two lines is missing; by edge name or PIECE/EDGE."""

    default: Amount | None = None
    by_edge: Mapping[str, Amount] = field(default_factory=dict)
    where: Position = NOWHERE


@dataclass(frozen=True)
class Rules:
    """One design: which files, what is taken out of them, what must still fit."""

    file: str
    design: str = ""
    patterns: tuple[str, ...] = ()
    out: str = "fixed"
    sizes: tuple[str, ...] | None = None
    units: str = "mm"
    allowance: Allowance | None = None
    names: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    user_unit: float | None = None
    find: tuple[Find, ...] = ()
    finish: Finish | None = None
    edges: Mapping[str, tuple[EdgePath, ...]] = field(default_factory=dict)
    removals: tuple[Removal, ...] = ()
    linked: tuple[Linked, ...] = ()
    strips: tuple[Strip, ...] = ()
    seams: tuple[Seam, ...] = ()
    accept: tuple[Accept, ...] = ()
    revision: Revision | None = None
