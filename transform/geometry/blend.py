"""Single cubics that join two directions: a kink rounded off, an end brought over, a gap bridged."""

from __future__ import annotations

import cmath
import math

from transform.geometry.chain import Chain
from transform.geometry.measure import length
from transform.geometry.segments import Cubic

_MOST_REACH = 50.0
_MOST_LOSS = 0.25


def bridge(start: complex, leaving: complex, end: complex, arriving: complex) -> Cubic:
    """A cubic from ``start`` along ``leaving`` to ``end`` along ``arriving`` (unit vectors).

    The handles are those of a circular arc that turns as far: chord · (4/3) tan(φ/4) / (2 sin(φ/2)), φ
    the whole turn between the directions; a third of the chord where there is no turn.
    """
    turn = abs(cmath.phase(arriving / leaving))
    chord = abs(end - start)
    handle = chord / 3 if turn < 1e-6 else chord * (2 / 3) * math.tan(turn / 4) / math.sin(turn / 2)
    return Cubic(start, start + leaving * handle, end - arriving * handle, end)


def rounded(left: Chain, right: Chain) -> tuple[float, Cubic] | None:
    """The kink between two open chains rounded off as little as is needed to be smooth.

    Returns the reach (mm, on both sides) and the cubic that takes the place of as much of either chain;
    None where there is no kink. An arc with tangents of length t across a kink of angle θ is
    2t - θ·t/tan(θ/2) shorter than they are: the reach is 50 mm, or less so that this stays within
    0.25 mm, or what the chains have room for.
    """
    kink = abs(cmath.phase(right.tangent(0.0) / left.tangent(left.length, before=True)))
    if kink < 1e-6:
        return None
    loss_for_1_mm = 2 - kink / math.tan(kink / 2)
    reach = min(_MOST_REACH, _MOST_LOSS / loss_for_1_mm, left.length, right.length)
    return reach, join_at(left, right, reach, reach)


def join_at(left: Chain, right: Chain, back: float, on: float) -> Cubic:
    """The cubic from ``back`` mm before the end of ``left`` to ``on`` mm after the start of ``right``."""
    place = left.length - back
    return bridge(
        left.point(place),
        left.tangent(place, before=place > 0),
        right.point(on),
        right.tangent(on, before=on > 0),
    )


def brought_to(seam: Chain, start: complex, leaving: complex, reach: float) -> Cubic:
    """A cubic from ``start`` along ``leaving`` that runs into ``seam`` at ``reach`` mm from its start.

    Its length is that of the seam it replaces, as far as handles of a quarter to 0.55 of the chord can
    give it that; else the handles are as long as give the nearest.
    """
    end, arriving = seam.point(reach), seam.tangent(reach, before=True)
    chord = abs(end - start)

    def drawn(share: float) -> Cubic:
        return Cubic(start, start + leaving * share * chord, end - arriving * share * chord, end)

    low, high = 0.25, 0.55
    for _ in range(40):
        middle = (low + high) / 2
        if length(drawn(middle)) < reach:
            low = middle
        else:
            high = middle
    return drawn((low + high) / 2)
