"""The choir bodice: V-necked, princess seams from the shoulder, set-in sleeve, ending at the waist.

The princess seams take the front's bust dart and waist dart between them; the back has a waist dart.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from .block import Fit, Upper, apex, back_upper, front_underarm, front_upper, quarter, side_seam
from .curves import Chain, Curve, back, heading, length, line, root, sweep, turned, unit
from .measurements import Body
from .parts import cap, neck_facing
from .piece import Dart, Edge, Notch, Piece

CAUTIONS = (
    "Print at full size, then measure the square: 50 mm each way.",
    "Allowances are drawn: 15 mm; neckline and facing edge 6 mm; hem 25 mm, sleeve hem 30 mm.",
    "Walk the princess seams from the bust notch both ways before sewing.",
    "Interface the facings; they are drawn as they lie, the front one seen from its wrong side.",
)
SEAM, NECK, HEM, SLEEVE_HEM = 15.0, 6.0, 25.0, 30.0
CAP_EASE = 24.0
_FACING = 48.0
_SEAM_OFF_APEX = 9.0
_LEAVE = 101.0  # direction in degrees in which the princess seam leaves the shoulder
_PANEL_SHOULDER = 0.47  # share of the shoulder that is the centre front panel's


def _fit(body: Body) -> Fit:
    return Fit(ease=58, deeper=6, across=4, bust_angle=body.bust_angle, side_lean=4)


@dataclass(frozen=True, slots=True)
class _Shaping:
    """How what is too wide at the waist is taken in, in mm for one quarter."""

    side: float
    dart: float


def _shaping(body: Body) -> _Shaping:
    surplus = quarter(body, _fit(body)) - (body.waist + 32) / 4
    side = round(surplus * 0.38, 1)
    return _Shaping(side, surplus - side)


def draft(body: Body) -> list[Piece]:
    """All pieces of one size."""
    centre, side = _front(body)
    rear = _back(body, centre)
    armhole = length(side.walk("armhole")), length(rear.walk("armhole"))
    facings = [
        neck_facing(piece, name, "cut 1 on the fold", _FACING, NECK)
        for piece, name in ((centre, "front facing"), (rear, "back facing"))
    ]
    return [centre, side, rear, _sleeve(body, *armhole), _drawn_mirrored(facings[0]), facings[1]]


def _side(body: Body, underarm: complex, waist: float) -> Curve:
    return side_seam(underarm, waist - underarm.imag, -_shaping(body).side, 4, 0)


def _front(body: Body) -> tuple[Piece, Piece]:
    fit, shaping, bust = _fit(body), _shaping(body), apex(body)
    pin = bust + _SEAM_OFF_APEX  # where the princess seam passes the apex, and the bust dart is turned about
    upper = front_upper(body, fit, pin)
    parting = upper.along_shoulder(_PANEL_SHOULDER * abs(upper.tip - upper.neck))
    below = complex(pin.real - shaping.dart * 0.45, upper.waist)
    hang = unit(below - parting)
    leave = heading(_LEAVE)
    seam = (
        sweep(parting, leave, pin, hang, (0.34, 0.34)),
        sweep(pin, hang, below, 1j, (0.34, 0.34)),
    )
    return _centre_panel(body, upper, seam), _side_panel(body, upper, seam, pin, below + shaping.dart)


def _centre_panel(body: Body, upper: Upper, seam: Chain) -> Piece:
    point = complex(0, 196 + (body.neck - 370) / 5)
    foot = complex(0, upper.waist)
    neckline = line(upper.neck, point)
    return Piece(
        name="centre front panel",
        cutting="cut 1 on the fold",
        edges=(
            Edge("neckline", "neck point", (neckline,), NECK),
            Edge("centre front", "centre front neck", (line(point, foot),)),
            Edge("hem", "centre front hem", (line(foot, seam[-1].d),), HEM),
            Edge("princess seam", "princess hem", back(seam), SEAM),
            Edge("shoulder", "princess shoulder", (line(seam[0].a, upper.neck),), SEAM),
        ),
        grain=(complex(22, upper.waist - 160), complex(22, upper.waist - 30)),
        caption=complex(14, upper.waist - 186),
        fold="centre front",
        apex=apex(body),
        notches=(
            Notch("neckline", 70),
            Notch("princess seam", seam[0].length(), from_end=True),
            Notch("princess seam", 95),
            Notch("princess seam", 90, from_end=True),
        ),
    )


def _side_panel(body: Body, upper: Upper, seam: Chain, pin: complex, below: complex) -> Piece:
    """The upper body is turned about the pin until the bust dart is closed and open in the seam."""
    close = turned(pin, body.bust_angle)
    parting, leave = close(seam[0].a), heading(_LEAVE + body.bust_angle)
    through = unit(unit(pin - parting) + unit(below - pin))
    over = _as_long(lambda end: sweep(end, leave, pin, through, (0.34, 0.34)), pin, parting, seam[0].length())
    under = _as_long(lambda end: sweep(pin, through, end, 1j, (0.34, 0.34)), pin, below, seam[1].length())
    # Evening out the seam moved its upper end a little; the shoulder goes with it and keeps its length.
    slip = over.a - parting
    tip = close(upper.tip) + slip
    armhole = tuple(curve.moved(close) for curve in upper.armhole())
    first = Curve(tip, armhole[0].b + slip, armhole[0].c, armhole[0].d)
    side = _side(body, front_underarm(body, _fit(body)), upper.waist)
    hem = sweep(under.d, 1 + 0j, side.d, 1 + 0j)
    middle = (under.d.real + side.d.real) / 2
    return Piece(
        name="side front panel",
        cutting="cut 1 pair",
        edges=(
            Edge("princess seam", "princess shoulder", (over, under), SEAM),
            Edge("hem", "princess hem", (hem,), HEM),
            Edge("side seam", "side hem", (side.back(),), SEAM),
            Edge("armhole", "underarm point", back((first, *armhole[1:])), SEAM),
            Edge("shoulder", "shoulder point", (line(tip, over.a),), SEAM),
        ),
        grain=(complex(middle - 18, upper.waist - 150), complex(middle - 18, upper.waist - 30)),
        caption=complex(middle - 8, upper.waist - 110),
        notches=(
            Notch("princess seam", over.length()),
            Notch("princess seam", 95, from_end=True),
            Notch("princess seam", 90),
            Notch("armhole", 92),
            Notch("side seam", 90),
        ),
    )


def _as_long(drawn: Callable[[complex], Curve], pin: complex, end: complex, wanted: float) -> Curve:
    """The curve `drawn` to an end moved along its line to the pin, so that it comes out as long as wanted."""
    share = root(lambda s: drawn(pin + s * (end - pin)).length() - wanted, 0.9, 1.1)
    return drawn(pin + share * (end - pin))


def _back(body: Body, centre: Piece) -> Piece:
    fit, shaping = _fit(body), _shaping(body)
    upper = back_upper(body, fit)
    # The two necklines run on into each other at the shoulder: their angles there make 180 degrees.
    front_angle = centre.walk("neckline")[0].direction(0) / -centre.walk("shoulder")[0].direction(1)
    neckline = sweep(upper.neck, -upper.shoulder * front_angle.conjugate(), 6j, -1 + 0j, (0.29, 0.48))
    side = _side(body, upper.underarm, upper.waist)
    axis = body.back_width * 0.25
    point = complex(axis, upper.underarm.imag + 6)
    half = shaping.dart / 2
    # Square to both legs, the hem sinks towards the dart, by what an even curve from centre and side sinks.
    sunk = upper.waist + (side.d.real / 2 - half) / 2 * half / (upper.waist - point.imag)
    ends = complex(axis - half, sunk), complex(axis + half, sunk)
    inner, outer = (unit(end - point) for end in ends)
    foot = complex(0, upper.waist)
    towards_centre = sweep(foot, 1 + 0j, ends[0], inner * -1j)
    towards_side = sweep(ends[1], outer * -1j, side.d, 1 + 0j)
    mouth = cap(point, *ends, back((towards_centre,)))
    return Piece(
        name="back",
        cutting="cut 1 on the fold",
        edges=(
            Edge("neckline", "neck point", (neckline,), NECK),
            Edge("centre back", "centre back neck", (line(6j, foot),)),
            Edge("hem", "centre back hem", (towards_centre,), HEM),
            Edge("waist dart", "inner leg", mouth, HEM, mouth=True),
            Edge("hem", "outer leg", (towards_side,), HEM),
            Edge("side seam", "side hem", (side.back(),), SEAM),
            Edge("armhole", "underarm point", back(upper.armhole()), SEAM),
            Edge("shoulder", "shoulder point", (line(upper.tip, upper.neck),), SEAM),
        ),
        grain=(complex(34, upper.waist - 190), complex(34, upper.waist - 40)),
        caption=complex(42, 90),
        fold="centre back",
        darts=(Dart("waist dart", (ends[0], point, ends[1])),),
        notches=(Notch("armhole", 98, 2), Notch("side seam", 90)),
    )


def _sleeve(body: Body, front_armhole: float, back_armhole: float) -> Piece:
    """The cap is raised until it is longer than the armhole by its ease."""
    half, wrist = (body.upper_arm + 44) / 2, (body.upper_arm + 44) * 0.36
    wanted = front_armhole + back_armhole + CAP_EASE
    height = root(lambda h: length(_cap(body, half, wrist, h)) - wanted, half * 0.5, half * 1.5)
    over = _cap(body, half, wrist, height)
    fall = body.arm_length - height
    seam = line(complex(-half, 0), complex(-wrist, fall)), line(complex(wrist, fall), complex(half, 0))
    hem = sweep(seam[0].d, seam[0].direction(1) * -1j, seam[1].a, seam[1].direction(0) * 1j)
    return Piece(
        name="sleeve",
        cutting="cut 1 pair",
        edges=(
            Edge("back underarm seam", "back underarm point", (seam[0],), SEAM),
            Edge("hem", "back hem", (hem,), SLEEVE_HEM),
            Edge("front underarm seam", "front hem", (seam[1],), SEAM),
            Edge("cap", "front underarm point", over, SEAM),
        ),
        grain=(complex(0, fall * 0.1), complex(0, fall * 0.8)),
        caption=complex(10, fall * 0.3),
        notches=(
            Notch("cap", 92),
            Notch("cap", front_armhole + CAP_EASE / 2),
            Notch("cap", 98, 2, from_end=True),
            Notch("back underarm seam", 190),
            Notch("front underarm seam", 190, from_end=True),
        ),
    )


def _cap(body: Body, half: float, wrist: float, height: float) -> Chain:
    """From front to back underarm over the top, square to the underarm seams, the front more hollow."""
    down = unit(complex(half - wrist, body.arm_length - height))
    top = complex(0, -height)
    return (
        sweep(complex(half, 0), 1j * complex(-down.real, down.imag), top, -1 + 0j, (0.50, 0.44)),
        sweep(top, -1 + 0j, complex(-half, 0), 1j * down, (0.48, 0.40)),
    )


def _drawn_mirrored(facing: Piece) -> Piece:
    """The facing as one sees its wrong side, fold to the right."""
    flipped = facing.moved(lambda p: complex(-p.real, p.imag))
    return replace(flipped, caption=flipped.origin + complex(-76, -38))
