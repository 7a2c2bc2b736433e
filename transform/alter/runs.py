"""The new stitching line while it is being made: what was kept and turned, and what was drawn anew."""

from __future__ import annotations

from dataclasses import dataclass

from transform.geometry.chain import Chain, chain_of
from transform.geometry.motion import Motion


@dataclass(frozen=True, slots=True)
class Kept:
    """From ``first`` on to ``last`` (places on the old outline, mm; last may pass the outline's start and
    then is less than first) the old line was kept and moved by ``motion``."""

    first: float
    last: float
    motion: Motion


@dataclass(frozen=True, slots=True)
class Run:
    """A part of the new line, in place; ``kept`` is None where it was drawn anew."""

    chain: Chain
    kept: Kept | None = None


@dataclass(frozen=True, slots=True)
class NewStretch:
    """A stretch of the new outline; the names are those of `transform.pattern.outline.Stretch`."""

    runs: tuple[Run, ...]
    edge: str | None = None
    dart: str | None = None
    drawn_in: bool = False
    source: int | None = None
    flipped: bool = False

    @property
    def chain(self) -> Chain:
        """All runs as one open chain."""
        return chain_of(run.chain for run in self.runs)

    @property
    def is_open(self) -> bool:
        """Whether it is a mouth that nothing crosses yet; an edge without runs lay wholly in a wedge."""
        return self.dart is not None and not self.runs


@dataclass(frozen=True, slots=True)
class SewnMouth:
    """A finished dart, every point in place on the new stitching line.

    ``legs`` are the leg ends in the outline's order; the legs are equally long. ``pressed`` is 0 where
    the intake is pressed to the side of the first leg, 1 to the second. ``trim`` (mm) is the allowance
    to which the intake is cut away beside the legs, None where it stays whole.
    """

    dart: str
    point: complex
    legs: tuple[complex, complex]
    pressed: int
    trim: float | None = None
