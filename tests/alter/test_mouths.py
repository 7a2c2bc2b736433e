"""To which side the intake of a dart is pressed, and how its legs are trued."""

from __future__ import annotations

import cmath

import pytest

from rules.lengths import Fixed
from rules.model import KnownDart
from tests.builders import APEX, altered, front, front_with_dart, removal, result_piece
from transform.alter.mouths import Bearings, pressed_leg
from transform.alter.problems import Asked
from transform.geometry.chain import Chain
from transform.geometry.segments import Line

ASKED = Asked("design.gape.yaml", 1, 1, "gape", front())
CENTRE = Bearings(1j, Chain((Line(0j, 600j),)))


@pytest.mark.parametrize("turned", [False, True])
def test_a_waist_dart_is_pressed_to_the_leg_that_lies_nearer_to_the_centre(turned: bool) -> None:
    legs = (120 + 600j, 100 + 600j) if turned else (100 + 600j, 120 + 600j)
    inner = 1 if turned else 0
    assert pressed_leg("to centre", 110 + 450j, legs, CENTRE, ASKED) == inner
    assert pressed_leg("to side", 110 + 450j, legs, CENTRE, ASKED) == 1 - inner
    # Left out: it lies along the grain, so to the centre.
    assert pressed_leg(None, 110 + 450j, legs, CENTRE, ASKED) == inner


@pytest.mark.parametrize("turned", [False, True])
def test_a_side_dart_is_pressed_down_unless_the_rules_say_up(turned: bool) -> None:
    legs = (240 + 350j, 240 + 320j) if turned else (240 + 320j, 240 + 350j)
    lower = 0 if turned else 1
    assert pressed_leg("down", 120 + 300j, legs, CENTRE, ASKED) == lower
    assert pressed_leg("up", 120 + 300j, legs, CENTRE, ASKED) == 1 - lower
    assert pressed_leg(None, 120 + 300j, legs, CENTRE, ASKED) == lower


@pytest.mark.parametrize("hold", ["hem", "shoulder"])
def test_legs_of_unequal_length_at_the_apex_are_trued_along_the_legs_of_the_closing(hold: str) -> None:
    """The point stands off the apex, from where the legs differ: they open by the angle that was closed."""
    piece = front_with_dart()
    before = piece.dart("bust dart")
    from_apex = [leg - APEX for leg in before.legs]
    assert abs(abs(from_apex[0]) - abs(from_apex[1])) > 0.3
    result = altered(piece, removal(opens=(KnownDart("bust dart"),), amount=Fixed(10), hold=hold))
    after = result_piece(result).dart("bust dart")
    opened = [leg - APEX for leg in after.legs]
    angle = abs(cmath.phase(from_apex[1] / from_apex[0])) + result.removals[0].angle
    assert abs(cmath.phase(opened[1] / opened[0])) == pytest.approx(angle, abs=1e-9)
    held = abs(from_apex[1 if hold == "hem" else 0])
    assert [abs(leg) for leg in opened] == pytest.approx([held, held], abs=1e-9)
    # Drawn back by as much again, the leg ends fixed.
    assert abs(after.point - APEX) == pytest.approx(abs(before.point - APEX), abs=1e-9)
    assert abs(after.legs[0] - after.point) == pytest.approx(abs(after.legs[1] - after.point), abs=1e-9)
