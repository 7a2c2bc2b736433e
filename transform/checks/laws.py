"""The laws that every result must obey, each as a function that yields what breaks it, with the figure.

They compare the piece as it came, the working, and the piece read again from the bytes about to be
written; shapely judges areas and what lies inside.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from transform.alter.cutting import Turn
from transform.alter.runs import NewStretch, Run
from transform.alter.working import Working
from transform.geometry.chain import Chain, coordinates, signed_area
from transform.geometry.nearest import nearest
from transform.pattern.model import Piece

RIGID_MM = 1e-6
ANGLE_RAD = 1e-6
ARC_MM = 1e-6
AREA_MM2 = 0.5
CARRIED_MM = 0.1
"""A stitching line that is carried in from a cut line is known to this, mm."""
_STEP = 0.5
_ROUNDED = 1e-5
_WITHIN = 0.02


@lru_cache(maxsize=16)
def polygon(chain: Chain) -> shapely.Polygon:
    """The area within a closed chain, flattened at steps of 0.5 mm.

    Points as near as numbers are rounded in a file are one: the way between them is no line.
    """
    points = chain.sampled(_STEP)
    return shapely.Polygon(coordinates(points[np.abs(np.roll(points, -1) - points) > _ROUNDED]))


def rigid(working: Working, after: Piece) -> Iterator[str]:
    """Every kept part of the stitching line lies where its one rotation puts it, to 1e-6 mm."""
    old, new = working.cut.outline, after.stitching.chain
    allowed = RIGID_MM if after.stitching_drawn else CARRIED_MM
    for run in _kept(working.stretches):
        kept = run.kept
        if kept is None:
            continue
        chain = old.cut(kept.first, kept.last)
        for segment in chain.segments:
            for t in (0.0, 0.5, 1.0):
                distance = nearest(new, kept.motion(segment.point(t)))[1]
                if distance > allowed:
                    point = segment.point(t)
                    yield (
                        f"the line from ({point.real:.2f}, {point.imag:.2f}) lies {distance:.2e} mm from "
                        "where its part was turned to"
                    )
                    return


def _kept(stretches: tuple[NewStretch, ...]) -> Iterator[Run]:
    for stretch in stretches:
        for run in stretch.runs:
            if run.kept is not None:
                yield run


def angles(working: Working, after: Piece) -> Iterator[str]:
    """Every mouth opens by the sum of the angles closed at its pivot, measured on the file that came."""
    stretches = working.bare
    for index, stretch in enumerate(stretches):
        openers = [
            (turn, mouth)
            for turn in working.cut.turns
            for mouth in turn.closing.mouths
            if mouth.dart is not None and mouth.dart == stretch.dart
        ]
        if not openers:
            continue
        before, behind = stretches[index - 1], stretches[(index + 1) % len(stretches)]
        opened = _turned(working, before.runs[-1], after) / _turned(working, behind.runs[0], after)
        closed = math.fsum(turn.angle * mouth.share for turn, mouth in openers)
        error = abs(abs(cmath.phase(opened)) - closed)
        if error > ANGLE_RAD * (1 if after.stitching_drawn else 1e4):
            yield (
                f"{stretch.dart} opens by {math.degrees(abs(cmath.phase(opened))):.6f}°, "
                f"but {math.degrees(closed):.6f}° were closed"
            )
    for turn in working.cut.turns:
        if abs(turn.angle - turn.closing.angle) > ANGLE_RAD and len(working.cut.turns) == 1:
            yield (
                f"{turn.closing.name} turned by {math.degrees(turn.angle):.6f}°, "
                f"but its wedge is {math.degrees(turn.closing.angle):.6f}° wide"
            )


def _turned(working: Working, bare: Run, after: Piece) -> complex:
    """The turn of the part to which a bare run belongs, as a unit complex.

    It is measured on the new line between far points of the part's longest run that was kept; within the
    run, since beyond its ends another shape may begin up to 0.2 mm away. A part of which every line was drawn
    anew has its motion only.
    """
    if bare.kept is None:
        raise ValueError("a bare run knows where it was kept from")
    mine = [r.kept for r in _kept(working.stretches) if r.kept and r.kept.motion == bare.kept.motion]
    if not mine:
        return bare.kept.motion.turn
    kept = max(mine, key=lambda part: (part.last - part.first) % working.cut.outline.length)
    old = working.cut.outline.cut(kept.first, kept.last)
    start = old.segments[0].point(_WITHIN)
    far = max((s.point(1 - _WITHIN) for s in old.segments), key=lambda point: abs(point - start))
    new = after.stitching.chain
    ends = [new.point(nearest(new, kept.motion(point))[0]) for point in (start, far)]
    turn = (ends[1] - ends[0]) / (far - start)
    return turn / abs(turn)


def arcs(working: Working) -> Iterator[str]:
    """The arc taken out of an edge is the width that was asked for; nothing else of the outline is lost."""
    outline = working.cut.outline
    for turn in working.cut.turns:
        closing = turn.closing
        taken = outline.cut(closing.low, closing.high).length
        if closing.measured_along and abs(taken - closing.asked_mm) > ARC_MM:
            yield f"{closing.name} took {taken:.6f} mm of {closing.edge}, not {closing.asked_mm:.6f}"
    kept = math.fsum(run.chain.length for run in _kept(working.bare))
    gone = math.fsum(arc.last - arc.first for arc in working.cut.arcs if arc.gone)
    if abs(kept + gone - outline.length) > 1e-4:
        yield f"{outline.length - kept - gone:.4f} mm of the outline were lost or doubled"


def hinges(working: Working) -> Iterator[str]:
    """Every closing turns about its own pivot, and lays one leg of its wedge along the other."""
    made = working.cut
    for turn, division in zip(made.turns, made.divisions, strict=True):
        closing = turn.closing
        for _, _, rotation in turn.parts:
            if abs(rotation(turn.pivot) - turn.pivot) > RIGID_MM:
                yield f"{closing.name} does not turn about its pivot"
        pivot = made.hinge_of(closing)
        ends = [
            made.arc_at(closing.low, before=True).motion(made.outline.point(closing.low)),
            made.arc_at(closing.high).motion(made.outline.point(closing.high)),
        ]
        if len(made.turns) == 1 and abs(closing.pivot - pivot) > RIGID_MM:
            yield f"the pivot of {closing.name} has moved"
        if closing.turn is not None:
            continue
        apart = abs(cmath.phase((ends[0] - pivot) / (ends[1] - pivot)))
        shares = len(division.bounds) == 2 or all(mouth.dart is not None for mouth in division.mouths)
        if shares and apart > ANGLE_RAD:
            yield f"the legs of {closing.name} lie {math.degrees(apart):.6f}° apart after the closing"


def areas(working: Working, after: Piece) -> Iterator[str]:
    """Area after = area before - wedges + mouths filled ± what drawing lines anew moved, to 0.5 mm²."""
    before = polygon(working.piece.stitching.chain).area
    wedges = sum(division.wedge.area for division in working.cut.divisions)
    drawn = _drawn_area(working)
    expected = before - wedges + drawn - _behind_notches(working, after)
    found = polygon(after.stitching.chain).area
    allowed = AREA_MM2 if after.stitching_drawn else 0.1 * after.stitching.chain.length
    if abs(found - expected) > allowed:
        yield f"the area is {found:.2f} mm² where {expected:.2f} mm² were expected"


def _drawn_area(working: Working) -> float:
    """Area that the drawn lines and filled mouths add to the bare parts, mm².

    The bare parts are the old piece without its wedges; where a mouth opens the old piece ended at the
    cuts between its pivots, where a dart stood open it ended at the outline across its mouth.
    """
    bare = [run.chain for stretch in working.bare for run in stretch.runs]
    parts: list[complex] = []
    for stretch in working.bare:
        if stretch.is_open:
            parts.extend(_hinges(working, stretch))
        else:
            parts.extend(p for run in stretch.runs for p in run.chain.samples(_STEP))
    whole = signed_area(parts)
    new = signed_area([p for stretch in working.stretches for p in stretch.chain.samples(_STEP)])
    filled = sum(_old_intake(working, stretch) for stretch in working.bare if stretch.is_open)
    return new - whole - filled if bare else 0.0


def _behind_notches(working: Working, after: Piece) -> float:
    """Area that drawn lines have in place of notches in them, mm²: there the outline runs straight."""
    outline = after.stitching
    area = 0.0
    for run in (run for stretch in working.stretches for run in stretch.runs if run.kept is None):
        for detour in outline.detours:
            ends = (outline.chain.point(place) for place in (detour.place, detour.place + detour.gap))
            found = [nearest(run.chain, end) for end in ends]
            if all(distance < CARRIED_MM for _, distance in found):
                first, last = sorted(place for place, _ in found)
                area += signed_area(run.chain.cut(first, last).samples(_STEP)) if last > first else 0.0
    return area


def _openers(working: Working, stretch: NewStretch) -> list[Turn]:
    """The turns that open a mouth, in the order in which their hinges follow from its first leg to its last.

    Going on from the last leg round the outline, their closures come in the opposite order.
    """
    whole = working.cut.outline.length
    found = [
        (turn, mouth)
        for turn in working.cut.turns
        for mouth in turn.closing.mouths
        if mouth.dart is not None and mouth.dart == stretch.dart
    ]
    if not found:
        raise ValueError(f"nothing opens {stretch.dart}")
    return [turn for turn, _ in sorted(found, key=lambda row: -((row[0].closing.low - row[1].last) % whole))]


def _hinges(working: Working, stretch: NewStretch) -> list[complex]:
    """Where the hinges of a mouth came to lie, from its first leg to its last."""
    return [working.cut.hinge_of(turn.closing) for turn in _openers(working, stretch)]


def _old_intake(working: Working, stretch: NewStretch) -> float:
    """Area between the old outline across a dart's mouth and its pivots, mm² (0 for a new dart)."""
    turns = _openers(working, stretch)
    mouth = next(mouth for mouth in turns[0].closing.mouths if mouth.dart == stretch.dart)
    if mouth.first == mouth.last:
        return 0.0
    line = working.cut.outline.cut(mouth.first, mouth.last).samples(_STEP)
    return signed_area([*line, *(turn.closing.pivot for turn in reversed(turns))])


def uncrossed(working: Working, after: Piece) -> Iterator[str]:
    """No outline crosses itself unless it did before."""
    pairs = [("stitching line", working.piece.stitching, after.stitching)]
    if working.piece.cut is not None and after.cut is not None:
        pairs.append(("cut line", working.piece.cut, after.cut))
    for name, old, new in pairs:
        if polygon(old.chain).is_valid and not polygon(new.chain).is_valid:
            why = shapely.is_valid_reason(polygon(new.chain))
            yield f"the {name} crosses itself ({why})"
