"""Whether an altered line now lies where nothing is seen: beyond its clip path, its frame or the page.

A line that was cut off before is not told again.
"""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from transform.alter.facts import Notice
from transform.geometry.chain import coordinates
from transform.svg.clipping import Clip, clips_of
from transform.svg.document import Document
from transform.svg.partners import Partners
from transform.svg.shapes import is_shape, is_template, read_drawing

_STEP = 1.0
_BEYOND = 0.05
"""A line this far (mm) beyond a frame lies within it still: flattened curves are no nearer."""


def frames(pairs: Partners, user_unit: float | None) -> Iterator[Notice]:
    """A notice for every frame that altered or new lines leave: how far, and what to do."""
    before, after = _Sheet(pairs.before, user_unit), _Sheet(pairs.after, user_unit)
    told: dict[int, list[tuple[float, str]]] = {}
    names: dict[int, str] = {}
    for element in sorted({*pairs.changed, *pairs.added}):
        if not is_shape(pairs.after, element) or is_template(pairs.after, element):
            continue
        known: dict[int, float] = {}
        called: dict[int, str] = {}
        for old in _before(pairs, element):
            for clip, far in before.beyond(old):
                known[clip.element] = max(far, known.get(clip.element, 0.0))
                called[clip.element] = clip.what
        for clip, distance in after.beyond(element):
            was = pairs.of.get(clip.element, -1)
            names[clip.element] = called.get(was, clip.what)
            if distance > _BEYOND and known.get(was, 0.0) <= _BEYOND:
                told.setdefault(clip.element, []).append((distance, pairs.after.path_of_labels(element)))
    for frame, lines in told.items():
        distance, where = max(lines)
        more = f" (and {len(lines) - 1} more)" if len(lines) > 1 else ""
        text = (
            f"{pairs.after.name}: {where}{more} now reaches {distance:.1f} mm beyond {names[frame]}, where "
            "it is neither shown nor printed; make that larger, or move the piece"
        )
        yield Notice("beyond the frame", None, text)


def _before(pairs: Partners, element: int) -> Iterator[int]:
    """The shapes of the file before that a shape was, or that a new one stands beside."""
    while element not in pairs.of:
        parent = pairs.after.parent(element)
        if parent is None:
            return
        known = [e for e in pairs.after.children(parent) if e < element and e in pairs.of]
        element = known[-1] if known else parent
    old = pairs.of[element]
    yield from (e for e in (old, *pairs.before.descendants(old)) if is_shape(pairs.before, e))


class _Sheet:
    def __init__(self, document: Document, user_unit: float | None) -> None:
        self.document = document
        self.user_unit = user_unit
        self._regions: dict[Clip, shapely.Geometry] = {}

    def beyond(self, element: int) -> Iterator[tuple[Clip, float]]:
        """Everything that cuts an element off, and how far (mm) the element lies beyond it."""
        clips = list(clips_of(self.document, element, self.user_unit))
        chains = read_drawing(self.document, element, self.user_unit).chains if clips else ()
        points = [p for chain in chains for p in chain.samples(_STEP)]
        if not points:
            return
        drawn = shapely.points(coordinates(points))
        for clip in clips:
            # Within the region the distance is 0.
            yield clip, float(shapely.distance(self._region(clip), drawn).max())

    def _region(self, clip: Clip) -> shapely.Geometry:
        if clip not in self._regions:
            parts = [
                shapely.Polygon(coordinates(polygon)).buffer(0)
                for polygon in clip.polygons
                if len(polygon) > 2
            ]
            self._regions[clip] = shapely.union_all(parts)
            shapely.prepare(self._regions[clip])
        return self._regions[clip]
