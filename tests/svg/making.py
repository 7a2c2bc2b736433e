"""Small documents for tests."""

from __future__ import annotations

from transform.geometry.chain import Chain
from transform.svg.document import Document, read_document
from transform.svg.redraw import redraw
from transform.svg.shapes import Drawing, read_drawing
from transform.svg.splice import splice

NAMESPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
    'xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd"'
)
MILLIMETRES = 'width="1000mm" height="1000mm" viewBox="0 0 1000 1000"'


def document(body: str, attributes: str = MILLIMETRES) -> Document:
    """A document of one user unit to the mm, if the root is not told otherwise."""
    return read_document(f"<svg {NAMESPACES} {attributes}>{body}</svg>".encode(), "test.svg")


def first(doc: Document, tag: str) -> int:
    """The first element of that tag."""
    return next(element for element in doc.elements if doc.tag(element) == tag)


def drawn(shape: str, attributes: str = MILLIMETRES) -> tuple[Document, Drawing]:
    """A document of one shape, and its drawing."""
    doc = document(shape, attributes)
    return doc, read_drawing(doc, 1, None)


def redrawn(doc: Document, drawing: Drawing, new: list[list[Chain]]) -> Document:
    """The document after `redraw`, read again."""
    return read_document(splice(doc, redraw(doc, drawing, new)), "again.svg")


def element_of(doc: Document, element: int = 1) -> str:
    """An element's own characters."""
    begin, end = doc.start_tag(element).start, doc.end_tag(element)[1]
    return doc.data[begin:end].decode(doc.encoding.codec)
