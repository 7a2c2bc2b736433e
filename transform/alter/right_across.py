"""A linked piece cut right across: where the wedge that begins on its shared edge comes out again."""

from __future__ import annotations

from transform.alter.closing import Closing
from transform.alter.linked_piece import CLEAR, ON_OUTLINE, Following, refuse_over_dart
from transform.alter.problems import AlterError
from transform.geometry.chain import Chain
from transform.geometry.meeting import line_meets


def far_side(following: Following, closing: Closing) -> tuple[float, float] | None:
    """Where the wedge comes out at the piece's far side, in the outline's order; None where it does not.

    The legs run towards the pivot where the piece lies on that side of the shared edge, else away from it.

    Raises:
        AlterError: where the piece is met again behind its end, or a dart lies there.
    """
    chain = following.outline
    middle = chain.wrap(closing.low + ((closing.high - closing.low) % chain.length) / 2)
    inward = 1j * chain.tangent(middle)
    towards = ((closing.pivot - chain.point(middle)) * inward.conjugate()).real > 0
    places = []
    for place in (closing.high, closing.low):
        exits = _ahead(chain, chain.point(place), closing.pivot, towards)
        if len(exits) > 1 and towards:
            raise _torn(following, closing, "meets the piece again behind its free edge")
        places.append(exits[0] if exits else None)
    first, last = places
    if first is None or last is None:
        return None
    refuse_over_dart(following, closing.name, first, last)
    return first, last


def _ahead(chain: Chain, start: complex, pivot: complex, towards: bool) -> list[float]:
    """Places at which a leg meets the outline on from ``start``: before the pivot, or away from it."""
    reach = abs(pivot - start)
    along = pivot - start if towards else start - pivot
    found: list[tuple[float, float]] = []
    for distance, place in line_meets(chain, start, along):
        ahead = distance > CLEAR and (not towards or distance < reach - ON_OUTLINE)
        if ahead and (not found or distance - found[-1][0] > 1e-6):
            found.append((distance, place))
    return [place for _, place in found]


def _torn(following: Following, closing: Closing, what: str) -> AlterError:
    return following.asked.refusal(
        "cannot be cut across",
        f"the wedge of {closing.name} {what}, so that cannot be cut right across; give it a removal "
        "of its own instead",
    )
