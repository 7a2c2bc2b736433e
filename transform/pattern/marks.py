"""Marks on a piece: what lies together as one mark, and the point that it stands for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from transform.geometry.chain import Chain, beside_chord
from transform.geometry.measure import length
from transform.geometry.segments import Line
from transform.pattern.corners import REACH, corners_of, place_of_mark
from transform.pattern.model import Role
from transform.pattern.problems import Complaints
from transform.pattern.sizes_and_roles import Leaf
from transform.pattern.vocabulary import Vocabulary
from transform.svg.bounds import Box, bounds_of
from transform.svg.document import Document

_STRAIGHT = 0.1


@dataclass(frozen=True, slots=True)
class Mark:
    """Shapes that are one mark: their common label (None without one) and the middle of their box, mm."""

    label: str | None
    leaves: tuple[Leaf, ...]
    centre: complex


def marks_of(
    leaves: Sequence[Leaf], role: Role, document: Document, user_unit: float | None, vocabulary: Vocabulary
) -> list[Mark]:
    """The marks of one role: shapes and references with one label in one layer are one mark."""
    groups: dict[tuple[int | None, str | None], list[Leaf]] = {}
    for leaf in leaves:
        if leaf.role is role and (leaf.is_shape or leaf.tag in ("use", "image")):
            words = leaf.label
            groups.setdefault((leaf.layer, vocabulary.name(words) if words is not None else None), []).append(
                leaf
            )
    found: list[Mark] = []
    for (_, label), members in groups.items():
        boxes = [box for leaf in members if (box := bounds_of(document, leaf.element, user_unit)) is not None]
        if boxes:
            found.append(Mark(label, tuple(members), _around(boxes).centre))
    return found


def _around(boxes: Sequence[Box]) -> Box:
    return Box(
        min(box.xmin for box in boxes),
        min(box.ymin for box in boxes),
        max(box.xmax for box in boxes),
        max(box.ymax for box in boxes),
    )


def named_corners(
    marks: Sequence[Mark], outline: Chain, line_name: str, complaints: Complaints
) -> dict[str, float]:
    """The outline places of named corners; a mark that lies off the outline is a complaint."""
    corners = corners_of(outline)
    found: dict[str, float] = {}
    for mark in marks:
        if mark.label is None:
            continue
        place, distance = place_of_mark(outline, mark.centre, corners)
        element = mark.leaves[0].element
        if distance > REACH:
            text = (
                f"corner mark {mark.label} lies {distance:.2f} mm from the {line_name}; "
                f"at most {REACH:g} mm is allowed"
            )
            complaints.say(element, "corner mark", text)
        elif mark.label in found:
            text = f"there are two corner marks {mark.label}: name each corner once"
            complaints.say(element, "corner mark", text)
        else:
            found[mark.label] = place
    return found


def apexes_of(marks: Sequence[Mark]) -> dict[str, complex]:
    """The apex marks' points by label, the empty label where a mark has none of its own."""
    found: dict[str, complex] = {}
    for mark in marks:
        found.setdefault(mark.label or "", mark.centre)
    return found


def grain_of(chains: Sequence[Chain]) -> tuple[complex, complex] | None:
    """The ends of the longest straight line among the lines of a grainline, arrow heads and all."""
    best: tuple[complex, complex] | None = None
    for chain in chains:
        lines = [(s.start, s.end) for s in chain.segments]
        if not chain.closed and _is_straight(chain):
            lines.append((chain.start, chain.end))
        for start, end in lines:
            if best is None or abs(end - start) > abs(best[1] - best[0]):
                best = start, end
    return best


def _is_straight(chain: Chain) -> bool:
    if abs(chain.end - chain.start) < _STRAIGHT or not all(isinstance(s, Line) for s in chain.segments):
        return False
    return beside_chord([chain.start, *(s.end for s in chain.segments)]) < _STRAIGHT


def fold_of(chains: Sequence[Chain]) -> Chain | None:
    """The fold line: the longest of the lines in its layer, as an open line."""
    best = max(chains, key=lambda chain: chain.length, default=None)
    if best is None or not best.closed:
        return best
    longest = max(best.segments, key=length)
    return Chain((longest,))
