"""What the alteration of one size has to tell: its numbers, and what a person should look at."""

from __future__ import annotations

from dataclasses import dataclass

from transform.alter.linked_piece import Following
from transform.alter.working import Working
from transform.pattern.altered import AlteredPiece


@dataclass(frozen=True, slots=True)
class Notice:
    """Something that a person should look at; it stops nothing.

    ``kind`` is one of `transform.checks.kinds.NOTICES`. ``piece`` is None where the notice is about the
    size or the design as a whole. ``accepted``: the rules say that a person has looked at it.
    """

    kind: str
    piece: str | None
    text: str
    accepted: bool = False


@dataclass(frozen=True, slots=True)
class OpenedFacts:
    """One mouth that a removal has opened; lengths in mm.

    ``intake_before`` is 0 for a new dart. ``intake_after`` and ``leg_lengths`` (in the outline's order) are
    those of the finished dart, all removals that open it taken together; for a dart taken out they are
    those of the mouth before it was filled.
    """

    dart: str
    intake_before: float
    intake_after: float
    leg_lengths: tuple[float, float]


@dataclass(frozen=True, slots=True)
class RemovalFacts:
    """One removal as it was made on one piece; lengths in mm, ``angle`` in rad.

    ``index`` says which removal of the rules it is, counted from 0; ``followed`` is True where it was made on
    a linked piece. ``pivot`` and ``legs`` (B, then A) are as they were in the file that came in. ``line`` is
    ``fair`` or ``straight``; ``reach`` is how far from the closure the line was drawn anew, on B's
    side first. ``edge_before``, ``edge_after``, ``shortened``, ``reach`` and ``moved`` count a closed
    edge once, with all the removals that close it. ``opened`` is empty where nothing opens.
    """

    index: int
    name: str | None
    piece: str
    edge: str
    followed: bool
    removed: float
    angle: float
    pivot: complex
    legs: tuple[complex, complex]
    stagger: float
    edge_before: float
    edge_after: float
    shortened: float
    line: str
    reach: tuple[float, float]
    moved: float
    opened: tuple[OpenedFacts, ...] = ()


@dataclass(frozen=True, slots=True)
class StripFacts:
    """A strip that was cut to a new length, mm along its longer direction."""

    piece: str
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class SizeResult:
    """What one size becomes: the pieces that change, what is to be said about them, and how it was done.

    ``links`` are the linked pieces, laid on those that they follow.
    """

    altered: tuple[AlteredPiece, ...] = ()
    removals: tuple[RemovalFacts, ...] = ()
    strips: tuple[StripFacts, ...] = ()
    notices: tuple[Notice, ...] = ()
    workings: tuple[Working, ...] = ()
    links: tuple[Following, ...] = ()
