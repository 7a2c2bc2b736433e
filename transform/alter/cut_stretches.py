"""The new cut line as an outline again: every part of it with the shape that drew it before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from transform.alter.new_outline import MotionOf, carried_corner, carried_detours
from transform.geometry.chain import SNAP, Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Segment
from transform.pattern.outline import Outline, Stretch


@dataclass(frozen=True, slots=True)
class Piece:
    """One segment of the new cut line: whose it is, or the dart whose mouth it crosses.

    ``owner`` is a stretch of the old cut line; ``still`` says that the segment was kept and did not move.
    """

    segment: Segment
    owner: int
    dart: str | None = None
    still: bool = False


@dataclass(frozen=True)
class _Group:
    """Neighbouring pieces of one stretch or of one dart."""

    pieces: tuple[Piece, ...]

    @property
    def owner(self) -> int:
        return self.pieces[0].owner

    @property
    def dart(self) -> str | None:
        return self.pieces[0].dart

    @property
    def chain(self) -> Chain:
        return Chain(tuple(piece.segment for piece in self.pieces))

    @property
    def rank(self) -> tuple[bool, float]:
        return any(piece.still for piece in self.pieces), self.chain.length


def new_cut_line(cut: Outline, pieces: Sequence[Piece], motion_of: MotionOf) -> Outline:
    """The outline of ``pieces``, which go once round; corners and notches of ``cut`` carried along."""
    groups = _grouped(_begun_as_before(cut, pieces, motion_of(cut.chain.start)))
    sources = _sources(cut, groups)
    bare = Outline(tuple(_stretch(cut, group, source) for group, source in zip(groups, sources, strict=True)))
    corners = {name: carried_corner(cut, bare, place, motion_of) for name, place in cut.corners.items()}
    return replace(bare, corners=corners, detours=carried_detours(cut, bare, motion_of))


def _begun_as_before(cut: Outline, pieces: Sequence[Piece], motion: Motion) -> list[Piece]:
    """The pieces begun where the old line began, or at the stretch that stood first, if either is left."""
    start = motion(cut.chain.start)
    count = len(pieces)
    begun = [k for k in range(count) if abs(pieces[k].segment.start - start) < SNAP]
    fresh = [k for k in range(count) if _differ(pieces[k - 1], pieces[k])]
    first = [k for k in fresh if pieces[k].owner == 0 and pieces[k].dart is None]
    k = next(iter((*begun, *first, *fresh)), 0)
    return [*pieces[k:], *pieces[:k]]


def _differ(one: Piece, other: Piece) -> bool:
    return (one.owner, one.dart) != (other.owner, other.dart)


def _grouped(pieces: Sequence[Piece]) -> list[_Group]:
    breaks = [0, *(k for k in range(1, len(pieces)) if _differ(pieces[k - 1], pieces[k])), len(pieces)]
    return [_Group(tuple(pieces[a:b])) for a, b in pairwise(breaks)]


def _sources(cut: Outline, groups: Sequence[_Group]) -> list[int | None]:
    """The element that draws each group.

    A line drawn by one element stays so. Where a new mouth divides a shape, the part that did not move
    keeps the element, the longest if there are several; the rest and the cap are new shapes.
    """
    elements = {stretch.source for stretch in cut.stretches}
    if len(elements) == 1:
        return [cut.stretches[0].source] * len(groups)
    found: list[int | None] = [
        cut.stretches[group.owner].source if group.dart is None else None for group in groups
    ]
    for shapes in _divided(groups, found):
        keeper = max(shapes, key=lambda shape: max(groups[k].rank for k in shape))
        for shape in shapes:
            if shape != keeper:
                for k in shape:
                    found[k] = None
    for k, group in enumerate(groups):
        if group.dart is not None:
            own = _own_cap(cut, group.dart)
            found[k] = None if own is None else own.source
    return found


def _divided(groups: Sequence[_Group], sources: Sequence[int | None]) -> list[list[tuple[int, ...]]]:
    """Shapes that new mouths have divided: for each the groups of its parts."""
    shapes: list[tuple[int, ...]] = []
    rows: list[list[tuple[int, ...]]] = []
    before: int | None = None
    for k, group in enumerate(groups):
        if group.dart is not None:
            continue
        same = before is not None and sources[k] is not None and sources[k] == sources[before]
        if same and before == k - 1:
            shapes[-1] = (*shapes[-1], k)
            rows[-1][-1] = shapes[-1]
        else:
            shapes.append((k,))
            if same and before is not None and groups[before].owner == group.owner:
                rows[-1].append(shapes[-1])
            else:
                rows.append([shapes[-1]])
        before = k
    return [row for row in rows if len(row) > 1]


def _own_cap(cut: Outline, dart: str) -> Stretch | None:
    """The stretch by which the old cut line crossed the mouth of ``dart``, where that has its name."""
    return next((s for s in cut.stretches if dart in (s.dart, s.edge)), None)


def _stretch(cut: Outline, group: _Group, source: int | None) -> Stretch:
    if group.dart is None:
        return replace(cut.stretches[group.owner], chain=group.chain, source=source)
    own = _own_cap(cut, group.dart)
    if own is not None:
        return replace(own, chain=group.chain, source=source, drawn_in=False)
    flipped = cut.stretches[group.owner].flipped
    return Stretch(group.chain, None, group.dart, source=source, flipped=flipped)
