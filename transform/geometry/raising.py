"""Taking an opened dart out again at a curved hem: the mouth filled, the hem raised by what that added."""

from __future__ import annotations

from dataclasses import dataclass

from transform.geometry.blend import join_at
from transform.geometry.chain import Chain
from transform.geometry.fit import fit_cubics

_REACH = 60.0
_SHARE_OF_SEAM = 0.45
_STEP = 4.0
_TOLERANCE = 0.01


@dataclass(frozen=True, slots=True)
class FilledMouth:
    """The seam across a filled mouth.

    ``line`` replaces the last ``back`` mm before the mouth and the first ``on`` mm after it.
    """

    back: float
    on: float
    line: Chain


def fill(before: Chain, after: Chain) -> FilledMouth:
    """Join the seam that arrives at the mouth smoothly to the seam that goes on from it."""
    back = min(_REACH, before.length * _SHARE_OF_SEAM)
    on = min(_REACH, after.length * _SHARE_OF_SEAM)
    return FilledMouth(back, on, Chain((join_at(before, after, back, on),)))


def raised(hem: Chain, corner: complex, turn: complex, reach: float) -> Chain:
    """The hem drawn anew from ``corner`` to ``reach`` mm along it, in a smooth curve to nothing there.

    Args:
        hem: open chain that begins at the seam which was shortened.
        corner: the seam's new end.
        turn: unit complex by which the seam's direction at its end has turned: the hem turns as much
            there, so that both meet at their old angle.
        reach: where along the hem the change has run out, mm.

    Every point is shifted by corner's shift times the cubic Hermite function that falls from 1 to 0 with
    level ends (2u³ - 3u² + 1), and by (turn - 1) times the one that has slope 1 at the start only
    (u³ - 2u² + u); cubics are fitted to that to 0.01 mm.
    """
    shift = corner - hem.start
    bend = (turn - 1) * hem.tangent(0.0) * reach
    count = max(8, int(reach / _STEP))
    samples = []
    for k in range(count + 1):
        u = k / count
        place = reach * u
        fall, slope = 2 * u**3 - 3 * u**2 + 1, 6 * u**2 - 6 * u
        rise, rise_slope = u**3 - 2 * u**2 + u, 3 * u**2 - 4 * u + 1
        tangent = hem.tangent(place, before=k > 0) + (shift * slope + bend * rise_slope) / reach
        samples.append((hem.point(place) + shift * fall + bend * rise, tangent / abs(tangent)))
    return Chain(fit_cubics(samples, _TOLERANCE))
