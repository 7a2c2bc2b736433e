"""The note in an altered file: what was removed, in numbers that tell a removal asked for twice.

A removal is the same, however it is written: in other units, as a share of the edge or in mm, from either end
of the edge, from a corner or from the edge that adjoins there, by width or by the angle that it had.
"""

from __future__ import annotations

import contextlib
import json
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from rules.labels import fold, spelled
from rules.lengths import KeptAngle, Share
from rules.model import Removal, Revision, Rules
from rules.problems import Problem
from transform.alter.facts import RemovalFacts
from transform.pattern.model import Piece
from transform.svg.document import Document
from transform.svg.note import read_note
from transform.svg.problems import PatternError

VERSION = 1
_SAME_MM = 0.005
_SAME_END_MM = 0.05
"""A place measured from the other end of its edge is the same to this, mm: whoever measures it rounds."""

Row = Mapping[str, object]


@dataclass(frozen=True)
class Numbers:
    """The rules, and all sizes in order: what amounts and places are resolved against."""

    rules: Rules
    sizes: Sequence[str]

    def asked(self, removal: Removal, size: str) -> dict[str, object]:
        """Edge, place and amount of a removal in one size, as they were asked for (mm; a share as it is)."""
        distance, amount = removal.distance, removal.amount
        return {
            "edge": removal.edge,
            "from": removal.start,
            "distance": f"{distance.fraction:.6g}"
            if isinstance(distance, Share)
            else round(distance.at(size, self.sizes), 3),
            "amount": round(amount.mm if isinstance(amount, KeptAngle) else amount.at(size, self.sizes), 3),
        }


def earlier_removals(document: Document) -> list[Row]:
    """The removals that the file carries already.

    Raises:
        PatternError: where its note cannot be read.
    """
    note = _note(document)
    found: list[Row] = note["removals"] if note is not None else []
    return found


def noted_design(document: Document) -> str | None:
    """The title of the design that altered a file; None where it carries no note or the design had no title.

    Raises:
        PatternError: where its note cannot be read.
    """
    note = _note(document)
    return note.get("design") if note is not None else None


def _note(document: Document) -> dict[str, Any] | None:
    text = read_note(document)
    if text is None:
        return None
    try:
        note: dict[str, Any] = json.loads(text)
        if note["ungape_note"] != VERSION or not all(isinstance(row, dict) for row in note["removals"]):
            raise ValueError
    except (ValueError, KeyError, TypeError, RecursionError):
        what = "the note of an earlier run in <metadata> cannot be read"
        advice = "take the file from before that run, or remove the note"
        raise PatternError((Problem("broken note", f"{what}; {advice}", document.name, exit=3),)) from None
    return note


def made_for(rules: Rules, name: str, facts: Iterable[RemovalFacts]) -> Iterator[RemovalFacts]:
    """The removals for which the piece ``name`` was altered: its own, or those a strip is cut for."""
    edges = _followed(rules, name)
    for fact in facts:
        if fact.piece == name:
            yield fact
        elif (fold(fact.piece), fold(fact.edge)) in edges:
            yield replace(fact, piece=name, followed=True)


def _followed(rules: Rules, name: str) -> set[tuple[str, str]]:
    """The edges (piece and edge, folded) that the strip ``name`` is cut for; a strip may follow a strip."""
    edges: set[tuple[str, str]] = set()
    names = {fold(name)}
    for strip in reversed(rules.strips):
        if fold(strip.strip) in names:
            edges |= {(fold(term.piece), fold(term.edge)) for term in strip.follows}
            names |= {fold(term.piece) for term in strip.follows}
    return edges


def note_text(
    numbers: Numbers,
    before: Sequence[Row],
    facts: Sequence[tuple[str, RemovalFacts]],
    sha256: str,
    added: Iterable[str] = (),
) -> str:
    """The note: format version, design, removals by size with their numbers, source's digest, revision.

    ``added`` are the ids of all that was added to the drawing, by earlier alterations too.
    """
    strips = {fold(strip.strip) for strip in numbers.rules.strips}
    rows: list[Row] = []
    for size, fact in facts:
        row: dict[str, object] = {
            "size": size,
            "piece": fact.piece,
            **numbers.asked(numbers.rules.removals[fact.index], size),
            "edge length": _rounded(fact.edge_before),
            "followed": fact.followed,
            "removed": _rounded(fact.removed),
        }
        if fold(fact.piece) not in strips:
            # A strip is cut to a length: it has no wedge.
            row["angle"] = _rounded(fact.angle, 6)
            row["pivot"] = _point(fact.pivot)
            row["legs"] = [_point(leg) for leg in fact.legs]
        rows.append(row)
    note: dict[str, object] = {
        "ungape_note": VERSION,
        "design": numbers.rules.design,
        "removals": [*before, *rows],
        "source": sha256,
    }
    ids = sorted(added)
    if ids:
        note["added"] = ids
    if numbers.rules.revision is not None:
        note["revision"] = _revision(numbers.rules.revision)
    return json.dumps(note, ensure_ascii=False, sort_keys=True)


def _rounded(value: float, decimals: int = 3) -> float:
    return round(value, decimals) + 0.0


def _point(point: complex) -> list[float]:
    return [_rounded(point.real), _rounded(point.imag)]


def _revision(revision: Revision) -> dict[str, str]:
    return {"mark": revision.mark, "date": revision.date}


def refuse_twice(
    numbers: Numbers, files: Iterable[tuple[Document, Sequence[Piece]]], sizes: Sequence[str]
) -> None:
    """Refuse what a file carries already, unless the rules say `again: yes`.

    Raises:
        PatternError: naming every such removal (exit 3).
    """
    problems: list[Problem] = []
    for document, pieces in files:
        rows = earlier_removals(document)
        here = {fold(piece.size or "") for piece in pieces}
        for piece in pieces:
            size = piece.size or ""
            # A size that the file holds no more was called otherwise when the note was written.
            mine = [row for row in rows if _size(row) == fold(size) or _size(row) not in here]
            for removal in numbers.rules.removals if size in sizes else ():
                if removal.again or not _receives(numbers.rules, removal, piece.name):
                    continue
                asked = numbers.asked(removal, size)
                if any(_same(row, piece, asked) for row in mine):
                    problems.append(_twice(numbers, document, removal, size))
    if problems:
        raise PatternError(tuple(dict.fromkeys(problems)))


def _receives(rules: Rules, removal: Removal, name: str) -> bool:
    """Whether a removal may alter the piece ``name``, which may follow another or be a strip cut for it."""
    receivers = _receivers(rules, removal)
    return fold(name) in receivers or any(piece in receivers for piece, _ in _followed(rules, name))


def _receivers(rules: Rules, removal: Removal) -> set[str]:
    """Folded names of the pieces on which a removal may be made: its own, and those that follow it."""
    found = {fold(removal.piece)}
    while more := {fold(link.piece) for link in rules.linked if fold(link.follows) in found} - found:
        found |= more
    return found


def _size(row: Row) -> str:
    return fold(str(row.get("size", "")))


def _same(row: Row, piece: Piece, asked: Row) -> bool:
    """Whether a row of the note tells of what is asked for on the piece."""
    names = (("piece", piece.name), ("edge", str(asked["edge"])))
    if any(fold(str(row.get(key))) != fold(name) for key, name in names):
        return False
    amounts = [_number(row.get(key)) for key in ("amount", "removed")]
    if not any(abs(amount - _number(asked["amount"])) <= _SAME_MM for amount in amounts):
        return False
    length = _number(row.get("edge length"))
    was, now = (_distance(one.get("distance"), length) for one in (row, asked))
    if _one_end(piece, str(row.get("from")), asked):
        return abs(was - now) <= _SAME_MM
    return abs(length - was - _number(row.get("removed")) - now) <= _SAME_END_MM


def _number(value: object) -> float:
    """A number of the note; what is none is equal to nothing."""
    return float(value) if isinstance(value, int | float) else math.nan


def _distance(value: object, length: float) -> float:
    """A distance in mm; a share (as text) is one of the edge's length when the note was written."""
    if isinstance(value, str):
        with contextlib.suppress(ValueError):
            return float(value) * length
    return _number(value)


def _one_end(piece: Piece, start: str, asked: Row) -> bool:
    """Whether the note and what is asked for measure from one end of the edge, whatever they call it."""
    outline = piece.stitching
    edge = spelled(str(asked["edge"]), outline.edge_names)
    if fold(start) == fold(str(asked["from"])) or edge is None:
        return fold(start) == fold(str(asked["from"]))
    known = (*outline.corners, *outline.edge_names)
    names = [spelled(name, known) for name in (start, str(asked["from"]))]
    ends = [None if name is None else outline.edge(edge).runs_from(name) for name in names]
    return ends[0] is not None and ends[0] == ends[1]


def _twice(numbers: Numbers, document: Document, removal: Removal, size: str) -> Problem:
    where = f" in size {size}" if size else ""
    return Problem(
        "removed already",
        f"{removal.name}: {document.name} carries this removal{where} already; begin from the file before "
        "it, or say `again: yes` to remove as much once more",
        numbers.rules.file,
        removal.where.line,
        removal.where.column,
        exit=3,
    )
