"""The cut line: the stitching line moved outward by each edge's allowance, its corners extended."""

from .curves import Chain, Curve, line
from .piece import Piece

_CLOSE_ENOUGH = 0.01  # mm by which a fitted curve may miss its allowance
_SMOOTH = 0.002  # sine of the turn up to which two curves run on into each other
_SAMPLES = tuple(i / 8 for i in range(1, 8))


def cut_line(piece: Piece) -> Chain:
    """The closed cut line, travelled like the stitching line; without allowance the two are one."""
    outward = piece.outward()
    parts = [offset(curve, outward * edge.allowance) for edge in piece.edges for curve in edge.chain]
    for index in range(len(parts)):
        following = (index + 1) % len(parts)
        parts[index], parts[following] = _joined(parts[index], parts[following])
    return tuple(curve for part in parts for curve in part)


def offset(curve: Curve, side: complex) -> Chain:
    """The parallel of a curve at distance |side|; `side` times the direction of travel points there.

    The handles keep their directions and get the lengths that bring the parallel nearest to its distance
    (Gauss-Newton on two lengths); where that is not close enough the curve is parted in the middle.
    """
    start, end = curve.a + side * curve.direction(0), curve.d + side * curve.direction(1)
    if curve.straight:
        return (line(start, end),)
    if side == 0:
        return (curve,)
    reach, sign = abs(side), 1.0 if (side / 1j).real > 0 else -1.0
    out, into = curve.direction(0), curve.direction(1)
    bent = abs(end - start) / abs(curve.d - curve.a)
    pull, push = abs(curve.b - curve.a) * bent, abs(curve.d - curve.c) * bent

    def drawn(p: float, q: float) -> Curve:
        return Curve(start, start + out * p, end - into * q, end)

    def misses(p: float, q: float) -> list[float]:
        return [_distance(curve, drawn(p, q).at(t), t, sign) - reach for t in _SAMPLES]

    for _ in range(8):
        now = misses(pull, push)
        by_pull = [(x - y) / 0.01 for x, y in zip(misses(pull + 0.01, push), now, strict=True)]
        by_push = [(x - y) / 0.01 for x, y in zip(misses(pull, push + 0.01), now, strict=True)]
        aa = sum(x * x for x in by_pull)
        ab = sum(x * y for x, y in zip(by_pull, by_push, strict=True))
        bb = sum(y * y for y in by_push)
        ra = sum(x * y for x, y in zip(by_pull, now, strict=True))
        rb = sum(x * y for x, y in zip(by_push, now, strict=True))
        det = aa * bb - ab * ab
        if det < 1e-12:
            break
        pull -= (bb * ra - ab * rb) / det
        push -= (aa * rb - ab * ra) / det
    if pull > 0 and push > 0 and max(map(abs, misses(pull, push))) < _CLOSE_ENOUGH:
        return (drawn(pull, push),)
    first, second = curve.split(0.5)
    return (*offset(first, side), *offset(second, side))


def _distance(curve: Curve, p: complex, t: float, sign: float) -> float:
    """Signed distance of `p` from the curve, its foot sought from parameter `t` on."""
    for _ in range(6):
        slope = curve.slope(t)
        t = min(1.0, max(0.0, t + ((p - curve.at(t)) * slope.conjugate()).real / abs(slope) ** 2))
    return sign * ((p - curve.at(t)) * curve.direction(t).conjugate()).imag


def _joined(first: Chain, second: Chain) -> tuple[Chain, Chain]:
    """Both chains, carried on straight or trimmed so that they meet in one corner."""
    before, after = first[-1], second[0]
    turn = (before.direction(1).conjugate() * after.direction(0)).imag
    if abs(before.d - after.a) < 1e-6:
        return first, second
    if abs(turn) < _SMOOTH:
        raise ValueError("an allowance changes where the outline has no corner")
    s, t = 1.0, 0.0
    for _ in range(20):
        gap = after.at(t) - before.at(s)
        u, v = before.slope(s), after.slope(t)
        area = (u.conjugate() * v).imag
        s += (gap.conjugate() * v).imag / area
        t += (gap.conjugate() * u).imag / area
    corner = (before.at(s) + after.at(t)) / 2
    return (*first[:-1], *_ending(before, s, corner)), (*_starting(after, t, corner), *second[1:])


def _ending(curve: Curve, s: float, corner: complex) -> Chain:
    if curve.straight:
        return (line(curve.a, corner),)
    if s > 1:
        return (curve, line(curve.d, corner)) if abs(corner - curve.d) > 0.005 else (_to(curve, corner),)
    return (_to(curve.split(s)[0], corner),)


def _starting(curve: Curve, t: float, corner: complex) -> Chain:
    return tuple(part.back() for part in reversed(_ending(curve.back(), 1 - t, corner)))


def _to(curve: Curve, end: complex) -> Curve:
    return Curve(curve.a, curve.b, curve.c + end - curve.d, end)
