"""Strips: bands that are cut to the length of edges, shortened by what those edges have lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rules.labels import fold
from rules.model import Rules, Strip, Term
from rules.problems import Problem, UngapeError
from transform.alter.facts import Notice, StripFacts
from transform.alter.linking import piece_named, refuse_outside_sizes
from transform.alter.placing import edge_of
from transform.alter.problems import AlterError, Asked
from transform.alter.shortening import Band, band_of, shortened
from transform.pattern.altered import AlteredPiece
from transform.pattern.model import Piece

_FITS = 1.0
_NOTHING = 1e-6


@dataclass(frozen=True, slots=True)
class CutStrips:
    """The strips of one size that changed, the lengths of all of them, and what is to be told."""

    altered: tuple[AlteredPiece, ...] = ()
    facts: tuple[StripFacts, ...] = ()
    notices: tuple[Notice, ...] = ()


def cut_strips(
    rules: Rules, size: str, pieces: Sequence[Piece], altered: Sequence[AlteredPiece]
) -> CutStrips:
    """Cut every strip of the rules to its new length, in the order written.

    ``altered`` are the pieces that removals changed; a strip may follow a strip that stands before it.

    Raises:
        AlterError: with every strip that names what is not there, or cannot be cut.
    """
    after = {fold(done.piece.name): done for done in altered}
    strips: list[AlteredPiece] = []
    facts: list[StripFacts] = []
    notices: list[Notice] = []
    problems: list[Problem] = []
    for strip in rules.strips:
        try:
            piece = piece_named(rules, _name(strip), strip.strip, strip.where, size, pieces)
            asked = Asked(rules.file, strip.where.line, strip.where.column, _name(strip), piece)
            before, lost = (strip.ratio * mm for mm in _lengths(asked, strip, size, pieces, after, rules))
            band = band_of(piece)
            share = _drawn_share(band, before)
            loss = lost * share
            if abs(band.length - before * share) > _FITS:
                notices.append(_did_not_fit(strip, band, before * share))
            if abs(loss) < _NOTHING:
                notices.append(_nothing(strip, piece))
            else:
                refuse_outside_sizes(asked)
                _refuse_altered(asked, after)
                done = shortened(asked, band, loss)
                after[fold(piece.name)] = done
                strips.append(done)
            facts.append(StripFacts(piece.name, band.length, band.length - loss))
        except UngapeError as error:
            problems.extend(error.problems)
    if problems:
        raise AlterError(tuple(problems))
    return CutStrips(tuple(strips), tuple(facts), tuple(notices))


def _name(strip: Strip) -> str:
    return f"strip {strip.strip}"


def _lengths(
    asked: Asked,
    strip: Strip,
    size: str,
    pieces: Sequence[Piece],
    after: dict[str, AlteredPiece],
    rules: Rules,
) -> tuple[float, float]:
    """Lengths of all edges that the strip follows, together, as they came, and what they have lost, mm."""
    whole = lost = 0.0
    for term in strip.follows:
        piece = piece_named(rules, asked.name, term.piece, strip.where, size, pieces)
        edge = edge_of(Asked(asked.rules, asked.line, asked.column, asked.name, piece), term.edge)
        whole += term.times * edge.length
        done = after.get(fold(piece.name))
        if done is not None and done.stitching is not None:
            lost += term.times * (edge.length - done.stitching.edge(edge.name).length)
    return whole, lost


def _drawn_share(band: Band, whole: float) -> float:
    """The share of the strip that is drawn: half, where a fold lies at its end and that fits better."""
    return 0.5 if band.half and abs(band.length - whole / 2) < abs(band.length - whole) else 1.0


def _refuse_altered(asked: Asked, after: dict[str, AlteredPiece]) -> None:
    if fold(asked.piece.name) in after:
        raise asked.refusal(
            "strip is altered otherwise",
            "removals, a link or another entry alter this piece too; a strip is only cut to its length",
        )
    if asked.piece.darts:
        raise asked.refusal("strip is altered otherwise", "a piece with darts is no strip")


def _terms(follows: Sequence[Term]) -> str:
    return " + ".join(f"{t.piece}/{t.edge}" + (f" x {t.times}" if t.times > 1 else "") for t in follows)


def _did_not_fit(strip: Strip, band: Band, wanted: float) -> Notice:
    return Notice(
        "strip was off before",
        strip.strip,
        f"{strip.strip} is {band.length:.1f} mm long, but {strip.ratio:g} x ({_terms(strip.follows)}) is "
        f"{wanted:.1f} mm in the files as they came; it is shortened by the difference all the same",
    )


def _nothing(strip: Strip, piece: Piece) -> Notice:
    return Notice(
        "link receives nothing",
        piece.name,
        f"{piece.name} follows {_terms(strip.follows)}, none of which has changed its length",
    )
