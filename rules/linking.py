"""Linked pieces, strips, seams, accepted notices, the revision: the forms around the removals."""

from __future__ import annotations

from typing import Any

from rules.forms import ByKey, Choice, Key, ListOf, Number, Reading, Record, Text
from rules.measures import AmountForm, Length
from rules.model import LINKED_TOLERANCE, Accept, Linked, Revision, Seam, Strip
from rules.terms import OneTerm, Range, Side
from rules.yaml_text import Table

_PIECE = Text("a piece")


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
    return Strip(values["strip"], values["follows"], values.get("ratio", 1.0), node.where)


LINKED_OR_STRIP: ByKey[Linked | Strip] = ByKey(
    {
        "piece": Record(
            {
                "piece": Key(_PIECE, required=True),
                "follows": Key(_PIECE, required=True),
                "along": Key(ListOf(Text("an edge"), single=True, least=1), required=True),
                "dart": Key(Choice(("closed", "sewn"))),
                "tolerance": Key(AmountForm()),
            },
            _linked,
        ),
        "strip": Record(
            {
                "strip": Key(_PIECE, required=True),
                "follows": Key(ListOf(OneTerm(), single=True, least=1), required=True),
                "ratio": Key(Number(0.0, "a number more than 0, such as 0.95")),
            },
            _strip,
        ),
    }
)


def _seam(values: dict[str, Any], node: Table, reading: Reading) -> Seam:
    join = values["join"]
    if len(join) != 2:
        where = (node.get("join") or node).where
        raise reading.wrong(where, "wrong value", f"`join` has two sides; found {len(join)}")
    return Seam((join[0], join[1]), values.get("ease", (0.0, 0.0)), values.get("tolerance", 1.0), node.where)


SEAM: Record[Seam] = Record(
    {
        "join": Key(ListOf(Side()), required=True),
        "ease": Key(Range()),
        "tolerance": Key(Length()),
    },
    _seam,
)


def _accept(values: dict[str, Any], node: Table, reading: Reading) -> Accept:
    return Accept(values["kind"], values.get("piece"), values.get("why", ""), node.where)


ACCEPT: Record[Accept] = Record(
    {
        "kind": Key(Text("a kind of notice"), required=True),
        "piece": Key(_PIECE),
        "why": Key(Text("what was looked at")),
    },
    _accept,
)


def _revision(values: dict[str, Any], node: Table, reading: Reading) -> Revision:
    return Revision(values["mark"], values.get("date", ""), node.where)


REVISION: Record[Revision] = Record(
    {"mark": Key(Text("a mark"), required=True), "date": Key(Text("a date"))}, _revision
)
