"""Small patterns for the tests: a front piece in mm, drawn as SVG in every style that is read."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rules.model import EdgePath, Rules
from transform.geometry.chain import Chain, chain_of
from transform.geometry.motion import Affine
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment
from transform.pattern.reading import Reading, read_pieces
from transform.svg.document import read_document

EDGES: tuple[tuple[str, tuple[Segment, ...]], ...] = (
    ("neckline", (Cubic(0 + 60j, 30 + 60j, 70 + 40j, 70 + 0j),)),
    ("shoulder", (Line(70 + 0j, 170 + 20j),)),
    (
        "armhole",
        (Cubic(170 + 20j, 150 + 60j, 150 + 120j, 170 + 140j), Quadratic(170 + 140j, 180 + 150j, 200 + 150j)),
    ),
    ("side seam", (Line(200 + 150j, 197 + 200j),)),
    ("bust dart", (Line(197 + 200j, 199 + 215j), Line(199 + 215j, 195.5 + 225j))),
    ("side seam", (Line(195.5 + 225j, 190 + 400j),)),
    ("hem", (Arc(190 + 400j, 0 + 400j, 2000, 2000, 0, large=False, sweep=True),)),
    ("centre front", (Line(0 + 400j, 0 + 60j),)),
)
"""The front's stitching line, piece on the side of ``1j * tangent``; the dart's mouth is capped."""

POINT = 110 + 205j
LEGS = (197 + 200j, 195.5 + 225j)
CORNERS = {
    "centre front neck": 0 + 60j,
    "neck point": 70 + 0j,
    "shoulder point": 170 + 20j,
    "underarm point": 200 + 150j,
    "upper leg": 197 + 200j,
    "lower leg": 195.5 + 225j,
    "side hem": 190 + 400j,
    "centre front hem": 0 + 400j,
}
RULED = {
    "front": (
        EdgePath("neckline", (("neck point", "centre front neck"),)),
        EdgePath("shoulder", (("neck point", "shoulder point"),)),
        EdgePath("armhole", (("shoulder point", "underarm point"),)),
        EdgePath("side seam", (("underarm point", "upper leg"), ("lower leg", "side hem"))),
        EdgePath("hem", (("side hem", "centre front hem"),)),
        EdgePath("centre front", (("centre front hem", "centre front neck"),)),
    )
}
LENGTHS = {
    name: sum(Chain(s).length for n, s in EDGES if n == name) for name, _ in EDGES if name != "bust dart"
}


def outline() -> Chain:
    """The whole stitching line."""
    return chain_of((segments for _, segments in EDGES), closed=True)


@dataclass(frozen=True)
class Frame:
    """How a drawing lies in its file: ``unit`` mm to a user unit, ``map`` done to every point (mm)."""

    unit: float = 1.0
    map: Affine = field(default_factory=Affine)
    origin: complex = 0j

    @property
    def head(self) -> str:
        """The start tag of the file: 600 mm by 600 mm."""
        x, y, side = self.origin.real, self.origin.imag, 600 / self.unit
        return (
            '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="600mm" '
            'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
            f'viewBox="{x!r} {y!r} {side!r} {side!r}">'
        )

    @property
    def group(self) -> str:
        """A group in which coordinates are mm before ``map``."""
        m = Affine(1 / self.unit, 0, 0, 1 / self.unit, self.origin.real, self.origin.imag) @ self.map
        numbers = " ".join(repr(n) for n in (m.a, m.b, m.c, m.d, m.e, m.f))
        return f'<g transform="matrix({numbers})">'


def polygon(*points: complex) -> Chain:
    """A closed chain of lines."""
    return Chain(
        tuple(Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)), closed=True
    )


def d_of(chain: Chain) -> str:
    """Path data with every digit."""

    def at(point: complex) -> str:
        return f"{point.real!r} {point.imag!r}"

    words = [f"M {at(chain.start)}"]
    for s in chain.segments:
        if isinstance(s, Line):
            words.append(f"L {at(s.end)}")
        elif isinstance(s, Quadratic):
            words.append(f"Q {at(s.control)} {at(s.end)}")
        elif isinstance(s, Cubic):
            words.append(f"C {at(s.control1)} {at(s.control2)} {at(s.end)}")
        else:
            turn = math.degrees(s.rotation)
            words.append(f"A {s.rx!r} {s.ry!r} {turn!r} {int(s.large)} {int(s.sweep)} {at(s.end)}")
    return " ".join(words) + (" Z" if chain.closed else "")


def layer(label: str, *shapes: str) -> str:
    """A labelled group."""
    return f'<g inkscape:label="{label}">\n' + "\n".join(shapes) + "\n</g>\n"


def path(chain: Chain, label: str | None = None, **attributes: str) -> str:
    """A path, labelled or not."""
    words = [f'inkscape:label="{label}"'] if label is not None else []
    words += [f'{name.replace("_", "-")}="{value}"' for name, value in attributes.items()]
    return f'<path {" ".join(words)} d="{d_of(chain)}"/>'


def labelled_line(
    edges: Sequence[tuple[str, tuple[Segment, ...]]] = EDGES, label: str = "stitching line"
) -> str:
    """The outline as open shapes, one for each edge."""
    return layer(label, *(path(Chain(segments), name) for name, segments in edges))


def corner_marks(corners: Mapping[str, complex] = CORNERS) -> str:
    """A small circle at every corner."""
    marks = (
        f'<circle inkscape:label="{name}" cx="{p.real!r}" cy="{p.imag!r}" r="1"/>'
        for name, p in corners.items()
    )
    return layer("corner marks", *marks)


def dart_layer(point: complex = POINT, legs: tuple[complex, complex] = LEGS) -> str:
    """The bust dart as one shape."""
    return layer("darts", path(Chain((Line(legs[0], point), Line(point, legs[1]))), "bust dart"))


def dart_marks(point: complex = POINT, legs: tuple[complex, complex] = LEGS) -> list[str]:
    """The bust dart as marks: a cross and a circle at the leg ends, a square at the point."""
    first, second = legs
    return [
        f'<path inkscape:label="bust dart" d="M{first.real - 1!r} {first.imag!r}h2m-1 -1v2"/>',
        f'<rect inkscape:label="bust dart" x="{point.real - 1!r}" y="{point.imag - 1!r}" '
        'width="2" height="2"/>',
        f'<circle inkscape:label="bust dart" cx="{second.real!r}" cy="{second.imag!r}" r="1"/>',
    ]


MARKS = (
    layer("apex mark", '<circle cx="95" cy="205" r="2"/>')
    + layer(
        "notches", path(Chain((Line(120 + 10j, 121 + 5j),))), '<line x1="199" y1="170" x2="205" y2="170"/>'
    )
    + layer("grainline", path(Chain((Line(40 + 120j, 40 + 350j),))))
    + layer("fold line", path(Chain((Line(0 + 70j, 0 + 390j),))))
    + path(Chain((Line(20 + 100j, 150 + 300j),)), "style line")
    + '<rect inkscape:label="pocket" x="60" y="300" width="50" height="40"/>'
    + '<text x="30" y="200">front</text>'
    + '<image x="80" y="250" width="10" height="10"/>'
)


def front(*content: str, size: str = "size 12", frame: Frame | None = None, head: str = "") -> str:
    """A file with one piece in one size."""
    frame = frame or Frame()
    return f"{frame.head}\n{head}{frame.group}\n{layer(size, layer('front', *content))}</g>\n</svg>\n"


def read(text: str, rules: Rules | None = None, **names: str) -> Reading:
    """The reading of a file's text."""
    return read_pieces(read_document(text.encode(), "front.svg"), rules or Rules("r.gape.yaml"), **names)


def turned(angle: float, shift: complex = 0j, *, mirrored: bool = False) -> Affine:
    """A rigid motion as a matrix."""
    turn = cmath.exp(1j * angle)
    side = -1.0 if mirrored else 1.0
    return Affine(turn.real, turn.imag, -turn.imag * side, turn.real * side, shift.real, shift.imag)
