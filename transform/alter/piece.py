"""All closings of one piece, and then all finishing: the alteration as a person would do it on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rules.model import Finish, LineKind, TakenOut
from transform.alter.allowance import redraw_cut
from transform.alter.assembling import OpenMouth, assemble, open_mouths
from transform.alter.carrying import carry_items
from transform.alter.centre import TOUCH, distance_to_fold
from transform.alter.closed_edges import (
    Beside,
    ClosedEdge,
    EdgeEnd,
    beside_edge,
    draw_closures,
    is_straight,
    round_hinges,
    slides,
    trimmed,
)
from transform.alter.closing import Closing
from transform.alter.cut_sides import AllowanceError
from transform.alter.cutting import Cut, cut
from transform.alter.facts import Notice, OpenedFacts, RemovalFacts
from transform.alter.holding import held_part
from transform.alter.mouths import (
    Bearings,
    bearings,
    check_steep,
    opened_mouth,
    sewn,
    usual_draw_back,
    with_mouth,
)
from transform.alter.new_outline import new_outline
from transform.alter.notch_walks import notch_walks, with_notches
from transform.alter.placing import Grade
from transform.alter.regions import Division
from transform.alter.runs import NewStretch, Run, SewnMouth
from transform.alter.sections import (
    Section,
    begun_at_an_edge,
    bridged,
    divided_at_points,
    sections,
    with_sections,
)
from transform.alter.shared_lines import DrawnLine, Laying, drawn_lines, lay_lines
from transform.alter.sight import check_sight
from transform.alter.taken_out import fill_across, take_out
from transform.alter.telling import intake_before, removal_facts
from transform.alter.trueing import seams_trued
from transform.alter.working import Working
from transform.geometry.chain import SNAP, chain_of
from transform.geometry.folding import CapError
from transform.geometry.nearest import nearest
from transform.pattern.altered import AlteredPiece
from transform.pattern.model import Dart, Piece
from transform.pattern.outline import Outline


@dataclass(frozen=True)
class PieceResult:
    """An altered piece, the facts of its removals, what a person should look at, and how it was done.

    ``lines`` are those drawn anew on its edges, for the pieces that are linked to it.
    """

    altered: AlteredPiece
    removals: tuple[RemovalFacts, ...]
    notices: tuple[Notice, ...]
    working: Working
    lines: tuple[DrawnLine, ...] = ()


@dataclass(frozen=True)
class _Finished:
    """The stretches with every mouth finished, the sewn darts, and what is to be told of the mouths."""

    stretches: tuple[NewStretch, ...]
    darts: Mapping[str, SewnMouth]
    opened: Mapping[str, OpenedFacts]


def alter_piece(
    piece: Piece,
    closings: Sequence[Closing],
    grade: Grade,
    finishes: Mapping[str, Finish | None],
    shared: Sequence[DrawnLine] = (),
    tolerance: float = 0.0,
    folds: Sequence[float] = (),
) -> PieceResult:
    """Make the closings on the piece, in order, and finish it.

    ``finishes`` gives for each dart that opens how its mouth is finished (None: as is usual for it).
    ``shared`` are lines of a piece that this one is linked to, carried over to it; their edges agree
    to ``tolerance`` mm. ``folds`` are outline places at which an edge is folded: no line is drawn over them.

    Raises:
        AlterError: where a closing or a finish does not fit the piece.
    """
    notices = check_sight(piece, closings)
    outline = piece.stitching
    divisions = [Division(closing, outline.chain) for closing in closings]
    held = [held_part(piece, c, division) for c, division in zip(closings, divisions, strict=True)]
    made = cut(outline.chain, closings, divisions, held)
    mouths = open_mouths(made)
    bare = begun_at_an_edge(assemble(outline, made, mouths))
    stretches, closed, lines = _draw_edges(piece, made, bare, shared, tolerance, folds)
    finished = _finish_mouths(piece, made, mouths, stretches, grade, finishes)
    stitching = new_outline(outline, finished.stretches, made.motion_of)
    walks = notch_walks(outline, stitching, bare, mouths, finishes)
    stitching = with_notches(outline, stitching, walks)
    new_cut = None
    if piece.cut is not None:
        try:
            new_cut = redraw_cut(outline, piece.cut, finished.stretches, tuple(finished.darts.values()))
            new_cut = with_notches(piece.cut, new_cut, walks)
        except AllowanceError as error:
            raise closings[0].asked.refusal("allowance lost", str(error)) from error
    items, carried = carry_items(piece, made, stitching, walks, new_cut)
    altered = AlteredPiece(
        piece=piece,
        stitching=stitching,
        cut=new_cut,
        items=items,
        darts=_darts(piece, made, mouths, finished.darts, stitching),
        darts_gone=frozenset(
            dart.name for dart in piece.darts if isinstance(finishes.get(dart.name), TakenOut)
        ),
    )
    facts = removal_facts(piece, made, stitching, closed, finished.opened)
    working = Working(piece, made, bare, finished.stretches, tuple(finished.darts.values()), tuple(closed))
    return PieceResult(altered, facts, (*notices, *carried), working, tuple(lines))


def _draw_edges(
    piece: Piece,
    made: Cut,
    stretches: tuple[NewStretch, ...],
    shared: Sequence[DrawnLine],
    tolerance: float,
    folds: Sequence[float],
) -> tuple[tuple[NewStretch, ...], list[ClosedEdge], list[DrawnLine]]:
    """Every closed edge drawn anew, every kink at a pivot rounded off."""
    outline = piece.stitching
    whole = outline.chain.length
    closings = [turn.closing for turn in made.turns]
    asked_lines = {c.edge: c.removal.line for c in closings if c.removal.line is not None}
    parts = divided_at_points(sections(stretches), whole, folds)
    closed: list[ClosedEdge] = []
    drawn: list[DrawnLine] = []
    bare = list(parts)
    for index, section in enumerate(parts):
        before, behind = (index - 1) % len(bare), (index + 1) % len(bare)
        start = _edge_end(outline, bare[index], bare[before], at_start=True)
        end = _edge_end(outline, bare[index], bare[behind], at_start=False)
        beside = beside_edge(bare[before], bare[behind])
        mine = [line for line in shared if line.edge == section.edge]
        laid: list[ClosedEdge] = []
        if section.edge is not None and mine:
            laying = Laying(made, outline.edge(section.edge), start, end, beside)
            section, laid = lay_lines(section, mine, laying, tolerance)
            # A line that was laid is there already, wherever its ends slid.
            start, end = (None if gone else e for gone, e in zip(slides(laid), (start, end), strict=True))
        straight = _is_straight(outline, bare[index], asked_lines)
        trimmable: Beside = (None, None)
        if start is not None or end is not None or section.closures(whole):
            trimmable = (
                beside[0] if _is_centre(piece, bare[before].runs[-1]) else None,
                beside[1] if _is_centre(piece, bare[behind].runs[0]) else None,
            )
        section, lines = draw_closures(section, straight, whole, start, end, trimmable)
        slid = slides((*laid, *lines))
        parts[before], parts[behind] = trimmed(parts[before], parts[behind], slid)
        section, hinges = round_hinges(section, whole)
        closed.extend((*laid, *lines))
        drawn.extend(drawn_lines(bare[index], outline, (*laid, *lines), hinges))
        parts[index] = section
    return with_sections(stretches, bridged(parts, bare, stretches, whole)), closed, drawn


def _is_straight(outline: Outline, section: Section, asked: Mapping[str, LineKind]) -> bool:
    """Whether a section is to be drawn as its chord: as asked, or where the old edge lay along its own."""
    if section.edge is not None and section.edge in asked:
        return asked[section.edge] == "straight"
    if section.edge is None or section.partial:
        first, last = section.runs[0].kept, section.runs[-1].kept
        return (
            first is not None and last is not None and is_straight(outline.chain.cut(first.first, last.last))
        )
    edge = outline.edge(section.edge)
    return is_straight(chain_of(outline.stretches[k].chain for k in edge.indices))


def _is_centre(piece: Piece, run: Run) -> bool:
    """Whether a run was kept from the fold line or a centre seam."""
    if run.kept is None:
        return False
    places = (run.kept.first, run.kept.last)
    return all(distance_to_fold(piece, place) <= TOUCH for place in places)


def _edge_end(outline: Outline, section: Section, neighbour: Section, *, at_start: bool) -> EdgeEnd | None:
    """The end of the section's edge where a wedge took all of it up to there; None where none did."""
    run, beside = (section.runs[0], neighbour.runs[-1]) if at_start else (section.runs[-1], neighbour.runs[0])
    if section.edge is None or run.kept is None or beside.kept is None:
        return None
    edge, whole = outline.edge(section.edge), outline.chain.length
    own, place = (run.kept.first, edge.begin) if at_start else (run.kept.last, edge.end)
    next_to = beside.kept.last if at_start else beside.kept.first
    gap, apart = abs(own - place) % whole, abs(next_to - place) % whole
    if min(gap, whole - gap) <= SNAP or min(apart, whole - apart) > SNAP:
        return None
    motion = beside.kept.motion
    tangent = motion.direction(outline.chain.tangent(place, before=not at_start))
    point = beside.chain.end if at_start else beside.chain.start
    return EdgeEnd(point, tangent, place, motion)


def _finish_mouths(
    piece: Piece,
    made: Cut,
    mouths: Sequence[OpenMouth],
    stretches: tuple[NewStretch, ...],
    grade: Grade,
    finishes: Mapping[str, Finish | None],
) -> _Finished:
    bearing = _bearings(piece, made, stretches)
    darts: dict[str, SewnMouth] = {}
    opened: dict[str, OpenedFacts] = {}

    def corner_point(name: str) -> complex | None:
        place = piece.stitching.corners.get(name)
        if place is None:
            return None
        point = piece.stitching.chain.point(place)
        return made.motion_of(point)(point)

    for mouth in mouths:
        openers = [t.closing for t in made.turns if any(m.dart == mouth.dart for m in t.closing.mouths)]
        asked = openers[0].asked
        state = opened_mouth(mouth.dart, made, openers, stretches)
        finish = finishes.get(mouth.dart)
        if mouth.filled:
            stretches = fill_across(stretches, mouth.dart)
            continue
        if isinstance(finish, TakenOut):
            stretches = take_out(stretches, mouth.dart, finish, corner_point, asked)
            opened[mouth.dart] = _opened_facts(piece, mouth, state.hinge, state.legs)
            continue
        back = usual_draw_back(mouth.dart, mouth.is_new, openers)
        dart = sewn(state, finish, back, bearing, grade, asked)
        stretches = seams_trued(stretches, dart, state)
        if mouth.is_new:
            check_steep(stretches, dart, asked)
        capped = mouth.is_new or piece.dart(mouth.dart).capped
        try:
            stretches = with_mouth(stretches, dart, capped=capped)
        except CapError as error:
            text = f"{mouth.dart} gets no cap that folds flat: {error}; press it to the other side"
            raise asked.refusal("no cap", text) from error
        darts[mouth.dart] = dart
        opened[mouth.dart] = _opened_facts(piece, mouth, dart.point, dart.legs)
    return _Finished(stretches, darts, opened)


def _bearings(piece: Piece, made: Cut, stretches: Sequence[NewStretch]) -> Bearings:
    grain = piece.grain
    if grain is not None:
        motion = made.motion_of((grain[0] + grain[1]) / 2)
        grain = motion(grain[0]), motion(grain[1])
    centre = piece.fold
    if centre is not None:
        middle = centre.point(centre.length / 2)
        centre = centre.moved(made.motion_of(middle))
    return bearings(grain, centre, stretches)


def _opened_facts(
    piece: Piece, mouth: OpenMouth, point: complex, legs: tuple[complex, complex]
) -> OpenedFacts:
    before = intake_before(piece, mouth)
    return OpenedFacts(
        mouth.dart, before, abs(legs[0] - legs[1]), (abs(legs[0] - point), abs(legs[1] - point))
    )


def _darts(
    piece: Piece,
    made: Cut,
    mouths: Sequence[OpenMouth],
    sewn_darts: Mapping[str, SewnMouth],
    stitching: Outline,
) -> dict[str, Dart]:
    """The darts that are new or that changed or moved, by name."""
    known = {dart.name: dart for dart in piece.darts}
    found: dict[str, Dart] = {}
    for mouth in mouths:
        dart = sewn_darts.get(mouth.dart)
        place = stitching.mouth_of(mouth.dart)
        if dart is None or place is None:
            continue
        old = known.get(mouth.dart)
        found[mouth.dart] = Dart(
            name=mouth.dart,
            point=dart.point,
            legs=dart.legs,
            mouth=place,
            drawn_in=old is not None and old.drawn_in,
            capped=old is None or old.capped,
            elements=() if old is None else old.elements,
        )
    opened = {mouth.dart for mouth in mouths}
    for name, old in known.items():
        # By its middle: its point may be the very hinge, which stays.
        motion = made.motion_of((old.point + old.legs[0] + old.legs[1]) / 3)
        if name in opened or motion.is_identity:
            continue
        legs = motion(old.legs[0]), motion(old.legs[1])
        place = stitching.mouth_of(name) or (
            nearest(stitching.chain, legs[0])[0],
            nearest(stitching.chain, legs[1])[0],
        )
        found[name] = Dart(name, motion(old.point), legs, place, old.drawn_in, old.capped, old.elements)
    return found
