"""The seams beside a dart whose legs were trued: brought over to the new leg end, their length kept."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from transform.alter.mouths import Opened
from transform.alter.runs import NewStretch, SewnMouth
from transform.alter.sections import sections, with_sections
from transform.geometry.blend import brought_to
from transform.geometry.chain import Chain
from transform.geometry.measure import length

_REACHES = (60.0, 90.0, 40.0, 25.0)
_SHARE_OF_SEAM = 0.9
_SAME_LINE = math.radians(15.0)


def seams_trued(
    stretches: tuple[NewStretch, ...], mouth: SewnMouth, opened: Opened
) -> tuple[NewStretch, ...]:
    """The stretches with the seam beside the leg that was trued drawn to its new end.

    The dart folded, the seam goes on in the direction in which it arrives on the held side, unless it
    had a corner at the dart.
    """
    moved = 1 - opened.held
    if abs(mouth.legs[moved] - opened.legs[moved]) < 1e-6:
        return stretches
    index = next(k for k, stretch in enumerate(stretches) if stretch.dart == mouth.dart)
    owner = (index + (1 if moved == 1 else -1)) % len(stretches)
    still = (index + (1 if moved == 0 else -1)) % len(stretches)
    parts = sections(stretches)
    beside = [k for k, section in enumerate(parts) if owner in section.owners]
    position = beside[0] if moved == 1 else beside[-1]
    section = parts[position]
    seam = section.chain if moved == 1 else section.chain.reversed()
    arriving = _arriving(stretches[still].chain, moved)
    leg, other = (mouth.legs[k] - mouth.point for k in (moved, opened.held))
    folded = arriving * (leg / abs(leg)) / (other / abs(other))
    own = seam.tangent(0.0)
    leaving = folded if abs(cmath.phase(folded / own)) < _SAME_LINE else own
    reach, line = _best(seam, mouth.legs[moved], leaving)
    if moved == 1:
        parts[position] = section.redrawn(0.0, reach, line)
    else:
        parts[position] = section.redrawn(seam.length - reach, seam.length, line.reversed())
    return with_sections(stretches, parts)


def _arriving(still: Chain, moved: int) -> complex:
    """Direction of the seam on the held side, towards the mouth."""
    return still.tangent(still.length, before=True) if moved == 1 else -still.tangent(0.0)


def _best(seam: Chain, start: complex, leaving: complex) -> tuple[float, Chain]:
    """The reach whose line keeps the seam's length best; the first of equals."""
    reaches: Sequence[float] = [r for r in _REACHES if r <= seam.length * _SHARE_OF_SEAM]
    drawn = [(r, brought_to(seam, start, leaving, r)) for r in reaches or [seam.length * _SHARE_OF_SEAM]]
    reach, cubic = min(drawn, key=lambda row: round(abs(length(row[1]) - row[0]), 3))
    return reach, Chain((cubic,))
