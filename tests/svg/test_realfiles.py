"""One shape of each real file altered: all outside it is equal to the byte, and it lies where it should."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tests.svg.realfiles import files, name_of, needs_realfiles
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.svg.document import Document, read_document
from transform.svg.numbers import CLOSE
from transform.svg.placing import turn_element
from transform.svg.problems import PatternError
from transform.svg.redraw import contradicting, redraw
from transform.svg.shapes import Drawing, is_shape, is_template, read_drawing
from transform.svg.splice import splice
from transform.svg.viewport import matrix_of

UNIT = 0.5


def drawings(doc: Document) -> Iterator[Drawing]:
    """The drawn shapes that can be altered, at most twelve."""
    count = 0
    for element in doc.elements:
        if not is_shape(doc, element) or is_template(doc, element) or doc.from_entity(element):
            continue
        try:
            drawing = read_drawing(doc, element, UNIT)
        except PatternError:
            continue
        if drawing.subpaths and drawing.subpaths[-1].segments and count < 12:
            count += 1
            yield drawing


def last_moved(drawing: Drawing) -> list[list[Chain]]:
    """The last curve of the last subpath ends elsewhere."""
    new = [[chain] for chain in drawing.chains]
    chain = drawing.chains[-1]
    segments = list(chain.segments)
    end = segments[-1].end + complex(3, 4) * max(1.0, abs(segments[-1].end - segments[-1].start))
    segments[-1] = replace(segments[-1], end=end)
    if chain.closed:
        segments[0] = replace(segments[0], start=end)
    new[-1] = [Chain(tuple(segments), chain.closed)]
    return new


@needs_realfiles
@pytest.mark.parametrize("path", files(), ids=name_of)
def test_a_path_redrawn(path: Path) -> None:
    data = path.read_bytes()
    doc = read_document(data, path.name)
    for drawing in drawings(doc):
        attribute = doc.attribute(drawing.element, "d")
        assert redraw(doc, drawing, [[chain] for chain in drawing.chains]) == []
        if attribute is None or attribute.span is None or contradicting(doc, drawing.element):
            continue
        new = last_moved(drawing)
        changed = splice(doc, redraw(doc, drawing, new))
        begin, end = attribute.span
        assert changed[:begin] == data[:begin]
        assert changed.endswith(data[end:])
        again = read_drawing(read_document(changed, path.name), drawing.element, UNIT)
        assert len(again.subpaths) == len(drawing.subpaths)
        for old, found in zip(drawing.subpaths[:-1], again.subpaths[:-1], strict=True):
            assert old.segments == found.segments
        wanted = new[-1][0]
        found = again.chains[-1]
        for point in (segment.point(t) for segment in wanted.segments for t in (0, 0.3, 0.6, 1)):
            assert min(abs(point - s.point(t)) for s in found.segments for t in (0, 0.3, 0.6, 1)) < 2 * CLOSE


@needs_realfiles
@pytest.mark.parametrize("path", files(), ids=name_of)
def test_a_shape_moved_by_its_transform(path: Path) -> None:
    data = path.read_bytes()
    doc = read_document(data, path.name)
    motion = Motion.rotation(40 + 30j, 0.3)
    for drawing in drawings(doc):
        if (attribute := doc.attribute(drawing.element, "transform")) is not None and attribute.span is None:
            continue
        edits = turn_element(doc, drawing.element, motion, UNIT)
        assert len(edits) == 1
        again = read_document(splice(doc, edits), path.name)
        point = drawing.chains[-1].start
        local = drawing.matrix.inverse()(point)
        assert abs(matrix_of(again, drawing.element, UNIT)(local) - motion(point)) < CLOSE


@needs_realfiles
@pytest.mark.parametrize("path", files(), ids=name_of)
def test_any_shape_redrawn_elsewhere(path: Path) -> None:
    doc = read_document(path.read_bytes(), path.name)
    motion = Motion.rotation(40 + 30j, 0.3)
    for drawing in drawings(doc):
        if not all(chain.segments for chain in drawing.chains):
            continue
        edits = redraw(doc, drawing, [[chain.moved(motion)] for chain in drawing.chains])
        again = read_drawing(read_document(splice(doc, edits), path.name), drawing.element, UNIT)
        for old, found in zip(drawing.chains, again.chains, strict=True):
            assert found.closed == old.closed
            assert found.length == pytest.approx(old.length, rel=1e-6, abs=1e-5)
            assert abs(found.segments[-1].end - motion(old.segments[-1].end)) < 2 * CLOSE or found.closed
