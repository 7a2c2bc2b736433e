"""Removals, linked pieces and seams proposed in a rules file, commented out for the person to fill in."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from rules.labels import fold
from transform.first_look.quoting import quoted, row
from transform.pattern.model import Piece

_NOT_SEWN = {"neckline", "armhole", "hem", "waist", "waistline", "centre front", "centre back"}
"""Edges of two pieces that are called so are not sewn to each other."""
_SECOND_LAYERS = (["facing"], ["lining"])
"""The last word of pieces that lie on another one."""


def removal(pieces: Sequence[Piece]) -> Iterator[str]:
    """A removal that is commented out, with the names of this pattern as far as it has any."""
    piece = _most_likely(pieces)
    edges = piece.stitching.edge_names if piece is not None else ()
    edge = next((name for name in edges if "neck" in fold(name)), edges[0] if edges else "neckline")
    start = _beside(piece, edge) if piece is not None and edges else "shoulder"
    yield ""
    yield "# What to take out. Fill in what you measured, and take away the `#` before these lines:"
    yield "#removals:"
    yield f"#  - piece: {quoted(piece.name if piece is not None else 'front')}"
    if edges:
        yield f"#    edge: {quoted(edge)}           # one of: {', '.join(map(quoted, edges))}"
    else:
        yield f"#    edge: {quoted(edge)}"
    yield f"#    from: {quoted(start)}           # the corner, or the edge, from which `distance` is measured"
    yield f"#    distance: {_place(piece, edge)} cm{' ' * 10}# to the first leg of the wedge"
    yield "#    pinched: 1 cm           # `pinched:` is one side of the fold, `removed:` the full width"
    if piece is not None and piece.darts:
        yield f"#    pivot: {{dart: {quoted(piece.darts[0].name)}}}"
    else:
        yield "#    pivot: apex             # needs an apex mark"
        yield "#    opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 6 cm}"
    yield "#    finish: {draw back: 25 mm, press: down}   # how far the dart ends before its pivot"


def linked(pieces: Sequence[Piece]) -> Iterator[str]:
    """Facings and linings that share an edge with the piece they are named after, commented out."""
    shared = [
        (other, piece, edge)
        for other in pieces
        for piece in pieces
        if _named_after(other, piece)
        for edge in other.stitching.edge_names
        if _alike(other, piece, edge)
    ]
    if not shared:
        return
    yield ""
    yield "# Facings and linings that are altered with the piece they follow:"
    yield "#linked:"
    for other, piece, edge in shared:
        yield f"#  - {{piece: {quoted(other.name)}, follows: {quoted(piece.name)}, along: {quoted(edge)}}}"


def _named_after(other: Piece, piece: Piece) -> bool:
    """Whether a piece is a facing or a lining that bears the other's name: `front facing` and `front`."""
    words, stem = fold(other.name).split(), fold(piece.name).split()
    return words[:-1] == stem and words[-1:] in _SECOND_LAYERS and other.size == piece.size


def _alike(other: Piece, piece: Piece, edge: str) -> bool:
    """Whether both have an edge of that name, and as long to within a millimetre."""
    if fold(edge) not in {fold(name) for name in piece.stitching.edge_names}:
        return False
    return abs(other.stitching.edge(edge).length - piece.stitching.edge(edge).length) < 1.0


def _most_likely(pieces: Sequence[Piece]) -> Piece | None:
    """The piece that is most likely to gape: one that is called front, else the first."""
    first = [piece for piece in pieces if fold(piece.name).split()[-1:] not in _SECOND_LAYERS] or pieces
    fronts = [piece for piece in first if "front" in fold(piece.name).split()]
    return next(iter([*fronts, *first]), None)


def _place(piece: Piece | None, edge: str) -> int:
    """A place (cm) along the edge at which a wedge has room on both sides."""
    if piece is None or not piece.stitching.edge_names:
        return 6
    return max(1, round(piece.stitching.edge(edge).length * 0.4 / 10))


def _beside(piece: Piece, edge: str) -> str:
    """An edge that adjoins ``edge``, the shoulder if it does."""
    index = piece.stitching.edge(edge).indices[0]
    last = piece.stitching.edge(edge).indices[-1]
    found = (piece.stitching.adjoining(index, -1), piece.stitching.adjoining(last, 1))
    names = [piece.stitching.stretches[k].edge or edge for k in found if k is not None]
    return next((name for name in names if "shoulder" in fold(name)), names[0])


def seams(pieces: Sequence[Piece]) -> Iterator[str]:
    """Seams between edges of one name on two pieces, commented out."""
    edges: dict[str, list[str]] = {}
    for piece in pieces:
        if fold(piece.name).split()[-1:] in _SECOND_LAYERS:
            continue
        for edge in piece.stitching.edge_names:
            edges.setdefault(fold(edge), []).append(f"{_term(piece.name)}/{_term(edge)}")
    pairs = [terms for edge, terms in edges.items() if len(terms) == 2 and edge not in _NOT_SEWN]
    yield ""
    yield "# Which edges are sewn together, so that the seams are walked:"
    yield "#seams:"
    for one, other in pairs or [["front/side seam", "back/side seam"]]:
        yield f"#  - join: {row([one, other])}"


def _term(name: str) -> str:
    return f'"{name}"' if re.search(r"/| \+ | x \d", name) else name
