"""Pieces that were forgotten: an edge has the shape of one that was altered, and nothing links the two.

A facing, lining or stay tape whose edge lies on an altered edge to 0.5 mm no longer fits that edge. Straight
edges are alike all too often: they count only where they have the same name, too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rules.labels import fold
from rules.model import Rules
from transform.alter.closed_edges import is_straight
from transform.alter.facts import Notice, RemovalFacts
from transform.geometry.chain import Chain, chain_of
from transform.geometry.laying import are_alike
from transform.pattern.model import Piece

_ALIKE = 0.5


def forgotten(rules: Rules, pieces: Sequence[Piece], removals: Sequence[RemovalFacts]) -> Iterator[Notice]:
    """A notice for every piece with an edge like an altered one that no rule has altered with it.

    ``pieces`` are those of the size and those outside all sizes, as they came.
    """
    by_name = {piece.name: piece for piece in pieces}
    altered = dict.fromkeys((facts.piece, facts.edge) for facts in removals)
    told: set[str] = set()
    for name, edge in altered:
        for piece in pieces:
            if piece.name == name or piece.name in told:
                continue
            for other in piece.stitching.edge_names:
                if (piece.name, other) in altered or _known(rules, (name, edge), (piece.name, other)):
                    continue
                if _alike(by_name[name], edge, piece, other):
                    told.add(piece.name)
                    yield Notice("forgotten piece", piece.name, _text(name, edge, piece.name, other))
                    break


def _text(name: str, edge: str, piece: str, other: str) -> str:
    way = f"`linked: - {{piece: {piece}, follows: {name}, along: {edge}}}`"
    return (
        f"{other} of {piece} has the shape of {edge} of {name}, which was altered, and no rule links them; "
        + (f"say {way}" if fold(edge) == fold(other) else f"if they are sewn together, alter {piece} too")
    )


def _known(rules: Rules, one: tuple[str, str], other: tuple[str, str]) -> bool:
    """Whether a link or a seam of the rules speaks of both edges."""
    a, b = ((fold(piece), fold(edge)) for piece, edge in (one, other))
    for link in rules.linked:
        pair = {fold(link.piece), fold(link.follows)}
        if pair == {a[0], b[0]} and a[1] in map(fold, link.along):
            return True
    for seam in rules.seams:
        sides = [{(fold(t.piece), fold(t.edge)) for t in side} for side in seam.join]
        if any(a in sides[k] and b in sides[1 - k] for k in (0, 1)):
            return True
    return False


def _alike(piece: Piece, edge: str, other_piece: Piece, other: str) -> bool:
    first, second = _chains(piece, edge), _chains(other_piece, other)
    lengths = [sum(chain.length for chain in chains) for chains in (first, second)]
    if abs(lengths[0] - lengths[1]) > _ALIKE or min(lengths) <= _ALIKE:
        return False
    straight = [is_straight(chain_of(chains)) for chains in (first, second)]
    if any(straight) and fold(edge) != fold(other):
        return False
    return are_alike([first], [second], _ALIKE)


def _chains(piece: Piece, name: str) -> list[Chain]:
    edge = piece.stitching.edge(name)
    return [piece.stitching.stretches[k].chain for k in edge.indices]
