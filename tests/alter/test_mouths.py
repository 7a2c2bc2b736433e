"""To which side the intake of a dart is pressed."""

from __future__ import annotations

import pytest

from tests.builders import front
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
