"""Sentences that several reports share."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from transform.checks.seams import WalkedSeam


def size_words(size: str) -> str:
    """``, size 12``; nothing for the one size of a design without sizes."""
    return f", size {size}" if size else ""


def seam_sentence(seam: WalkedSeam) -> str:
    """How the two sides of a seam compare."""
    low, high = seam.ease
    allowed = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return (
        f"{seam.join[0]} is {seam.after[0]:.1f} mm and {seam.join[1]} {seam.after[1]:.1f} mm: second minus "
        f"first is {_mm(seam.after[1] - seam.after[0])} mm, allowed is {allowed} mm by "
        f"{seam.tolerance:g} mm; in the files as they came it was {_mm(seam.before[1] - seam.before[0])} mm"
    )


def _mm(length: float) -> str:
    """To a tenth, nought without a sign."""
    return f"{round(length, 1) + 0.0:.1f}"
