"""Corners of an outline, and the place to which a corner mark belongs."""

from __future__ import annotations

import cmath
import math
from itertools import pairwise

from transform.geometry.chain import Chain
from transform.geometry.measure import length
from transform.geometry.nearest import nearest
from transform.geometry.segments import direction

CORNER = math.radians(10)
"""A turn of more than this is a corner."""
REACH = 3.0
"""A mark this near (mm) to a corner means it; farther than this from the outline it means nothing."""
_NOTHING = 1e-6
_SPECK = 0.02
"""Segments shorter than this (mm) have no direction of their own."""


def turns(chain: Chain) -> list[tuple[float, float]]:
    """The joints of a chain as (place, turn), the turn in rad from x towards y, -pi to pi.

    Segments too short to have a direction of their own are passed over; the turn across them lies where it
    is sharpest. The ends of an open chain are no joints.
    """
    kept = [k for k, segment in enumerate(chain.segments) if length(segment) >= _SPECK]
    pairs = list(pairwise(kept))
    if chain.closed and kept:
        pairs.append((kept[-1], kept[0]))
    found: list[tuple[float, float]] = []
    for before, after in pairs:
        arriving = direction(chain.segments[before], 1.0)
        leaving = direction(chain.segments[after], 0.0)
        place = chain.begin_of(_sharpest(chain, before, after))
        found.append((chain.wrap(place), cmath.phase(leaving / arriving)))
    return sorted(found)


def _sharpest(chain: Chain, before: int, after: int) -> int:
    """The segment, after ``before`` and up to ``after``, at whose start the line turns most."""
    count = len(chain.segments)
    steps = (after - before) % count or count
    run = [(before + k) % count for k in range(steps + 1)]
    run = [k for k in run if k in (before, after) or length(chain.segments[k]) > _NOTHING]
    joints = [
        (abs(cmath.phase(direction(chain.segments[k], 0.0) / direction(chain.segments[j], 1.0))), -n, k)
        for n, (j, k) in enumerate(pairwise(run))
    ]
    return max(joints)[2]


def corners_of(chain: Chain) -> list[float]:
    """Places of the corners of a chain, mm, ascending."""
    return [place for place, turn in turns(chain) if abs(turn) > CORNER]


def place_of_mark(chain: Chain, mark: complex, corners: list[float]) -> tuple[float, float]:
    """The place that a corner mark stands for, and the mark's distance from the outline, mm.

    The nearest of ``corners`` (see `corners_of`) within 3 mm, else the nearest place.
    """
    place, distance = nearest(chain, mark)
    if corners:
        corner = min(corners, key=lambda c: abs(chain.point(c) - mark))
        if abs(chain.point(corner) - mark) <= REACH:
            return corner, distance
    return place, distance
