"""A strip is shorter by ratio times what its edges have lost, its ends and its joins as they were."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rules.labels import fold, spelled
from rules.model import Rules, Strip
from transform.alter.facts import SizeResult
from transform.alter.shortening import LENGTHWISE, Band, band_of
from transform.geometry.motion import Motion
from transform.geometry.nearest import nearest
from transform.pattern.model import Piece
from transform.pattern.outline import Outline

LENGTH_MM = 0.02
KEPT_MM = 0.02
_STEP = 3.0
_END = 1.0


def wrong_strips(
    rules: Rules, result: SizeResult, before: Sequence[Piece], after: Mapping[str, Piece]
) -> Iterator[tuple[Piece, str]]:
    """The strips of one size that are not what they should be, with what is wrong.

    ``before`` are the pieces of the size as they came, ``after`` the altered ones, read again, by name.
    """
    old = {fold(piece.name): piece for piece in before}
    new = {**old, **{fold(name): piece for name, piece in after.items()}}
    for strip, facts in zip(rules.strips, result.strips, strict=True):
        was, now = old[fold(strip.strip)], new[fold(strip.strip)]
        loss = facts.before - facts.after
        band, found = band_of(was), band_of(now)
        if abs(band.length - found.length - loss) > LENGTH_MM:
            yield was, f"it is {found.length:.3f} mm long where {facts.after:.3f} mm were told"
        lost = strip.ratio * _lost(strip, old, new)
        if min(abs(loss - lost * share) for share in ((1.0, 0.5) if band.half else (1.0,))) > LENGTH_MM:
            yield was, f"it lost {loss:.3f} mm where its edges ask for {lost:.3f} mm"
        lines = [("stitching line", was.stitching, now.stitching)]
        if was.cut is not None and now.cut is not None:
            lines.append(("cut line", was.cut, now.cut))
        for name, one, other in lines:
            off = _moved_wrongly(band, one, other, loss)
            if off > KEPT_MM:
                yield was, f"its {name} lies up to {off:.3f} mm from where its ends were to stay"


def _lost(strip: Strip, old: Mapping[str, Piece], new: Mapping[str, Piece]) -> float:
    """What the edges that a strip follows have lost together, mm."""
    total = 0.0
    for term in strip.follows:
        lengths = []
        for pieces in (old, new):
            outline = pieces[fold(term.piece)].stitching
            lengths.append(outline.edge(spelled(term.edge, outline.edge_names) or term.edge).length)
        total += term.times * (lengths[0] - lengths[1])
    return total


def _moved_wrongly(band: Band, old: Outline, new: Outline, loss: float) -> float:
    """How far the line lies from where it was, or from there moved along the band by what it lost, mm.

    Near each end it must be the one or the other; between, a band that tapers may lie off by its taper.
    """
    shift = Motion(shift=-loss * band.along)
    worst = 0.0
    for point in old.chain.samples(_STEP):
        at = band.at(point)
        stays, moves = nearest(new.chain, point)[1], nearest(new.chain, shift(point))[1]
        if at <= band.first + _END:
            worst = max(worst, stays)
        elif at >= band.last - _END:
            worst = max(worst, moves)
        else:
            worst = max(worst, min(stays, moves) - LENGTHWISE * abs(loss))
    return worst
