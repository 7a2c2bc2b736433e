"""Finishing an opened mouth as a sewn dart: its point drawn back, its legs trued, its end capped."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from rules.labels import fold
from rules.model import SewnDart
from transform.alter.centre import CENTRE_EDGES
from transform.alter.closing import Closing
from transform.alter.cutting import Cut
from transform.alter.placing import Grade
from transform.alter.problems import Asked
from transform.alter.runs import NewStretch, Run, SewnMouth
from transform.geometry.chain import Chain
from transform.geometry.folding import cap
from transform.geometry.nearest import nearest
from transform.geometry.segments import Line
from transform.pattern.darts import ON_OUTLINE

NEW_DART_DRAW_BACK = 25.0
"""A new dart is sewn short of the apex by this much, mm, where nothing else is said."""
_FLATTEST = math.radians(15)
"""The least angle between a dart's leg and its seam."""


@dataclass(frozen=True, slots=True)
class Opened:
    """A mouth as the closings left it: the hinge, and the two leg ends in the outline's order.

    ``held`` is the leg (0 or 1) that did not turn.
    """

    dart: str
    hinge: complex
    legs: tuple[complex, complex]
    held: int


def draw_point_back(opened: Opened, distance: float, asked: Asked) -> complex:
    """The dart point, moved from the hinge towards the middle of the mouth by ``distance`` mm.

    Raises:
        AlterError: where the mouth is nearer than that.
    """
    middle = (opened.legs[0] + opened.legs[1]) / 2
    depth = abs(middle - opened.hinge)
    if distance >= depth:
        raise asked.refusal(
            "drawn back too far",
            f"{opened.dart} is {depth:.1f} mm deep; its point cannot be drawn back by {distance:.1f} mm",
        )
    return opened.hinge + (middle - opened.hinge) / depth * distance


def true_legs(opened: Opened) -> Opened:
    """Legs of one length from the hinge: the held leg stays, the other's end moves along its leg.

    So the mouth keeps the angle that the closings gave it; the point is drawn back afterwards.
    """
    lengths = [abs(leg - opened.hinge) for leg in opened.legs]
    legs = list(opened.legs)
    other = 1 - opened.held
    if abs(lengths[0] - lengths[1]) > 1e-9:
        along = (legs[other] - opened.hinge) / lengths[other]
        legs[other] = opened.hinge + along * lengths[opened.held]
    return replace(opened, legs=(legs[0], legs[1]))


@dataclass(frozen=True, slots=True)
class Bearings:
    """Directions on a piece: ``down`` (unit) away from the shoulder, and the line of its centre, if any."""

    down: complex
    centre: Chain | None


def bearings(
    grain: tuple[complex, complex] | None, fold_line: Chain | None, stretches: Sequence[NewStretch]
) -> Bearings:
    """Down is along the grain (else the y axis), away from the shoulder.

    The centre is the fold line, else the edge named centre front or centre back.
    """
    down = 1j
    if grain is not None and grain[0] != grain[1]:
        down = (grain[1] - grain[0]) / abs(grain[1] - grain[0])
    if down.imag < 0:
        down = -down
    shoulders = [s for s in stretches if s.edge is not None and fold(s.edge) == "shoulder" and s.runs]
    if shoulders:
        middle = _middle([s.chain for s in stretches if s.runs])
        shoulder = _middle([s.chain for s in shoulders])
        if ((middle - shoulder) * down.conjugate()).real < 0:
            down = -down
    centre = fold_line
    if centre is None:
        named = [s.chain for s in stretches if s.edge is not None and fold(s.edge) in CENTRE_EDGES and s.runs]
        centre = named[0] if named else None
    return Bearings(down, centre)


def _middle(chains: list[Chain]) -> complex:
    points = [chain.point(chain.length / 2) for chain in chains]
    return sum(points) / len(points)


def pressed_leg(
    press: str | None, point: complex, legs: tuple[complex, complex], bearing: Bearings, asked: Asked
) -> int:
    """The leg (0 or 1) to whose side the intake is pressed.

    Left out, a dart that lies more across the grain is pressed down, one more along it to the centre.

    Raises:
        AlterError: where it is to be pressed to a centre that the piece does not have.
    """
    axis = (legs[0] + legs[1]) / 2 - point
    if press is None:
        across = abs((axis.conjugate() * bearing.down).imag)
        along = abs((axis.conjugate() * bearing.down).real)
        press = "down" if across >= along or bearing.centre is None else "to centre"
    if press in ("down", "up"):
        lower = 0 if ((legs[0] - legs[1]) * bearing.down.conjugate()).real > 0 else 1
        return lower if press == "down" else 1 - lower
    if bearing.centre is None:
        raise asked.refusal(
            "no centre",
            f"`press: {press}` needs a fold line or an edge named centre front or centre back; "
            "press the dart down or up, or name the edge",
        )
    distances = [nearest(bearing.centre, leg)[1] for leg in legs]
    inner = 0 if distances[0] <= distances[1] else 1
    return inner if press == "to centre" else 1 - inner


def sewn(
    opened: Opened,
    finish: SewnDart | None,
    default_draw_back: float,
    bearing: Bearings,
    grade: Grade,
    asked: Asked,
) -> SewnMouth:
    """The finished dart: point, legs of one length, pressed side, trim.

    Raises:
        AlterError: where it cannot be drawn back as far, pressed as asked, or is too narrow to be drawn.
    """
    asked_back = finish.draw_back if finish is not None else None
    distance = default_draw_back if asked_back is None else grade.mm(asked_back)
    trued = true_legs(opened)
    point = draw_point_back(trued, distance, asked)
    legs = trued.legs
    intake = abs(legs[0] - legs[1])
    if intake < ON_OUTLINE:
        raise asked.refusal(
            "no wedge",
            f"{opened.dart} would be {intake:.2f} mm wide at its end, too little to be drawn: "
            "so little is removed, or the legs of the wedge lie on one line with the pivot; take it at "
            "another place, or close it to another pivot",
        )
    press = finish.press if finish is not None else None
    trim = finish.trim if finish is not None else None
    return SewnMouth(
        opened.dart,
        point,
        legs,
        pressed_leg(press, point, legs, bearing, asked),
        None if trim is None else grade.mm(trim),
    )


def across_mouth(mouth: SewnMouth, before: Chain, after: Chain, drawn_in: bool, capped: bool) -> Chain:
    """The outline from the first leg end to the second: both legs, the cap, or straight across.

    ``before`` is the seam that arrives at the first leg end, ``after`` the one that goes on from the second.
    """
    first, second = mouth.legs
    if drawn_in:
        return Chain((Line(first, mouth.point), Line(mouth.point, second)))
    if not capped:
        return Chain((Line(first, second),))
    if mouth.pressed == 0:
        return cap(before.reversed(), first, second, mouth.point)
    return cap(after, second, first, mouth.point).reversed()


def opened_mouth(dart: str, made: Cut, openers: Sequence[Closing], stretches: Sequence[NewStretch]) -> Opened:
    """The mouth of ``dart`` as the closings ``openers`` left it.

    The hinge is the pivot of the closing that opens the dart from a point off its own, if there is one.
    """
    index = next(k for k, stretch in enumerate(stretches) if stretch.dart == dart)
    before, after = stretches[index - 1], stretches[(index + 1) % len(stretches)]
    chosen = next((c for c in openers if c.stands_off(dart) is not None), openers[0])
    last = before.runs[-1].kept
    still = last is not None and last.motion.is_identity
    return Opened(
        dart,
        made.hinge_of(chosen),
        (before.chain.end, after.chain.start),
        0 if still else 1,
    )


def usual_draw_back(dart: str, is_new: bool, openers: Sequence[Closing]) -> float:
    """How far (mm) a dart's point is drawn back where the rules do not say.

    25 mm for a new dart; an existing one keeps its point, or is drawn back by as much as it stood off.
    """
    if is_new:
        return NEW_DART_DRAW_BACK
    stood_off = (closing.stands_off(dart) for closing in openers)
    return max((off for off in stood_off if off is not None), default=0.0)


def check_steep(stretches: Sequence[NewStretch], dart: SewnMouth, asked: Asked) -> None:
    """See that no leg runs along the seam that it ends on.

    Raises:
        AlterError: where one does: such a dart can be neither folded nor cut.
    """
    index = next(k for k, stretch in enumerate(stretches) if stretch.dart == dart.dart)
    before, after = stretches[index - 1], stretches[(index + 1) % len(stretches)]
    seams = before.chain.tangent(before.chain.length, before=True), after.chain.tangent(0.0)
    for leg, seam in zip(dart.legs, seams, strict=True):
        angle = abs(cmath.phase((leg - dart.point) / seam))
        angle = min(angle, math.pi - angle)
        if angle < _FLATTEST:
            raise asked.refusal(
                "along the seam",
                f"a leg of {dart.dart} runs along {before.edge or 'its edge'}, at {math.degrees(angle):.0f}° "
                f"to it; less than {math.degrees(_FLATTEST):.0f}° can be neither folded nor cut: let it open "
                "elsewhere",
            )


def with_mouth(stretches: tuple[NewStretch, ...], dart: SewnMouth, *, capped: bool) -> tuple[NewStretch, ...]:
    """The stretches with the outline across the mouth of ``dart`` drawn."""
    index = next(k for k, stretch in enumerate(stretches) if stretch.dart == dart.dart)
    before, after = stretches[index - 1], stretches[(index + 1) % len(stretches)]
    line = across_mouth(dart, before.chain, after.chain, stretches[index].drawn_in, capped)
    drawn = replace(stretches[index], runs=(Run(line),))
    return (*stretches[:index], drawn, *stretches[index + 1 :])
