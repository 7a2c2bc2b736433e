"""What is alike in several sizes, told once: a removal on a piece, a seam, each over its sizes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rules.lengths import format_length

if TYPE_CHECKING:
    from transform.alter.facts import RemovalFacts
    from transform.checks.seams import WalkedSeam
    from transform.report.facts import DesignFacts


@dataclass(frozen=True, slots=True)
class RemovalRow:
    """One removal on one piece: its sizes, and the facts of each of them in the same order."""

    sizes: tuple[str, ...]
    facts: tuple[RemovalFacts, ...]

    @property
    def one(self) -> RemovalFacts:
        """The facts of the first size, for all that is the same in every size."""
        return self.facts[0]

    @property
    def line(self) -> str:
        """How the closed edge is drawn."""
        return " or ".join(dict.fromkeys(facts.line for facts in self.facts))

    @property
    def angles(self) -> str:
        """The wedge's angle in degrees, from the least to the greatest."""
        texts = [f"{math.degrees(angle):.2f}°" for angle in _ends(facts.angle for facts in self.facts)]
        return _range(texts)

    def removed(self, units: str) -> str:
        """The width that was removed, from the least to the greatest."""
        return lengths((facts.removed for facts in self.facts), units)

    def shortened(self, units: str) -> str:
        """What the edge has lost, from the least to the greatest."""
        return lengths((facts.shortened for facts in self.facts), units)

    def opened(self, units: str) -> tuple[str, ...]:
        """What opened: each mouth with its width before (where it had one) and after."""
        mouths: dict[str, tuple[list[float], list[float]]] = {}
        for facts in self.facts:
            for one in facts.opened:
                before, after = mouths.setdefault(one.dart, ([], []))
                before.append(one.intake_before)
                after.append(one.intake_after)
        return tuple(
            f"{dart}: {lengths(before, units)}, now {lengths(after, units)}"
            if any(before)
            else f"{dart}: {lengths(after, units)}"
            for dart, (before, after) in mouths.items()
        )


@dataclass(frozen=True, slots=True)
class SeamRow:
    """One seam: its sizes, and how it was walked in each of them in the same order."""

    sizes: tuple[str, ...]
    walked: tuple[WalkedSeam, ...]

    @property
    def join(self) -> tuple[str, str]:
        """The two sides."""
        return self.walked[0].join

    @property
    def off(self) -> tuple[str, ...]:
        """The sizes in which it does not hold."""
        return tuple(size for size, seam in zip(self.sizes, self.walked, strict=True) if not seam.holds)

    @property
    def holds(self) -> bool:
        """Whether it holds in every size."""
        return all(seam.holds for seam in self.walked)

    def before(self, units: str) -> str:
        """Second side minus first as the files came."""
        return differences((seam.before[1] - seam.before[0] for seam in self.walked), units)

    def after(self, units: str) -> str:
        """Second side minus first now."""
        return differences((seam.after[1] - seam.after[0] for seam in self.walked), units)

    def allowed(self, units: str) -> str:
        """What second minus first may be."""
        seam = self.walked[0]
        tolerance = format_length(seam.tolerance, units)
        return f"{lengths(seam.ease, units)} ± {tolerance}" if any(seam.ease) else f"± {tolerance}"


def removal_rows(design: DesignFacts) -> list[RemovalRow]:
    """Every removal on every piece, in the order of the rules."""
    found: dict[tuple[int, str, str], list[tuple[str, RemovalFacts]]] = {}
    for size in design.sizes:
        for facts in size.removals:
            found.setdefault((facts.index, facts.piece, facts.edge), []).append((size.size, facts))
    ordered = sorted(found.items(), key=lambda entry: entry[0][0])
    return [RemovalRow(tuple(s for s, _ in row), tuple(f for _, f in row)) for _, row in ordered]


def seam_rows(design: DesignFacts) -> list[SeamRow]:
    """Every seam, in the order of the rules."""
    found: dict[tuple[str, str], list[tuple[str, WalkedSeam]]] = {}
    for size in design.sizes:
        for seam in size.seams:
            found.setdefault(seam.join, []).append((size.size, seam))
    return [SeamRow(tuple(s for s, _ in row), tuple(w for _, w in row)) for row in found.values()]


def lengths(values: Iterable[float], units: str) -> str:
    """``8.6 to 9.5 mm``: from the least to the greatest; one length where they read alike."""
    return _range([format_length(value, units) for value in _ends(values)])


def differences(values: Iterable[float], units: str) -> str:
    """As `lengths`, with a sign before each that is not nought."""
    return _range([_signed(value, units) for value in _ends(values)])


def sizes_text(sizes: Sequence[str]) -> str:
    """``sizes 8, 10, 12``; nothing for the one size of a design without sizes."""
    if not any(sizes):
        return ""
    return f"size{'s' if len(sizes) > 1 else ''} {', '.join(sizes)}"


def behind(sizes: Sequence[str]) -> str:
    """The sizes that something is about, to be said behind it: `` (sizes 8, 10)``; nothing for none."""
    return f" ({sizes_text(sizes)})" if any(sizes) else ""


def _signed(value: float, units: str) -> str:
    text = format_length(value, units)
    return f"+{text}" if value > 0 and any(c in "123456789" for c in text) else text


def _ends(values: Iterable[float]) -> tuple[float, float]:
    every = list(values)
    return min(every), max(every)


def _range(ends: Sequence[str]) -> str:
    low, high = ends
    if low == high:
        return low
    number, _, unit = low.rpartition(" ")
    return f"{number} to {high}" if number and high.endswith(f" {unit}") else f"{low} to {high}"
