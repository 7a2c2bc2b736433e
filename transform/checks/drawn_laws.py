"""The laws of what is drawn anew: the lines over closures, and the darts that are sewn."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator

import shapely

from transform.alter.runs import SewnMouth
from transform.alter.sections import SHARP_POINT
from transform.alter.working import Working
from transform.checks.laws import CARRIED_MM, polygon
from transform.geometry.chain import Chain, beside, coordinates
from transform.geometry.folding import fold_line
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line, direction
from transform.pattern.model import Dart, Piece
from transform.pattern.outline import Outline

JOIN_RAD = math.radians(0.1)
OUTSIDE_MM = 0.5
FLATTENED_MM = 0.05
"""What flattening the closed piece may add to a distance from it, mm."""
LEGS_MM = 0.02
FOLD_MM = 0.05


def closed_edges(working: Working, after: Piece) -> Iterator[str]:
    """A line drawn over a closure joins the rest in its direction, has no corner, and stays inside.

    How far inside is judged on the piece on which it was drawn, not on one that is linked to that.
    """
    new = after.stitching
    bare_line = _bare_chain(working)
    bare = polygon(bare_line).buffer(0)
    for closed in working.closed:
        if closed.line != "fair":
            continue
        drawn = closed.drawn.chain
        for joint, inner in (
            (drawn.start, False),
            (drawn.end, False),
            *((s.end, True) for s in drawn.segments[:-1]),
        ):
            place = nearest(new.chain, joint)[0]
            if not inner and (_at_edge_end(new, place) or _at_sharp_point(bare_line, joint)):
                continue
            turn = abs(cmath.phase(new.chain.tangent(place) / new.chain.tangent(place, before=True)))
            if turn > JOIN_RAD:
                yield (
                    f"the line over the closure turns by {math.degrees(turn):.2f}° at "
                    f"({joint.real:.1f}, {joint.imag:.1f})"
                )
        if closed.carried:
            continue
        outside = float(shapely.distance(bare, shapely.points(coordinates(drawn.sampled(1.0)))).max())
        if outside > OUTSIDE_MM + FLATTENED_MM:
            yield f"the line over the closure runs {outside:.2f} mm outside the closed edges"


def _bare_chain(working: Working) -> Chain:
    segments = [s for stretch in working.bare for run in stretch.runs for s in run.chain.segments]
    return Chain(tuple(segments), closed=True)


def _at_edge_end(outline: Outline, place: float) -> bool:
    whole = outline.chain.length
    return any(min(abs(begin - place), whole - abs(begin - place)) < 1e-3 for begin in outline.begins)


def _at_sharp_point(bare: Chain, joint: complex) -> bool:
    """Whether the kept edge itself turns sharply there: no line is drawn over such a point."""
    place, distance = nearest(bare, joint)
    turn = abs(cmath.phase(bare.tangent(place) / bare.tangent(place, before=True)))
    return distance < 1e-3 and turn > SHARP_POINT


def darts(working: Working, after: Piece) -> Iterator[str]:
    """Both legs of a sewn dart are of one length, and its cap folds on to the seam it is pressed to."""
    for mouth in working.mouths:
        try:
            dart = after.dart(mouth.dart)
        except KeyError:
            yield f"{mouth.dart} is not in the file that was written"
            continue
        if after.stitching_drawn:
            yield from _off_middle(working, mouth, dart)
        lengths = [abs(leg - dart.point) for leg in dart.legs]
        if abs(lengths[0] - lengths[1]) > (LEGS_MM if after.stitching_drawn else CARRIED_MM):
            yield f"the legs of {mouth.dart} are {lengths[0]:.3f} and {lengths[1]:.3f} mm long"
        if dart.capped and not dart.drawn_in:
            yield from _cap(mouth, after)


def _off_middle(working: Working, mouth: SewnMouth, dart: Dart) -> Iterator[str]:
    """The leg ends lie on the legs of the open mouth, and the point between them, seen from the hinge."""
    stretches = working.bare
    index = next(k for k, stretch in enumerate(stretches) if stretch.dart == mouth.dart)
    ends = stretches[index - 1].chain.end, stretches[(index + 1) % len(stretches)].chain.start
    closings = [turn.closing for turn in working.cut.turns]
    openers = [c for c in closings if any(m.dart == mouth.dart for m in c.mouths)]
    chosen = next((c for c in openers if c.stands_off(mouth.dart) is not None), openers[0])
    hinge = working.cut.hinge_of(chosen)
    legs = [(end - hinge) / abs(end - hinge) for end in ends]
    off = beside(dart.point - hinge, legs[0] + legs[1])
    if off > LEGS_MM:
        yield f"the point of {mouth.dart} lies {off:.3f} mm beside the middle of its mouth"
    off = max(min(beside(end - hinge, leg) for leg in legs) for end in dart.legs)
    if off > LEGS_MM:
        yield f"a leg of {mouth.dart} ends {off:.3f} mm beside the leg that the closing left"


def _cap(mouth: SewnMouth, after: Piece) -> Iterator[str]:
    outline = after.stitching
    index = next((k for k, s in enumerate(outline.stretches) if s.dart == mouth.dart), None)
    if index is None:
        yield f"the outline has no mouth for {mouth.dart}"
        return
    line = outline.stretches[index].chain
    before, behind = outline.stretches[index - 1], outline.stretches[(index + 1) % len(outline.stretches)]
    seam = before.chain.reversed() if mouth.pressed == 0 else behind.chain
    last = seam.segments[-1]
    seam = seam.joined(Chain((Line(seam.end, seam.end + direction(last, 1.0) * line.length),)))
    leg = mouth.legs[mouth.pressed] - mouth.point
    across_leg = Motion.reflection(mouth.point, leg)
    axis = fold_line(mouth.point, *mouth.legs)
    across_fold = Motion.reflection(mouth.point, axis)
    worst = 0.0
    for point in line.samples(2.0):
        side = ((point - mouth.point) * axis.conjugate()).imag * (leg * axis.conjugate()).imag
        folded = across_leg(point if side >= 0 else across_fold(point))
        worst = max(worst, nearest(seam, folded)[1])
    if worst > FOLD_MM:
        yield f"folded, the cap of {mouth.dart} lies up to {worst:.3f} mm off the seam"
