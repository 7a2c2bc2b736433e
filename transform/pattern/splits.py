"""Segments of a drawing that an outline divides, made known to the drawing, so that the writer sees that
together they are the very command."""

from __future__ import annotations

from collections.abc import Sequence

from transform.geometry.segments import Segment
from transform.pattern.outline import Outline
from transform.svg.shapes import Drawing

_MOST_PARTS = 12


def with_splits(drawing: Drawing, outline: Outline) -> Drawing:
    """The drawing, split wherever ``outline`` divides one of its segments."""
    used: list[Segment] = []
    for stretch in outline.stretches:
        if stretch.source == drawing.element:
            segments = stretch.chain.segments
            used += [s.reversed() for s in segments] if stretch.flipped else segments
    known = set(used)
    by_start: dict[complex, list[Segment]] = {}
    for segment in used:
        by_start.setdefault(segment.start, []).append(segment)
    split = drawing
    for subpath in drawing.subpaths:
        for segment in subpath.segments:
            if segment not in known:
                parts = _parts(segment, by_start)
                if parts:
                    split = split.with_split(segment, parts)
    return split


def _parts(segment: Segment, by_start: dict[complex, list[Segment]]) -> Sequence[Segment]:
    """The parts that lead from the start of ``segment`` to its end; none where they do not."""
    parts: list[Segment] = []
    at = segment.start
    while len(parts) < _MOST_PARTS:
        following = [part for part in by_start.get(at, ()) if type(part) is type(segment)]
        if not following:
            return ()
        parts.append(following[0])
        at = following[0].end
        if at == segment.end:
            return parts
    return ()
