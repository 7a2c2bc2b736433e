"""What the trade has published about walking seams: a case, and how far joined seams may differ."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import pytest
import svgpathtools

from rules.lengths import Fixed
from rules.model import Rules, Seam, Term
from tests.alter.linked_pieces import facing, linked, piece_of, size_of
from tests.builders import front, removal, stretch
from transform.checks.seams import WalkedSeam, walk
from transform.geometry.chain import Chain
from transform.geometry.segments import Arc, Cubic, Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline, Stretch

INCH = 25.4


def half_round(name: str, edge: str, sewn: float, cut: float, *, hollow: bool) -> Piece:
    """A piece with one edge a half circle of length ``sewn``, and beside it a cut line of length ``cut``."""
    radius, outer = sewn / math.pi, cut / math.pi
    lines = []
    for r in (radius, outer):
        # Hollow edges bend into the piece: the cut line lies within the circle.
        arc = Arc(-r + 0j, r + 0j, r, r, 0.0, large=False, sweep=not hollow)
        low = complex(r, radius * 2.5), complex(-r, radius * 2.5)
        lines.append(
            Outline(
                (
                    Stretch(Chain((arc,)), edge),
                    stretch("rest", Line(arc.end, low[0]), Line(*low), Line(low[1], arc.start)),
                )
            )
        )
    piece = piece_of(name, *lines[0].stretches)
    return replace(piece, cut=lines[1])


def walked(armhole: Piece, sleeve: Piece) -> WalkedSeam:
    seam = Seam(((Term("body", "armhole"),), (Term("sleeve", "cap"),)), ease=(0.9 * INCH, 1.1 * INCH))
    (found,), _ = walk(Rules(file="r", seams=(seam,)), "12", ("12",), [armhole, sleeve], {})
    return found


def test_an_armhole_and_its_sleeve_are_walked_on_the_stitching_line() -> None:
    """Teaching material of 2024: an armhole of 22 3/8 in at the cutting line and 23 in at the stitching line,
    its sleeve 24 3/4 and 24 in. On the cutting line the sleeve seems 2 3/8 in too long; it has 1 in of ease.
    """
    body = half_round("body", "armhole", 23 * INCH, 22.375 * INCH, hollow=True)
    sleeve = half_round("sleeve", "cap", 24 * INCH, 24.75 * INCH, hollow=False)
    assert body.cut is not None
    assert sleeve.cut is not None
    on_cut = sleeve.cut.edge("cap").length - body.cut.edge("armhole").length
    assert on_cut / INCH == pytest.approx(2.375)
    seam = walked(body, sleeve)
    assert (seam.before[1] - seam.before[0]) / INCH == pytest.approx(1.0)
    assert seam.holds


@pytest.mark.parametrize(
    ("sixteenths", "holds"), [(0.5, True), (0.62, True), (0.64, False), (1, False), (2, False)]
)
def test_seams_hold_within_one_millimetre(sixteenths: float, holds: bool) -> None:
    """The trade sews what is within 1/16 in, many 1/8 in (Threads 200, 2018); here 1 mm is asked."""
    one = piece_of(
        "a", stretch("side", Line(0j, 300 + 0j)), stretch("rest", Line(300 + 0j, 90j), Line(90j, 0j))
    )
    end = 300 + sixteenths * INCH / 16
    two = piece_of(
        "b", stretch("side", Line(0j, end + 0j)), stretch("rest", Line(end + 0j, 90j), Line(90j, 0j))
    )
    shorter = replace(two, stitching=replace(one.stitching))
    seam = Seam(((Term("a", "side"),), (Term("b", "side"),)))
    (found,), _ = walk(Rules(file="r", seams=(seam,)), "12", ("12",), [one, shorter], {"b": two})
    assert found.holds is holds


def path_of(chain: Chain) -> svgpathtools.Path:
    segments = []
    for s in chain.segments:
        assert isinstance(s, Line | Cubic)
        kind = svgpathtools.Line if isinstance(s, Line) else svgpathtools.CubicBezier
        segments.append(kind(*s.controls()))
    return svgpathtools.Path(*segments)


@pytest.mark.parametrize("neck", ["round", "scooped", "straight", "wrapped"])
def test_a_facing_still_measures_what_the_neckline_does(neck: str) -> None:
    """Facing edge equals neckline; measured by svgpathtools, the facing's free edge made no longer by it."""
    result = size_of([front(neck), facing(neck, 40.0)], [removal()], [linked()])
    lengths = {}
    for done in result.altered:
        assert done.stitching is not None
        (edge,) = [s for s in done.stitching.stretches if s.edge == "neckline"]
        lengths[done.piece.name] = path_of(edge.chain).length(error=1e-6)
    assert lengths["front facing"] == pytest.approx(lengths["front"], abs=0.01)
    own, other = result.removals
    assert lengths["front"] == pytest.approx(own.edge_after, abs=1e-3)
    assert lengths["front facing"] == pytest.approx(other.edge_after, abs=1e-3)


def test_the_angle_of_a_width_across_is_that_on_the_facing() -> None:
    """w = 2 L sin(θ/2), whichever piece is measured."""
    result = size_of(
        [front("straight"), facing("straight", 40.0)], [removal(amount=Fixed(10), across=True)], [linked()]
    )
    for fact in result.removals:
        reach = abs(fact.legs[0] - fact.pivot)
        assert fact.angle == pytest.approx(2 * math.asin(10 / (2 * reach)), abs=1e-9)
        assert cmath.isclose(fact.angle, result.removals[0].angle, abs_tol=1e-9)
