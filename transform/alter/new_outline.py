"""The finished stretches as an outline again, with its corners and the notches drawn into it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from transform.alter.runs import NewStretch
from transform.geometry.chain import SNAP, Chain
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.pattern.outline import Detour, Outline, Stretch

MotionOf = Callable[[complex], Motion]


def new_outline(old: Outline, stretches: Sequence[NewStretch], motion_of: MotionOf) -> Outline:
    """The outline of ``stretches``; ``motion_of`` tells how a point of the old pattern moved."""
    bare = Outline(
        tuple(Stretch(s.chain, s.edge, s.dart, s.drawn_in, s.source, s.flipped) for s in stretches)
    )
    corners = {name: carried_corner(old, bare, place, motion_of) for name, place in old.corners.items()}
    return replace(bare, corners=corners, detours=carried_detours(old, bare.chain, motion_of))


def _names(outline: Outline, index: int) -> tuple[str | None, str | None]:
    stretch = outline.stretches[index % len(outline.stretches)]
    return stretch.edge, stretch.dart


def carried_corner(old: Outline, new: Outline, place: float, motion_of: MotionOf) -> float:
    """The joint between stretches of the same names that is nearest to where the corner went.

    A corner that stood at no joint goes to the nearest place of the new line.
    """
    point = old.chain.point(place)
    moved = motion_of(point)(point)
    whole = old.chain.length
    for index, begin in enumerate(old.begins):
        if min(abs(begin - place), whole - abs(begin - place)) > 1e-3:
            continue
        pair = (_names(old, index - 1), _names(old, index))
        joints = [
            new.begins[k] for k in range(len(new.stretches)) if (_names(new, k - 1), _names(new, k)) == pair
        ]
        if joints:
            return min(joints, key=lambda joint: abs(new.chain.point(joint) - moved))
    return nearest(new.chain, moved)[0]


def carried_detours(old: Outline, new: Chain, motion_of: MotionOf) -> tuple[Detour, ...]:
    """The notches drawn into a line, each on the part on which it stood."""
    return tuple(carried_detour(old, new, d, motion_of(middle_of(old, d))) for d in old.detours)


def middle_of(outline: Outline, detour: Detour) -> complex:
    """The point of the line in the middle of a notch drawn into it."""
    return outline.chain.point(outline.chain.wrap(detour.place + detour.gap / 2))


def carried_detour(old: Outline, new: Chain, detour: Detour, motion: Motion) -> Detour:
    """A notch moved, its foot brought on to the line where that was drawn anew."""
    base = motion(old.chain.point(detour.place))
    place, distance = nearest(new, base)
    if distance > SNAP:
        motion = Motion(shift=new.point(place) - base).after(motion)
    return Detour(place, detour.gap, detour.chain.moved(motion))
