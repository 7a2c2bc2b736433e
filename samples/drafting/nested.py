"""House style of nested sizes: all sizes in one file, `size N` > piece > role, names in `data-name`.

The user unit is 1/96 inch, the sheet's size stands in inches, dash and weight of a size come from a style
sheet.
"""

from .curves import Chain
from .layers import Layer, Ring, Shape, Stroke, Words
from .sheet import MARGIN, SQUARE, Drawn, Sheet
from .svg import DASHES, FINE, WEIGHTS, Units, document, element, straight_points, subpaths

_UNITS = Units(96 / 25.4, 3)
_INCH = 25.4


def write(sheet: Sheet) -> str:
    """The sheet as SVG."""
    sizes: dict[str, list[Drawn]] = {}
    for drawn in sheet.drawn:
        sizes.setdefault(drawn.size, []).append(drawn)
    attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "width": f"{Units(1 / _INCH, 4).number(sheet.width)}in",
        "height": f"{Units(1 / _INCH, 4).number(sheet.height)}in",
        "viewBox": f"0 0 {_UNITS.number(sheet.width)} {_UNITS.number(sheet.height)}",
    }
    head = [_square(), *(_shape(words, 0j, {}) for words in sheet.head())]
    content = [
        element("title", {}, sheet.title),
        element("style", {}, _rules()),
        element("g", {"data-name": "sheet"}, head),
        *(
            element(
                "g", {"data-name": f"size {size}", "class": f"s{pieces[0].rank}"}, [_piece(p) for p in pieces]
            )
            for size, pieces in sizes.items()
        ),
    ]
    return document(attributes, content)


def _rules() -> str:
    """Lines are fine; the stitching line alone tells the sizes apart."""
    rules = [
        "path, line, polyline, circle, rect "
        f"{{ fill: none; stroke: #000; stroke-width: {_UNITS.number(FINE)} }}",
        "text { font-family: sans-serif }",
    ]
    for rank, (dash, weight) in enumerate(zip(DASHES, WEIGHTS, strict=True)):
        dashed = f"; stroke-dasharray: {_UNITS.dash(dash)}" if dash else ""
        rules.append(f".s{rank} .sewn {{ stroke-width: {_UNITS.number(weight)}{dashed} }}")
    return "\n" + "\n".join(f"    {rule}" for rule in rules) + "\n  "


def _square() -> str:
    corner, side = _UNITS.number(MARGIN), _UNITS.number(SQUARE)
    return element(
        "rect", {"data-name": "test square", "x": corner, "y": corner, "width": side, "height": side}
    )


def _piece(drawn: Drawn) -> str:
    return element("g", {"data-name": drawn.piece}, [_layer(layer, drawn.at) for layer in drawn.layers])


def _layer(layer: Layer, at: complex) -> str:
    look = {"class": "sewn"} if layer.role == "stitching line" else {}
    return element("g", {"data-name": layer.role}, [_shape(shape, at, look) for shape in layer.shapes])


def _shape(shape: Shape, at: complex, look: dict[str, str]) -> str:
    label = {"data-name": shape.label} if shape.label else {}
    match shape:
        case Words(text, foot, _, size):
            p = at + foot
            place = {"x": _UNITS.number(p.real), "y": _UNITS.number(p.imag), "font-size": _UNITS.number(size)}
            return element("text", label | place, text)
        case Ring(centre, radius):
            p = at + centre
            place = {"cx": _UNITS.number(p.real), "cy": _UNITS.number(p.imag), "r": _UNITS.number(radius)}
            return element("circle", label | place)
        case Stroke(chain, _, closed):
            return _stroke(chain, closed, at, label | look)


def _stroke(chain: Chain, closed: bool, at: complex, attributes: dict[str, str]) -> str:
    """A line or polyline where there are but straight lines, else a path."""
    points = None if closed else straight_points(chain)
    if points and len(points) == 2:
        a, b = (at + p for p in points)
        ends = {"x1": a.real, "y1": a.imag, "x2": b.real, "y2": b.imag}
        return element("line", attributes | {name: _UNITS.number(value) for name, value in ends.items()})
    if points:
        return element("polyline", attributes | {"points": " ".join(_UNITS.point(at + p) for p in points)})
    return element("path", attributes | {"d": _path(chain, closed, at)})


def _path(chain: Chain, closed: bool, at: complex) -> str:
    drawn = ""
    for part in subpaths(chain):
        drawn += f"M{_UNITS.point(at + part[0].a, ' ')}"
        for curve in part:
            if curve.straight:
                drawn += f"L{_UNITS.point(at + curve.d, ' ')}"
            else:
                drawn += "C" + " ".join(_UNITS.point(at + p, " ") for p in (curve.b, curve.c, curve.d))
    return drawn + "Z" if closed else drawn
