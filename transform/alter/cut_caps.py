"""The cut line across a sewn dart: the seam's cap once more, out at the allowance; or the intake cut away."""

from __future__ import annotations

from dataclasses import dataclass, replace

from transform.alter.cut_parts import Part
from transform.alter.cut_sides import AllowanceError
from transform.alter.runs import SewnMouth
from transform.geometry.chain import Chain
from transform.geometry.folding import CapError, cap, fold_line
from transform.geometry.joining import with_start
from transform.geometry.meeting import line_meets
from transform.geometry.motion import Motion
from transform.geometry.segments import Cubic, Line, direction

DRAWN_IN = 0.1
"""Where the cut lines, the dart folded, lie no farther apart than this (mm) the other one's end is moved."""
EASED = 1.0
"""Up to this (mm) the other one runs over into its own line; beyond it a step along the leg is left, for then
the allowances on both sides of the dart differ."""
_OVER = 20.0
"""So far (mm) it takes to run over, and at the least so many times the distance."""
_GENTLY = 10.0
_REACH = 400.0


@dataclass(frozen=True)
class MouthCut:
    """The cut line across a mouth: the part that arrives, the cap, the part that goes on."""

    before: Part
    cap: Chain
    after: Part


def across(mouth: SewnMouth, before: Part, after: Part) -> MouthCut:
    """The cut line across ``mouth``, between the parts that run to it and on from it, past the legs.

    Raises:
        AllowanceError: where a leg, drawn on, does not reach the cut line, or no cap folds flat.
    """
    if mouth.pressed == 1:
        turned = replace(mouth, legs=mouth.legs[::-1], pressed=0)
        done = across(turned, after.reversed(), before.reversed())
        return MouthCut(done.after.reversed(), done.cap.reversed(), done.before.reversed())
    first = _ended_on_leg(before, mouth, mouth.legs[0])
    second = _ended_on_leg(after.reversed(), mouth, mouth.legs[1]).reversed()
    axis = fold_line(mouth.point, *mouth.legs)
    end = Motion.reflection(mouth.point, axis)(first.chain.end)
    try:
        whole = cap(first.chain.reversed(), first.chain.end, end, mouth.point)
    except CapError as error:
        raise AllowanceError(
            mouth.legs[0],
            f"the cut line beside {mouth.dart} gives no cap that folds flat: {error}",
        ) from error
    if mouth.trim is not None:
        whole = trimmed(whole, mouth, mouth.trim)
    # Where the seam is slanting, the dart's point lies beside its hinge and the cap ends a little beside the
    # other side's cut line.
    gap = abs(second.chain.start - end)
    over = min(_OVER, _corner(second.chain, mouth.legs[1]), second.chain.length / 2)
    if gap <= DRAWN_IN:
        second = replace(second, chain=with_start(second.chain, end))
    elif gap <= EASED and over > _GENTLY * gap:
        second = _eased(second, end, over)
    else:
        whole = whole.joined(Chain((Line(end, second.chain.start),)))
    return MouthCut(first, whole, second)


def _corner(cut: Chain, leg: complex) -> float:
    """How much of a cut line's beginning lies within twice its allowance of the leg, mm along the seam."""
    arm = (cut.start - leg) * cut.tangent(0.0).conjugate()
    return 2 * abs(arm.imag) - arm.real


def _eased(part: Part, start: complex, over: float) -> Part:
    """The part begun at ``start``, close by its own, and run over into its line within ``over`` mm."""
    rest = part.chain.cut(over, part.chain.length)
    begun = part.chain.tangent(0.0) * over / 3
    lead = Cubic(start, start + begun, rest.start - rest.tangent(0.0) * over / 3, rest.start)
    owners = (part.owners[0], *part.owners[len(part.owners) - len(rest.segments) :])
    return replace(part, chain=Chain((lead, *rest.segments)), owners=owners)


def _ended_on_leg(part: Part, mouth: SewnMouth, leg: complex) -> Part:
    """The part ended where the leg, drawn on, meets it."""
    along = (leg - mouth.point) / abs(leg - mouth.point)
    chain = part.chain
    longer = Chain(
        (*chain.segments, Line(chain.end, chain.end + direction(chain.segments[-1], 1.0) * _REACH))
    )
    reach = abs(leg - mouth.point)
    beyond = [(far, place) for far, place in line_meets(longer, mouth.point, along) if far > reach - 0.3]
    if not beyond:
        raise AllowanceError(
            leg, f"the leg of {mouth.dart}, drawn on past the seam, does not meet the cut line"
        )
    _, place = min(beyond)
    return part.moved_end(place - chain.length, longer.point(place))


def trimmed(whole: Chain, mouth: SewnMouth, allowance: float) -> Chain:
    """The cap with the intake cut away to ``allowance`` mm beside the legs.

    It stays whole where the intake is narrower than twice the allowance.

    The edges of what is left run parallel to the legs and meet on the fold line, allowance / sin(θ/2)
    from the dart point, θ the angle between the legs.
    """
    if abs(mouth.legs[0] - mouth.legs[1]) < 2 * allowance:
        return whole
    axis = fold_line(mouth.point, *mouth.legs)
    leg = (mouth.legs[0] - mouth.point) / abs(mouth.legs[0] - mouth.point)
    inwards = axis - leg * (axis * leg.conjugate()).real
    sine = abs(inwards)
    meeting = mouth.point + axis * (allowance / sine)
    origin = mouth.point + inwards / sine * allowance
    crossed = [(place, far) for far, place in line_meets(whole, origin, leg) if far > 0]
    if not crossed:
        return whole
    place = min(crossed)[0]
    corner = whole.point(place)
    side = axis.conjugate() * (corner - mouth.point)
    if side.imag * (axis.conjugate() * leg).imag <= 0 or side.real <= ((meeting - mouth.point) / axis).real:
        return whole
    half = Chain((*whole.cut(0.0, place).segments, Line(corner, meeting)))
    back = half.moved(Motion.reflection(mouth.point, axis)).reversed()
    return half.joined(with_start(back, meeting))
