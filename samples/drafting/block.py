"""The room's bodice block: the upper body from neck to underarm, and the seams that hang from it.

Both halves are drafted with the centre at x = 0 and the side to the right; the back's y starts at the nape,
the front's at the neck point. A front is thought of in two frames: the upper body lies as it is drawn with a
side dart open, the lower body as it lies with the dart closed, and the two differ by a turn of the bust angle
about the apex.
"""

from dataclasses import dataclass

from .curves import Chain, Curve, heading, shifted, sweep, turned
from .measurements import Body

BACK_SLOPE = 18.5  # degrees of the shoulder against the level
FRONT_SLOPE = 21.5


@dataclass(frozen=True, slots=True)
class Fit:
    """What a design asks of the block beyond the body, in mm and degrees."""

    ease: float
    """Added to the whole bust girth."""
    deeper: float
    """The underarm below the body's armhole depth."""
    across: float
    """Added to half the back width and half the chest width."""
    neck_out: float = 0.0
    """The neck point moved out along the shoulder."""
    shoulder_in: float = 0.0
    """The shoulder point moved in along the shoulder."""
    bust_angle: float = 0.0
    """Degrees of bust dart; 0 for a front without any."""
    front_shorter: float = 0.0
    """Taken from the front's length where there is no dart to shape it."""
    side_lean: float = 0.0
    """Degrees by which the side seam leans in where it leaves the underarm."""


@dataclass(frozen=True, slots=True)
class Upper:
    """Neck point, shoulder point and underarm of one half, and what lies between."""

    neck: complex
    tip: complex
    cross: complex
    """Where the armhole runs straight down, at the back width or chest width."""
    underarm: complex
    waist: float
    """Level of the waist."""
    slope: float
    lean: float
    """Degrees of the side seam's direction at the underarm, from straight down towards the centre."""

    @property
    def shoulder(self) -> complex:
        """Unit direction from neck point to shoulder point."""
        return heading(self.slope)

    def along_shoulder(self, distance: float) -> complex:
        """The point on the shoulder at a distance from the neck point."""
        return self.neck + distance * self.shoulder

    def armhole(self) -> Chain:
        """From shoulder point to underarm: square to the shoulder and square to the side seam."""
        square = heading(self.slope + 90)
        # The first handle stops short of the line the armhole comes down on, or the curve would swing back.
        inward = (self.tip - self.cross).real / -square.real / abs(self.tip - self.cross)
        return (
            sweep(self.tip, square, self.cross, 1j, (min(0.34, 0.85 * inward), 0.36)),
            sweep(self.cross, 1j, self.underarm, heading(self.lean), (0.46, 0.50)),
        )


def quarter(body: Body, fit: Fit) -> float:
    """Width of one half of a front or back at the underarm."""
    return (body.bust + fit.ease) / 4


def back_upper(body: Body, fit: Fit) -> Upper:
    """The back's upper body; y = 0 at the nape."""
    neck = complex(body.neck / 5 + 1, -body.neck / 17)
    tip = neck + (body.shoulder - fit.shoulder_in) * heading(BACK_SLOPE)
    depth = body.armhole_depth + fit.deeper
    cross = complex(body.back_width / 2 + fit.across, tip.imag + 0.56 * (depth - tip.imag))
    return Upper(
        neck + fit.neck_out * heading(BACK_SLOPE), tip, cross, complex(quarter(body, fit), depth),
        body.back_length, BACK_SLOPE, fit.side_lean,
    )  # fmt: skip


def apex(body: Body) -> complex:
    """The front's apex; y = 0 at the neck point."""
    return complex(body.bust_span / 2, body.bust_depth)


def front_underarm(body: Body, fit: Fit) -> complex:
    """The front's underarm in the lower frame: as far above the waist as the back's."""
    waist = body.front_length - fit.front_shorter
    return complex(quarter(body, fit), waist - (body.back_length - body.armhole_depth - fit.deeper))


def front_upper(body: Body, fit: Fit, about: complex) -> Upper:
    """The front's upper body in the upper frame, the bust dart opened by a turn `about` a point."""
    neck = complex(body.neck / 5 + 1, 0)
    tip = neck + (body.shoulder - fit.shoulder_in) * heading(FRONT_SLOPE)
    underarm = turned(about, -fit.bust_angle)(front_underarm(body, fit))
    cross = complex(body.chest_width / 2 + fit.across, tip.imag + 0.58 * (underarm.imag - tip.imag))
    return Upper(
        neck + fit.neck_out * heading(FRONT_SLOPE), tip, cross, underarm,
        body.front_length - fit.front_shorter, FRONT_SLOPE, fit.side_lean - fit.bust_angle,
    )  # fmt: skip


def side_seam(underarm: complex, drop: float, out: float, lean_in: float, lean_out: float) -> Curve:
    """A side seam from the underarm down.

    It ends `drop` lower and `out` further out, leaves the underarm leaning `lean_in` degrees towards the
    centre and arrives leaning `lean_out` degrees away from it. Front and back hang the same curve.
    """
    return sweep(0j, heading(90 + lean_in), complex(out, drop), heading(90 - lean_out)).moved(
        shifted(underarm)
    )
