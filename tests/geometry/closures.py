"""Closed edges made as a cutter makes them: a wedge cut to a pivot, its legs laid together."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from functools import cache, lru_cache

from hypothesis import strategies as st

from transform.geometry.chain import Chain
from transform.geometry.fair import FairLine, close_fair
from transform.geometry.motion import Motion
from transform.geometry.segments import Arc, Cubic, Line


def quarter(across: float, down: float) -> Chain:
    """A hollow neckline, from the centre to the neck point, the piece outside the hollow."""
    round_ = 0.5523
    return Chain(
        (
            Cubic(
                down * 1j, complex(round_ * across, down), complex(across, round_ * down), complex(across, 0)
            ),
        )
    )


def bowed(start: complex, end: complex, depth: float) -> Chain:
    """An edge that is hollow by 3/4 of ``depth``; full where that is negative."""
    third = (end - start) / 3
    aside = 1j * third / abs(third) * depth
    return Chain((Cubic(start, start + third + aside, end - third + aside, end),))


def armhole() -> Chain:
    """From the shoulder down, tighter and tighter to the underarm."""
    return Chain(
        (
            Cubic(0j, -22 + 70j, -22 + 130j, -5 + 160j),
            Cubic(-5 + 160j, 5.2 + 178j, 25 + 200j, 70 + 200j),
        )
    )


HOLLOW = {
    "round 60": quarter(60, 70),
    "round 75": quarter(75, 75),
    "round 90": quarter(90, 90),
    "scoop": quarter(75, 120),
    "deep scoop": quarter(80, 170),
    "arc": Chain((Arc(80j, 80 + 0j, 80, 80, 0.0, False, False),)),
    "armhole": armhole(),
}
EDGES = {
    **HOLLOW,
    "straight": Chain((Line(70 + 0j, 200j),)),
    "wrap": bowed(70 + 0j, -60 + 330j, 15.0),
    "slight wrap": bowed(70 + 0j, -60 + 330j, 6.0),
    "hem": bowed(300 + 0j, 0j, -5.0),
    "round hem": bowed(300 + 0j, 0j, -20.0),
}


@dataclass(frozen=True)
class Closure:
    """A wedge of ``removed`` mm, ``share`` of the way along an edge, to a pivot ``depth`` mm away.

    ``slant`` is the stagger as a share of the removed width: 0 where the wedge stands square to the edge.
    """

    edge: str
    share: float
    removed: float
    slant: float
    depth: float

    @property
    def chains(self) -> tuple[Chain, Chain]:
        """The edge up to the closure, and the turned part behind it."""
        return _closed(self)[:2]

    @property
    def angle(self) -> float:
        """By how much the part behind was turned, rad."""
        return _closed(self)[2]


@cache
def _closed(closure: Closure) -> tuple[Chain, Chain, float]:
    whole = EDGES[closure.edge]
    place = closure.share * (whole.length - closure.removed)
    b, a = whole.point(place), whole.point(place + closure.removed)
    leg = (a - b) / abs(a - b) * complex(closure.slant, -math.sqrt(1 - closure.slant**2))
    pivot = (a + b) / 2 - leg * closure.depth
    angle = cmath.phase((b - pivot) / (a - pivot))
    turned = whole.cut(place + closure.removed, whole.length).moved(Motion.rotation(pivot, angle))
    return whole.cut(0.0, place), turned, angle


@lru_cache(maxsize=4096)
def drawn(closure: Closure) -> FairLine:
    """The fair line over a closure."""
    return close_fair(closure.chains)


def closures(names: list[str] | None = None, most_slant: float = 0.9) -> st.SearchStrategy[Closure]:
    """Closures of every kind, of up to 12°."""
    slants = [s for s in (0.0, 0.3, -0.3, 0.75, -0.75, 0.9, -0.9) if abs(s) <= most_slant]
    return st.builds(
        Closure,
        st.sampled_from(names or list(EDGES)),
        st.floats(0.1, 0.9),
        st.sampled_from([3.0, 6.0, 10.0, 15.0, 20.0, 30.0, 40.0]),
        st.sampled_from(slants),
        st.floats(80, 220),
    ).filter(lambda closure: abs(closure.angle) <= math.radians(12))


@st.composite
def roomy(draw: st.DrawFn) -> Closure:
    """Usual closures of hollow edges, with 60 mm and more on either side."""
    name = draw(st.sampled_from(["round 90", "scoop", "deep scoop", "armhole"]))
    removed = draw(st.sampled_from([3.0, 6.0, 10.0, 15.0]))
    rest = EDGES[name].length - removed
    share = draw(st.floats(60.5 / rest, 1 - 60.5 / rest))
    return Closure(name, share, removed, draw(st.sampled_from([0.0, 0.3, -0.3])), draw(st.floats(90, 220)))
