"""The wardrobe room's table of body measurements: invented, and uneven as measured people are.

Lengths are millimetres; girths go all the way round, widths all the way across.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Body:
    """One row of the table, known by a number in two designs and by a letter in the third."""

    number: str
    letter: str
    bust: float
    waist: float
    hip: float
    neck: float
    """Girth at the base of the neck."""
    shoulder: float
    """Neck point to shoulder point."""
    back_width: float
    chest_width: float
    armhole_depth: float
    """Nape to the level of the underarm."""
    back_length: float
    """Nape to waist."""
    front_length: float
    """Neck point to waist, over the bust."""
    bust_depth: float
    """Neck point to apex."""
    bust_span: float
    """Apex to apex."""
    bust_angle: float
    """Degrees of dart that lay the front over the bust."""
    upper_arm: float
    arm_length: float


_ROWS = """
 8 XS   836 648  901  352 118.5  332 312  203 404  428   252 177   7.9  262 583
10 S    872 683  938  360 121    342 321  207 408  435   258 183   8.2  272 587
12 M    914 724  979  370 124    354 332  212 413  444   266 190   8.6  285 591
14 L    961 772 1027  381 128    364 342  217 417  453   274 198   9.1  300 594
16 XL  1014 827 1080  394 132.5  377 354  223 421  463.5 283 207   9.7  317 596
"""


def _body(row: str) -> Body:
    number, letter, *lengths = row.split()
    return Body(number, letter, *map(float, lengths))


BODIES: tuple[Body, ...] = tuple(_body(row) for row in _ROWS.strip().splitlines())
