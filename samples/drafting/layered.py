"""House style of layers within layers: [size] > piece > role, each group and each edge bearing its name.

One file holds one size. Units are millimetres, positions absolute, and every piece is put in its place by a
transform of its group.
"""

from .curves import Chain
from .layers import Layer, Ring, Shape, Stroke, Words
from .sheet import MARGIN, SQUARE, Drawn, Sheet
from .svg import DASHES, FINE, WEIGHTS, Units, document, element, subpaths

_UNITS = Units(1, 3)
_FINE_DASHES = {"stitching line": "3 1.5", "inner lines": "12 2 2 2", "fold line": "10 2 3 2"}


def write(sheet: Sheet) -> str:
    """The sheet as SVG."""
    width, height = _UNITS.number(sheet.width), _UNITS.number(sheet.height)
    first = sheet.drawn[0]
    return document(
        {
            "width": f"{width}mm",
            "height": f"{height}mm",
            "viewBox": f"0 0 {width} {height}",
            "version": "1.1",
            "id": "svg1",
            "xmlns": "http://www.w3.org/2000/svg",
            "xmlns:svg": "http://www.w3.org/2000/svg",
            "xmlns:inkscape": "http://www.inkscape.org/namespaces/inkscape",
        },
        [
            element("title", {"id": "title1"}, f"{sheet.title}, size {first.size}"),
            _group("sheet", [_square(), *(_shape(words, "") for words in sheet.head())]),
            _group(f"size {first.size}", [_piece(drawn) for drawn in sheet.drawn]),
        ],
    )


def _group(label: str, content: list[str], transform: str = "") -> str:
    layer = {"inkscape:groupmode": "layer", "inkscape:label": label}
    return element("g", layer | ({"transform": transform} if transform else {}), content)


def _square() -> str:
    side = _UNITS.number(SQUARE)
    style = f"fill:none;stroke:#000000;stroke-width:{FINE}"
    corner = _UNITS.number(MARGIN)
    place = {"x": corner, "y": corner, "width": side, "height": side}
    return element("rect", {"inkscape:label": "test square"} | place | {"style": style})


def _piece(drawn: Drawn) -> str:
    roles = [
        _group(layer.role, [_shape(shape, _style(layer, drawn.rank)) for shape in layer.shapes])
        for layer in drawn.layers
    ]
    return _group(drawn.piece, roles, f"translate({_UNITS.point(drawn.at)})")


def _style(layer: Layer, rank: int) -> str:
    if layer.role == "cut line":
        weight, dash = WEIGHTS[rank], DASHES[rank]
    else:
        weight, dash = FINE, _FINE_DASHES.get(layer.role, "")
    dashed = f";stroke-dasharray:{dash.replace(' ', ',')}" if dash else ""
    return f"fill:none;stroke:#000000;stroke-width:{weight}{dashed}"


def _shape(shape: Shape, style: str) -> str:
    label = {"inkscape:label": shape.label} if shape.label else {}
    match shape:
        case Words(text, at, _, size):
            place = {"x": _UNITS.number(at.real), "y": _UNITS.number(at.imag)}
            return element(
                "text", label | place | {"style": f"font-size:{size}px;font-family:sans-serif"}, text
            )
        case Ring(centre, radius):
            place = {"cx": _UNITS.number(centre.real), "cy": _UNITS.number(centre.imag)}
            return element("circle", label | place | {"r": _UNITS.number(radius), "style": style})
        case Stroke(chain, _, closed):
            return element("path", label | {"style": style, "d": _path(chain, closed)})


def _path(chain: Chain, closed: bool) -> str:
    words: list[str] = []
    for part in subpaths(chain):
        words += ["M", _UNITS.point(part[0].a)]
        for curve in part:
            if curve.straight:
                words += ["L", _UNITS.point(curve.d)]
            else:
                words += ["C", *(_UNITS.point(p) for p in (curve.b, curve.c, curve.d))]
    return " ".join([*words, "Z"] if closed else words)
