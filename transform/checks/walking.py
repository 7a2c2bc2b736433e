"""Walking joined seams after an alteration: do the notches still meet, do edges still run smoothly across?

Also told, plainly, is what a shortened edge does to the ease of its seam: what a closing takes from an
armhole is added to that of the sleeve cap.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from rules.labels import fold
from rules.model import Rules
from transform.alter.facts import Notice
from transform.checks.seams import WalkedSeam
from transform.checks.sides import MEET, Meeting, Side, Walked, Walks, meetings
from transform.pattern.altered import AlteredPiece
from transform.pattern.model import Piece

_SMOOTH = math.radians(3.0)
_CHANGED = math.radians(0.1)
_EASE_CHANGED = 0.5


def walking(
    rules: Rules,
    size: str,
    sizes: Sequence[str],
    pieces: Sequence[Piece],
    altered: Sequence[AlteredPiece],
    walked: Sequence[WalkedSeam],
) -> Iterator[Notice]:
    """What walking the seams of one size shows.

    ``pieces`` are those of the size and those outside all sizes, as they came; ``walked`` are the seams as
    `transform.checks.seams.walk` measured them, in the order of the rules.

    Raises:
        RulesError: where an ease or a tolerance has no number for the size.
    """
    by_name = {fold(piece.name): piece for piece in pieces}
    changed = {fold(done.piece.name): done for done in altered}
    walks = Walks(by_name, changed)
    linked = [{fold(link.piece), fold(link.follows)} for link in rules.linked]
    for graded, lengths in zip(rules.seams, walked, strict=True):
        seam = graded.at(size, sizes)
        if not any(fold(term.piece) in changed for side in seam.join for term in side):
            continue
        yield from _ease(lengths)
        sides = walks.sides_of(seam)
        if sides is None:
            continue
        yield from _notches(lengths, *sides)
        if not _lie_on_each_other(linked, *sides):
            yield from _ends(lengths, *sides)


def _lie_on_each_other(linked: Sequence[set[str]], first: Side, second: Side) -> bool:
    """Whether one of the pieces is linked to the other: a facing is turned back and goes on nowhere."""
    names = {fold(edge.piece.name) for side in (first, second) for edge in side.edges}
    return any(pair <= names for pair in linked)


def _ease(seam: WalkedSeam) -> Iterator[Notice]:
    was, now = (pair[1] - pair[0] for pair in (seam.before, seam.after))
    if seam.ease == (0.0, 0.0) or abs(now - was) <= _EASE_CHANGED:
        return
    lost = [old - new for old, new in zip(seam.before, seam.after, strict=True)]
    what = " and ".join(
        f"{name} is {abs(mm):.1f} mm {'shorter' if mm > 0 else 'longer'}"
        for name, mm in zip(seam.join, lost, strict=True)
        if abs(mm) > 0.05
    )
    yield Notice(
        "ease changed",
        None,
        f"{what}: the ease of {seam.join[1]} was {was:z.1f} mm and is {now:z.1f} mm now "
        f"(allowed: {seam.ease[0]:g} mm to {seam.ease[1]:g} mm); {_what_to_do(seam, now)}",
    )


def _what_to_do(seam: WalkedSeam, now: float) -> str:
    second = seam.join[1]
    if now > seam.ease[1] + seam.tolerance:
        return f"take {now - seam.ease[1]:.1f} mm out of {second}, or remove less"
    if now < seam.ease[0] - seam.tolerance:
        return f"let {seam.ease[0] - now:.1f} mm into {second}, or remove less from it"
    return f"ease it in where {second} was eased before, or redraw that edge for the old ease"


def _notches(seam: WalkedSeam, first: Side, second: Side) -> Iterator[Notice]:
    parted = [pair for pair in meetings(first, second) if pair.after > MEET]
    if parted:
        worst = max(parted, key=lambda pair: pair.after)
        one, other = worst.marks
        many = f"{len(parted)} pairs of notches" if len(parted) > 1 else "a pair of notches"
        yield Notice(
            "notches apart",
            None,
            f"{many} of {seam.join[0]} and {seam.join[1]} met before and do not any more: that of "
            f"{one.edge.name}, {one.before:.0f} mm along, and that of {other.edge.name} are "
            f"{worst.after:.1f} mm apart (were {worst.before:.1f} mm); {_remedy(worst, first, second)}",
        )


def _remedy(pair: Meeting, first: Side, second: Side) -> str:
    """Where a notch has to go to meet the other again: that of a piece that was not altered, if any."""
    moving = 0 if pair.marks[1].edge.altered is not None and pair.marks[0].edge.altered is None else 1
    side = (first, second)[moving]
    beside = side.edges[-1].ends[1] if pair.at_end else side.edges[0].ends[0]
    end = f"the end that adjoins {beside}" if beside is not None else "the seam's end"
    return f"mark that of {pair.marks[moving].edge.name} {pair.places[1 - moving]:.1f} mm from {end}"


def _ends(seam: WalkedSeam, first: Side, second: Side) -> Iterator[Notice]:
    """Edges that ran smoothly into each other across the seam's ends, and do not any more."""
    for at_end in (False, True):
        one, other = (side.edges[-1 if at_end else 0] for side in (first, second))
        before, after = (one.angles[at_end][when] + other.angles[at_end][when] for when in (0, 1))
        smooth = abs(before - math.pi) <= _SMOOTH
        if smooth and abs(after - math.pi) > _SMOOTH and abs(after - before) > _CHANGED:
            yield Notice(
                "kink across a seam",
                None,
                f"at the end of {seam.join[0]} and {seam.join[1]} that adjoins {_beside(one, at_end)} the "
                f"line across the seam ran on straight ({math.degrees(before):.1f}°) and now bends "
                f"({math.degrees(after):.1f}°); true it with the seam closed",
            )


def _beside(edge: Walked, at_end: bool) -> str:
    return edge.ends[1 if at_end else 0] or "no named edge"
