"""Inner lines that ended on an edge: where that was drawn anew they may end beside it.

A pleat that runs to the hem runs past it where the hem is raised; a placket that ended on the neckline ends
short of it, or beyond.
"""

from __future__ import annotations

from collections.abc import Iterator

from transform.alter.facts import Notice
from transform.geometry.chain import Chain
from transform.geometry.nearest import nearest
from transform.pattern.altered import AlteredPiece, Moved, Redrawn, Removed
from transform.pattern.model import Item, Way

_ON = 0.3
"""An end this near (mm) to a line ends on it."""
_OFF = 0.5
"""An end is told when it lies farther (mm) than this from the new line."""


def inner_ends(altered: AlteredPiece) -> Iterator[Notice]:
    """A notice for every inner line that ended on the stitching line or the cut line and does so no more."""
    piece = altered.piece
    lines = [(piece.stitching.chain, altered.stitching)] if piece.stitching_drawn else []
    if piece.cut is not None:
        lines.append((piece.cut.chain, altered.cut))
    for item in piece.items:
        if item.way is not Way.CUT or item.role is not None or item.shared:
            continue
        for before, after in _ends(item, altered):
            for old, outline in lines:
                if outline is None or nearest(old, before)[1] > _ON:
                    continue
                place, away = nearest(outline.chain, after)
                if away > _OFF:
                    foot, tangent = outline.chain.point(place), outline.chain.tangent(place)
                    short = ((after - foot) * tangent.conjugate()).imag > 0
                    edge = outline.edge_at(place) or "the edge"
                    name = f"inner line {item.label!r}" if item.label else "an inner line"
                    how = "short of" if short else "beyond"
                    text = (
                        f"{name} ended on {edge} and now ends {away:.1f} mm {how} it "
                        f"at ({after.real:.1f}, {after.imag:.1f})"
                    )
                    yield Notice("inner line off the edge", piece.name, text)
                break


def _ends(item: Item, altered: AlteredPiece) -> Iterator[tuple[complex, complex]]:
    """Every end of the item's open lines, before and after."""
    change = altered.items.get(item.element)
    if isinstance(change, Removed):
        return
    for number, chain in enumerate(item.chains):
        if chain.closed:
            continue
        new = _new_chains(chain, number, change)
        if new:
            yield chain.start, new[0].start
            yield chain.end, new[-1].end


def _new_chains(chain: Chain, number: int, change: object) -> tuple[Chain, ...]:
    if isinstance(change, Redrawn):
        return change.chains[number]
    return (chain.moved(change.motion),) if isinstance(change, Moved) else (chain,)
