"""The cap of a dart: the line across its mouth that, the dart folded, lies on the seam beside it.

        tip
       . | .
     .   |   .         The seam of the side to which the dart is pressed is mirrored
----P    |    O----    across that side's leg TP, as far as the fold line; that half is
     :   |   :         mirrored once more, across the fold line, and reaches the other
      :  |  :          leg's end O.
       : | :
        :|:            The fold line halves the angle between the legs. Folding undoes
         T             the reflections: both halves come to lie on the seam.
"""

from __future__ import annotations

from transform.geometry.chain import Chain
from transform.geometry.joining import with_end, with_start
from transform.geometry.meeting import line_meets
from transform.geometry.motion import Motion
from transform.geometry.segments import Line, direction

EQUAL_LEGS = 0.02
"""Legs may differ by this much, mm; the difference is taken up at the cap's last point."""


class CapError(ValueError):
    """No cap folds flat there."""


def fold_line(point: complex, leg_end: complex, other_leg_end: complex) -> complex:
    """Unit vector along the fold line of a dart: from ``point`` through the middle between its legs."""
    first, second = leg_end - point, other_leg_end - point
    middle = first / abs(first) + second / abs(second)
    return middle / abs(middle)


def first_half(seam: Chain, leg_end: complex, other_leg_end: complex, point: complex) -> Chain:
    """The half of the cap from ``leg_end`` to its tip on the fold line; arguments as for `cap`."""
    along = fold_line(point, leg_end, other_leg_end)
    reach = abs(leg_end - other_leg_end)
    last = seam.segments[-1]
    longer = seam.joined(Chain((Line(seam.end, seam.end + direction(last, 1.0) * 4 * reach),)))
    mirrored = longer.moved(Motion.reflection(point, leg_end - point))
    tips = [place for far, place in line_meets(mirrored, point, along) if far > 0]
    if not tips:
        raise CapError("the seam beside the dart, mirrored across the leg, does not reach the fold line")
    half = mirrored.cut(0.0, min(tips))
    if not half.segments:
        raise CapError("the seam beside the dart, mirrored across the leg, ends at the leg itself")
    return half


def cap(seam: Chain, leg_end: complex, other_leg_end: complex, point: complex) -> Chain:
    """The cap from ``leg_end`` to ``other_leg_end``.

    Args:
        seam: open chain that begins at ``leg_end`` and runs away from the dart, on the side to which it
            is pressed; where it is too short it is extended straight.
        leg_end: the leg's end on that side.
        other_leg_end: the other leg's end, as far from ``point`` to 0.02 mm.
        point: the dart point.

    The tip lies at L·sin β / sin(β + θ/2) from the dart point, for legs of length L, the angle θ between
    them and β between leg and straight seam (law of sines in the triangle of point, leg end and tip).

    Raises:
        CapError: where the mirrored seam does not reach the fold line.
        ValueError: where the legs are not equally long.
    """
    if abs(abs(leg_end - point) - abs(other_leg_end - point)) > EQUAL_LEGS:
        raise ValueError("the legs of a dart must be equally long before it gets a cap")
    if leg_end == other_leg_end:
        return Chain(())
    half = with_start(first_half(seam, leg_end, other_leg_end, point), leg_end)
    across = Motion.reflection(point, fold_line(point, leg_end, other_leg_end))
    back = half.moved(across).reversed()
    return half.joined(with_end(with_start(back, half.end), other_leg_end))
