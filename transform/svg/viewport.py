"""From an element's own coordinates to mm in the root viewport.

Everything on the way counts: real size and ``viewBox`` of the root, nested ``<svg>``, ``transform`` with
``transform-origin`` (SVG 2, chapter 8).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from transform.geometry.motion import Affine
from transform.svg.css import refuse_css
from transform.svg.document import Document
from transform.svg.lengths import MM_PER_PX, Size, read_length, real_length
from transform.svg.problems import PatternError, problem_at
from transform.svg.transforms import read_transform

_ALIGN = re.compile(r"(?:defer\s+)?(?:(none)|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(meet|slice))?")
_SHARE = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
_SPLIT = re.compile(r"[ \t\r\n\f]*,[ \t\r\n\f]*|[ \t\r\n\f]+")
_WORDS = {"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}


@dataclass(frozen=True, slots=True)
class Viewport:
    """What an ``<svg>`` opens: the matrix of its content to mm, and its size in the content's units."""

    content: Affine
    size: Size


def matrix_of(document: Document, element: int, user_unit: float | None) -> Affine:
    """The matrix from an element's own coordinates (of an ``<svg>``: its content's) to mm.

    ``user_unit`` is the length in mm of one user unit, used only where the file has no real size.

    Raises:
        PatternError: where the file has no real size, something on the way cannot be read, or the
            matrix flattens what it maps.
    """
    chain: list[int] = []
    above: int | None = element
    while above is not None and ("place", above, user_unit) not in document.memo:
        chain.append(above)
        above = document.parent(above)
    for each in reversed(chain):
        document.memo["place", each, user_unit] = _place(document, each, user_unit)
    place: Viewport = document.memo["place", element, user_unit]
    return place.content


def viewport_of(document: Document, element: int, user_unit: float | None) -> Viewport:
    """The viewport in which an element stands; of an ``<svg>``, the one that it opens itself."""
    matrix_of(document, element, user_unit)
    place: Viewport = document.memo["place", element, user_unit]
    return place


def frame_of(document: Document, element: int, user_unit: float | None) -> tuple[complex, ...] | None:
    """The corners, in mm, of what an ``<svg>`` shows: its ``viewBox``, or all its width and height.

    None where nothing says how large it is.

    Raises:
        PatternError: where its matrix or its ``viewBox`` cannot be read.
    """
    place = viewport_of(document, element, user_unit)
    box = _view_box(document, element)
    if box is None:
        if place.size.width is None or place.size.height is None:
            return None
        box = (0.0, 0.0, place.size.width, place.size.height)
    return tuple(place.content(corner) for corner in rectangle(*box))


def rectangle(x: float, y: float, width: float, height: float) -> tuple[complex, ...]:
    """The four corners of an upright rectangle."""
    return complex(x, y), complex(x + width, y), complex(x + width, y + height), complex(x, y + height)


def own_transform(document: Document, element: int, size: Size) -> Affine:
    """The matrix of an element's ``transform`` and ``transform-origin``; ``size`` is that of its viewport.

    Raises:
        PatternError: where they cannot be read.
    """
    text = document.get(element, "transform")
    if text is None:
        return Affine()
    try:
        matrix = read_transform(text)
    except ValueError as error:
        raise problem_at(document, element, "transform", f"transform: {error}") from error
    origin = origin_of(document, element, size)
    if origin:
        to, back = Affine(e=origin.real, f=origin.imag), Affine(e=-origin.real, f=-origin.imag)
        matrix = to @ matrix @ back
    return matrix


def origin_of(document: Document, element: int, size: Size) -> complex:
    """The point of ``transform-origin``; nought where there is none.

    As in CSS Transforms 1, “The transform-origin property”; per cents refer to the nearest viewport.

    Raises:
        PatternError: where it cannot be read.
    """
    text = document.get(element, "transform-origin")
    if text is None:
        return 0j
    words = text.split()
    if len(words) > 1 and (words[0] in ("top", "bottom") or words[1] in ("left", "right")):
        words[:2] = words[1], words[0]
    elif len(words) == 1:
        words = ["center", words[0]] if words[0] in ("top", "bottom") else [words[0], "center"]
    try:
        x, y = (
            read_length(_WORDS.get(word, word), axis, size)
            for word, axis in zip(words[:2], "xy", strict=True)
        )
    except ValueError as error:
        raise problem_at(document, element, "transform", f"transform-origin: {error}") from error
    return complex(x, y)


def length_at(document: Document, element: int, name: str, text: str, axis: str, size: Size) -> float:
    """The length that the attribute ``name`` gives as ``text``, in user units.

    Raises:
        PatternError: where it cannot be read.
    """
    try:
        return read_length(text, axis, size)
    except ValueError as error:
        raise problem_at(document, element, "length", f"{name}: {error}") from error


def opened_by(document: Document, template: int, width: float | None, height: float | None) -> Affine | None:
    """The matrix from the content of a ``symbol`` or ``svg`` to the place of the ``use`` that draws it.

    ``width`` and ``height``, in its units, are those given to the template; None where nothing says them.
    The result is None where its ``viewBox`` then has no room to be laid in.

    Raises:
        PatternError: where its ``viewBox`` or its transform cannot be read.
    """
    size = Size(width, height)
    matrix = own_transform(document, template, size)
    x, y = (
        length_at(document, template, name, document.get(template, name) or "0", name, size) for name in "xy"
    )
    matrix = matrix @ Affine(e=x, f=y)
    box = _view_box(document, template)
    if box is None:
        return matrix
    if not width or not height:
        return None
    return matrix @ _fit(document, template, box, width, height)


def _place(document: Document, element: int, user_unit: float | None) -> Viewport:
    refuse_css(document, element)
    parent = document.parent(element)
    if parent is None:
        place = _root(document, user_unit)
    else:
        around: Viewport = document.memo["place", parent, user_unit]
        if document.tag(element) == "svg" and document.tag(parent).startswith("{"):
            text = "the <svg> stands inside elements that are not SVG, where CSS says where it lies"
            raise problem_at(document, element, "foreign element", text)
        matrix = around.content @ own_transform(document, element, around.size)
        place = Viewport(matrix, around.size)
        if document.tag(element) == "svg":
            place = _nested(document, element, place)
    m = place.content
    largest = max(abs(m.a), abs(m.b), abs(m.c), abs(m.d))
    if not largest * largest < 1e300 or abs(m.determinant) <= 1e-12 * largest * largest:
        raise problem_at(
            document, element, "transform", "is flattened to nothing by the transforms on the way"
        )
    return place


def _root(document: Document, user_unit: float | None) -> Viewport:
    box = _view_box(document, 0)
    if own_transform(document, 0, Size(None, None)) != Affine():
        text = "a transform on the outermost <svg> is read in different ways by programs: move it to a <g>"
        raise problem_at(document, 0, "transform", text)
    width, height = (real_length(document.get(0, name)) for name in ("width", "height"))
    if box is not None:
        missing = {name: document.get(0, name) in (None, "auto") for name in ("width", "height")}
        if width is not None and height is None and missing["height"]:
            height = width * box[3] / box[2]
        elif height is not None and width is None and missing["width"]:
            width = height * box[2] / box[3]
    if box is None and (width is not None or height is not None):
        across, down = (size / MM_PER_PX if size is not None else None for size in (width, height))
        return Viewport(Affine(a=MM_PER_PX, d=MM_PER_PX), Size(across, down))
    if box is not None and width is not None and height is not None:
        return Viewport(_fit(document, 0, box, width, height), Size(box[2], box[3]))
    if user_unit is None:
        raise _no_size(document)
    if box is None:
        return Viewport(Affine(a=user_unit, d=user_unit), Size(None, None))
    inside = Affine(e=-box[0], f=-box[1])
    return Viewport(Affine(a=user_unit, d=user_unit) @ inside, Size(box[2], box[3]))


def _no_size(document: Document) -> PatternError:
    found = ", ".join(f"{name} {document.get(0, name) or 'missing'}" for name in ("width", "height"))
    text = (
        f"the drawing has no real size ({found}): give width and height with a unit in the file, "
        "or the length of one user unit in the rules, such as `user unit: 1 mm`"
    )
    return problem_at(document, 0, "no real size", text)


def _nested(document: Document, element: int, around: Viewport) -> Viewport:
    names = (("x", "x", "0"), ("y", "y", "0"), ("width", "x", "100%"), ("height", "y", "100%"))
    values: list[float | None] = []
    for name, axis, default in names:
        text = document.get(element, name)
        text = default if text is None or text == "auto" else text
        if text == "100%" and around.size.of(axis) is None:
            values.append(None)
            continue
        values.append(length_at(document, element, name, text, axis, around.size))
    x, y, width, height = values
    box = _view_box(document, element)
    if box is None:
        return Viewport(around.content @ Affine(e=x or 0.0, f=y or 0.0), Size(width, height))
    if width is None or height is None:
        raise _no_size(document)
    if width <= 0 or height <= 0:
        raise problem_at(
            document, element, "length", f"width and height are {width:g} and {height:g}: no room"
        )
    shift = Affine(e=x or 0.0, f=y or 0.0)
    return Viewport(
        around.content @ shift @ _fit(document, element, box, width, height), Size(box[2], box[3])
    )


def _view_box(document: Document, element: int) -> tuple[float, float, float, float] | None:
    text = document.get(element, "viewBox")
    if text is None:
        return None
    try:
        numbers = [read_length(word, "x", Size(None, None)) for word in _SPLIT.split(text.strip())]
    except ValueError as error:
        raise problem_at(document, element, "viewBox", f"viewBox: {error}") from error
    if len(numbers) != 4 or numbers[2] <= 0 or numbers[3] <= 0:
        text = f"viewBox {text!r}: four numbers are allowed, the last two above nought"
        raise problem_at(document, element, "viewBox", text)
    return numbers[0], numbers[1], numbers[2], numbers[3]


def _fit(
    document: Document,
    element: int,
    box: tuple[float, float, float, float],
    width: float,
    height: float,
) -> Affine:
    """The viewBox laid into the viewport (SVG 2, 8.2: the equivalent transform of an SVG viewport)."""
    text = (document.get(element, "preserveAspectRatio") or "xMidYMid").strip()
    align = _ALIGN.fullmatch(text)
    if align is None:
        allowed = "none, or xMin, xMid, xMax with YMin, YMid, YMax, and meet or slice"
        text = f"preserveAspectRatio {text!r}: allowed is {allowed}"
        raise problem_at(document, element, "viewBox", text)
    across, down = width / box[2], height / box[3]
    if align[1]:
        return Affine(a=across, d=down, e=-box[0] * across, f=-box[1] * down)
    scale = max(across, down) if align[4] == "slice" else min(across, down)
    x = -box[0] * scale + (width - box[2] * scale) * _SHARE[align[2]]
    y = -box[1] * scale + (height - box[3] * scale) * _SHARE[align[3]]
    return Affine(a=scale, d=scale, e=x, f=y)
