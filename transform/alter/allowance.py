"""The cut line redrawn where its stitching line changed, at the allowance that was there, edge by edge.

Along what was kept of the stitching line the old cut line is kept and moves with it; beside what was
drawn anew it is drawn at the allowance found at both ends. Then its parts are made to meet: smoothly
within an edge, in the old kind of corner between edges, by a cap across a sewn dart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from transform.alter.cut_bodies import Body, Joint, bodies_of, halved, joints_of
from transform.alter.cut_caps import across
from transform.alter.cut_corners import Kind, NewJoint, rebuilt
from transform.alter.cut_drawn import Extent, drawn_parts, extents_of
from transform.alter.cut_parts import Part, met, stepped
from transform.alter.cut_sides import FARTHEST, Allowances, allowances_of
from transform.alter.cut_stretches import Piece, new_cut_line
from transform.alter.new_outline import MotionOf
from transform.alter.runs import Kept, NewStretch, SewnMouth
from transform.geometry.chain import Chain
from transform.geometry.motion import STAY, Motion
from transform.geometry.nearest import nearest
from transform.pattern.outline import Detour, Outline


def redraw_cut(old: Outline, cut: Outline, new: Sequence[NewStretch], mouths: Sequence[SewnMouth]) -> Outline:
    """The cut line that belongs to the new stitching line.

    Args:
        old: the stitching line as it came.
        cut: the cut line as it came.
        new: the new stitching line, cyclic, run the same way.
        mouths: the sewn darts, each with a stretch of its name in ``new``.

    Segments of the cut line that did not change are the very same objects.

    Raises:
        AllowanceError: where the old cut line does not run beside the stitching line, or where the new
            one cannot be drawn.
    """
    whole = old.chain.length
    bodies = bodies_of(new, {mouth.dart: mouth for mouth in mouths}, whole)
    if len(bodies) == 1:
        (body,) = bodies
        if body.kept is not None and body.mouth is None:
            return _all_moved(cut, body.kept)
        bodies = halved(body, whole)
    allowances = allowances_of(old, cut)
    joints = joints_of(bodies, new, old, allowances)
    extents = extents_of(bodies, joints, allowances)
    parts: list[Part] = []
    for body, extent in zip(bodies, extents, strict=True):
        parts.append(_kept_part(body, extent, allowances) if extent is not None else _NOTHING)
    parts = drawn_parts(bodies, joints, extents, parts, allowances, (old, cut, new))
    caps: dict[int, Chain] = {}
    for k, joint in enumerate(joints):
        after = (k + 1) % len(parts)
        if joint.mouth is not None:
            crossed = across(joint.mouth, parts[k], parts[after])
            parts[k], parts[after], caps[k] = crossed.before, crossed.after, crossed.cap
        else:
            parts[k], parts[after] = _joined(joint, bodies[k], bodies[after], parts[k], parts[after])
    pieces: list[Piece] = []
    for k, part in enumerate(parts):
        pieces.extend(
            Piece(segment, owner, still=part.still)
            for segment, owner in zip(part.chain.segments, part.owners, strict=True)
        )
        mouth = joints[k].mouth
        if mouth is not None:
            pieces.extend(Piece(segment, part.owners[-1], mouth.dart) for segment in caps[k].segments)
    old_ones = {segment: segment for segment in cut.chain.segments}
    pieces = [
        replace(piece, segment=old_ones.get(piece.segment, piece.segment))
        for piece in pieces
        if piece.segment.start != piece.segment.end
    ]
    return new_cut_line(cut, pieces, _motion_of(bodies, old.chain))


def _motion_of(bodies: Sequence[Body], stitching: Chain) -> MotionOf:
    """How the old cut line moved: as the nearest place of the stitching line, or what was kept next to it."""
    kept = [body.kept for body in bodies if body.kept is not None]

    def outside(part: Kept, place: float) -> float:
        whole = stitching.length
        if (place - part.first) % whole <= (part.last - part.first) % whole:
            return 0.0
        return min((part.first - place) % whole, (place - part.last) % whole)

    def motion_of(point: complex) -> Motion:
        place, _ = nearest(stitching, point)
        return min(kept, key=lambda part: outside(part, place)).motion if kept else STAY

    return motion_of


_NOTHING = Part(Chain(()), ())


def _all_moved(cut: Outline, kept: Kept) -> Outline:
    """The cut line of a piece that moved as a whole."""
    motion = kept.motion
    if motion.is_identity:
        return cut
    stretches = tuple(replace(s, chain=s.chain.moved(motion)) for s in cut.stretches)
    detours = tuple(Detour(d.place, d.gap, d.chain.moved(motion)) for d in cut.detours)
    return replace(cut, stretches=stretches, detours=detours)


def _kept_part(body: Body, extent: Extent, allowances: Allowances) -> Part:
    if body.kept is None:
        raise ValueError("a body with an extent on the cut line was kept")
    motion = body.kept.motion
    chain = allowances.cut.cut(extent.first, extent.last)
    middles = [(chain.begin_of(k) + chain.ends[k]) / 2 for k in range(len(chain.segments))]
    owners = tuple(allowances.owner(extent.first + middle) for middle in middles)
    return Part(chain.moved(motion), owners, kept=True, still=motion.is_identity)


def _joined(joint: Joint, before: Body, after: Body, first: Part, second: Part) -> tuple[Part, Part]:
    """Two parts made to meet at a joint without a mouth."""
    point = before.chain.end
    tangents = before.chain.tangent(before.chain.length, before=True), after.chain.tangent(0.0)
    distances = abs(first.chain.end - point), abs(second.chain.start - point)
    new = NewJoint(point, tangents, (min(distances[0], FARTHEST), min(distances[1], FARTHEST)))
    if joint.smooth or (joint.corner is not None and joint.corner.kind is Kind.PLAIN):
        return met(first, second, new.reach) or stepped(first, second, second.owners[0])
    return rebuilt(joint.corner, first, second, new)
