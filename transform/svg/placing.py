"""Elements moved as they are, by their ``transform``: text, pictures, references, marks."""

from __future__ import annotations

from transform.geometry.motion import Affine, Motion
from transform.svg.bounds import bounds_of, user_length
from transform.svg.document import Document
from transform.svg.edits import set_attribute
from transform.svg.numbers import decimals_for
from transform.svg.splice import Edit
from transform.svg.transforms import write_transform
from transform.svg.viewport import matrix_of, origin_of, viewport_of


def turn_element(document: Document, element: int, motion: Motion, user_unit: float | None) -> list[Edit]:
    """Move an element by a rigid motion of the root viewport (mm), by its ``transform``.

    What its ``transform`` says already stays, behind what is added. What lies within 3 m of the root's
    origin is placed to 1e-7 mm.

    Raises:
        PatternError: where the element has no matrix to mm or no bytes of its own.
    """
    if motion.is_identity:
        return []
    parent = document.parent(element)
    if parent is None:
        raise ValueError("the outermost <svg> is never moved")
    matrix_of(document, element, user_unit)
    around = matrix_of(document, parent, user_unit)
    back = around.inverse()
    if motion.turn == 1 and not motion.mirrors:
        shift = back(motion.shift) - back(0j)
        added = Affine(e=shift.real, f=shift.imag)
    else:
        added = back @ motion.as_affine() @ around
        origin = origin_of(document, element, viewport_of(document, parent, user_unit).size)
        if origin:
            to, from_ = Affine(e=origin.real, f=origin.imag), Affine(e=-origin.real, f=-origin.imag)
            added = from_ @ added @ to
    text = write_transform(added, decimals_for(around) + 1)
    if text == "translate(0 0)":
        return []
    attribute = document.attribute(element, "transform")
    if attribute is None or attribute.span is None or attribute.value.strip() in ("", "none"):
        return set_attribute(document, element, "transform", text)
    return [Edit(attribute.span[0], attribute.span[0], text + " ")]


def anchor_of(document: Document, element: int, user_unit: float | None) -> complex:
    """The point (mm) that says on which part of a piece an element lies.

    Of text the anchor point of its first line; of anything drawn the middle of its bounding box; of a
    reference to what cannot be measured, its own point.

    Raises:
        PatternError: where it has no matrix to mm, or a coordinate cannot be read.
    """
    matrix = matrix_of(document, element, user_unit)
    if document.tag(element) not in ("text", "tspan"):
        box = bounds_of(document, element, user_unit)
        if box is not None:
            return box.centre
        if document.tag(element) == "use":
            names = ("x", "y")
            return matrix(complex(*(user_length(document, element, name, user_unit) for name in names)))
        inner = [each for each in document.descendants(element) if document.tag(each) == "text"]
        if inner:
            return anchor_of(document, inner[0], user_unit)
        return matrix(0j)
    point = complex(*(_first(document, element, name, user_unit) for name in ("x", "y")))
    return matrix(point)


def _first(document: Document, element: int, name: str, user_unit: float | None) -> float:
    """The first ``x`` or ``y`` of a text, its own or that of the first part that has one."""
    for each in (element, *document.descendants(element)):
        if document.tag(each) in ("text", "tspan") and (document.get(each, name) or "").strip():
            return user_length(document, each, name, user_unit)
    return 0.0
