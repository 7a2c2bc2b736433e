"""A line shifted a little, so that it begins and ends where it should, and in the directions it should."""

from __future__ import annotations

import cmath
import math

from transform.geometry.chain import Chain
from transform.geometry.fit import fit_cubics
from transform.geometry.joining import with_end, with_start
from transform.geometry.segments import Line

_AS_IT_IS = 0.02
_SAME_DIRECTION = math.radians(0.03)
_CORNER = math.radians(3.0)
_ASIDE = 0.1
_STEP = 2.0
_FIT = 0.005


def nudged(
    chain: Chain, start: complex, end: complex, leaving: complex | None, arriving: complex | None
) -> Chain:
    """The chain from ``start`` to ``end``, which lie close by its own ends.

    Args:
        chain: smooth and open.
        start: where it is to begin.
        end: where it is to end.
        leaving: unit tangent at the beginning; None where any will do. More than 3° away is a corner,
            which stays one.
        arriving: unit tangent at the end, likewise.

    Every point is shifted by what is missing at both ends, blended by 3u² - 2u³, and aside by
    s(1 - s/r)² times the angle that is missing at an end, s being the distance from it; r is so short that
    this stays within 0.015 mm. Cubics are fitted to that to 0.005 mm. What is not missing is not shifted, and
    straight lines stay straight.
    """
    length = chain.length
    first, last = chain.tangent(0.0), chain.tangent(length, before=True)
    turns = (_turn(first, leaving), _turn(last, arriving))
    missing = (start - chain.start, end - chain.end)
    exact = max(abs(m) for m in missing) < _AS_IT_IS and max(abs(t) for t in turns) < _SAME_DIRECTION
    if exact or all(isinstance(segment, Line) for segment in chain.segments):
        return with_end(with_start(chain, start), end)
    reaches = [min(length / 2, _ASIDE / abs(turn)) if turn else 0.0 for turn in turns]
    count = max(8, int(length / _STEP))
    places = {length * k / count for k in range(count)}
    places.update(reaches[0] * k / 6 for k in range(7))
    places.update(length - reaches[1] * k / 6 for k in range(1, 7))
    samples = []
    for place in [*sorted(p for p in places if p < length - 1e-3), length]:
        u = place / length
        aside, rise = _aside(place, reaches[0])
        back, fall = _aside(length - place, reaches[1])
        shift = missing[0] + (missing[1] - missing[0]) * (3 * u**2 - 2 * u**3)
        shift += 1j * (first * turns[0] * aside - last * turns[1] * back)
        slope = (missing[1] - missing[0]) * 6 * (u - u**2) / length
        slope += 1j * (first * turns[0] * rise + last * turns[1] * fall)
        tangent = chain.tangent(place, before=place > 0) + slope
        samples.append((chain.point(place) + shift, tangent / abs(tangent)))
    return Chain(fit_cubics(samples, _FIT))


def _turn(own: complex, wanted: complex | None) -> float:
    """The angle (rad) from a line's direction to the one wanted; 0 where there is none, or a corner."""
    if wanted is None:
        return 0.0
    angle = cmath.phase(wanted / own)
    return angle if abs(angle) < _CORNER else 0.0


def _aside(distance: float, reach: float) -> tuple[float, float]:
    """s(1 - s/r)² and its derivative at ``distance`` mm from an end."""
    if distance >= reach:
        return 0.0, 0.0
    rest = 1 - distance / reach
    return distance * rest**2, rest * (1 - 3 * distance / reach)
