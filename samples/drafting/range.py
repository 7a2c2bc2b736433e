"""The room's range: which design is drafted for which sizes, how it is laid out and in which house style."""

from . import choir_bodice, flat, layered, nested, shell, wrap_blouse
from .layers import House, Words, block_letters, layers, single_line
from .measurements import BODIES
from .piece import Piece
from .sheet import Drawn, Sheet, about_origin, box, row_width, shelves

_REVISION = "A 2026-03-09"
_ROLL = 1250.0  # mm of sheet across


def files() -> dict[str, str]:
    """Every file of the samples, by its path beside this package's folder."""
    return _wrap_blouse() | _shell() | _choir_bodice()


def _wrap_blouse() -> dict[str, str]:
    """One file for each size, every piece in the same place on each."""
    house = House(cut_lines=True, labelled_edges=True)
    sizes = [[about_origin(piece) for piece in wrap_blouse.draft(body)] for body in BODIES]
    places, height = shelves([box(same, cut_lines=True) for same in zip(*sizes, strict=True)], _ROLL)
    written = {}
    for rank, (body, pieces) in enumerate(zip(BODIES, sizes, strict=True)):
        drawn = tuple(
            _drawn(piece, body.number, rank, at, house) for piece, at in zip(pieces, places, strict=True)
        )
        sheet = Sheet(_ROLL, height, "wrap blouse", wrap_blouse.CAUTIONS, drawn)
        written[f"wrap-blouse/wrap-blouse-{body.number}.svg"] = layered.write(sheet)
    return written


def _shell() -> dict[str, str]:
    """All sizes in one file: large pieces over one another, small ones side by side."""
    house = House(cut_lines=False, labelled_edges=False)
    sizes = [[about_origin(piece) for piece in shell.draft(body)] for body in BODIES]
    nests: list[list[tuple[int, Piece]]] = []
    for same in zip(*sizes, strict=True):
        ranked = list(enumerate(same))
        nests += [ranked] if same[0].nested else [[one] for one in ranked]
    places, height = shelves([box((p for _, p in nest), cut_lines=False) for nest in nests], _ROLL)
    drawn = [
        _drawn(piece, BODIES[rank].letter, rank, at, house)
        for nest, at in zip(nests, places, strict=True)
        for rank, piece in nest
    ]
    drawn.sort(key=lambda one: one.rank)
    return {"shell/shell.svg": nested.write(Sheet(_ROLL, height, "shell", shell.CAUTIONS, tuple(drawn)))}


def _choir_bodice() -> dict[str, str]:
    """One file for each piece, its sizes in a row."""
    house = House(cut_lines=True, labelled_edges=False)
    sizes = [choir_bodice.draft(body) for body in BODIES]
    written = {}
    for same in zip(*sizes, strict=True):
        boxes = [box([piece], cut_lines=True) for piece in same]
        width = row_width(boxes)
        places, height = shelves(boxes, width)
        drawn = tuple(
            _drawn(piece, body.number, rank, at, house)
            for rank, (body, piece, at) in enumerate(zip(BODIES, same, places, strict=True))
        )
        name = same[0].name
        sheet = Sheet(width, height, f"choir bodice: {name}", choir_bodice.CAUTIONS, drawn)
        written[f"choir-bodice/choir-bodice-{name.replace(' ', '-')}.svg"] = flat.write(sheet)
    return written


def _drawn(piece: Piece, size: str, rank: int, at: complex, house: House) -> Drawn:
    return Drawn(size, rank, piece.name, at, tuple(layers(piece, house, _words(piece, size, rank))))


def _words(piece: Piece, size: str, rank: int) -> tuple[Words, ...]:
    if piece.nested or piece.narrow:
        return single_line(piece, size, _REVISION, rank if piece.nested else 0)
    return block_letters(piece, size, _REVISION)
