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
_APART = 0.1
_BESIDE = 1.0
"""How far (mm) from a new mouth a notch is set that would stand in it, or nearer than ``_APART``."""


def new_outline(old: Outline, stretches: Sequence[NewStretch], motion_of: MotionOf) -> Outline:
    """The outline of ``stretches``; ``motion_of`` tells how a point of the old pattern moved."""
    bare = Outline(
        tuple(Stretch(s.chain, s.edge, s.dart, s.drawn_in, s.source, s.flipped) for s in stretches)
    )
    corners = {name: carried_corner(old, bare, place, motion_of) for name, place in old.corners.items()}
    return replace(bare, corners=corners, detours=carried_detours(old, bare, motion_of))


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


def carried_detours(old: Outline, new: Outline, motion_of: MotionOf) -> tuple[Detour, ...]:
    """The notches drawn into a line, each on the part on which it stood, and beside what opened there."""
    known = {stretch.dart for stretch in old.stretches}
    mouths = [
        new.interval(k)
        for k, stretch in enumerate(new.stretches)
        if stretch.dart is not None and stretch.dart not in known
    ]
    carried = (carried_detour(old, new.chain, d, motion_of(middle_of(old, d))) for d in old.detours)
    return tuple(_beside_mouths(mouths, new.chain, detour) for detour in carried)


def _beside_mouths(mouths: Sequence[tuple[float, float]], new: Chain, detour: Detour) -> Detour:
    """A notch that would stand in a new mouth, or end where that begins, moved to the nearer side."""
    end = detour.place + detour.gap
    for first, last in mouths:
        if end <= first - _APART or detour.place >= last + _APART:
            continue
        before = detour.place - first <= last - end
        place = first - _BESIDE - detour.gap if before else last + _BESIDE
        shift = new.point(new.wrap(place)) - new.point(detour.place)
        return replace(detour, place=place, chain=detour.chain.moved(Motion(shift=shift)))
    return detour


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
