"""Pieces built by hand, drawn as SVG files in the house styles that the format allows."""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import quoteattr

from transform.geometry.chain import Chain
from transform.geometry.motion import Affine
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment
from transform.pattern.model import Piece
from transform.pattern.outline import Outline

PLAIN = Affine()
HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" '
    'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
    'width="{width}mm" height="{height}mm" viewBox="{x} {y} {w} {h}">\n'
)


def command(segment: Segment, affine: Affine) -> str:
    """One absolute path command."""
    points = (
        [affine(p) for p in segment.controls()[1:]] if not isinstance(segment, Arc) else [affine(segment.end)]
    )
    text = " ".join(f"{p.real:.9g},{p.imag:.9g}" for p in points)
    if isinstance(segment, Line):
        return f"L {text}"
    if isinstance(segment, Quadratic):
        return f"Q {text}"
    if isinstance(segment, Cubic):
        return f"C {text}"
    large, sweep = int(segment.large), int(segment.sweep != affine.mirrors)
    return f"A {segment.rx * affine.scale:.9g} {segment.ry * affine.scale:.9g} 0 {large} {sweep} {text}"


def path(chain: Chain, affine: Affine, attributes: str = "") -> str:
    """A path element."""
    start = affine(chain.start)
    d = " ".join([f"M {start.real:.9g},{start.imag:.9g}", *(command(s, affine) for s in chain.segments)])
    return f'<path {attributes} d="{d}{" Z" if chain.closed else ""}"/>'


def group(label: str, *inner: str) -> str:
    """A labelled group."""
    return f"<g inkscape:label={quoteattr(label)}>\n" + "\n".join(inner) + "\n</g>"


def cross(point: complex, affine: Affine, label: str = "") -> str:
    """A small mark, its middle at ``point``."""
    p, r = affine(point), 1.5 * affine.scale
    name = f"inkscape:label={quoteattr(label)} " if label else ""
    x, y = f"{p.real - r:.9g}", f"{p.imag - r:.9g}"
    return f'<rect {name}x="{x}" y="{y}" width="{2 * r:.9g}" height="{2 * r:.9g}"/>'


def labelled_line(role: str, outline: Outline, affine: Affine) -> str:
    """An outline as one open shape per stretch, labelled with its edge or its dart."""
    rows = [
        path(s.chain, affine, f"inkscape:label={quoteattr(s.edge or s.dart or '')}")
        for s in outline.stretches
    ]
    return group(role, *rows)


def marks(piece: Piece, affine: Affine) -> list[str]:
    """Apex marks, grainline, fold line and darts of a piece."""
    found = [group("apex mark", *(cross(p, affine, label) for label, p in piece.apexes.items()))]
    if piece.grain is not None:
        found.append(group("grainline", path(Chain((Line(*piece.grain),)), affine)))
    if piece.fold is not None:
        found.append(group("fold line", path(piece.fold, affine)))
    layered = [d for d in piece.darts if not d.drawn_in]
    if layered:
        rows = [
            path(
                Chain((Line(d.legs[0], d.point), Line(d.point, d.legs[1]))),
                affine,
                f"inkscape:label={quoteattr(d.name)}",
            )
            for d in layered
        ]
        found.append(group("darts", *rows))
    return found


def corner_marks(outline: Outline, affine: Affine) -> str:
    """A mark for every named corner."""
    chain = outline.chain
    return group(
        "corner marks", *(cross(chain.point(p), affine, name) for name, p in outline.corners.items())
    )


def labelled_piece(piece: Piece, affine: Affine = PLAIN) -> str:
    """A piece in groups, its outline in labelled shapes."""
    rows = [labelled_line("stitching line", piece.stitching, affine)]
    if piece.cut is not None:
        rows.append(group("cut line", path(piece.cut.chain, affine)))
    return group(piece.name, *rows, *marks(piece, affine))


def cornered_piece(piece: Piece, affine: Affine = PLAIN) -> str:
    """A piece in groups, its outline one closed shape with corner marks."""
    rows = [group("stitching line", path(piece.stitching.chain, affine))]
    if piece.cut is not None:
        rows.append(group("cut line", path(piece.cut.chain, affine)))
    return group(piece.name, *rows, corner_marks(piece.stitching, affine), *marks(piece, affine))


def page(
    *rows: str, box: tuple[float, float, float, float] = (-150, -50, 600, 800), unit: float = 1.0
) -> str:
    """A document that shows ``box`` (mm) at ``unit`` user units to the mm."""
    x, y, w, h = (v * unit for v in box)
    head = HEAD.format(width=box[2], height=box[3], x=f"{x:.9g}", y=f"{y:.9g}", w=f"{w:.9g}", h=f"{h:.9g}")
    return head + "\n".join(rows) + "\n</svg>\n"


def sizes(rows: Sequence[tuple[str, str]]) -> str:
    """Size groups one after the other."""
    return "\n".join(group(f"size {name}", row) for name, row in rows)
