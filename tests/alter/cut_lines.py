"""Cut lines built by hand round a stitching line, and pictures of a result to look at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from transform.geometry.chain import Chain
from transform.geometry.joining import join
from transform.geometry.meeting import line_meets
from transform.geometry.motion import Motion
from transform.geometry.offset import offset_chain
from transform.geometry.segments import Arc, Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline, Stretch

WIDTHS = {
    "neckline": 6.0,
    "shoulder": 15.0,
    "armhole": 10.0,
    "side seam": 15.0,
    "hem": 30.0,
    "centre front": 0.0,
}
Corners = Mapping[tuple[str, str], str]
"""The kind of corner between two edges, where it is not extended: square (to the first), square to the
second, mirrored (the first across the second), mirrored back, round, step."""


def cut_outline(
    stitching: Outline,
    widths: Mapping[str, float | tuple[float, float]] = WIDTHS,
    corners: Corners | None = None,
    *,
    labelled: bool = False,
) -> Outline:
    """The cut line of an outline: one shape (source 31), or one labelled shape an edge.

    Across the mouth of a dart it runs straight, in a stretch of the dart's name.
    """
    rows = stitching.stretches
    lines = [Chain(()) if s.dart else offset_chain(s.chain, widths[s.edge or ""]) for s in rows]
    count = len(rows)
    for k, row in enumerate(rows):
        before = rows[k - 1]
        if row.dart:
            lines[k] = Chain((Line(lines[k - 1].end, lines[(k + 1) % count].start),))
        elif not before.dart:
            kind = (corners or {}).get((before.edge or "", row.edge or ""), "extended")
            lines[k - 1], lines[k] = _met(kind, before.chain, row.chain, lines[k - 1], lines[k])
    if labelled:
        named = enumerate(zip(rows, lines, strict=True))
        return Outline(tuple(Stretch(c, s.edge, s.dart, source=40 + k) for k, (s, c) in named))
    return Outline((Stretch(Chain(tuple(x for c in lines for x in c.segments)), source=31),))


def _met(kind: str, first: Chain, second: Chain, one: Chain, other: Chain) -> tuple[Chain, Chain]:
    if kind in ("square to second", "mirrored back"):
        turned = {"square to second": "square", "mirrored back": "mirrored"}[kind]
        a, b = _met(turned, second.reversed(), first.reversed(), other.reversed(), one.reversed())
        return b.reversed(), a.reversed()
    point = first.end
    arriving, leaving = first.tangent(first.length, before=True), second.tangent(0.0)
    if kind == "extended":
        pair = join(one, other, 400.0)
        assert pair is not None
        return pair
    if kind == "step":
        return one, Chain((Line(one.end, other.start), *other.segments))
    if kind == "round":
        radius = abs(one.end - point)
        return one, Chain(
            (Arc(one.end, other.start, radius, radius, 0, large=False, sweep=True), *other.segments)
        )
    if kind == "square":
        crossing = _on(other.reversed(), point, arriving).reversed()
        return _squared(one, crossing, arriving)
    assert kind == "mirrored"
    ended = _on(one, point, leaving)
    image = ended.reversed().moved(Motion.reflection(point, leaving))
    pair = join(image, other, 400.0)
    assert pair is not None
    return ended.joined(pair[0]), pair[1]


def _on(chain: Chain, origin: complex, along: complex) -> Chain:
    """The chain ended on a line, trimmed or extended."""
    end = chain.end
    tangent = chain.tangent(chain.length, before=True)
    longer = chain.joined(Chain((Line(end, end + tangent * 400),)))
    place = min((p for _, p in line_meets(longer, origin, along)), key=lambda p: abs(p - chain.length))
    if place > chain.length and isinstance(chain.segments[-1], Line):
        return Chain((*chain.segments[:-1], Line(chain.segments[-1].start, longer.point(place))))
    return longer.cut(0.0, place)


def _squared(one: Chain, other: Chain, arriving: complex) -> tuple[Chain, Chain]:
    ended = _on(one, other.start, 1j * arriving)
    return ended, Chain((Line(ended.end, other.start), *other.segments))


def with_cut(piece: Piece, cut: Outline) -> Piece:
    """The piece with a cut line."""
    return replace(piece, cut=cut)


def _path(chain: Chain) -> str:
    return "M" + " L".join(f"{p.real:.3f},{p.imag:.3f}" for p in chain.samples(0.5))


def picture(*lines: tuple[Chain, str]) -> str:
    """An SVG of chains, each with a colour; every joint is dotted."""
    points = [p for chain, _ in lines for p in chain.samples(5.0)]
    x, y = min(p.real for p in points) - 10, min(p.imag for p in points) - 10
    w, h = max(p.real for p in points) - x + 10, max(p.imag for p in points) - y + 10
    rows = [
        f'<path d="{_path(chain)}" fill="none" stroke="{colour}" stroke-width="0.4"/>'
        for chain, colour in lines
    ]
    rows += [
        f'<circle cx="{s.start.real}" cy="{s.start.imag}" r="0.9" fill="{colour}"/>'
        for chain, colour in lines
        for s in chain.segments
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x} {y} {w} {h}" width="{w * 3:.0f}">'
        f'<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="white"/>{"".join(rows)}</svg>'
    )
