"""What lies on the piece goes with its part: marks, notches, text, pictures, inner lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from transform.alter.cutting import HINGE, Cut
from transform.alter.facts import Notice
from transform.alter.notch_walks import NotchWalk, walked
from transform.geometry.chain import SNAP, Chain
from transform.geometry.meeting import line_meets
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line, Segment
from transform.pattern.altered import Change, Moved, Redrawn, Removed, Shifted
from transform.pattern.model import Item, Piece, Role, Way
from transform.pattern.outline import Outline

_BEYOND = 100.0
"""Legs and mouths divide what is drawn this far (mm) outside the outline too: marks in the allowance."""
_AT_SEAM = 3.0
_WALKED = 1e-3
"""A notch that its seam's walk moves by less than this (mm) goes with its part."""
_MARKS = (Role.NOTCHES, Role.APEX_MARK, Role.CORNER_MARKS)


@dataclass(frozen=True, slots=True)
class _Fragment:
    chain: Chain
    motion: Motion
    in_wedge: bool


def carry_items(
    piece: Piece,
    cut: Cut,
    stitching: Outline,
    walks: Sequence[NotchWalk] = (),
    cut_line: Outline | None = None,
) -> tuple[dict[int, Change], list[Notice]]:
    """What becomes of every item of the piece, by element; items that do not change are left out.

    ``stitching`` and ``cut_line`` are the new lines. Notches and corner marks stand on the first again where
    it was drawn anew, corner marks of a piece that has a cut line alone on that; on the seams of ``walks``
    notches stand where they lay along them.
    """
    changes: dict[int, Change] = {}
    notices: list[Notice] = []
    for item in piece.items:
        if item.shared:
            continue
        if item.way is Way.CUT:
            change = _cut_line(item, cut)
            if isinstance(change, Removed):
                notices.append(_gone(piece, item))
        else:
            motion, closing = cut.carried(item.place)
            if closing is not None and item.role in _MARKS:
                notices.append(
                    Notice(
                        "mark in the wedge",
                        piece.name,
                        f"{_named(item)} lay in the wedge of {closing.name}; it now stands at its closure",
                    )
                )
            if item.role is Role.CORNER_MARKS:
                motion = _at_new_corner(piece, item, motion, stitching, cut_line)
            elif item.role is Role.NOTCHES:
                motion = _on_new_line(piece, item, motion, stitching, walks)
            change = _moved(item, motion)
        if change is not None:
            changes[item.element] = change
    return changes, notices


def _named(item: Item) -> str:
    role = item.role.value if item.role is not None else "an inner line"
    return f"{role} {item.label!r}" if item.label else role


def _gone(piece: Piece, item: Item) -> Notice:
    return Notice(
        "inner line in the wedge", piece.name, f"{_named(item)} lay wholly inside the wedge and was removed"
    )


def _moved(item: Item, motion: Motion) -> Change | None:
    if motion.is_identity:
        return None
    if item.way is Way.UPRIGHT:
        return Shifted(motion(item.place) - item.place)
    return Moved(motion)


def _at_new_corner(
    piece: Piece, item: Item, motion: Motion, stitching: Outline, cut_line: Outline | None
) -> Motion:
    """``motion``, and the shift from where the old corner of a corner mark went to the new one."""
    name = item.corner
    if name is None or name not in piece.stitching.corners:
        return motion
    old, new = piece.stitching, stitching
    if not piece.stitching_drawn and piece.cut is not None and cut_line is not None:
        # A corner of the allowance moves on where its edge is drawn anew, and the mark stands there. What
        # has no allowance, such as the point of a dart in the outline, is the stitching line's own.
        apart = piece.cut.chain.point(piece.cut.corners[name]) - old.chain.point(old.corners[name])
        if abs(apart) > HINGE:
            old, new = piece.cut, cut_line
    was = motion(old.chain.point(old.corners[name]))
    return _shifted(motion, new.chain.point(new.corners[name]) - was)


def _on_new_line(
    piece: Piece, item: Item, motion: Motion, stitching: Outline, walks: Sequence[NotchWalk]
) -> Motion:
    """``motion``, and for a notch of the seam the shift from where the old line went to that drawn anew."""
    old, new = piece.stitching, stitching
    lines = [old.chain] if piece.cut is None else [old.chain, piece.cut.chain]
    if min(nearest(line, item.place)[1] for line in lines) > _AT_SEAM + _extent(item):
        return motion
    walk = walked(walks, item.place)
    if walk is not None and abs(walk(item.place) - motion(item.place)) > _WALKED:
        return walk
    was = motion(old.chain.point(nearest(old.chain, item.place)[0]))
    return _shifted(motion, new.chain.point(nearest(new.chain, was)[0]) - was)


def _shifted(motion: Motion, shift: complex) -> Motion:
    return Motion(shift=shift).after(motion) if abs(shift) > HINGE else motion


def _extent(item: Item) -> float:
    points = [p for chain in item.chains for s in chain.segments for p in (s.start, s.end)]
    return max((abs(p - item.place) for p in points), default=0.0)


def _cut_line(item: Item, cut: Cut) -> Change | None:
    rows = [_fragments(chain, cut) for chain in item.chains]
    motions = {fragment.motion for row in rows for fragment in row}
    if not any(fragment.in_wedge for row in rows for fragment in row) and len(motions) <= 1:
        motion = motions.pop() if motions else Motion()
        return None if motion.is_identity else Moved(motion)
    chains = tuple(tuple(_rejoined(row, chain.closed)) for row, chain in zip(rows, item.chains, strict=True))
    return Redrawn(chains) if any(chains) else Removed()


def _cuts(cut: Cut) -> Iterator[tuple[complex, complex]]:
    """All straight cuts, as (pivot, end) on the pattern as it came."""
    for turn in cut.turns:
        closing = turn.closing
        places = [closing.low, closing.high]
        for mouth in closing.mouths:
            places.extend((mouth.first, mouth.last))
        for place in places:
            end = cut.outline.point(place)
            if abs(end - closing.pivot) > HINGE:
                yield closing.pivot, end


def _fragments(chain: Chain, cut: Cut) -> list[_Fragment]:
    """The line as it came, divided wherever its motion changes; a closed one begins at a division."""
    places: set[float] = set()
    for pivot, end in _cuts(cut):
        reach = abs(end - pivot) + _BEYOND
        places.update(
            place for distance, place in line_meets(chain, pivot, end - pivot) if -SNAP < distance < reach
        )
    whole = chain.length
    divisions = sorted(p for p in places if SNAP < p < whole - SNAP)
    ends = [0.0, *divisions, whole]
    if chain.closed and divisions:
        ends = [*divisions, divisions[0] + whole]
    rows: list[tuple[float, float, Motion, bool]] = []
    for first, last in pairwise(ends):
        middle = chain.point(chain.wrap((first + last) / 2))
        motion, wedge = cut.carried(middle)
        in_wedge = wedge is not None
        if rows and rows[-1][2:] == (motion, in_wedge):
            first = rows.pop()[0]
        rows.append((first, last, motion, in_wedge))
    if chain.closed and len(rows) > 1 and rows[0][2:] == rows[-1][2:]:
        rows[-1] = (rows[-1][0], rows.pop(0)[1] + whole, *rows[-1][2:])
    return [
        _Fragment(chain if last - first >= whole - SNAP else chain.cut(first, last), motion, in_wedge)
        for first, last, motion, in_wedge in rows
    ]


def _rejoined(row: list[_Fragment], closed: bool) -> Iterator[Chain]:
    """The fragments in their new places: joined across wedges, apart across mouths."""
    kept = [fragment for fragment in row if not fragment.in_wedge]
    if len(kept) == len(row) == 1:
        yield row[0].chain.moved(row[0].motion)
        return
    lines: list[list[Segment]] = []
    after_wedge = False
    for fragment in row:
        if fragment.in_wedge:
            after_wedge = bool(lines)
            continue
        segments = list(fragment.chain.moved(fragment.motion).segments)
        if lines and after_wedge:
            lines[-1].extend(_gap(lines[-1][-1].end, segments[0].start))
            lines[-1].extend(segments)
        else:
            lines.append(segments)
        after_wedge = False
    ends_in_wedge = bool(row) and (row[-1].in_wedge or row[0].in_wedge)
    if closed and lines and ends_in_wedge:
        gap = _gap(lines[-1][-1].end, lines[0][0].start)
        if len(lines) == 1:
            yield Chain((*lines[0], *gap), closed=True)
            return
        first = lines.pop(0)
        lines[-1].extend([*gap, *first])
    for segments in lines:
        yield Chain(tuple(segments))


def _gap(start: complex, end: complex) -> list[Segment]:
    return [Line(start, end)] if abs(end - start) > SNAP else []
