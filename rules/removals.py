"""Removals and finishes: the forms of the heart of the format."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rules.forms import Choice, Reading, Text, Truth
from rules.labels import fold
from rules.lengths import Amount, Fixed, KeptAngle, PerSize, Sign, Stepped
from rules.measures import AmountForm, DistanceForm, ShareForm, WidthForm
from rules.model import (
    ApexPivot,
    DartPivot,
    EdgePivot,
    Finish,
    KnownDart,
    NewDart,
    Opening,
    Pivot,
    Removal,
    SewnDart,
    TakenOut,
)
from rules.records import ByKey, Key, ListOf, Record
from rules.yaml_text import Table

_EDGE, _DART = Text("an edge"), Text("a dart")
_PLACE = {
    "edge": Key(_EDGE, required=True),
    "from": Key(
        Text("a corner or an adjoining edge"), required=True, about="a corner, or where this edge adjoins"
    ),
    "distance": Key(DistanceForm(), required=True, about="along the edge, from `from`"),
}


def _sewn(values: dict[str, Any], node: Table, reading: Reading) -> Finish:
    return SewnDart(values.get("draw back"), values.get("press"), values.get("trim"))


def _taken_out(values: dict[str, Any], node: Table, reading: Reading) -> Finish:
    return TakenOut(values["take out at"], values["to"])


_SEWN: Record[Finish] = Record(
    {
        "draw back": Key(AmountForm(), about="how far the sewn point stands off the apex or the old point"),
        "press": Key(
            Choice(("down", "up", "to centre", "to side")), about="the side the intake is pressed to"
        ),
        "trim": Key(AmountForm(Sign.ABOVE_ZERO), about="the intake is cut away to this allowance"),
    },
    _sewn,
    title="sewn-dart",
)
_TAKEN_OUT: Record[Finish] = Record(
    {
        "take out at": Key(_EDGE, required=True, about="the hem edge that is raised"),
        "to": Key(Text("an edge or a corner"), required=True, about="where the raising runs out to nothing"),
    },
    _taken_out,
    title="dart-taken-out",
)
FINISH: ByKey[Finish] = ByKey(
    {"take out at": _TAKEN_OUT, "to": _TAKEN_OUT, "draw back": _SEWN, "press": _SEWN, "trim": _SEWN}
)


def _apex(values: dict[str, Any], node: Table, reading: Reading) -> Pivot:
    return ApexPivot(values["apex"])


def _dart(values: dict[str, Any], node: Table, reading: Reading) -> Pivot:
    return DartPivot(values["dart"])


def _edge(values: dict[str, Any], node: Table, reading: Reading) -> Pivot:
    return EdgePivot(values["edge"], values["from"], values["distance"])


PIVOT: ByKey[Pivot] = ByKey(
    {
        "apex": Record({"apex": Key(Text("an apex mark's label"), required=True)}, _apex),
        "dart": Record({"dart": Key(_DART, required=True)}, _dart),
        "edge": Record(_PLACE, _edge),
    },
    word="apex",
    word_value=ApexPivot(),
)


def _new_dart(values: dict[str, Any], node: Table, reading: Reading) -> Opening:
    return NewDart(
        values["new dart"], values["edge"], values["from"], values["distance"], values.get("share")
    )


def _known_dart(values: dict[str, Any], node: Table, reading: Reading) -> Opening:
    return KnownDart(values["dart"], values.get("share"))


_SHARE = {"share": Key(ShareForm(some=True), about="how much of the angle opens here")}
OPENING: ByKey[Opening] = ByKey(
    {
        "new dart": Record({"new dart": Key(_DART, required=True), **_PLACE, **_SHARE}, _new_dart),
        "dart": Record({"dart": Key(_DART, required=True), **_SHARE}, _known_dart),
    }
)


def _removal(values: dict[str, Any], node: Table, reading: Reading) -> Removal:
    pivot: Pivot = values["pivot"]
    opens = _opens(pivot, values.get("opens", ()), node, reading)
    finish = node.get("finish")
    if isinstance(pivot, EdgePivot) and finish is not None:
        text = "with a pivot on an edge nothing opens, so there is nothing to finish; leave `finish` out"
        raise reading.wrong(finish.where, "clash", text)
    amount: Amount | KeptAngle = values["removed" if "removed" in values else "pinched"]
    return Removal(
        name=values.get("name", ""),
        piece=values["piece"],
        edge=values["edge"],
        start=values["from"],
        distance=values["distance"],
        amount=amount if "removed" in values else doubled(amount),
        pivot=pivot,
        opens=opens,
        pinched="pinched" in values,
        across=values.get("measured") == "across",
        finish=values.get("finish"),
        hold=values.get("hold"),
        line=values.get("line"),
        again=values.get("again", False),
        where=node.where,
        keys={key.text: value.where for key, value in node.entries},
    )


def doubled(amount: Amount | KeptAngle) -> Amount | KeptAngle:
    """The full width of a pinch: one side of the fold counts double (common practice)."""
    if isinstance(amount, Fixed):
        return Fixed(2 * amount.mm)
    if isinstance(amount, PerSize):
        return replace(amount, by_size={size: 2 * mm for size, mm in amount.by_size.items()})
    if isinstance(amount, Stepped):
        return replace(amount, mm=2 * amount.mm, step=2 * amount.step)
    return replace(amount, mm=2 * amount.mm)


def _opens(pivot: Pivot, opens: tuple[Opening, ...], node: Table, reading: Reading) -> tuple[Opening, ...]:
    given = node.get("opens")
    if isinstance(pivot, EdgePivot):
        if given is not None:
            text = "with a pivot on an edge nothing opens; leave `opens` out"
            raise reading.wrong(given.where, "clash", text)
        return ()
    if given is None:
        if isinstance(pivot, DartPivot):
            return (KnownDart(pivot.dart),)
        text = "with the apex as pivot say what `opens`: {new dart: …} or {dart: …}"
        raise reading.wrong(node.where, "missing value", text)
    shares = [opening.share for opening in opens]
    total = sum(share or 0.0 for share in shares)
    if shares != [None] and (None in shares or abs(total - 1) > 1e-6):
        text = f"each mouth needs a `share`, and they add up to 100%; here they add up to {100 * total:g}%"
        raise reading.wrong(given.where, "clash", text)
    if len({fold(opening.name) for opening in opens}) < len(opens):
        raise reading.wrong(given.where, "clash", "one dart stands here twice; add its shares up")
    return opens


REMOVAL: Record[Removal] = Record(
    {
        "name": Key(Text("a name of your own"), about="unique among the removals"),
        "piece": Key(Text("a piece"), required=True),
        **_PLACE,
        "pinched": Key(WidthForm(), about="one side of the pinched fold; twice this is removed"),
        "removed": Key(WidthForm(), about="the full width that is removed"),
        "measured": Key(
            Choice(("along", "across")), about="along the edge (left out), or square to the wedge"
        ),
        "pivot": Key(PIVOT, required=True, about="where the wedge comes to nothing"),
        "opens": Key(ListOf(OPENING, single=True, least=1), about="the darts that take up the angle"),
        "finish": Key(FINISH, about="how the opened mouth is finished"),
        "hold": Key(_EDGE, about="an edge of the part that stays put"),
        "line": Key(Choice(("fair", "straight")), about="how the closed edge is drawn"),
        "again": Key(Truth(), about="make the removal though the file carries it already"),
    },
    _removal,
    exactly_one_of=(("pinched", "removed"),),
    title="removal",
    elsewhere={"join": "seams", "follows": "linked", "strip": "linked"},
)
