"""Linked pieces, strips, seams, accepted notices, the revision: the forms around the removals."""

from __future__ import annotations

import math
from itertools import chain
from typing import Any

from rules.ease import EaseForm
from rules.forms import Choice, Number, Reading, Text
from rules.lengths import Amount, Fixed
from rules.measures import AmountForm
from rules.model import LINKED_TOLERANCE, Accept, Graded, Linked, Revision, Seam, Strip
from rules.notices import NOTICES
from rules.records import ByKey, Key, ListOf, Record
from rules.terms import Side
from rules.yaml_text import Table

_PIECE = Text("a piece")
_NO_EASE = (Fixed(0.0), Fixed(0.0))
_SEAM_TOLERANCE = Fixed(1.0)


def _linked(values: dict[str, Any], node: Table, reading: Reading) -> Linked | Strip:
    return Linked(
        values["piece"],
        values["follows"],
        values["along"],
        values.get("dart", "closed"),
        values.get("tolerance", LINKED_TOLERANCE),
        node.where,
    )


def _strip(values: dict[str, Any], node: Table, reading: Reading) -> Linked | Strip:
    follows = tuple(chain.from_iterable(values["follows"]))
    return Strip(values["strip"], follows, values.get("ratio", 1.0), node.where)


LINKED_OR_STRIP: ByKey[Linked | Strip] = ByKey(
    {
        "piece": Record(
            {
                "piece": Key(_PIECE, required=True, about="receives what reaches it of the removals"),
                "follows": Key(_PIECE, required=True, about="the piece whose removals they are"),
                "along": Key(
                    ListOf(Text("an edge"), single=True, least=1, unique=True),
                    required=True,
                    about="the edge or edges that both share",
                ),
                "dart": Key(
                    Choice(("closed", "sewn")),
                    about="closed (left out; a facing has no dart) or sewn (a lining gets the same dart)",
                ),
                "tolerance": Key(AmountForm(), about="how far the shared edges may differ, left out: 0.5 mm"),
            },
            _linked,
            title="linked-piece",
        ),
        "strip": Record(
            {
                "strip": Key(_PIECE, required=True, about="a band cut to a length"),
                "follows": Key(
                    ListOf(Side(), single=True, least=1), required=True, about="the edges it is sewn to"
                ),
                "ratio": Key(
                    Number(0.0, 100.0, "a number more than 0, such as 0.95"),
                    about="the strip's length for each length of edge, left out: 1",
                ),
            },
            _strip,
            title="strip",
        ),
    }
)


def _seam(values: dict[str, Any], node: Table, reading: Reading) -> Seam:
    first, second = values["join"]
    low, high = values.get("ease", _NO_EASE)
    tolerance: Amount = values.get("tolerance", _SEAM_TOLERANCE)
    if isinstance(low, Fixed) and isinstance(high, Fixed) and isinstance(tolerance, Fixed):
        return Seam((first, second), (low.mm, high.mm), tolerance.mm, node.where)
    graded = Graded(low, high, tolerance)
    return Seam((first, second), (math.nan, math.nan), math.nan, node.where, graded)


SEAM: Record[Seam] = Record(
    {
        "join": Key(
            ListOf(Side(), least=2, most=2), required=True, about="the two sides that are sewn together"
        ),
        "ease": Key(EaseForm(), about="second side minus first, left out: 0"),
        "tolerance": Key(AmountForm(), about="how far the seam may be off, left out: 1 mm"),
    },
    _seam,
    title="seam",
)


def _accept(values: dict[str, Any], node: Table, reading: Reading) -> Accept:
    return Accept(values["kind"], values.get("piece"), values.get("why", ""), node.where)


ACCEPT: Record[Accept] = Record(
    {
        "kind": Key(Choice(tuple(NOTICES)), required=True, about="the kind of notice, as it is told"),
        "piece": Key(_PIECE),
        "why": Key(Text("what was looked at")),
    },
    _accept,
    title="accepted-notice",
)


def _revision(values: dict[str, Any], node: Table, reading: Reading) -> Revision:
    return Revision(values["mark"], values.get("date", ""), node.where)


REVISION: Record[Revision] = Record(
    {"mark": Key(Text("a mark"), required=True), "date": Key(Text("a date"))}, _revision
)
