"""The wrap blouse: no dart at all, the front crossing over to a tie, its hem curving up to the side.

Whatever shaping a dart would give is left in the neckline, which is why it gapes.
"""

from .block import Fit, Upper, apex, back_upper, front_upper, side_seam
from .curves import Curve, back, crossing, cut, heading, length, line, sweep
from .measurements import Body
from .parts import band, neck_facing
from .piece import Edge, Notch, Piece

SEAM, NARROW, HEM = 15.0, 6.0, 15.0
TAPE_WIDTH, TAPE_RATIO = 12.0, 0.98
CAUTIONS = (
    "Print at full size, then measure the square: 50 mm each way.",
    "Allowances are drawn: seams and hem 15 mm; neckline, armhole and facing edge 6 mm.",
    "The front neckline runs across the grain: stay it with the tape before handling.",
    "The hem is curved: turn it narrow. Interface the facings.",
)
_FIT = Fit(ease=88, deeper=4, across=0, neck_out=5, shoulder_in=4, front_shorter=20, side_lean=3.5)
_FACING = 52.0
_SIDE_BELOW_WAIST = 58.0
_FLARE = 7.0  # degrees by which the side seam leans out at the hem, and the hem rises to it


def draft(body: Body) -> list[Piece]:
    """All pieces of one size."""
    front, rear = _front(body), _back(body)
    facing = neck_facing(rear, "back facing", "cut 1 on the fold", _FACING, NARROW)
    return [front, rear, _front_facing(front), facing, _neck_tape(front, rear)]


def _side(upper: Upper) -> Curve:
    return side_seam(upper.underarm, upper.waist + _SIDE_BELOW_WAIST - upper.underarm.imag, 2, 3.5, _FLARE)


def _front(body: Body) -> Piece:
    upper, bust = front_upper(body, _FIT, 0j), apex(body)
    waist = upper.waist
    wrap = complex(-(bust.real + 54), waist + 6)
    foot = complex(wrap.real, waist + 82)
    neckline = sweep(upper.neck, upper.shoulder * 1j, wrap, heading(120.5), (0.36, 0.38))
    seam = _side(upper)
    hem = sweep(foot, 1 + 0j, seam.d, heading(-_FLARE), (0.38, 0.34))
    # The centre front is drawn between bust and waist, where it is laid on the other front's.
    centre = line(complex(0, bust.imag - 10), complex(0, waist))
    level = line(complex(0, waist), crossing([seam], complex(0, waist), complex(1, waist))[-1].d)
    grain = bust.real + 22
    return Piece(
        name="front",
        cutting="cut 1 pair",
        edges=(
            Edge("neckline", "neck point", (neckline,), NARROW),
            Edge("front edge", "wrap point", (line(wrap, foot),), SEAM),
            Edge("hem", "front hem", (hem,), HEM),
            Edge("side seam", "side hem", (seam.back(),), SEAM),
            Edge("armhole", "underarm point", back(upper.armhole()), NARROW),
            Edge("shoulder", "shoulder point", (line(upper.tip, upper.neck),), SEAM),
        ),
        grain=(complex(grain, waist - 96), complex(grain, waist + 44)),
        caption=complex(grain - 92, waist - 60),
        origin=complex(0, waist),
        apex=bust,
        notches=(
            Notch("armhole", 88),
            Notch("side seam", 160, from_end=True),
            Notch("neckline", 130),
        ),
        inner={"centre front": (centre,), "waist line": (level,)},
    )


def _back(body: Body) -> Piece:
    upper = back_upper(body, _FIT)
    nape = 4j
    foot = complex(0, upper.waist + 74)
    neckline = sweep(upper.neck, upper.shoulder * 1j, nape, -1 + 0j, (0.29, 0.48))
    seam = _side(upper)
    hem = sweep(foot, 1 + 0j, seam.d, heading(-_FLARE), (0.40, 0.34))
    blade = complex(body.back_width * 0.19, body.armhole_depth * 0.64)
    grain = blade.real + 20
    return Piece(
        name="back",
        cutting="cut 1 on the fold",
        edges=(
            Edge("neckline", "neck point", (neckline,), NARROW),
            Edge("centre back", "centre back neck", (line(nape, foot),), 0),
            Edge("hem", "centre back hem", (hem,), HEM),
            Edge("side seam", "side hem", (seam.back(),), SEAM),
            Edge("armhole", "underarm point", back(upper.armhole()), NARROW),
            Edge("shoulder", "shoulder point", (line(upper.tip, upper.neck),), SEAM),
        ),
        grain=(complex(grain, upper.waist - 150), complex(grain, upper.waist + 20)),
        caption=complex(22, upper.waist - 110),
        fold="centre back",
        origin=complex(0, upper.waist),
        apex=blade,
        notches=(
            Notch("armhole", 96, 2),
            Notch("side seam", 160, from_end=True),
        ),
        inner={
            "waist line": (
                line(
                    complex(0, upper.waist),
                    crossing([seam], complex(0, upper.waist), complex(1, upper.waist))[-1].d,
                ),
            ),
        },
    )


def _front_facing(front: Piece) -> Piece:
    """As wide as `_FACING` at the shoulder, somewhat wider at the hem."""
    neckline, edge, hem, shoulder = (front.walk(n) for n in ("neckline", "front edge", "hem", "shoulder"))
    turned_up, _ = cut(hem, 74)
    end = turned_up[-1]
    inner = shoulder[0].d - _FACING * shoulder[0].direction(1)
    # Square to the hem, and square to the shoulder.
    outer = sweep(end.d, -1j * end.direction(1), inner, 1j * shoulder[0].direction(1), (0.26, 0.34))
    wrap = edge[0].a
    middle = (neckline[0].at(0.45) + outer.at(0.55)) / 2
    return Piece(
        name="front facing",
        cutting="cut 1 pair",
        edges=(
            Edge("neckline", "neck point", neckline, NARROW),
            Edge("front edge", "wrap point", edge, SEAM),
            Edge("hem", "front hem", turned_up, HEM),
            Edge("outer edge", "facing hem", (outer,), NARROW),
            Edge("shoulder", "facing shoulder", (line(inner, shoulder[0].d),), SEAM),
        ),
        grain=(middle - 32j, middle + 32j),
        caption=wrap + complex(8, 34),
        origin=wrap,
        notches=(Notch("neckline", 130),),
    )


def _neck_tape(front: Piece, rear: Piece) -> Piece:
    """A straight tape to stay the whole neckline, a little shorter; notched at shoulders and nape."""
    fore, aft = (TAPE_RATIO * length(piece.walk("neckline")) for piece in (front, rear))
    return band(
        name="neck tape",
        cutting="cut 1 along the selvedge",
        size=complex(2 * (fore + aft), TAPE_WIDTH),
        grain=(complex(120, TAPE_WIDTH / 2), complex(220, TAPE_WIDTH / 2)),
        notches=(
            Notch("lower edge", fore),
            Notch("lower edge", fore + aft, 2),
            Notch("lower edge", fore + 2 * aft),
        ),
        ends=SEAM,
        sides=NARROW,
    )
