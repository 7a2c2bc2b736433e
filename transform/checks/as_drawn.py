"""What was drawn anew lies in the file where it was drawn."""

from __future__ import annotations

from collections.abc import Iterator

from transform.alter.working import Working
from transform.checks.laws import CARRIED_MM
from transform.geometry.nearest import nearest
from transform.pattern.model import Piece

WRITTEN_MM = 2e-3


def written(working: Working, after: Piece) -> Iterator[str]:
    """A place where a line of the file is not the one that was drawn, to 0.002 mm; the first that is found.

    Where the file draws the cut line alone the mouths of darts, which it caps, are left out; so is what a
    notch drawn into the line has in place of it.
    """
    outline = after.stitching
    drawn = after.stitching_drawn
    allowed = WRITTEN_MM if drawn else CARRIED_MM
    stretches = [s for s in working.stretches if drawn or s.dart is None]
    runs = [run for stretch in stretches for run in stretch.runs if run.kept is None]
    for segment in (segment for run in runs for segment in run.chain.segments):
        for t in (0.0, 0.25, 0.5, 0.75, 1.0):
            point = segment.point(t)
            place, distance = nearest(outline.chain, point)
            if distance > allowed and not any(
                (place - detour.place) % outline.chain.length <= detour.gap for detour in outline.detours
            ):
                yield (
                    f"the line drawn anew through ({point.real:.2f}, {point.imag:.2f}) lies "
                    f"{distance:.4f} mm from there in the file"
                )
                return
