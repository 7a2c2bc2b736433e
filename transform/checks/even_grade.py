"""Whether the altered set is still a grade: whether a size steps out of the row that did not before.

Real grades have breaks, and every size may lie elsewhere on its sheet. So nothing is judged but what the
alteration did: how far it moved each apex, each end of a dart and each closure, and how much longer it made
each edge. From size to size that changes evenly, or the alteration itself is uneven: an amount or a place
that was written wrongly for one size, an edge drawn straight in one size and fair in the next, a part held in
one and turned in the next. What the alteration hangs on (the edge and the apex from which it is measured) may
be uneven in the files as they came; by as much the result may be so too.

Amounts that a person chose by size count as well: whole millimetres or sixteenths of an inch, rounded as
people round them, stay below what is told; a size that got twice as much as those beside it does not.
"""

from __future__ import annotations

import bisect
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from transform.alter.facts import Notice, SizeResult
from transform.alter.working import Working

EVEN_MM = 1.0
"""A size may lie this far (mm) off the middle between its neighbours more than it did before: above what is
rounded to whole millimetres or sixteenths of an inch, below what shows in a nest of sizes."""

_ENDS = ("point", "first leg end", "second leg end")


@dataclass(frozen=True, slots=True)
class Landmark:
    """A place or a length in one size.

    ``shift`` is what the alteration did to it, mm: how far it lies from where it lay, or, where it is new,
    from what it is measured from; how much longer it is (then real). ``hangs_on`` are distances and lengths
    in the file as it came, mm, on which the shift depends.
    """

    shift: complex
    hangs_on: tuple[complex, ...]


Landmarks = Mapping[tuple[str, str], Landmark]
"""The landmarks of one size, by piece and by what they are."""


def landmarks(result: SizeResult) -> dict[tuple[str, str], Landmark]:
    """The landmarks of everything that was altered in a size."""
    found: dict[tuple[str, str], Landmark] = {}
    for working in result.workings:
        for rows in (_lengths(working), _apexes(working), _closures(working), _darts(working)):
            found.update({(working.piece.name, what): landmark for what, landmark in rows})
    for strip in result.strips:
        found[strip.piece, "the strip's length"] = Landmark(strip.after - strip.before, (strip.before,))
    return found


def _lengths(working: Working) -> Iterator[tuple[str, Landmark]]:
    after: dict[str, float] = {}
    for stretch in working.stretches:
        if stretch.edge is not None:
            after[stretch.edge] = after.get(stretch.edge, 0.0) + stretch.chain.length
    outline = working.piece.stitching
    for name in outline.edge_names:
        before = outline.edge(name).length
        yield f"the length of {name}", Landmark(after.get(name, 0.0) - before, (before,))


def _apexes(working: Working) -> Iterator[tuple[str, Landmark]]:
    pivots = [turn.closing.pivot for turn in working.cut.turns]
    for label, point in working.piece.apexes.items():
        moved = working.cut.motion_of(point)(point)
        yield (
            f"the apex {label}".rstrip(),
            Landmark(moved - point, tuple(point - pivot for pivot in pivots)),
        )


def _closures(working: Working) -> Iterator[tuple[str, Landmark]]:
    made = working.cut
    for turn in made.turns:
        closing = turn.closing
        if closing.turn is not None:
            continue
        edge = working.piece.stitching.edge(closing.edge)
        origin, end = (made.outline.point(place) for place in (edge.begin, edge.end))
        ends = (
            made.arc_at(closing.low, before=True).motion(made.outline.point(closing.low)),
            made.arc_at(closing.high).motion(made.outline.point(closing.high)),
        )
        hangs_on = (end - origin, complex(edge.length), closing.pivot - origin)
        yield f"the closure of {closing.name}", Landmark((ends[0] + ends[1]) / 2 - origin, hangs_on)


def _darts(working: Working) -> Iterator[tuple[str, Landmark]]:
    for mouth in working.mouths:
        closings = (turn.closing for turn in working.cut.turns)
        pivot, place = next((c.pivot, m.first) for c in closings for m in c.mouths if m.dart == mouth.dart)
        old = next((dart for dart in working.piece.darts if dart.name == mouth.dart), None)
        if old is not None:
            origins = (old.point, *old.legs)
            hangs_on: tuple[complex, ...] = (*(leg - old.point for leg in old.legs), pivot - old.point)
        else:
            outline = working.piece.stitching
            line = outline.stretches[bisect.bisect_right(outline.begins, place) - 1].chain
            origins = (pivot, line.start, line.start)
            hangs_on = (line.end - line.start, complex(line.length), pivot - line.start)
        ends = (mouth.point, *mouth.legs)
        for what, end, origin in zip(_ENDS, ends, origins, strict=True):
            yield f"the {what} of {mouth.dart}", Landmark(end - origin, hangs_on)


def uneven(rows: Mapping[str, Landmarks], order: Sequence[str]) -> Iterator[tuple[str, Notice]]:
    """A notice, with its size, for each piece in each size that steps out of the row.

    ``rows`` are the landmarks of the sizes that were altered; ``order`` are all sizes of the design. Only
    sizes that are neighbours in it are compared, three or more in a row.
    """
    told: dict[tuple[str, str], list[tuple[float, str, tuple[str, str]]]] = {}
    for key in dict.fromkeys(key for marks in rows.values() for key in marks):
        piece, what = key
        for run in _runs(rows, order, key):
            for index, off in outliers([rows[size][key] for size in run]):
                beside = sorted(set(range(len(run))) - {index}, key=lambda k: (abs(k - index), k))[:2]
                neighbours = run[min(beside)], run[max(beside)]
                told.setdefault((run[index], piece), []).append((off, what, neighbours))
    for size in order:
        for (at, piece), found in told.items():
            if at == size:
                yield size, _notice(piece, size, sorted(found, key=lambda row: -row[0]))


def _notice(piece: str, size: str, found: Sequence[tuple[float, str, tuple[str, str]]]) -> Notice:
    first, second = found[0][2]
    things = ", ".join(f"{what} by {off:.1f} mm" for off, what, _ in found)
    return Notice(
        "uneven grade",
        piece,
        f"{piece} in size {size} steps out of the grade between its neighbours, as it did not in the files "
        f"as they came: seen from sizes {first} and {second}, {things}; look at what the rules ask for in "
        "this size",
    )


def _runs(rows: Mapping[str, Landmarks], order: Sequence[str], key: tuple[str, str]) -> Iterator[list[str]]:
    """The sizes that have the landmark, as many as follow each other in the order, three or more."""
    run: list[str] = []
    for size in order:
        if size in rows and key in rows[size]:
            run.append(size)
            continue
        if len(run) > 2:
            yield run
        run = []
    if len(run) > 2:
        yield run


def outliers(row: Sequence[Landmark]) -> list[tuple[int, float]]:
    """Which of the landmarks of neighbouring sizes step out of the row, and by how much (mm).

    One that lies off the middle between its neighbours draws them half as far off theirs, so that those
    count which are farthest off. The first and the last have no middle: where the one beside it is off and
    the next is not, it is the one at the end that is.
    """
    inner = range(1, len(row) - 1)
    shifts = [landmark.shift for landmark in row]
    off = [0.0, *(_off(shifts, k) for k in inner), 0.0]
    columns = list(zip(*(landmark.hangs_on for landmark in row), strict=False))
    over = [off[k] - EVEN_MM - max((_off(column, k) for column in columns), default=0.0) for k in inner]
    found: list[tuple[int, float]] = []
    for k in inner:
        if over[k - 1] <= 0 or off[k] < max(off[k - 1], off[k + 1]):
            continue
        at_end = [(e, n) for e, n in ((0, 2), (len(row) - 1, len(row) - 3)) if abs(e - k) == 1 and n in inner]
        end = next((end for end, next_one in at_end if off[next_one] < off[k] / 4), None)
        found.append((k, off[k]) if end is None else (end, 2 * off[k]))
    return found


def _off(values: Sequence[complex], k: int) -> float:
    """How far a value lies off the middle between its neighbours."""
    return abs(values[k] - (values[k - 1] + values[k + 1]) / 2)
