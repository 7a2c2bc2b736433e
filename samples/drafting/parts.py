"""What several designs draft alike: the cap of a dart, a neck facing, a band."""

from .curves import Chain, back, crossing, line, mirrored, moved, sweep
from .piece import Edge, Notch, Piece


def cap(point: complex, onto: complex, other: complex, seam: Chain) -> Chain:
    """The outline across a dart's mouth, from leg end `onto` to leg end `other`.

    `seam` begins at `onto` and is the seam on the side to which the dart is pressed. Folded that way, the
    half of the mouth next to it lies on it: it is the seam's reflection in the leg, as far as the dart's
    middle. The other half is the first one's reflection in the middle.
    """
    middle = (onto + other) / 2
    half = crossing(moved(seam, mirrored(point, onto)), point, middle)
    return (*half, *back(moved(half, mirrored(point, middle))))


def neck_facing(piece: Piece, name: str, cutting: str, width: float, outer_allowance: float = 0.0) -> Piece:
    """A facing of even width for a piece on the fold; its neckline is the piece's own."""
    neckline, shoulder, fold = piece.walk("neckline"), piece.walk("shoulder"), str(piece.fold)
    centre, down = neckline[-1].d, 1j * width
    inner = shoulder[-1].d - width * shoulder[-1].direction(1)
    outer = sweep(centre + down, 1 + 0j, inner, 1j * shoulder[-1].direction(1), (0.52, 0.44))
    return Piece(
        name=name,
        cutting=cutting,
        edges=(
            Edge("neckline", "neck point", neckline, piece.allowance("neckline")),
            Edge(fold, f"{fold} neck", (line(centre, outer.a),)),
            Edge("outer edge", f"{fold} facing", (outer,), outer_allowance),
            Edge("shoulder", "facing shoulder", (line(inner, shoulder[-1].d),), piece.allowance("shoulder")),
        ),
        grain=(centre + complex(9, 6), centre + 1j * (width - 8) + 9),
        caption=centre + complex(14, 16),
        fold=fold,
        origin=centre,
        notches=tuple(notch for notch in piece.notches if notch.edge == "neckline"),
    )


def band(
    name: str, cutting: str, size: complex, grain: tuple[complex, complex], notches: tuple[Notch, ...],
    ends: float = 0.0, sides: float = 0.0,
) -> Piece:  # fmt: skip
    """A band of `size` length + width·j; `ends` and `sides` are its allowances."""
    corners = (0j, 1j * size.imag, size, complex(size.real, 0))
    names = ("first end", "lower edge", "last end", "upper edge")
    starts = ("first upper corner", "first lower corner", "last lower corner", "last upper corner")
    return Piece(
        name=name,
        cutting=cutting,
        edges=tuple(
            Edge(names[i], starts[i], (line(corners[i], corners[(i + 1) % 4]),), sides if i % 2 else ends)
            for i in range(4)
        ),
        grain=grain,
        caption=complex(max(p.real for p in grain) + 14, size.imag / 2 + 1.7),
        narrow=True,
        notches=notches,
    )
