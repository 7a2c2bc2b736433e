"""The cap of a dart against figures worked out by hand.

Source: plane trigonometry. In the triangle of dart point, leg end and tip of the fold line the angle at
the dart point is θ/2 and that at the leg end β (the seam's own angle, mirrored), so by the law of sines
the tip is L·sin β / sin(180° - β - θ/2) away. For L 160 mm and θ 13.6238°:
β 90°: 160 / 0.992941 = 161.14 mm; 100°: 157.5692 / 0.957259 = 164.60; 80°: 157.5692 / 0.998453 = 157.81.
"""

import cmath
import math

import pytest

from transform.geometry.chain import Chain
from transform.geometry.folding import cap
from transform.geometry.segments import Line

LEG, ANGLE = 160.0, math.radians(13.6238)


@pytest.mark.parametrize(("beta", "tip"), [(90, 161.14), (100, 164.60), (80, 157.81)])
def test_the_tip_of_the_fold_line(beta: int, tip: float) -> None:
    end, other = LEG * cmath.exp(-1j * ANGLE / 2), LEG * cmath.exp(1j * ANGLE / 2)
    seam = Line(end, end - end / LEG * cmath.exp(1j * math.radians(beta)) * 60)
    assert abs(seam.end - other) > abs(end - other)
    drawn = cap(Chain((seam,)), end, other, 0j)
    assert len(drawn.segments) == 2
    assert drawn.segments[0].end.real == pytest.approx(tip, abs=0.006)
    assert drawn.segments[0].end.imag == pytest.approx(0, abs=1e-9)


def test_the_mouth_as_wide_as_the_angle_says() -> None:
    """Intake 2·L·sin(θ/2): 10.7588° (30 mm at 160 mm) and 2.8651° (10 mm at 200 mm) give 37.955 mm."""
    angle = 2 * math.asin(15 / 160) + 2 * math.asin(5 / 200)
    assert math.degrees(angle) == pytest.approx(13.6238, abs=1e-4)
    assert 2 * LEG * math.sin(angle / 2) == pytest.approx(37.955, abs=1e-3)
