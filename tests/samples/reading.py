"""Reads the samples' drawings with lxml and svgpathtools alone, each house style in its own way."""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path as File

import yaml
from lxml import etree
from svgpathtools import CubicBezier, Line, Path, parse_path

SAMPLES = File(__file__).parents[2] / "samples"
INKSCAPE = "{http://www.inkscape.org/namespaces/inkscape}label"
ROLES = {
    "cut line", "stitching line", "corner marks", "darts", "apex mark", "notches", "fold line", "grainline",
    "inner lines", "lettering",
}  # fmt: skip
FLAT_ROLES = {"grain line": "grainline", "notch marks": "notches", "dart lines": "darts"}


@dataclass
class Drawing:
    """One piece in one size, in mm on its sheet."""

    edges: dict[str, list[Path]] = field(default_factory=dict)
    cut: Path = field(default_factory=Path)
    outline: Path = field(default_factory=Path)
    corners: dict[str, complex] = field(default_factory=dict)
    darts: dict[str, list[complex]] = field(default_factory=dict)
    shapes: dict[str, list[etree._Element]] = field(default_factory=lambda: defaultdict(list))
    paths: dict[str, list[Path]] = field(default_factory=lambda: defaultdict(list))

    def length(self, edge: str) -> float:
        return float(sum(path.length() for path in self.edges[edge]))


Drawings = dict[tuple[str, str], Drawing]


def value(element: etree._Element, name: str) -> str:
    """An attribute, empty where the element lacks it."""
    return element.get(name) or ""


def scale(root: etree._Element) -> float:
    """Millimetres to the user unit, from the root's real size."""
    width = value(root, "width")
    return float(width[:-2]) * {"mm": 1.0, "in": 25.4}[width[-2:]] / float(value(root, "viewBox").split()[2])


def path_of(element: etree._Element, factor: float, shift: complex) -> Path:
    tag = etree.QName(element).localname
    if tag == "path":
        path = parse_path(value(element, "d"))
    elif tag in ("polyline", "line"):
        if tag == "line":
            numbers = [float(value(element, name)) for name in ("x1", "y1", "x2", "y2")]
        else:
            numbers = [float(n) for n in re.split(r"[ ,]+", value(element, "points"))]
        points = [complex(*pair) for pair in zip(numbers[::2], numbers[1::2], strict=True)]
        path = Path(*(Line(p, q) for p, q in pairwise(points)))
    else:
        centre = complex(float(value(element, "cx")), float(value(element, "cy")))
        path = Path(Line(centre, centre))

    def moved(p: complex) -> complex:
        return p * factor + shift

    return Path(
        *(
            Line(moved(s.start), moved(s.end))
            if isinstance(s, Line)
            else CubicBezier(moved(s.start), moved(s.control1), moved(s.control2), moved(s.end))
            for s in path
            # Summed relative steps may leave a closing line of no length.
            if not isinstance(s, Line) or abs(s.end - s.start) > 1e-6 or tag == "circle"
        )
    )


def _fill(drawing: Drawing, role: str, shapes: list[tuple[str, etree._Element, Path | None]]) -> None:
    assert role in ROLES, role
    for label, element, path in shapes:
        drawing.shapes[role].append(element)
        if path is None:
            continue
        drawing.paths[role].append(path)
        if role == "cut line":
            drawing.cut = path
        elif role == "stitching line" and label:
            drawing.edges.setdefault(label, []).append(path)
        elif role == "stitching line":
            drawing.outline = path
        elif role == "corner marks":
            drawing.corners[label] = path.start
        elif role == "darts":
            drawing.darts[label] = [path.start, *(s.end for s in path)]


def read_layered(file: File) -> Drawings:
    root = etree.parse(file).getroot()
    drawings: Drawings = {}
    for size in root.findall("{*}g"):
        if not value(size, INKSCAPE).startswith("size "):
            continue
        for piece in size:
            x, y = map(float, re.findall(r"[-\d.]+", value(piece, "transform")))
            drawing = drawings[value(size, INKSCAPE)[5:], value(piece, INKSCAPE)] = Drawing()
            for layer in piece:
                shapes = [
                    (value(e, INKSCAPE), e, None if e.tag.endswith("text") else path_of(e, 1, complex(x, y)))
                    for e in layer
                ]
                _fill(drawing, value(layer, INKSCAPE), shapes)
            drawing.outline = Path(*(s for paths in drawing.edges.values() for path in paths for s in path))
    return drawings


def read_nested(file: File, rules: File) -> Drawings:
    root = etree.parse(file).getroot()
    factor = scale(root)
    drawings: Drawings = {}
    for size in root.findall("{*}g"):
        if not value(size, "data-name").startswith("size "):
            continue
        for piece in size:
            drawing = drawings[value(size, "data-name")[5:], value(piece, "data-name")] = Drawing()
            for layer in piece:
                shapes = [
                    (value(e, "data-name"), e, None if e.tag.endswith("text") else path_of(e, factor, 0j))
                    for e in layer
                ]
                _fill(drawing, value(layer, "data-name"), shapes)
    _name_edges(drawings, rules)
    return drawings


def read_flat(files: list[File], rules: File) -> Drawings:
    drawings: Drawings = defaultdict(Drawing)
    for file in files:
        root = etree.parse(file).getroot()
        ids = {value(e, "id") for e in root.iter("*")}
        for layer in root.findall("{*}g"):
            named = re.fullmatch(r"(.+) (\S+ \S+) size (\S+)", _decoded(layer, ids))
            if not named:
                continue
            piece, role, size = named.groups()
            shapes = [
                (_decoded(e, ids), e, None if e.tag.endswith("text") else path_of(e, scale(root), 0j))
                for e in layer
            ]
            _fill(drawings[size, piece], FLAT_ROLES.get(role, role), shapes)
    _name_edges(drawings, rules)
    return dict(drawings)


def _decoded(element: etree._Element, ids: set[str]) -> str:
    name = value(element, "id")
    counted = re.fullmatch(r"(.+?)_\d+_", name)
    if counted and counted[1] in ids:
        name = counted[1]
    return name.replace("_x20_", " ")


def _name_edges(drawings: Drawings, rules: File) -> None:
    """Cuts closed outlines at the corners that the rules name, which run the way of the outline."""
    named = yaml.safe_load(rules.read_text())["edges"]
    for (_, piece), drawing in drawings.items():
        for edge, corners in named.get(piece, {}).items():
            stretches = corners if isinstance(corners[0], list) else [corners]
            drawing.edges[edge] = [_stretch(drawing, *ends) for ends in stretches]


def _stretch(drawing: Drawing, first: str, last: str) -> Path:
    segments = list(drawing.outline)

    def joint(corner: str) -> int:
        return min(range(len(segments)), key=lambda i: abs(segments[i].start - drawing.corners[corner]))

    start, end = joint(first), joint(last)
    count = (end - start) % len(segments)
    return Path(*(segments[(start + i) % len(segments)] for i in range(count)))


def all_drawings() -> Iterator[tuple[str, Drawings]]:
    wrap: Drawings = {}
    for file in sorted((SAMPLES / "wrap-blouse").glob("*.svg")):
        wrap |= read_layered(file)
    yield "wrap-blouse", wrap
    yield "shell", read_nested(SAMPLES / "shell/shell.svg", SAMPLES / "shell/shell.gape.yaml")
    bodice = SAMPLES / "choir-bodice"
    yield "choir-bodice", read_flat(sorted(bodice.glob("*.svg")), bodice / "choir-bodice.gape.yaml")
