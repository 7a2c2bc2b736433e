"""Matrices, boxes, lengths and end points against what a browser says of the same files."""

from __future__ import annotations

import collections
import math
from collections.abc import Iterator

import pytest

from tests.svg.realfiles import FOLDER, needs_realfiles, table
from transform.geometry.measure import length
from transform.geometry.motion import Affine
from transform.geometry.segments import Line, Segment
from transform.svg.bounds import box_of_points, extremes
from transform.svg.document import Document, read_document
from transform.svg.edits import set_attribute
from transform.svg.lengths import MM_PER_PX, real_length
from transform.svg.problems import PatternError
from transform.svg.shapes import SHAPES, read_drawing
from transform.svg.splice import splice
from transform.svg.viewport import matrix_of

ROWS: dict[str, list[dict[str, str]]] = collections.defaultdict(list)
for _row in table("oracle/browser_geometry.tsv"):
    ROWS[_row["file"]].append(_row)

REFUSED = {
    "svg/resvg/style-attribute__transform.svg": "geometry in css",
    "svg/resvg/style__transform.svg": "geometry in css",
    "svg/resvg/transform__zeroed-matrix.svg": "flattened",
    "svg/wpt/getComputedStyle.svg": "geometry in css",
}
"""Files of which a shape is refused on purpose, and why."""
POINTED = "svg/scour/path-sn.svg"
"""It holds ``2.e-4``, a number of SVG 1.1 that the browser does not read."""


def framed(name: str) -> Document:
    """The file in a frame of 800 × 600 px, its size rounded to 1/64 px as the browser's layout does."""
    doc = read_document((FOLDER / name).read_bytes(), name)
    for attribute, frame in (("width", 800), ("height", 600)):
        text = doc.get(0, attribute)
        real = real_length(text)
        size = real / MM_PER_PX if real is not None else None
        if size is None:
            size = frame * (float(text[:-1]) / 100 if text is not None and text.endswith("%") else 1)
        rounded = math.floor(size * 64 + 1e-6) / 64 if doc.get(0, "viewBox") else size
        doc = read_document(splice(doc, set_attribute(doc, 0, attribute, repr(rounded))), name)
    return doc


def counted(doc: Document) -> dict[tuple[str, int], int]:
    """Each element by its tag and its number among those of that tag."""
    counts: collections.Counter[str] = collections.Counter()
    found = {}
    for element in doc.elements:
        counts[doc.tag(element)] += 1
        found[doc.tag(element), counts[doc.tag(element)]] = element
    return found


def judged(name: str) -> Iterator[tuple[dict[str, str], Document, int]]:
    doc = framed(name)
    elements = counted(doc)
    for row in ROWS[name]:
        yield row, doc, elements[row["element"], int(row["nth_of_that_element"])]


def test_the_browser_said_something() -> None:
    assert not FOLDER.is_dir() or len(ROWS) > 80


@needs_realfiles
@pytest.mark.parametrize("name", [name for name in ROWS if name not in REFUSED])
def test_matrices(name: str) -> None:
    for row, doc, element in judged(name):
        if row["screen_ctm_a_b_c_d_e_f"]:
            expected = [float(value) for value in row["screen_ctm_a_b_c_d_e_f"].split()]
            m = matrix_of(doc, element, None)
            found = [value / MM_PER_PX for value in (m.a, m.b, m.c, m.d, m.e, m.f)]
            scale = max(1.0, *map(abs, expected))
            assert found == pytest.approx(expected, abs=1.2e-5 * scale), (row["element"], row["id"])


@needs_realfiles
@pytest.mark.parametrize("name", [name for name in ROWS if name not in (*REFUSED, POINTED)])
def test_shapes(name: str) -> None:
    kinds: list[str] = []
    for row, doc, element in judged(name):
        if row["element"] not in SHAPES or row["length"] == "err" or row["in_defs"]:
            continue
        try:
            drawing = read_drawing(doc, element, None)
        except PatternError as error:
            # The browser draws what precedes a fault; here nothing is cut short.
            kinds.append(error.problems[0].kind)
            continue
        back = drawing.matrix.inverse()
        local = [part for chain in drawing.chains for s in chain.segments for part in s.mapped(back)]
        if local:
            compare(row, local)
    assert set(kinds) <= {"path data", "length"}
    assert len(kinds) <= {"svg/w3c11/paths-data-20-f.svg": 6, "svg/wpt/bounding.svg": 3}.get(name, 2)


def compare(row: dict[str, str], local: list[Segment]) -> None:
    straight = all(isinstance(segment, Line) for segment in local)
    # The browser measures curves along a polyline of its own, which is coarse for small circles.
    coarse = 1e-5 if straight else 0.112 if row["element"] in ("circle", "ellipse") else 5e-3
    assert sum(map(length, local)) == pytest.approx(float(row["length"]), rel=coarse)
    x, y, width, height = (float(value) for value in row["local_bbox_x_y_w_h"].split())
    box = box_of_points(point for segment in local for point in extremes(segment))
    assert box is not None
    size = max(1.0, abs(x), abs(y), width, height)
    assert tuple(box) == pytest.approx((x, y, x + width, y + height), abs=(1e-5 if straight else 1e-3) * size)
    start, end = (complex(*map(float, row[key].split())) for key in ("start", "end"))
    assert abs(local[0].start - start) <= 1e-5 * size
    assert abs(local[-1].end - end) <= 1e-5 * size


@needs_realfiles
@pytest.mark.parametrize(("name", "says"), REFUSED.items())
def test_what_is_refused_on_purpose(name: str, says: str) -> None:
    found = []
    for row, doc, element in judged(name):
        if row["element"] in SHAPES:
            try:
                read_drawing(doc, element, None)
            except PatternError as error:
                found.append(str(error))
    assert found
    assert all(says in text for text in found)


def test_the_frame_is_undone() -> None:
    assert Affine(a=MM_PER_PX, d=MM_PER_PX)(96 + 96j) == pytest.approx(25.4 + 25.4j)
