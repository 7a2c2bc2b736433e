"""What a cutter would say of a result: too much in one place, a wide dart, an edge that lost too little."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from transform.alter.facts import Notice, OpenedFacts, RemovalFacts
from transform.alter.working import Working

MOST_REMOVED = 25.0
"""More than this (mm) at one place per half asks for another size or a bust adjustment (from memory)."""
WIDE_DART = 40.0
"""An intake from here on (mm) is hard to sew in one (from memory)."""
TWO_DARTS = 50.0
"""From here on (mm) two darts are better than one (from memory; that two small darts beat one large: NIMI,
CITS Dress Making)."""
NEAR_APEX = 10.0
"""A dart point this near to the apex (mm) shows; it is sewn short of it (J. Veblen, Threads 181, 2015)."""
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
    yield from _lost_less(removals)
    yield from _wide_darts(removals)
    for working in workings:
        yield from _points(working)
        yield from _lines(working)


def _lost_less(removals: Sequence[RemovalFacts]) -> Iterator[Notice]:
    edges: dict[tuple[str, str], list[RemovalFacts]] = {}
    for facts in removals:
        edges.setdefault((facts.piece, facts.edge), []).append(facts)
    for (piece, edge), row in edges.items():
        removed = sum(facts.removed for facts in row)
        lost = row[0].shortened
        if removed - lost > LOST_LESS:
            yield Notice(
                "edge lost less",
                piece,
                f"{edge} of {piece}: {removed:.1f} mm were removed, but it is only {lost:.1f} mm shorter, "
                "since the wedge runs slantwise to it; move the pivot, or measure the width across the fold "
                "(`measured: across`)",
            )


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
