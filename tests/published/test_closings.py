"""Closings against plain geometry, and against constructions made with other libraries.

Figures marked [G] were worked out by plain geometry outside this project; sources stand beside the checks.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
import shapely.affinity
import svgpathtools

from rules.lengths import Fixed
from rules.model import ApexPivot, DartPivot, EdgePivot, KnownDart, SewnDart
from tests.builders import APEX, altered, front, front_with_dart, removal, result_piece, stretch
from transform.geometry.blend import rounded
from transform.geometry.chain import Chain
from transform.geometry.measure import length
from transform.geometry.segments import Line
from transform.pattern.model import Piece
from transform.pattern.outline import Outline


def panel(far: float, mouth: float) -> Piece:
    """A panel with a straight top ``far`` mm above its apex and its side ``mouth`` mm off at the hem."""
    apex = 200 + 300j
    top = 300 - far
    outline = Outline(
        (
            stretch("neckline", Line(100 + top * 1j, 300 + top * 1j), source=1),
            stretch("side seam", Line(300 + top * 1j, complex(200 + mouth, 600)), source=2),
            stretch("hem", Line(complex(200 + mouth, 600), 100 + 600j), source=3),
            stretch("centre front", Line(100 + 600j, 100 + top * 1j), source=4),
        )
    )
    return Piece("front", "12", "panel.svg", "panel", outline, True, None, apexes={"": apex})


@pytest.mark.parametrize(("width", "far", "degrees"), [(10, 200, 2.8651), (12.7, 203.2, 3.5816)])
def test_the_angle_of_a_wedge(width: float, far: float, degrees: float) -> None:
    # 10 mm at 200 mm is 2.8651°, 1/2 in at 8 in is 3.5816° [G]: both are chords, legs of one length.
    piece = panel(far * math.cos(math.asin(width / 2 / far)), 160)
    length_ = piece.stitching.edge("neckline").length
    asked = removal(
        start="side seam",
        distance=Fixed(length_ / 2 - width / 2),
        amount=Fixed(width),
        opens=(replace(removal().opens[0], edge="side seam", start="hem", distance=Fixed(290)),),
    )
    facts = altered(piece, asked).removals[0]
    assert math.degrees(facts.angle) == pytest.approx(degrees, abs=5e-5)
    assert facts.stagger == pytest.approx(0, abs=1e-9)


def test_the_same_angle_opens_less_nearer_to_the_apex() -> None:
    # The 2.8651° of 10 mm at 200 mm opens 8.00 mm at 160 mm [G].
    angle = 2 * math.asin(10 / 2 / 200)
    assert 2 * 160 * math.sin(angle / 2) == pytest.approx(8.00, abs=5e-3)
    result = altered(front(), removal(finish=SewnDart(draw_back=Fixed(0))))
    opened = result.removals[0].opened[0]
    leg = opened.leg_lengths[0]
    assert opened.intake_after == pytest.approx(2 * leg * math.sin(result.removals[0].angle / 2), abs=1e-6)


def test_a_dart_grows_by_its_angle_not_by_its_chord() -> None:
    # A dart of 30 mm at 160 mm is 10.7588°; 2.8651° more make 13.6238° and 37.955 mm, not 38.0 [G].
    assert math.degrees(2 * math.asin(30 / 320)) == pytest.approx(10.7588, abs=5e-5)
    piece = front_with_dart()
    dart = piece.darts[0]
    leg = abs(dart.legs[0] - dart.point)
    asked = removal(pivot=DartPivot("bust dart"), opens=(KnownDart("bust dart"),), amount=Fixed(10))
    facts = altered(piece, asked).removals[0]
    before = 2 * math.asin(abs(dart.legs[0] - dart.legs[1]) / 2 / leg)
    opened = facts.opened[0]
    assert opened.intake_after == pytest.approx(2 * leg * math.sin((before + facts.angle) / 2), abs=1e-6)
    assert 2 * 160 * math.sin(math.radians(13.6238) / 2) == pytest.approx(37.955, abs=1e-3)


def test_a_point_drawn_back_keeps_the_intake_and_shortens_the_legs() -> None:
    # Drawn back 25 mm along its middle: 16.137°, legs 135.21 mm, the intake the same [G].
    from transform.alter.mouths import Opened, draw_point_back, true_legs
    from transform.alter.problems import Asked

    angle = math.radians(13.6238)
    legs = (
        160 * complex(math.cos(angle / 2), -math.sin(angle / 2)),
        160 * complex(math.cos(angle / 2), math.sin(angle / 2)),
    )
    opened = Opened("bust dart", 0j, legs, 0)
    trued = true_legs(opened).legs
    point = draw_point_back(opened, 25.0, Asked("", 1, 1, "", front()))
    assert [abs(leg - point) for leg in trued] == pytest.approx([135.21, 135.21], abs=5e-3)
    assert 2 * math.degrees(math.asin(abs(trued[0] - trued[1]) / 2 / 135.21)) == pytest.approx(
        16.137, abs=2e-3
    )
    assert abs(trued[0] - trued[1]) == pytest.approx(37.955, abs=1e-3)


@pytest.mark.parametrize(("degrees", "moved", "lost"), [(2.8651, 0.63, 0.02), (10.0, 2.18, 0.25)])
def test_a_kink_rounded_off_by_an_arc(degrees: float, moved: float, lost: float) -> None:
    # With tangents of 50 mm an arc across 2.8651° moves the corner 0.63 mm and loses 0.02 mm; across 10°
    # 2.18 and 0.25 mm [G].
    turn = complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    left, right = Chain((Line(-100 + 0j, 0j),)), Chain((Line(0j, 100 * turn),))
    blend = rounded(left, right)
    assert blend is not None
    reach, cubic = blend
    assert reach == pytest.approx(50, abs=1.5)
    assert abs(cubic.point(0.5)) == pytest.approx(moved, abs=0.08)
    assert 2 * reach - length(cubic) == pytest.approx(lost, abs=0.006)


def test_a_slanting_wedge_shortens_a_v_by_less_than_its_width() -> None:
    # A V from (70, 0) to (0, 200), apex (95, 260), the wedge 110 mm from the neck point and 20 mm along the
    # edge: legs 167.8 and 153.2, angle 4.9°, the edge loses 9.3 mm [G]; the chord itself loses 9.22.
    piece = front("straight")
    facts = altered(piece, removal(distance=Fixed(110))).removals[0]
    assert facts.line == "straight"
    assert [abs(leg - APEX) for leg in facts.legs] == pytest.approx([167.8, 153.2], abs=0.05)
    assert math.degrees(facts.angle) == pytest.approx(4.9, abs=0.05)
    assert facts.shortened == pytest.approx(9.3, abs=0.1)
    assert facts.shortened == pytest.approx(9.2196, abs=5e-4)


def test_a_pinch_counts_double_and_a_kept_angle_grades() -> None:
    # 10 mm at 196, 200, 204 mm is 2.9236, 2.8651, 2.8089°; a constant angle there is 9.80, 10.00 and
    # 10.20 mm [G].
    for far, degrees, kept in ((196, 2.9236, 9.80), (200, 2.8651, 10.00), (204, 2.8089, 10.20)):
        assert math.degrees(2 * math.asin(5 / far)) == pytest.approx(degrees, abs=6e-5)
        assert 2 * far * math.sin(math.radians(2.8651) / 2) == pytest.approx(kept, abs=5e-3)


def _polygon(chain: Chain, step: float = 0.1) -> shapely.Polygon:
    return shapely.Polygon([(p.real, p.imag) for p in chain.samples(step)])


def test_a_closing_made_again_by_cutting_with_shapely() -> None:
    """Cut the piece in two along the wedge's far leg and the mouth, turn one part with shapely, compare."""
    piece = front()
    result = altered(piece, removal(finish=SewnDart(draw_back=Fixed(0))))
    facts = result.removals[0]
    old = _polygon(piece.stitching.chain)
    mouth = piece.stitching.chain.point(piece.stitching.edge("side seam").place(60))
    far = [p + (p - APEX) * 0.2 for p in (facts.legs[0], mouth)]
    upper = shapely.Polygon([(p.real, p.imag) for p in (APEX, far[0], 60 - 100j, 400 - 100j, far[1])])
    turned = shapely.affinity.rotate(
        old.intersection(upper), -facts.angle, origin=(APEX.real, APEX.imag), use_radians=True
    )
    back = _polygon(result_piece(result).stitching.chain)
    # Shapely turns the other way round than the part may have turned: take the sign that fits.
    other = shapely.affinity.rotate(
        old.intersection(upper), facts.angle, origin=(APEX.real, APEX.imag), use_radians=True
    )
    missing = min(part.difference(back.buffer(0.05)).area for part in (turned, other))
    # Only the bit cut off where the neckline was drawn fair may be missing.
    assert missing < 400


@pytest.mark.parametrize("neck", ["round", "scooped", "wrapped"])
def test_edge_lengths_against_svgpathtools(neck: str) -> None:
    piece = front(neck)
    result = altered(piece, removal())
    facts = result.removals[0]
    for outline, told in (
        (piece.stitching, facts.edge_before),
        (result_piece(result).stitching, facts.edge_after),
    ):
        path = svgpathtools.Path()
        for row in outline.stretches:
            if row.edge != "neckline":
                continue
            for segment in row.chain.segments:
                controls = segment.controls()
                kind = {2: svgpathtools.Line, 4: svgpathtools.CubicBezier}[len(controls)]
                path.append(kind(*controls))
        assert path.length(error=1e-9) == pytest.approx(told, abs=1e-6)


def test_a_wedge_to_nothing_turns_the_panel_about_its_seam() -> None:
    piece = front()
    asked = removal(amount=Fixed(10), opens=(), pivot=EdgePivot("armhole", "shoulder", Fixed(110)))
    facts = altered(piece, asked).removals[0]
    old = shapely.LineString([(70, 0), (190, 40)])
    turned = [
        shapely.affinity.rotate(
            old, sign * facts.angle, origin=(facts.pivot.real, facts.pivot.imag), use_radians=True
        )
        for sign in (1, -1)
    ]
    after = result_piece(altered(piece, asked)).stitching
    shoulder = next(s.chain for s in after.stretches if s.edge == "shoulder")
    found = shapely.LineString([(p.real, p.imag) for p in (shoulder.start, shoulder.end)])
    assert min(found.hausdorff_distance(line) for line in turned) < 1e-6
    assert facts.opened == ()
    assert isinstance(removal().pivot, ApexPivot)
