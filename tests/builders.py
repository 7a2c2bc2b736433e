"""Pieces built by hand, in mm, as a cutter would draft them: half fronts with the centre on a fold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rules.lengths import Fixed
from rules.model import ApexPivot, NewDart, Removal, Rules
from transform.alter.design import alter_size
from transform.alter.facts import SizeResult
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Cubic, Line, Segment
from transform.pattern.model import Dart, Piece
from transform.pattern.outline import Outline, Stretch

APEX = 95 + 260j
NECKS: dict[str, Segment] = {
    "round": Cubic(120j, 40 + 120j, 70 + 60j, 70 + 0j),
    "scooped": Cubic(190j, 60 + 190j, 80 + 90j, 80 + 0j),
    "straight": Line(200j, 70 + 0j),
    "wrapped": Cubic(-90 + 330j, -30 + 240j, 40 + 110j, 70 + 0j),
}


def stretch(edge: str, *segments: Segment, source: int | None = None) -> Stretch:
    """A stretch of an edge."""
    return Stretch(Chain(segments), edge, source=source)


def front_outline(neck: str = "round") -> Outline:
    """A half front: neckline, shoulder, armhole, side seam, hem, centre front; the centre at x = 0."""
    first = NECKS[neck]
    return Outline(
        (
            stretch("neckline", first, source=11),
            stretch("shoulder", Line(first.end, 190 + 40j), source=12),
            stretch("armhole", Cubic(190 + 40j, 170 + 120j, 170 + 250j, 240 + 260j), source=13),
            stretch("side seam", Line(240 + 260j, 230 + 600j), source=14),
            stretch("hem", Cubic(230 + 600j, 150 + 605j, 80 + 610j, 610j + first.start.real), source=15),
            stretch("centre front", Line(610j + first.start.real, first.start), source=16),
        )
    )


def front(neck: str = "round", *, size: str = "12") -> Piece:
    """A half front with an apex mark, a grainline and the centre front on the fold."""
    outline = front_outline(neck)
    return Piece(
        name="front",
        size=size,
        file=f"front-{size}.svg",
        label_path=f"size {size} > front",
        stitching=outline,
        stitching_drawn=True,
        cut=None,
        apexes={"": APEX},
        grain=(60 + 300j, 60 + 500j),
        fold=outline.stretches[-1].chain if neck != "wrapped" else None,
    )


def front_with_dart(*, drawn_in: bool = False, capped: bool = False, neck: str = "round") -> Piece:
    """The front with a side dart of 30 mm at 160 mm, its point 25 mm off the apex."""
    piece = front(neck)
    upper, lower = 238.2 + 321j, 237.3 + 351j
    point = 120 + 280j
    # Legs of one length: the upper end is moved along its leg.
    upper = point + (upper - point) / abs(upper - point) * abs(lower - point)
    side = piece.stitching.stretches[3]
    if drawn_in:
        middle = (Line(upper, point), Line(point, lower))
    elif capped:
        tip = (upper + lower) / 2 + 3
        middle = (Line(upper, tip), Line(tip, lower))
    else:
        middle = (Line(upper, lower),)
    mouth = Stretch(Chain(middle), None, "bust dart", drawn_in=drawn_in, source=19 if drawn_in else 17)
    above = stretch("side seam", Line(side.chain.start, upper), source=14)
    below = stretch("side seam", Line(lower, side.chain.end), source=18)
    rows = piece.stitching.stretches
    outline = Outline((*rows[:3], above, mouth, below, *rows[4:]))
    place = outline.mouth_of("bust dart")
    assert place is not None
    dart = Dart("bust dart", point, (upper, lower), place, drawn_in, capped, () if drawn_in else (21,))
    return replace(piece, stitching=outline, darts=(dart,))


def removal(**changes: object) -> Removal:
    """A 20 mm neckline wedge to the apex, opening a new dart 60 mm below the armhole; or as changed."""
    usual = Removal(
        name="neck gape",
        piece="front",
        edge="neckline",
        start="shoulder",
        distance=Fixed(60),
        amount=Fixed(20),
        pivot=ApexPivot(),
        opens=(NewDart("bust dart", "side seam", "armhole", Fixed(60)),),
    )
    return replace(usual, **changes)  # type: ignore[arg-type]


def altered(
    pieces: Piece | Sequence[Piece], *removals: Removal, sizes: Sequence[str] = ("12",)
) -> SizeResult:
    """The pieces after the removals, in size 12."""
    row = [pieces] if isinstance(pieces, Piece) else list(pieces)
    return alter_size(Rules(file="design.gape.yaml", removals=removals), "12", row, sizes, {})


def result_piece(result: SizeResult, index: int = 0) -> Piece:
    """The altered piece as a piece again, as if it had been written and read."""
    done = result.altered[index]
    assert done.stitching is not None
    kept = [dart for dart in done.piece.darts if dart.name not in done.darts]
    return replace(done.piece, stitching=done.stitching, cut=done.cut, darts=(*kept, *done.darts.values()))


def moved_piece(piece: Piece, motion: Motion) -> Piece:
    """The piece turned, shifted or mirrored; a mirrored outline is run the other way round."""

    def line(chain: Chain) -> Chain:
        return chain.moved(motion).reversed() if motion.mirrors else chain.moved(motion)

    rows = [replace(s, chain=line(s.chain)) for s in piece.stitching.stretches]
    outline = Outline(tuple(reversed(rows)) if motion.mirrors else tuple(rows))
    darts = []
    for dart in piece.darts:
        legs = tuple(motion(leg) for leg in dart.legs)
        place = outline.mouth_of(dart.name)
        assert place is not None
        darts.append(
            replace(
                dart,
                point=motion(dart.point),
                legs=(legs[1], legs[0]) if motion.mirrors else (legs[0], legs[1]),
                mouth=place,
            )
        )
    return replace(
        piece,
        stitching=outline,
        darts=tuple(darts),
        apexes={label: motion(point) for label, point in piece.apexes.items()},
        grain=None if piece.grain is None else (motion(piece.grain[0]), motion(piece.grain[1])),
        fold=None if piece.fold is None else piece.fold.moved(motion),
    )
