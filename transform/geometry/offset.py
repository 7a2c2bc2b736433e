"""Lines drawn beside lines: an allowance outside a stitching line, or carried in from a cut line.

A positive distance lies to the side of ``-1j * tangent``, which for an outline is the outside. Lines stay
lines and circular arcs circular arcs; every other curve becomes as few cubics as keep within ``FIT``.
"""

from __future__ import annotations

from itertools import pairwise

from transform.geometry.chain import Chain, chain_of, part
from transform.geometry.fit import fit_cubics
from transform.geometry.joining import join
from transform.geometry.measure import length, length_to
from transform.geometry.segments import Arc, Line, Segment, curvature, direction

FIT = 0.01
"""How far a fitted cubic may lie from the true offset, mm."""
_GRID = 48
_NOTHING = 1e-9

Distance = float | tuple[float, float]
"""One distance, or the distances at the start and the end, linear in arc length between them; mm."""


def offset_segment(segment: Segment, distance: Distance, tolerance: float = FIT) -> tuple[Segment, ...]:
    """The curve beside ``segment``, in its direction; fitted cubics lie within ``tolerance`` mm of it.

    Where the curve bends tighter than the distance the line beside it would run backwards: those parts are
    left out, so that the result may have gaps, or be empty.
    """
    near, far = distance if isinstance(distance, tuple) else (distance, distance)
    if near == 0 == far:
        return (segment,)
    if isinstance(segment, Line):
        side = -1j * direction(segment, 0.0)
        return (Line(segment.start + side * near, segment.end + side * far),)
    if isinstance(segment, Arc) and near == far:
        e = segment.ellipse()
        if abs(e.rx - e.ry) <= 1e-9 * e.rx:
            return _arc_beside(segment, e.rx, near)
    whole = length(segment)
    found: list[Segment] = []
    for t0, t1 in _running_forwards(segment, near, far, whole):
        found.extend(fit_cubics(_samples(segment, near, far, whole, t0, t1), tolerance))
    return tuple(found)


def offset_chain(chain: Chain, distance: Distance, tolerance: float = FIT) -> Chain:
    """The line beside an open chain that has no corners (small turns at its joints are rejoined).

    Parts that bend tighter than the distance vanish and their neighbours are trimmed to where they cross.

    Raises:
        ValueError: where nothing is left beside the chain.
    """
    near, far = distance if isinstance(distance, tuple) else (distance, distance)
    if near == 0 == far:
        return chain
    whole = chain.length
    pieces: list[Chain] = []
    for index, segment in enumerate(chain.segments):
        if chain.ends[index] - chain.begin_of(index) > _NOTHING:
            at = [near + (far - near) * place / whole for place in (chain.begin_of(index), chain.ends[index])]
            beside = offset_segment(segment, near if near == far else (at[0], at[1]), tolerance)
            pieces.extend(_unbroken(beside))
    return _all_joined(pieces, 8 * max(abs(near), abs(far)))


def _all_joined(pieces: list[Chain], reach: float) -> Chain:
    """The pieces joined in order; one that is too short to meet its neighbour is dropped."""
    while pieces:
        done = pieces[:1]
        for piece in pieces[1:]:
            joined = join(done[-1], piece, reach)
            if joined is None:
                break
            done[-1] = joined[0]
            done.append(joined[1])
        else:
            return chain_of(done)
        at = len(done)
        del pieces[at if pieces[at].length < pieces[at - 1].length else at - 1]
    raise ValueError("the whole line bends tighter than the distance")


def _unbroken(segments: tuple[Segment, ...]) -> list[Chain]:
    """The runs of segments that meet end to end."""
    runs: list[list[Segment]] = []
    for segment in segments:
        if runs and abs(runs[-1][-1].end - segment.start) < 1e-9:
            runs[-1].append(segment)
        else:
            runs.append([segment])
    return [Chain(tuple(run)) for run in runs]


def _arc_beside(arc: Arc, radius: float, distance: float) -> tuple[Segment, ...]:
    beside = radius + (distance if arc.sweep else -distance)
    if beside <= 1e-9 * radius:
        return ()
    start = arc.start - 1j * direction(arc, 0.0) * distance
    end = arc.end - 1j * direction(arc, 1.0) * distance
    return (Arc(start, end, beside, beside, arc.rotation, arc.large, arc.sweep),)


def _forwards(segment: Segment, near: float, far: float, whole: float, t: float) -> float:
    """How fast the line beside the curve runs against the curve itself; negative where backwards."""
    apart = near + (far - near) * (length_to(segment, t) / whole if near != far else 0.0)
    return 1 + curvature(segment, t) * apart


def _running_forwards(segment: Segment, near: float, far: float, whole: float) -> list[tuple[float, float]]:
    """Intervals of t on which the line beside the curve runs the curve's way."""
    speeds = [_forwards(segment, near, far, whole, k / _GRID) for k in range(_GRID + 1)]
    cuts = [0.0]
    for k in range(_GRID):
        if (speeds[k] > 0) != (speeds[k + 1] > 0):
            low, high = k / _GRID, (k + 1) / _GRID
            for _ in range(40):
                middle = (low + high) / 2
                if (_forwards(segment, near, far, whole, middle) > 0) == (speeds[k] > 0):
                    low = middle
                else:
                    high = middle
            cuts.append((low + high) / 2)
    cuts.append(1.0)
    return [
        (t0, t1)
        for t0, t1 in pairwise(cuts)
        if t1 > t0 and _forwards(segment, near, far, whole, (t0 + t1) / 2) > 0
    ]


def _samples(
    segment: Segment, near: float, far: float, whole: float, t0: float, t1: float
) -> list[tuple[complex, complex]]:
    """Points and unit tangents of the line beside the curve, from ``t0`` to ``t1``."""
    count = max(24, min(96, int(length(part(segment, t0, t1)) / 2)))
    samples: list[tuple[complex, complex]] = []
    growth = (far - near) / whole
    for k in range(count + 1):
        t = t0 + (t1 - t0) * k / count
        tangent = direction(segment, t)
        apart = near + growth * length_to(segment, t) if growth else near
        forwards = 1 + curvature(segment, t) * apart
        heading = tangent * forwards - 1j * tangent * growth if growth else tangent
        samples.append((segment.point(t) - 1j * tangent * apart, heading / abs(heading)))
    return samples
