"""Darts: from the lines of the darts layer, or from an outline that runs to the point and back.

    P                The shapes of one dart are leg end, point, leg end; whatever else they draw (a fold
   / \\               line, a cap) is carried with it. Leg ends lie on the outline; legs drawn on
  /   \\              into the allowance end where they cross it.
--A   B--         Three small marks do as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from transform.geometry.chain import Chain
from transform.geometry.crossing import crossings
from transform.geometry.nearest import nearest
from transform.pattern.corners import corners_of
from transform.pattern.dividing import renamed, snapped
from transform.pattern.edges import point_within
from transform.pattern.model import Dart
from transform.pattern.outline import Outline, Stretch

ON_OUTLINE = 0.5
"""A leg end lies at most this far (mm) from the outline."""
INSIDE = 20.0
"""A dart that comes no nearer (mm) to the outline than this has no mouth: it lies within the piece."""
_CAP = 0.2
_SAME = 1.0
_BESIDE = 0.01
"""Beside a place, mm: which way the line comes to it, and goes from it."""


@dataclass(frozen=True, slots=True)
class DartLines:
    """What the darts layer draws under one name, in mm; ``marks`` where small shapes only mark a dart."""

    name: str
    elements: tuple[int, ...]
    chains: tuple[Chain, ...]
    marks: tuple[complex, ...] = ()


class NoDartError(ValueError):
    """Why lines of the darts layer are no dart of the outline."""


@dataclass(frozen=True, slots=True)
class _Node:
    point: complex
    place: float
    distance: float
    inside: bool


def lies_within(lines: DartLines, outline: Chain) -> bool:
    """Whether the lines make a dart within the piece, with no end at the outline: drawn, never opened."""
    nodes = _nodes(lines, outline)
    if lines.marks:
        return all(node.distance > INSIDE for node in nodes)
    if any(node.distance <= ON_OUTLINE for node in nodes) or any(crossings(c, outline) for c in lines.chains):
        return False
    closed = all(c.closed or abs(c.end - c.start) <= ON_OUTLINE for c in lines.chains)
    return closed or all(node.distance > INSIDE for node in nodes)


def dart_of(lines: DartLines, outline: Outline, line_name: str) -> Dart:
    """The dart that ``lines`` draw on ``outline``; ``line_name`` names the outline in what is said.

    Raises:
        NoDartError: where there are no two leg ends on the outline, or no point within.
    """
    chain = outline.chain
    whole = chain.length
    nodes = _nodes(lines, chain)
    places = [node.place for node in nodes if node.distance <= ON_OUTLINE]
    for drawn in () if lines.marks else lines.chains:
        for _, crossed in crossings(drawn, chain):
            if all(_between(crossed, other, whole) > _SAME for other in places):
                places.append(crossed)
    first, last = _mouth(lines, places, nodes, whole, line_name)
    first, last = snapped(chain, first), snapped(chain, last)
    legs = chain.point(first), chain.point(last)
    middle = (legs[0] + legs[1]) / 2
    inner = [node for node in nodes if node.distance > ON_OUTLINE and node.inside]
    drawn_in = False
    if not inner:
        place = point_within(outline, first, last)
        drawn_in = place is not None and any(abs(node.point - chain.point(place)) <= _SAME for node in nodes)
        if not drawn_in:
            raise NoDartError(
                f"dart {lines.name} has no point within the piece: draw leg end, point, leg end"
            )
    points = [node.point for node in (nodes if drawn_in else inner)]
    point = max(points, key=lambda p: abs(p - middle))
    return Dart(
        name=lines.name,
        point=point,
        legs=legs,
        mouth=(first, last),
        drawn_in=drawn_in,
        capped=not drawn_in and _is_capped(chain, first, last),
        elements=lines.elements,
    )


def with_mouth(outline: Outline, dart: Dart) -> Outline:
    """The outline with what lies between the dart's leg ends known as its mouth, or as its drawn legs."""
    return renamed(outline, *dart.mouth, dart=dart.name, drawn_in=dart.drawn_in)


def begun_beside_darts(outline: Outline, darts: Sequence[Dart] = ()) -> tuple[Outline, list[Dart]]:
    """The outline begun behind the legs or the mouth of a dart, where it began within them; and its darts."""
    stretches = outline.stretches
    first = stretches[0]
    count = next((k for k, s in enumerate(stretches) if s.dart != first.dart), 0)
    if first.dart is None or stretches[-1].dart != first.dart:
        return outline, list(darts)
    place, whole = outline.begins[count], outline.chain.length

    def moved(before: float) -> float:
        return (before - place) % whole

    begun = Outline(
        (*stretches[count:], *stretches[:count]),
        {name: moved(corner) for name, corner in outline.corners.items()},
        tuple(replace(detour, place=moved(detour.place)) for detour in outline.detours),
    )
    return begun, [replace(dart, mouth=(moved(dart.mouth[0]), moved(dart.mouth[1]))) for dart in darts]


def with_whole_mouths(outline: Outline) -> tuple[Outline, dict[str, tuple[Stretch, ...]]]:
    """The outline with both legs, or the mouth, of each dart as one stretch, with the first part's element.

    And by dart the stretches that they were, where they were several: two shapes of a seam may meet within
    the mouth.
    """
    kept: list[Stretch] = []
    drawers: dict[str, tuple[Stretch, ...]] = {}
    for stretch in outline.stretches:
        before = kept[-1] if kept else None
        name = stretch.dart
        if before is not None and name is not None and before.dart == name:
            drawers[name] = (*drawers.get(name, (before,)), stretch)
            kept[-1] = replace(before, chain=before.chain.joined(stretch.chain))
        else:
            kept.append(stretch)
    return replace(outline, stretches=tuple(kept)), drawers


def drawn_in_darts(outline: Outline) -> list[Dart]:
    """The darts that the outline itself draws, by its stretches; it begins within none of them."""
    found: list[Dart] = []
    for name in dict.fromkeys(s.dart for s in outline.stretches if s.dart is not None and s.drawn_in):
        indices = [k for k, s in enumerate(outline.stretches) if s.dart == name]
        first, last = outline.interval(indices[0])[0], outline.interval(indices[-1])[1]
        place = point_within(outline, first, last)
        if place is not None:
            chain = outline.chain
            legs = chain.point(first), chain.point(last)
            mouth = (chain.wrap(first), last)
            found.append(Dart(name, chain.point(place), legs, mouth, drawn_in=True, capped=False))
    return found


def _nodes(lines: DartLines, outline: Chain) -> list[_Node]:
    """Ends and corners of the lines, or the centres of marks, each against the outline."""
    points: list[complex] = list(lines.marks)
    for chain in () if lines.marks else lines.chains:
        points.extend(chain.point(place) for place in corners_of(chain))
        if not chain.closed:
            points += [chain.start, chain.end]
    found: list[_Node] = []
    for point in points:
        place, distance = nearest(outline, point)
        found.append(_Node(point, place, distance, _is_inside(point, outline, place)))
    return found


def _is_inside(point: complex, outline: Chain, place: float) -> bool:
    """Whether a point lies on the piece, by the place of the outline that is nearest to it.

    Where that is a corner, such as the point of another dart that is drawn into the outline, the way through
    it is the sum of both its sides.
    """
    before = outline.tangent(outline.wrap(place - _BESIDE), before=True)
    behind = outline.tangent(outline.wrap(place + _BESIDE))
    return ((point - outline.point(place)) * (before + behind).conjugate()).imag > 0


def _between(a: float, b: float, whole: float) -> float:
    gap = abs(a - b) % whole
    return min(gap, whole - gap)


def _mouth(
    lines: DartLines, places: Sequence[float], nodes: Sequence[_Node], whole: float, line_name: str
) -> tuple[float, float]:
    """The two outermost of the places on the outline, in its order; the mouth is the shorter way."""
    apart: list[float] = []
    for place in sorted(places):
        if all(_between(place, other, whole) > ON_OUTLINE for other in apart):
            apart.append(place)
    if len(apart) < 2:
        near = sorted(node.distance for node in nodes)[:2]
        text = " and ".join(f"{distance:.2f} mm" for distance in near)
        raise NoDartError(
            f"dart {lines.name} needs two leg ends on the {line_name}, within {ON_OUTLINE} mm; "
            f"its nearest points are {text} away"
        )
    # The widest way round without a leg end is the rest of the outline.
    gaps = [*((b - a, b, a) for a, b in pairwise(apart)), (apart[0] + whole - apart[-1], apart[0], apart[-1])]
    _, first, last = max(gaps)
    return first, last


def _is_capped(chain: Chain, first: float, last: float) -> bool:
    """Whether the line across a mouth has a joint that stands off the straight way across."""
    across = chain.cut(first, last)
    along = across.end - across.start
    if abs(along) < _SAME:
        return False
    unit = along.conjugate() / abs(along)
    joints = [segment.end for segment in across.segments[:-1]]
    return any(abs(((joint - across.start) * unit).imag) > _CAP for joint in joints)
