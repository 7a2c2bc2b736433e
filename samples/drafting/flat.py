"""House style of flat layers: no groups within groups, each bears a full name, `back stitching line size 12`.

Names stand in the ids, spaces written `_x20_`; a name used again gets a counter. One file holds one piece in
all sizes, side by side. The user unit is a point (1/72 inch), paths run in relative steps.
"""

from collections import Counter
from dataclasses import dataclass, field

from .curves import Chain
from .layers import Layer, Ring, Shape, Stroke, Words
from .sheet import MARGIN, SQUARE, Drawn, Sheet
from .svg import DASHES, FINE, WEIGHTS, Units, document, element, straight_points, subpaths

_POINT = Units(72 / 25.4, 3)
_MM = Units(1, 1)
# Layer names end in the role, in two words; what is printed lies in the layer of the grain line.
_NAMES = {"grainline": "grain line", "notches": "notch marks", "darts": "dart lines"}
_FINE_DASHES = {"stitching line": "3 1.5", "fold line": "10 2 3 2"}


@dataclass(slots=True)
class _Ids:
    """Names made into ids that occur once: the second of a name gets `_1_`, and so on."""

    used: Counter[str] = field(default_factory=Counter)

    def attribute(self, label: str) -> dict[str, str]:
        if not label:
            return {}
        name = label.replace(" ", "_x20_")
        count = self.used[name]
        self.used[name] += 1
        return {"id": f"{name}_{count}_" if count else name}


def write(sheet: Sheet) -> str:
    """The sheet as SVG."""
    ids = _Ids()
    attributes = {
        "version": "1.1",
        "xmlns": "http://www.w3.org/2000/svg",
        "width": f"{_MM.number(sheet.width)}mm",
        "height": f"{_MM.number(sheet.height)}mm",
        "viewBox": f"0 0 {_POINT.number(sheet.width)} {_POINT.number(sheet.height)}",
    }
    head = [_square(ids), *(_shape(words, 0j, {}, ids) for words in sheet.head())]
    layers = [_layer(layer, drawn, ids) for drawn in sheet.drawn for layer in _merged(drawn.layers)]
    return document(attributes, [element("g", ids.attribute("sheet"), head), *layers])


def _merged(layers: tuple[Layer, ...]) -> list[Layer]:
    printed = next(layer.shapes for layer in layers if layer.role == "lettering")
    return [
        Layer(layer.role, layer.shapes + printed if layer.role == "grainline" else layer.shapes)
        for layer in layers
        if layer.role != "lettering"
    ]


def _square(ids: _Ids) -> str:
    corner, side = _POINT.number(MARGIN), _POINT.number(SQUARE)
    place = {"x": corner, "y": corner, "width": side, "height": side}
    return element("rect", ids.attribute("test square") | place | _look("test square", 0))


def _layer(layer: Layer, drawn: Drawn, ids: _Ids) -> str:
    name = f"{drawn.piece} {_NAMES.get(layer.role, layer.role)} size {drawn.size}"
    look = _look(layer.role, drawn.rank)
    return element("g", ids.attribute(name), [_shape(shape, drawn.at, look, ids) for shape in layer.shapes])


def _look(role: str, rank: int) -> dict[str, str]:
    weight, dash = (WEIGHTS[rank], DASHES[rank]) if role == "cut line" else (FINE, _FINE_DASHES.get(role, ""))
    look = {"fill": "none", "stroke": "#000000", "stroke-width": _POINT.number(weight)}
    return look | ({"stroke-dasharray": _POINT.dash(dash)} if dash else {})


def _shape(shape: Shape, at: complex, look: dict[str, str], ids: _Ids) -> str:
    match shape:
        case Words(text, foot, label, size):
            place = {"transform": f"matrix(1 0 0 1 {_POINT.point(at + foot, ' ')})"}
            letters = {"font-family": "sans-serif", "font-size": _POINT.number(size)}
            return element("text", ids.attribute(label) | place | letters, text)
        case Ring(centre, radius, label):
            p = at + centre
            place = {"cx": _POINT.number(p.real), "cy": _POINT.number(p.imag), "r": _POINT.number(radius)}
            return element("circle", ids.attribute(label) | look | place)
        case Stroke(chain, label, closed):
            return _stroke(chain, closed, at, ids.attribute(label) | look)


def _stroke(chain: Chain, closed: bool, at: complex, attributes: dict[str, str]) -> str:
    points = None if closed else straight_points(chain)
    if points:
        return element("polyline", attributes | {"points": " ".join(_POINT.point(at + p) for p in points)})
    return element("path", attributes | {"d": _path(chain, closed, at)})


def _path(chain: Chain, closed: bool, at: complex) -> str:
    """Relative steps between positions that are each rounded by themselves, so that no error adds up."""

    def ticks(p: complex) -> tuple[int, int]:
        return _POINT.ticks((at + p).real), _POINT.ticks((at + p).imag)

    drawn = ""
    for part in subpaths(chain):
        here = ticks(part[0].a)
        drawn += "M" + _steps([here], (0, 0))
        for curve in part:
            points = [curve.d] if curve.straight else [curve.b, curve.c, curve.d]
            drawn += ("l" if curve.straight else "c") + _steps([ticks(p) for p in points], here)
            here = ticks(curve.d)
    return drawn + "z" if closed else drawn


def _steps(points: list[tuple[int, int]], origin: tuple[int, int]) -> str:
    """The coordinates as seen from the origin; a minus sign needs no comma before it."""
    numbers = [
        _POINT.plain(value - zero) for point in points for value, zero in zip(point, origin, strict=True)
    ]
    return ",".join(numbers).replace(",-", "-")
