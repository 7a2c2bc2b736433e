"""The shell: sleeveless, deeply scooped, with a bust dart in the side seam. A net pattern, no allowances.

Neckline and armhole both gape towards the dart, and both can be closed into it.
"""

from .block import Fit, apex, back_upper, front_underarm, front_upper, side_seam
from .curves import Curve, back, cut, length, line, moved, sweep, turned, unit
from .measurements import Body
from .parts import band, cap, neck_facing
from .piece import Dart, Edge, Notch, Piece

CAUTIONS = (
    "Print at full size, then measure the square: 50 mm each way.",
    "Net pattern: no allowance is drawn. Thread-trace the lines, then add what the cloth needs.",
    "Press the bust dart down; its mouth is capped for that.",
    "Baste and fit before binding the armholes.",
)
BINDING_WIDTH, BINDING_RATIO = 30.0, 0.95
_FACING = 58.0
_BELOW_WAIST = 126.0
_DART_BELOW_UNDERARM = 58.0
_POINT_OFF_APEX = 24.0
_LINING_SHORTER = 20.0


def _fit(body: Body) -> Fit:
    return Fit(
        ease=66, deeper=0, across=-6, neck_out=24, shoulder_in=16, bust_angle=body.bust_angle, side_lean=3
    )  # fmt: skip


def draft(body: Body) -> list[Piece]:
    """All pieces of one size."""
    front, rear = _front(body), _back(body)
    facings = [
        neck_facing(piece, f"{piece.name} neck facing", "cut 1 on the fold", _FACING)
        for piece in (front, rear)
    ]
    return [front, rear, _lining(front), *facings, _binding(front, rear)]


def _side(underarm: complex, waist: float) -> Curve:
    return side_seam(underarm, waist + _BELOW_WAIST - underarm.imag, 6, 3, 4)


def _front(body: Body) -> Piece:
    fit, bust = _fit(body), apex(body)
    upper = front_upper(body, fit, bust)
    seam = _side(front_underarm(body, fit), upper.waist)
    above, below = cut([seam], _DART_BELOW_UNDERARM)
    # Opening the dart turns what lies above it up about the apex.
    above = moved(above, turned(bust, -body.bust_angle))
    ends = above[-1].d, below[0].a
    towards = unit((ends[0] + ends[1]) / 2 - bust)
    point = bust + _POINT_OFF_APEX * towards
    neck_depth = complex(0, 158 + (body.neck - 370) / 6)
    neckline = sweep(upper.neck, upper.shoulder * 1j, neck_depth, -1 + 0j, (0.50, 0.46))
    foot = complex(0, upper.waist + _BELOW_WAIST + 7)
    hem = sweep(foot, 1 + 0j, seam.d, -1j * seam.direction(1), (0.40, 0.30))
    return Piece(
        name="front",
        nested=True,
        cutting="cut 1 on the fold",
        edges=(
            Edge("neckline", "neck point", (neckline,)),
            Edge("centre front", "centre front neck", (line(neck_depth, foot),)),
            Edge("hem", "centre front hem", (hem,)),
            Edge("side seam", "side hem", back(below)),
            Edge("bust dart", "lower leg", cap(point, ends[1], ends[0], below), mouth=True),
            Edge("side seam", "upper leg", back(above)),
            Edge("armhole", "underarm point", back(upper.armhole())),
            Edge("shoulder", "shoulder point", (line(upper.tip, upper.neck),)),
        ),
        grain=(complex(84, upper.waist - 150), complex(84, upper.waist - 10)),
        caption=complex(12, upper.waist + 24),
        fold="centre front",
        origin=complex(0, upper.waist),
        darts=(Dart("bust dart", (ends[0], point, ends[1])),),
        apex=bust,
        notches=(
            Notch("armhole", 84),
            Notch("side seam", 120),
            Notch("neckline", 20, from_end=True),
        ),
    )


def _back(body: Body) -> Piece:
    upper = back_upper(body, _fit(body))
    seam = _side(upper.underarm, upper.waist)
    nape = complex(0, 46 + (body.neck - 370) / 8)
    neckline = sweep(upper.neck, upper.shoulder * 1j, nape, -1 + 0j, (0.34, 0.50))
    foot = complex(0, upper.waist + _BELOW_WAIST + 7)
    hem = sweep(foot, 1 + 0j, seam.d, -1j * seam.direction(1), (0.40, 0.30))
    return Piece(
        name="back",
        nested=True,
        cutting="cut 1 on the fold, and 1 in lining",
        edges=(
            Edge("neckline", "neck point", (neckline,)),
            Edge("centre back", "centre back neck", (line(nape, foot),)),
            Edge("hem", "centre back hem", (hem,)),
            Edge("side seam", "side hem", (seam.back(),)),
            Edge("armhole", "underarm point", back(upper.armhole())),
            Edge("shoulder", "shoulder point", (line(upper.tip, upper.neck),)),
        ),
        grain=(complex(84, upper.waist - 150), complex(84, upper.waist - 10)),
        caption=complex(12, upper.waist + 24),
        fold="centre back",
        origin=complex(0, upper.waist),
        notches=(Notch("armhole", 90, 2), Notch("side seam", 120)),
    )


def _lining(front: Piece) -> Piece:
    """The front over again, its hem `_LINING_SHORTER` higher and square to the seam where it then ends."""
    below, cut_away = front.edges[3].chain, front.edges[1].chain[0]
    left = back(cut(below, _LINING_SHORTER)[1])
    foot = cut_away.d - 1j * _LINING_SHORTER
    hem = sweep(foot, 1 + 0j, left[-1].d, -1j * left[-1].direction(1), (0.40, 0.30))
    changed = {
        1: Edge("centre front", "centre front neck", (line(cut_away.a, foot),)),
        2: Edge("hem", "centre front hem", (hem,)),
        3: Edge("side seam", "side hem", back(left)),
    }
    return Piece(
        name="front lining",
        nested=True,
        cutting="cut 1 on the fold in lining",
        edges=tuple(changed.get(index, edge) for index, edge in enumerate(front.edges)),
        grain=front.grain,
        caption=front.caption,
        fold=front.fold,
        origin=front.origin,
        darts=front.darts,
        apex=front.apex,
        notches=(Notch("armhole", 84), Notch("side seam", 120 - _LINING_SHORTER)),
    )


def _binding(front: Piece, rear: Piece) -> Piece:
    """A bias band for one armhole, a little shorter than it, notched at the shoulder."""
    fore, aft = (BINDING_RATIO * length(piece.walk("armhole")) for piece in (front, rear))
    return band(
        name="armhole binding",
        cutting="cut 1 pair on the bias",
        size=complex(fore + aft, BINDING_WIDTH),
        grain=(complex(20, 26), complex(42, 4)),
        notches=(Notch("lower edge", fore),),
    )
