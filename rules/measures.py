"""Forms for lengths, shares, amounts that differ by size, and distances along an edge."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

from rules.forms import Choice, Form, Json, Reading, Text, shown
from rules.labels import fold
from rules.lengths import (
    FRACTION,
    NUMBER,
    UNITS,
    Amount,
    Distance,
    Fixed,
    KeptAngle,
    PerSize,
    Share,
    Sign,
    Stepped,
    read_length,
)
from rules.model import Position
from rules.problems import RulesError, listed
from rules.records import Build, Key, MapOf, Record
from rules.yaml_text import Node, Scalar, Table

_GROWING = ("at", "amount", "step", "keep")
"""The keys of an amount that grows from one size; none of them is a size."""
T = TypeVar("T")
_SHARE = re.compile(rf"({NUMBER})\s*%")


@dataclass(frozen=True)
class Length:
    """A length in mm, no smaller than ``sign`` allows; ``zero`` is the kind of problem that 0 is then."""

    sign: Sign = Sign.NOT_BELOW_ZERO
    zero: str = "wrong value"

    def read(self, node: Node, reading: Reading) -> float:
        """The length, mm."""
        if not isinstance(node, Scalar) or node.is_null:
            raise reading.misfit(node, "allowed: a length")
        try:
            mm = read_length(node.decimal, reading.units)
        except ValueError as error:
            raise reading.misfit(node, str(error)) from None
        if not self.sign.allows(mm):
            kind = self.zero if mm == 0 else "wrong value"
            raise reading.wrong(node.where, kind, f"found {shown(node)}; {self.sign.value}")
        return mm

    def schema(self) -> Json:
        """A number in the file's units, or text with a unit."""
        number: Json = {"type": "number"}
        sign = r"\+?"
        if self.sign is Sign.ANY:
            sign = "[+-]?"
        else:
            number["minimum" if self.sign is Sign.NOT_BELOW_ZERO else "exclusiveMinimum"] = 0
        pattern = rf"^\s*{sign}\s*(?:{FRACTION}|{NUMBER}(?:[eE][+-]?[0-9]{{1,3}})?)\s*{UNITS}?\s*$"
        title = {Sign.ANY: "length-signed", Sign.NOT_BELOW_ZERO: "length", Sign.ABOVE_ZERO: "length-above-0"}
        return {"title": title[self.sign], "anyOf": [number, {"type": "string", "pattern": pattern}]}


@dataclass(frozen=True)
class ShareForm:
    """A share such as `40%`, as a fraction; ``some`` where it must be more than nothing."""

    some: bool = False

    def read(self, node: Node, reading: Reading) -> float:
        """The share, 0 to 1."""
        match = _SHARE.fullmatch(node.text.strip()) if isinstance(node, Scalar) else None
        share = float(match[1]) if match is not None else -1.0
        if share < 0 or share > 100 or (self.some and share == 0):
            least = "more than 0%" if self.some else "0%"
            raise reading.misfit(node, f"a share is text such as `60%`, from {least} to 100%")
        return share / 100

    def schema(self) -> Json:
        """Text that ends with a per cent sign."""
        return {"title": "share", "type": "string", "pattern": rf"^\s*{NUMBER}\s*%\s*$"}


@dataclass(frozen=True)
class AmountForm:
    """A length that may differ by size."""

    sign: Sign = Sign.NOT_BELOW_ZERO

    def read(self, node: Node, reading: Reading) -> Amount:
        """The amount."""
        return read_amount(node, reading, Length(self.sign), self._growing)

    @cached_property
    def _growing(self) -> Record[Amount]:
        return growing_record(Length(self.sign), self._build)

    def _build(self, values: dict[str, Any], node: Table, reading: Reading) -> Amount:
        at = known_size(values["at"], node, reading)
        return stepped(at, values["amount"], values["step"], self.sign, node, reading)

    def schema(self) -> Json:
        """A length, one by size, or one that grows in steps."""
        length = Length(self.sign)
        title = f"amount{length.schema()['title'].removeprefix('length')}"
        return {"title": title, "anyOf": [length.schema(), self._growing.schema(), by_size_schema(length)]}


class WidthForm:
    """How much is removed: more than nothing. The wedge's angle may be kept instead of its width."""

    _length = Length(Sign.ABOVE_ZERO, zero="removal of nothing")

    def read(self, node: Node, reading: Reading) -> Amount | KeptAngle:
        """The amount as it is written."""
        return read_amount(node, reading, self._length, self._growing)

    @cached_property
    def _growing(self) -> Record[Amount | KeptAngle]:
        return growing_record(self._length, self._build, keep_angle=True)

    def _build(self, values: dict[str, Any], node: Table, reading: Reading) -> Amount | KeptAngle:
        at = known_size(values["at"], node, reading)
        if "keep" in values:
            return KeptAngle(at, values["amount"])
        return stepped(at, values["amount"], values["step"], Sign.ABOVE_ZERO, node, reading)

    def schema(self) -> Json:
        """A length, one by size, one that grows in steps, or one whose angle is kept."""
        length = self._length
        anyof = [length.schema(), self._growing.schema(), by_size_schema(length)]
        return {"title": "width", "anyOf": anyof}


class DistanceForm:
    """A distance along an edge: an amount, or a share of the edge such as `40%`."""

    def read(self, node: Node, reading: Reading) -> Distance:
        """The distance."""
        if isinstance(node, Scalar) and node.text.rstrip().endswith("%"):
            return Share(ShareForm().read(node, reading))
        return AmountForm().read(node, reading)

    def schema(self) -> Json:
        """An amount or a share."""
        return {"title": "distance", "anyOf": [AmountForm().schema(), ShareForm().schema()]}


def read_amount(node: Node, reading: Reading, length: Length, growing: Record[T]) -> Fixed | PerSize | T:
    """One length for all sizes, or one for each, or, as ``growing`` reads it, one that grows."""
    if not isinstance(node, Table):
        return Fixed(length.read(node, reading))
    if grows(node):
        return growing.read(node, reading)
    by_size = {key.text: mm for key, mm in by_size_entries(length, node, reading)}
    return PerSize(by_size, place(node, reading))


def grows(node: Table) -> bool:
    """Whether the mapping has the keys of an amount that grows from one size."""
    return any(key.text in _GROWING for key, _ in node.entries)


def growing_record(length: Form[Any], build: Build[T], *, keep_angle: bool = False) -> Record[T]:
    """The form of `{at: SIZE, amount: …, step: …}`, or, with ``keep_angle``, `{…, keep: angle}` too."""
    keys = {
        "at": Key(Text("a size"), required=True, about="the size that has this amount"),
        "amount": Key(length, required=True),
        "step": Key(Length(Sign.ANY), required=not keep_angle, about="how much it grows by size, in order"),
    }
    if not keep_angle:
        return Record(keys, build)
    kept = Key(Choice(("angle",)), about="the wedge's angle at that size, in every size")
    return Record({**keys, "keep": kept}, build, exactly_one_of=(("step", "keep"),))


def by_size_entries(form: Form[T], node: Table, reading: Reading) -> list[tuple[Scalar, T]]:
    """The values by size; every size of the design needs one."""
    if not node.entries:
        raise reading.wrong(node.where, "missing value", "no size has an entry here")
    entries = MapOf(form, "lengths by size").read(node, reading)
    names = {fold(key.text): key.text for key, _ in entries}
    missing = [size for folded, size in reading.size_names.items() if folded not in names]
    if missing:
        some = "size {} has" if len(missing) == 1 else "sizes {} have"
        text = (
            f"{some.format(listed(missing))} no entry here; there are entries for: {listed(names.values())}"
        )
        raise reading.wrong(node.where, "missing size", text)
    return list(entries)


def by_size_schema(form: Form[Any]) -> Json:
    """An object from sizes to values."""
    return {
        "type": "object",
        "additionalProperties": form.schema(),
        "minProperties": 1,
        "propertyNames": {"minLength": 1, "not": {"enum": list(_GROWING)}},
    }


def known_size(size: str, node: Table, reading: Reading) -> str:
    """The size as the rules' `sizes` spell it, where they say which there are."""
    if reading.sizes is None:
        return size
    found = reading.size_names.get(fold(size))
    if found is None:
        raise reading.unknown_size(_value_place(node, "at"), size)
    return found


def stepped(at: str, mm: float, step: float, sign: Sign, node: Table, reading: Reading) -> Stepped:
    """An amount that grows, and is nowhere too small among the sizes that are known."""
    found = Stepped(at, mm, step, place(node, reading), sign)
    sizes = reading.sizes or ()
    # It grows evenly, so that it is smallest at one of the ends.
    for size in dict.fromkeys((*sizes[:1], *sizes[-1:])):
        try:
            found.at(size, sizes)
        except RulesError as error:
            raise reading.wrong(node.where, "wrong value", error.problems[0].text) from None
    return found


def _value_place(node: Table, key: str) -> Position:
    value = node.get(key)
    return node.where if value is None else value.where


def place(node: Table, reading: Reading) -> tuple[str, int, int]:
    """File, line and column of the mapping."""
    return reading.file, node.where.line, node.where.column
