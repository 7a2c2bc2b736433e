"""Seams that do not hold, each in one sentence over its sizes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from transform.report.notice_rows import over_sizes
from transform.report.over_sizes import behind
from transform.report.sentences import seam_sentence, shortened

if TYPE_CHECKING:
    from transform.report.facts import DesignFacts


def off_sentences(design: DesignFacts) -> list[str]:
    """A sentence for each seam that does not hold: figures from the least to the greatest, and the sizes."""
    found: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for size, seam in design.off:
        said = seam_sentence(shortened(seam), design.units)
        found.setdefault(seam.join, []).append((size.size, said))
    return [
        over_sizes([said for _, said in rows]) + behind([size for size, _ in rows]) for rows in found.values()
    ]
