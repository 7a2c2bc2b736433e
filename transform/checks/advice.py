"""What a cutter would say of a result: too much in one place, a wide dart, an edge that lost too little."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rules.model import EdgePivot
from transform.alter.centre import TOUCH
from transform.alter.closing import Closing
from transform.alter.facts import Notice, OpenedFacts, RemovalFacts
from transform.alter.working import Working
from transform.geometry.chain import beside_chord
from transform.geometry.nearest import nearest
from transform.geometry.tips import NEAR_END_MM
from transform.pattern.model import Piece

MOST_REMOVED = 25.0
"""More than this (mm) at one place per half asks for another size or a bust adjustment (from memory)."""
WIDE_DART = 40.0
"""An intake from here on (mm) is hard to sew in one (from memory)."""
TWO_DARTS = 50.0
"""From here on (mm) two darts are better than one (from memory; that two small darts beat one large: NIMI,
CITS Dress Making)."""
NEAR_APEX = 10.0
"""A dart point this near to the apex (mm) shows; it is sewn short of it (J. Veblen, Threads 181, 2015)."""
BENT = 0.2
"""An edge on the fold that runs this much (mm) beside its chord, more than before, is told."""
LOST_LESS = 2.0
"""A closed edge that lost this much less (mm) than was removed is told."""


def advice(removals: Sequence[RemovalFacts], workings: Sequence[Working]) -> Iterator[Notice]:
    """Notices about the removals of one size and the pieces on which they were made."""
    for facts in removals:
        if facts.removed > MOST_REMOVED and not facts.followed:
            yield Notice(
                "large removal",
                facts.piece,
                f"{facts.name}: {facts.removed:.1f} mm are taken out at one place; another size or a bust "
                "adjustment may be what is needed",
            )
    yield from _lost_less(removals, workings)
    yield from _wide_darts(removals)
    for working in workings:
        yield from _points(working)
        yield from _lines(working)
        yield from _fold(working)


def _lost_less(removals: Sequence[RemovalFacts], workings: Sequence[Working]) -> Iterator[Notice]:
    edges: dict[tuple[str, str], list[RemovalFacts]] = {}
    for facts in removals:
        edges.setdefault((facts.piece, facts.edge), []).append(facts)
    for (piece, edge), row in edges.items():
        removed = sum(facts.removed for facts in row)
        lost = row[0].shortened
        if removed - lost > LOST_LESS:
            ways = "; or ".join(_ways_to_lose_more(row, workings))
            yield Notice(
                "edge lost less",
                piece,
                f"{edge} of {piece}: {removed:.1f} mm were removed, but it is only {lost:.1f} mm shorter, "
                f"since the wedge runs slantwise to it{'; ' if ways else ''}{ways}",
            )


def _ways_to_lose_more(row: Sequence[RemovalFacts], workings: Sequence[Working]) -> Iterator[str]:
    """What to do about a slantwise wedge: of the ways there are, those that this one leaves."""
    asked = {(facts.piece, facts.index) for facts in row if not facts.followed}
    closings = [
        (working.piece, turn.closing)
        for working in workings
        for turn in working.cut.turns
        if (working.piece.name, turn.closing.index) in asked
    ]
    if len(closings) == 1:
        piece, closing = closings[0]
        square = _square_place(piece, closing)
        if square is not None:
            yield (
                f"it would lose most where the wedge stands square to it, at a distance of about "
                f"{square:.0f} mm from {closing.removal.start}"
            )
    if any(isinstance(closing.removal.pivot, EdgePivot) for _, closing in closings):
        yield "move the pivot"
    if any(closing.measured_along for _, closing in closings):
        yield "measure the width across the fold (`measured: across`)"


def _square_place(piece: Piece, closing: Closing) -> float | None:
    """The `distance` at which the wedge would stand square to the edge, mm.

    None where that is at no place away from the edge's ends, or the wedge stands (nearly) there already.
    """
    edge, outline = piece.stitching.edge(closing.edge), piece.stitching
    gaps = [
        (*nearest(outline.stretches[k].chain, closing.pivot)[::-1], outline.begins[k]) for k in edge.indices
    ]
    _, along, begin = min(gaps)
    square, low, high = (edge.distance(place) for place in (begin + along, closing.low, closing.high))
    forward = edge.runs_from(closing.removal.start)
    if square is None or low is None or high is None or forward is None:
        return None
    if min(square, edge.length - square) < NEAR_END_MM or abs(square - (low + high) / 2) < NEAR_END_MM:
        return None
    return (square if forward else edge.length - square) - (high - low) / 2


def _wide_darts(removals: Sequence[RemovalFacts]) -> Iterator[Notice]:
    told: dict[tuple[str, str], OpenedFacts] = {}
    for facts in removals:
        for opened in facts.opened:
            told[(facts.piece, opened.dart)] = opened
    for (piece, dart), opened in told.items():
        if opened.intake_after > TWO_DARTS:
            what = "two darts would lie better; share the angle between two mouths"
        elif opened.intake_after > WIDE_DART:
            what = "trim or slit it before pressing, or sew it in two steps"
        else:
            continue
        yield Notice("wide dart", piece, f"{dart} of {piece} takes in {opened.intake_after:.1f} mm; {what}")


def _points(working: Working) -> Iterator[Notice]:
    apexes = working.piece.apexes.values()
    for mouth in working.mouths:
        for apex in apexes:
            moved = working.cut.motion_of(apex)(apex)
            middle = (mouth.legs[0] + mouth.legs[1]) / 2
            axis = (moved - middle) / abs(moved - middle)
            short = abs(moved - middle) - ((mouth.point - middle) * axis.conjugate()).real
            away = abs(moved - mouth.point)
            if short < 0 and away < 60.0:
                what = f"runs {-short:.1f} mm past the apex"
            elif away < NEAR_APEX:
                what = f"ends {away:.1f} mm from the apex"
            else:
                continue
            yield Notice(
                "point at the apex",
                working.piece.name,
                f"{mouth.dart} of {working.piece.name} {what}; draw its point back, 25 mm for a small cup "
                "to 65 mm for a large one",
            )


def _lines(working: Working) -> Iterator[Notice]:
    piece = working.piece.name
    for closed in working.closed:
        if closed.line != "fair":
            continue
        if closed.drawn.inflections and closed.drawn.forced:
            yield Notice(
                "line bends both ways",
                piece,
                f"the closed edge of {piece} bends both ways, {closed.drawn.inflections} time(s): its ends "
                "leave no other way; look at it, move the wedge, or draw it straight (`line: straight`)",
            )
        if any(closed.drawn.slid):
            yield Notice(
                "edge's end moved",
                piece,
                f"the wedge leaves the closed edge of {piece} no room at the centre: its end moved "
                f"{max(closed.drawn.slid):.1f} mm along the centre, so that it runs fair and meets it "
                "at its old angle; look at it, and at what else is sewn there",
            )
        elif not closed.drawn.has_room:
            back, on = closed.drawn.reach
            yield Notice(
                "little room",
                piece,
                f"the closed edge of {piece} had room for only {back:.0f} mm and {on:.0f} mm of new line "
                "beside its closure; look at it, and move the wedge away from the edge's end if it is not "
                "fair",
            )


def _fold(working: Working) -> Iterator[Notice]:
    """Told of each edge that lay along the fold and was bent: a pivot or a mouth on it turns half of it."""
    line = working.piece.fold
    if line is None:
        return
    edges: dict[str, list[complex]] = {}
    for stretch in working.piece.stitching.stretches:
        if stretch.edge is not None:
            edges.setdefault(stretch.edge, []).extend(stretch.chain.samples(5.0))
    for edge, before in edges.items():
        if max(nearest(line, point)[1] for point in before) > TOUCH:
            continue
        rows = [stretch.chain for stretch in working.stretches if stretch.edge == edge]
        bent = beside_chord([point for row in rows for point in row.samples(5.0)])
        if bent > beside_chord(before) + BENT:
            yield Notice(
                "fold bent",
                working.piece.name,
                f"{edge} of {working.piece.name} lies on the fold and now runs up to {bent:.1f} mm beside "
                "a straight line, since only part of it turned: it cannot be cut on the fold so; let the "
                "wedge point and open elsewhere, or cut a seam there",
            )
