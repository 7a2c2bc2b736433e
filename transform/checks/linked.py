"""Law 9: a linked piece, laid on the piece that it follows, agrees with it as it did before, plus 0.05 mm.

It need not where something was done to a shared edge of one of the two alone: a removal of the linked piece's
own, a dart that opens on the edge of a piece whose facing gets none, a hem that is raised. That is for a
person to look at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rules.labels import fold
from rules.model import TakenOut
from transform.alter.closing import Closing
from transform.alter.facts import Notice, SizeResult
from transform.alter.linked_piece import Following
from transform.alter.registration import agreement
from transform.alter.working import Working
from transform.geometry.motion import STAY, Motion
from transform.geometry.nearest import nearest
from transform.pattern.model import Piece
from transform.pattern.outline import Edge

AGREES_MM = 0.05
CARRIED_MM = 0.1
"""A stitching line that is carried in from a cut line is known to this, mm."""


@dataclass(frozen=True)
class Parting:
    """A linked piece that does not agree with the one it follows as it did; largest distances, mm."""

    following: Following
    before: float
    after: float

    @property
    def text(self) -> str:
        """What is to be told."""
        edges = " and ".join(other.name for _, other in self.following.registration.edges)
        return (
            f"{edges} of {self.following.piece.name}, laid on {self.following.followed.name}, lies up to "
            f"{self.after:.2f} mm off (before: {self.before:.2f} mm)"
        )


def linked_apart(result: SizeResult, after: Mapping[str, Piece]) -> Iterator[Notice]:
    """Notices of linked pieces that fit no more because one of the two was altered alone."""
    for parting in partings(result, after, alone=True):
        piece = parting.following.piece.name
        why = "since a shared edge was altered on one of them alone"
        yield Notice("linked edges apart", piece, f"{parting.text}, {why}; alter {piece} by hand")


def partings(result: SizeResult, after: Mapping[str, Piece], *, alone: bool) -> Iterator[Parting]:
    """The linked pieces of one size that do not agree as they did, ``after`` being altered pieces by name.

    ``alone`` chooses those where something was done to a shared edge of one of the two only, or the others.
    """
    workings = {working.piece.name: working for working in result.workings}
    for following in result.links:
        names = following.followed.name, following.piece.name
        if not any(name in after for name in names):
            continue
        fit = following.registration
        pieces = [after.get(p.name, p) for p in (following.followed, following.piece)]
        allowed = AGREES_MM if all(piece.stitching_drawn for piece in pieces) else AGREES_MM + CARRIED_MM
        made = [workings.get(name) for name in names]
        done = [_done_to(working, [pair[k] for pair in fit.edges]) for k, working in enumerate(made)]
        if alone == (done[0] == done[1]):
            continue
        motions = _motions(following, made[0], made[1])
        apart = agreement(fit, pieces[0], pieces[1], motions, enough=fit.misfit + allowed)
        if apart > fit.misfit + allowed:
            yield Parting(following, fit.misfit, apart)


def _done_to(working: Working | None, edges: Sequence[Edge]) -> set[tuple[int, str]]:
    """What was done to these edges of a piece, by the number of the removal."""
    if working is None:
        return set()
    return {(turn.closing.index, what) for turn in working.cut.turns for what in _doings(turn.closing, edges)}


def _doings(closing: Closing, edges: Sequence[Edge]) -> Iterator[str]:
    def on(place: float) -> bool:
        return any(edge.distance(place) is not None for edge in edges)

    if closing.low != closing.high and (on(closing.low) or on(closing.high)):
        yield "wedge"
    if closing.pivot_place is not None and on(closing.pivot_place):
        yield "pivot"
    for mouth in closing.mouths:
        sewn = mouth.dart is not None and not mouth.filled
        if mouth.first != closing.pivot_place and on(mouth.first):
            yield "dart" if sewn else "mouth"
        finish = closing.removal.finish
        if sewn and isinstance(finish, TakenOut) and fold(finish.at) in {fold(edge.name) for edge in edges}:
            yield "raised"


def _motions(following: Following, followed: Working | None, linked: Working | None) -> tuple[Motion, ...]:
    """How the followed piece lies on the linked one by each pair of parts that share some of the edges."""
    if followed is None:
        return ()
    fit, outline = following.registration, followed.cut.outline
    found = []
    for arc in followed.cut.arcs:
        middle = (arc.first + arc.last) / 2
        if arc.gone or all(edge.distance(middle) is None for edge, _ in fit.edges):
            continue
        place, _ = nearest(following.outline, fit.motion(outline.point(middle)))
        there = STAY if linked is None else linked.cut.arc_at(place).motion
        found.append(there.after(fit.motion.after(arc.motion.inverse())))
    return tuple(found)
