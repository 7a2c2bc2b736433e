"""Removals and finishes: the forms of the heart of the format."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rules.forms import ByKey, Choice, Key, ListOf, NodeError, Reading, Record, Text, Truth
from rules.lengths import Amount, Fixed, KeptAngle, PerSize, Stepped
from rules.measures import AmountForm, DistanceForm, Length
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
from rules.yaml_text import Node, Scalar, Table

_EDGE, _DART = Text("an edge"), Text("a dart")
_PLACE = {
    "edge": Key(_EDGE, required=True),
    "from": Key(Text("a corner or an adjoining edge"), required=True),
    "distance": Key(DistanceForm(), required=True),
}


def _sewn(values: dict[str, Any], node: Table, reading: Reading) -> Finish:
    return SewnDart(values.get("draw back"), values.get("press"), values.get("trim"))


def _taken_out(values: dict[str, Any], node: Table, reading: Reading) -> Finish:
    return TakenOut(values["take out at"], values["to"])


_SEWN: Record[Finish] = Record(
    {
        "draw back": Key(AmountForm()),
        "press": Key(Choice(("down", "up", "to centre", "to side"))),
        "trim": Key(AmountForm(Length(some=True))),
    },
    _sewn,
)
_TAKEN_OUT: Record[Finish] = Record(
    {"take out at": Key(_EDGE, required=True), "to": Key(Text("an edge or a corner"), required=True)},
    _taken_out,
)


class FinishForm(ByKey[Finish]):
    """A sewn dart, or one taken out again; never both."""

    def read(self, node: Node, reading: Reading) -> Finish:
        """The finish."""
        if isinstance(node, Table):
            keys = {key.text: key for key, _ in node.entries}
            sewn = [key for name, key in keys.items() if name in _SEWN.keys]
            if "take out at" in keys and sewn:
                raise reading.wrong(
                    sewn[0].where, "clash", f"`{sewn[0].text}` is for a sewn dart; this one is taken out"
                )
            if "to" in keys and "take out at" not in keys:
                return _TAKEN_OUT.read(node, reading)
        return super().read(node, reading)


FINISH = FinishForm({"take out at": _TAKEN_OUT, "draw back": _SEWN, "press": _SEWN, "trim": _SEWN})


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


class ShareForm:
    """A share of the closing angle, more than 0% and at most 100%."""

    def read(self, node: Node, reading: Reading) -> float:
        """The share, 0 to 1."""
        text = node.text.strip() if isinstance(node, Scalar) else ""
        try:
            share = float(text[:-1]) if text.endswith("%") else 0.0
        except ValueError:
            share = 0.0
        if not 0 < share <= 100:
            raise reading.wrong(node.where, "wrong value", "a share of the angle is text such as `60%`")
        return share / 100

    def schema(self) -> dict[str, Any]:
        """Text that ends with a per cent sign."""
        return {"type": "string", "pattern": r"^\s*\d+(\.\d*)?\s*%\s*$"}


def _new_dart(values: dict[str, Any], node: Table, reading: Reading) -> Opening:
    return NewDart(
        values["new dart"], values["edge"], values["from"], values["distance"], values.get("share")
    )


def _known_dart(values: dict[str, Any], node: Table, reading: Reading) -> Opening:
    return KnownDart(values["dart"], values.get("share"))


_SHARE = {"share": Key(ShareForm())}
OPENING: ByKey[Opening] = ByKey(
    {
        "new dart": Record({"new dart": Key(_DART, required=True), **_PLACE, **_SHARE}, _new_dart),
        "dart": Record({"dart": Key(_DART, required=True), **_SHARE}, _known_dart),
    }
)


def _removal(values: dict[str, Any], node: Table, reading: Reading) -> Removal:
    pivot: Pivot = values["pivot"]
    opens = _opens(pivot, values.get("opens", ()), node, reading)
    amount: Amount | KeptAngle = values["removed" if "removed" in values else "pinched"]
    if _nothing(amount):
        given = "removed" if "removed" in values else "pinched"
        value = node.get(given)
        raise reading.wrong(
            (value or node).where, "removal of nothing", f"`{given}` is 0: nothing would be removed"
        )
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
    )


def _nothing(amount: Amount | KeptAngle) -> bool:
    if isinstance(amount, PerSize):
        return all(mm == 0 for mm in amount.by_size.values())
    return amount.mm == 0 and not (isinstance(amount, Stepped) and amount.step)


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
    if len(opens) > 1 or any(opening.share is not None for opening in opens):
        shares = [opening.share for opening in opens]
        total = sum(share or 0.0 for share in shares)
        if None in shares or abs(total - 1) > 1e-6:
            text = f"each mouth needs a `share`, and they add up to 100%; here they add up to {total:.0%}"
            raise reading.wrong(given.where, "clash", text)
    return opens


REMOVAL: Record[Removal] = Record(
    {
        "name": Key(Text("a name of your own")),
        "piece": Key(Text("a piece"), required=True),
        **_PLACE,
        "pinched": Key(AmountForm(keep_angle=True)),
        "removed": Key(AmountForm(keep_angle=True)),
        "measured": Key(Choice(("along", "across"))),
        "pivot": Key(PIVOT, required=True),
        "opens": Key(ListOf(OPENING, single=True, least=1)),
        "finish": Key(FINISH),
        "hold": Key(_EDGE),
        "line": Key(Choice(("fair", "straight"))),
        "again": Key(Truth()),
    },
    _removal,
    exactly_one_of=(("pinched", "removed"),),
)


def named(removals: tuple[Removal, ...], finish: Finish | None, reading: Reading) -> tuple[Removal, ...]:
    """The removals, each with a name of its own and with the finish that counts for it.

    Raises:
        NodeError: where two were given one name.
    """
    taken: dict[str, Removal] = {}
    failed = False
    for removal in removals:
        if not removal.name:
            continue
        if removal.name in taken:
            first = taken[removal.name].where.line
            reading.wrong(
                removal.where,
                "clash",
                f"the name {removal.name!r} is that of the removal in line {first} already",
            )
            failed = True
        taken[removal.name] = removal
    if failed:
        raise NodeError
    found: list[Removal] = []
    for removal in removals:
        name = removal.name or _free(f"{removal.piece} {removal.edge}", taken)
        named_one = replace(removal, name=name, finish=removal.finish or finish)
        taken[name] = named_one
        found.append(named_one)
    return tuple(found)


def _free(wish: str, taken: dict[str, Removal]) -> str:
    count, name = 1, wish
    while name in taken:
        count += 1
        name = f"{wish} {count}"
    return name
