"""What cuts off a drawing where it stands: clip paths on the way, frames of ``<svg>``, pages of an editor.

A clip path lies in the coordinates of the element that it is given to, with that element's own transform
(CSS Masking 1, “The clip-path property”).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from transform.geometry.motion import Affine
from transform.svg.bounds import target_of, user_length
from transform.svg.css import declarations
from transform.svg.document import Document
from transform.svg.namespaces import INKSCAPE
from transform.svg.shapes import SHAPES, read_drawing
from transform.svg.viewport import frame_of, matrix_of

_STEP = 1.0
_URL = re.compile(r"""url\(\s*["']?#([^"')\s]+)["']?\s*\)""")
_PAGE = f"{{{INKSCAPE}}}page"

Polygon = tuple[complex, ...]
"""Corners in mm; a curve is flattened to 1 mm."""


@dataclass(frozen=True, slots=True)
class Clip:
    """A region beyond which nothing is seen: all that lies in one of ``polygons``.

    ``element`` is the clip path or the ``<svg>`` whose it is; ``what`` names it.
    """

    element: int
    what: str
    polygons: tuple[Polygon, ...]


def clips_of(document: Document, element: int, user_unit: float | None) -> Iterator[Clip]:
    """Everything that cuts an element off, the nearest first; the page that it is printed on comes last.

    Raises:
        PatternError: where a clip path cannot be read.
    """
    for each in (element, *document.ancestors(element)):
        key = ("clips", each, user_unit)
        if key not in document.memo:
            document.memo[key] = tuple(_own(document, each, user_unit))
        yield from document.memo[key]


def _own(document: Document, element: int, user_unit: float | None) -> Iterator[Clip]:
    found = _URL.search(_said(document, element, "clip-path"))
    clip = document.ids.get(found[1]) if found else None
    if clip is not None and document.tag(clip) == "clipPath":
        yield from _clip_path(document, clip, matrix_of(document, element, user_unit), user_unit, ())
    if document.tag(element) != "svg":
        return
    frame = frame_of(document, element, user_unit)
    if frame is None:
        return
    if element:
        if _said(document, element, "overflow") not in ("visible", "auto"):
            yield Clip(element, f"the frame of {document.path_of_labels(element)}", (frame,))
        return
    pages = tuple(_pages(document, user_unit))
    yield Clip(
        element, "the pages of the drawing" if pages else "the viewBox of the drawing", (frame, *pages)
    )


def _clip_path(
    document: Document, clip: int, place: Affine, user_unit: float | None, within: tuple[int, ...]
) -> Iterator[Clip]:
    """The clip path, and one that cuts that off again; ``place`` are the coordinates it is used in."""
    if document.get(clip, "clipPathUnits") == "objectBoundingBox" or clip in within:
        # It grows with what it cuts off.
        return
    around = document.parent(clip)
    outside = matrix_of(document, around, user_unit) if around is not None else Affine()
    onward = place @ outside.inverse()
    polygons = tuple(
        p for child in document.children(clip) for p in _drawn(document, child, onward, user_unit)
    )
    if polygons:
        yield Clip(clip, f"the clip path {document.path_of_labels(clip)}", polygons)
    found = _URL.search(_said(document, clip, "clip-path"))
    further = document.ids.get(found[1]) if found else None
    if further is not None and document.tag(further) == "clipPath":
        yield from _clip_path(document, further, place, user_unit, (*within, clip))


def _drawn(document: Document, element: int, onward: Affine, user_unit: float | None) -> Iterator[Polygon]:
    if document.tag(element) == "use":
        target, around = target_of(document, element), None
        if target is None or document.tag(target) not in SHAPES:
            return
        around = document.parent(target)
        x, y = (user_length(document, element, name, user_unit) for name in ("x", "y"))
        before = matrix_of(document, around, user_unit) if around is not None else Affine()
        onward = onward @ matrix_of(document, element, user_unit) @ Affine(e=x, f=y) @ before.inverse()
        element = target
    if document.tag(element) in SHAPES:
        for chain in read_drawing(document, element, user_unit).chains:
            if chain.segments:
                yield tuple(onward(point) for point in chain.samples(_STEP))


def _pages(document: Document, user_unit: float | None) -> Iterator[Polygon]:
    """The pages that an editor lays on the drawing, in its own units."""
    matrix = matrix_of(document, 0, user_unit)
    for element in document.tagged(_PAGE):
        try:
            x, y, width, height = (float(document.get(element, name) or "") for name in _CORNER)
        except ValueError:
            continue
        corners = (
            complex(x, y),
            complex(x + width, y),
            complex(x + width, y + height),
            complex(x, y + height),
        )
        yield tuple(matrix(corner) for corner in corners)


_CORNER = ("x", "y", "width", "height")


def _said(document: Document, element: int, name: str) -> str:
    """A property of the element's own: of its style, else of its attribute; empty where it has none."""
    said = dict(declarations(document.get(element, "style") or "")).get(name)
    return said if said is not None else (document.get(element, name) or "")
