"""Facings, linings, panels and bands that share an edge with the fronts of `tests.builders`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rules.lengths import Fixed
from rules.model import EdgePivot, Linked, Removal, Rules, Strip
from tests.builders import front, removal, stretch
from transform.alter.design import alter_size
from transform.alter.facts import SizeResult
from transform.geometry.chain import Chain
from transform.geometry.offset import offset_chain
from transform.geometry.segments import Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline, Stretch


def piece_of(name: str, *stretches: Stretch) -> Piece:
    """A piece of size 12 within an outline that runs the way outlines are held."""
    return Piece(name, "12", f"{name}-12.svg", f"size 12 > {name}", Outline(stretches), True, None)


def facing(neck: str = "round", width: float = 60.0, *, free: str | None = "free edge") -> Piece:
    """A neck facing as wide everywhere; its free edge may have no name."""
    top = front(neck).stitching.stretches[0].chain
    inner = offset_chain(top, -width)
    return piece_of(
        "front facing",
        replace(stretch("neckline", *top.segments), source=31),
        stretch("shoulder", Line(top.end, inner.end), source=32),
        Stretch(inner.reversed(), free, source=33),
        stretch("centre front", Line(inner.start, top.start), source=34),
    )


def lining(neck: str = "round") -> Piece:
    """A lining cut like the front."""
    return replace(
        front(neck), name="front lining", file="lining-12.svg", label_path="size 12 > front lining"
    )


def linked(piece: str = "front facing", **changes: object) -> Linked:
    """A facing that follows the front along its neckline; or as changed."""
    return replace(Linked(piece, "front", ("neckline",)), **changes)  # type: ignore[arg-type]


def facing_gape(distance: float = 100.0) -> Removal:
    """A wedge of the facing's own, from its neckline to nothing at its free edge."""
    return removal(
        name="facing gape",
        piece="front facing",
        distance=Fixed(distance),
        amount=Fixed(6),
        pivot=EdgePivot("free edge", "centre front", Fixed(60)),
        opens=(),
    )


def size_of(
    pieces: Sequence[Piece],
    removals: Sequence[Removal],
    links: Sequence[Linked] = (),
    strips: Sequence[Strip] = (),
) -> SizeResult:
    """The pieces after removals, links and strips."""
    rules = Rules(
        file="design.gape.yaml", removals=tuple(removals), linked=tuple(links), strips=tuple(strips)
    )
    return alter_size(rules, "12", pieces, ("12",), {})


def band(length: float, width: float, *, name: str = "neck binding") -> Piece:
    """A band with its length along x, as four lines."""
    corners = [0j, length + 0j, complex(length, width), width * 1j]
    lines = [Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return piece_of(name, Stretch(Chain(tuple(lines)), source=41))
