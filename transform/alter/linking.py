"""Which pieces of a size follow which, in what order they are altered, and what a linked piece receives."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from rules.labels import fold
from rules.model import Linked, Position, Rules
from rules.problems import Problem, UngapeError
from transform.alter.closing import Closing
from transform.alter.facts import Notice
from transform.alter.following import follow
from transform.alter.linked_piece import Following
from transform.alter.piece import PieceResult
from transform.alter.placing import Grade, edge_of
from transform.alter.problems import AlterError, Asked, unknown_piece
from transform.alter.registration import register
from transform.alter.shared_lines import DrawnLine, carried
from transform.pattern.model import Piece


@dataclass(frozen=True)
class Link:
    """One entry under `linked`, with the pieces that it names."""

    linked: Linked
    asked: Asked
    followed: Piece

    @property
    def piece(self) -> Piece:
        """The linked piece."""
        return self.asked.piece

    @property
    def folds(self) -> tuple[float, ...]:
        """Outline places at which the edges of a piece that follows itself are folded: their middles."""
        edges = [edge_of(self.asked, name) for name in self.linked.along] if self.is_grown_on else []
        return tuple(edge.outline.chain.wrap(edge.place(edge.length / 2)) for edge in edges)

    @property
    def is_grown_on(self) -> bool:
        """Whether the piece follows itself: a facing grown on to it mirrors it across its fold."""
        return self.followed.name == self.piece.name


@dataclass(frozen=True)
class Received:
    """What a linked piece receives: closings, the lines drawn over them, and what is to be told.

    ``links`` say how it lies on the pieces that it follows.

    The shared edges agree to ``misfit`` mm.
    """

    closings: tuple[Closing, ...] = ()
    lines: tuple[DrawnLine, ...] = ()
    misfit: float = 0.0
    notices: tuple[Notice, ...] = ()
    links: tuple[Following, ...] = ()

    def with_more(self, other: Received) -> Received:
        """Both together."""
        return Received(
            self.closings + other.closings,
            self.lines + other.lines,
            max(self.misfit, other.misfit),
            self.notices + other.notices,
            self.links + other.links,
        )


def piece_named(
    rules: Rules, name: str, wanted: str, where: Position, size: str, pieces: Sequence[Piece]
) -> Piece:
    """The piece of the size that is named ``wanted``; ``name`` and ``where`` say who asks for it.

    Raises:
        AlterError: where there is none.
    """
    for piece in pieces:
        if fold(piece.name) == fold(wanted):
            return piece
    raise unknown_piece(rules.file, name, wanted, where, size, [piece.name for piece in pieces])


def refuse_outside_sizes(asked: Asked) -> None:
    """Refuse to alter a piece that serves every size.

    Raises:
        AlterError: where the asked piece is one.
    """
    if asked.piece.size is None:
        raise asked.refusal(
            "piece outside the sizes",
            "the piece stands outside all sizes, so it serves every size and is never altered; "
            "put it into a layer of each size",
        )


def links_of(rules: Rules, size: str, pieces: Sequence[Piece]) -> list[Link]:
    """The links of the rules, as written.

    Raises:
        AlterError: with every link that names a piece that is not there.
    """
    found: list[Link] = []
    problems: list[Problem] = []
    for linked in rules.linked:
        name = f"{linked.piece} follows {linked.follows}"
        try:
            piece, followed = (
                piece_named(rules, name, wanted, linked.where, size, pieces)
                for wanted in (linked.piece, linked.follows)
            )
        except UngapeError as error:
            problems.extend(error.problems)
            continue
        asked = Asked(rules.file, linked.where.line, linked.where.column, name, piece)
        found.append(Link(linked, asked, followed))
    if problems:
        raise AlterError(tuple(problems))
    return found


def in_order(first: Sequence[Piece], links: Sequence[Link]) -> list[Piece]:
    """The pieces with removals and the linked ones, each after those that it follows.

    Raises:
        AlterError: where pieces follow each other in a circle.
    """
    done: dict[str, Piece] = {}

    def visit(piece: Piece, way: tuple[str, ...]) -> None:
        for link in links:
            if link.piece.name != piece.name or piece.name in done or link.is_grown_on:
                continue
            if link.followed.name in (*way, piece.name):
                circle = " follows ".join((*way, piece.name, link.followed.name))
                raise link.asked.refusal(
                    "links in a circle", f"pieces follow each other in a circle: {circle}"
                )
            visit(link.followed, (*way, piece.name))
        done.setdefault(piece.name, piece)

    for piece in (*first, *(link.piece for link in links)):
        visit(piece, ())
    return list(done.values())


def received(links: Sequence[Link], results: Mapping[str, PieceResult], grade: Grade) -> Received:
    """What the ``links`` of one piece bring to it; ``results`` are the pieces altered so far, by name.

    Raises:
        AlterError: where shared edges do not agree, or a removal cannot be made again.
    """
    closings: list[Closing] = []
    lines: list[DrawnLine] = []
    notices: list[Notice] = []
    misfit = 0.0
    laid: list[Following] = []
    for link in links:
        tolerance = grade.mm(link.linked.tolerance)
        registration = register(link.asked, link.followed, link.linked.along, tolerance)
        following = Following(link.asked, link.followed, registration, link.linked.dart, tolerance)
        laid.append(following)
        result = results.get(link.followed.name)
        made: list[Closing] = []
        if result is not None:
            made = follow(following, result.working.cut.turns)
            lines.extend(carried(result.lines, registration))
        if not made:
            notices.append(_nothing(link))
        notices.extend(notice for closing in made for notice in _opened(link, closing))
        closings.extend(made)
        misfit = max(misfit, registration.misfit)
    if closings:
        refuse_outside_sizes(links[0].asked)
    return Received(tuple(closings), tuple(lines), misfit, tuple(notices), tuple(laid))


def _opened(link: Link, closing: Closing) -> Iterator[Notice]:
    """What is to be told of the places at which a closing opens the linked piece, which are filled."""
    outline = link.piece.stitching
    for mouth in closing.mouths:
        if mouth.filled:
            wide = (
                2
                * abs(outline.chain.point(mouth.first) - closing.pivot)
                * math.sin(closing.angle * mouth.share / 2)
            )
            edge = outline.edge_at(mouth.first) or "its far edge"
            yield Notice(
                "piece opened",
                link.piece.name,
                f"{closing.name}: {link.piece.name}, which gets no dart, opens by {wide:.1f} mm at {edge} "
                f"and is filled there, so that {edge} grows by about as much",
            )


def _nothing(link: Link) -> Notice:
    along = " and ".join(link.linked.along)
    return Notice(
        "link receives nothing",
        link.piece.name,
        f"{link.piece.name} follows {link.followed.name} along {along}, but no removal there reaches it",
    )
