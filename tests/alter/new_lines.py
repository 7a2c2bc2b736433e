"""New stitching lines built by hand: an edge drawn anew, a hem raised, a dart opened in a seam."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from tests.builders import APEX, front_outline, stretch
from transform.alter.runs import Kept, NewStretch, Run, SewnMouth
from transform.geometry.chain import Chain
from transform.geometry.motion import STAY, Motion
from transform.geometry.segments import Cubic, Line, Segment
from transform.pattern.outline import Outline

SEAMS: Mapping[str, Segment] = {
    "straight": Line(240 + 260j, 230 + 600j),
    "hollow": Cubic(240 + 260j, 222 + 370j, 218 + 480j, 230 + 600j),
    "full": Cubic(240 + 260j, 252 + 370j, 256 + 480j, 230 + 600j),
}


def rectangle(top: str = "top") -> Outline:
    """100 mm wide, 200 mm high, from the upper left corner on; every edge a shape."""
    points = [0j, 100 + 0j, 100 + 200j, 200j]
    names = [top, "right", "bottom", "left"]
    return Outline(
        tuple(
            stretch(name, Line(points[k], points[(k + 1) % 4]), source=11 + k) for k, name in enumerate(names)
        )
    )


def front_with_seam(seam: str = "straight", neck: str = "round") -> Outline:
    """The half front with another side seam."""
    outline = front_outline(neck)
    rows = [
        replace(s, chain=Chain((SEAMS[seam],))) if s.edge == "side seam" else s for s in outline.stretches
    ]
    return Outline(tuple(rows))


def kept(outline: Outline, index: int, motion: Motion = STAY) -> NewStretch:
    """A stretch of the outline, kept."""
    s = outline.stretches[index]
    first, last = outline.interval(index)
    run = Run(s.chain.moved(motion), Kept(first, last, motion))
    return NewStretch((run,), s.edge, s.dart, s.drawn_in, s.source, s.flipped)


def all_kept(outline: Outline, motion: Motion = STAY) -> tuple[NewStretch, ...]:
    """The whole outline, kept."""
    return tuple(kept(outline, k, motion) for k in range(len(outline.stretches)))


def drawn(outline: Outline, index: int, *segments: Segment) -> NewStretch:
    """A stretch of the outline, drawn anew."""
    return replace(kept(outline, index), runs=(Run(Chain(segments)),))


def with_new(rows: Sequence[NewStretch], *changes: tuple[int, NewStretch]) -> tuple[NewStretch, ...]:
    """The stretches, some of them replaced."""
    found = list(rows)
    for index, row in changes:
        found[index] = row
    return tuple(found)


def part_of(outline: Outline, index: int, first: float, last: float, motion: Motion = STAY) -> Run:
    """A kept run of a stretch, between two places along it."""
    begin = outline.begins[index]
    chain = outline.stretches[index].chain.cut(first, last)
    return Run(chain.moved(motion), Kept(begin + first, begin + last, motion))


def opened(
    outline: Outline,
    *,
    place: float,
    angle: float,
    draw_back: float = 25.0,
    pressed: int = 1,
    trim: float | None = None,
) -> tuple[tuple[NewStretch, ...], SewnMouth]:
    """The front with a dart opened ``place`` mm below the armhole: all above turns about the apex.

    The neckline is drawn anew from the centre front to where the shoulder went, and the upper leg is as
    long as the lower.
    """
    turn = Motion.rotation(APEX, -angle)
    neck = outline.stretches[0].chain
    start, end = neck.start, turn(neck.end)
    leave, arrive = neck.tangent(0.0), turn.direction(neck.tangent(neck.length, before=True))
    third = abs(end - start) * 0.4
    new_neck = Cubic(start, start + leave * third, end - arrive * third, end)
    side = outline.stretches[3].chain
    upper = part_of(outline, 3, 0.0, place, turn)
    lower = part_of(outline, 3, place, side.length)
    legs = upper.chain.end, lower.chain.start
    middle = (legs[0] + legs[1]) / 2
    point = APEX + (middle - APEX) / abs(middle - APEX) * draw_back
    mouth = SewnMouth("bust dart", point, legs, pressed, trim)
    seam = kept(outline, 3)
    rows = (
        drawn(outline, 0, new_neck),
        kept(outline, 1, turn),
        kept(outline, 2, turn),
        replace(seam, runs=(upper,), source=None),
        NewStretch((Run(Chain((Line(legs[0], legs[1]),))),), None, "bust dart"),
        replace(seam, runs=(lower,)),
        kept(outline, 4),
        kept(outline, 5),
    )
    return rows, mouth
