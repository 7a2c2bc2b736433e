"""Forms for lengths, amounts that differ by size, and distances along an edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rules.forms import Choice, Form, Json, NodeError, Reading, Text, shown
from rules.lengths import Amount, Fixed, KeptAngle, PerSize, Share, Stepped, read_length
from rules.yaml_text import Node, Scalar, Table

_NUMBER = r"(\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d+(\.\d*)?|\.\d+)"
_PATTERN = rf"^\s*[+-]?\s*{_NUMBER}\s*(mm|cm|in|inch|inches|\"|″)?\s*$"


@dataclass(frozen=True)
class Length:
    """A length in mm; ``signed`` where it may be less than nothing, ``some`` where it must be more."""

    signed: bool = False
    some: bool = False

    def read(self, node: Node, reading: Reading) -> float:
        """The length, mm."""
        if not isinstance(node, Scalar):
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: a length")
        try:
            mm = read_length(node.text, reading.units)
        except ValueError as error:
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; {error}") from None
        if mm < 0 and not self.signed:
            raise reading.wrong(
                node.where, "wrong value", f"found {shown(node)}; a length here is not negative"
            )
        if mm == 0 and self.some:
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; this must be more than 0")
        return mm

    def schema(self) -> Json:
        """A number in the file's units, or text with a unit."""
        number: Json = {"type": "number"}
        if not self.signed:
            number["minimum"] = 0
        return {"anyOf": [number, {"type": "string", "pattern": _PATTERN}]}


@dataclass(frozen=True)
class AmountForm:
    """A length that may differ by size; ``keep_angle`` where a wedge's angle may be kept instead."""

    length: Length = Length()
    keep_angle: bool = False

    def read(self, node: Node, reading: Reading) -> Amount | KeptAngle:
        """The amount."""
        if not isinstance(node, Table):
            return Fixed(self.length.read(node, reading))
        if node.get("at") is not None or node.get("amount") is not None:
            return self._stepped(node, reading)
        if not node.entries:
            raise reading.wrong(node.where, "missing value", "no size has an entry here")
        by_size, failed = {}, False
        for key, value in node.entries:
            try:
                by_size[key.text] = self.length.read(value, reading)
            except NodeError:
                failed = True
        if failed:
            raise NodeError
        return PerSize(by_size, (reading.file, node.where.line, node.where.column))

    def _stepped(self, node: Table, reading: Reading) -> Amount | KeptAngle:
        known = ["at", "amount", "step", *(["keep"] if self.keep_angle else [])]
        failed = False
        for key, _ in node.entries:
            if key.text not in known:
                reading.unknown(key.where, "the key", key.text, known)
                failed = True
        values: dict[str, Any] = {}
        forms: dict[str, Form[Any]] = {
            "at": Text("a size"),
            "amount": self.length,
            "step": Length(signed=True),
        }
        if self.keep_angle:
            forms["keep"] = Choice(("angle",))
        for name, form in forms.items():
            value = node.get(name)
            if value is None:
                if name in ("at", "amount"):
                    reading.wrong(node.where, "missing value", f"`{name}` is missing here")
                    failed = True
                continue
            try:
                values[name] = form.read(value, reading)
            except NodeError:
                failed = True
        if "keep" in values and "step" in values:
            reading.wrong(node.where, "clash", "give `step` or `keep`, not both")
            failed = True
        if failed:
            raise NodeError
        if "keep" in values:
            return KeptAngle(values["at"], values["amount"])
        where = (reading.file, node.where.line, node.where.column)
        return Stepped(values["at"], values["amount"], values.get("step", 0.0), where)

    def schema(self) -> Json:
        """A length, one by size, or one that grows in steps."""
        length = self.length.schema()
        properties: Json = {
            "at": Text("a size").schema(),
            "amount": length,
            "step": Length(signed=True).schema(),
        }
        if self.keep_angle:
            properties["keep"] = {"const": "angle"}
        stepped = {
            "type": "object",
            "properties": properties,
            "required": ["at", "amount"],
            "additionalProperties": False,
        }
        by_size = {
            "type": "object",
            "additionalProperties": length,
            "minProperties": 1,
            "not": {"anyOf": [{"required": ["at"]}, {"required": ["amount"]}]},
        }
        return {"anyOf": [length, stepped, by_size]}


class DistanceForm:
    """A distance along an edge: an amount, or a share of the edge such as `40%`."""

    def read(self, node: Node, reading: Reading) -> Amount | KeptAngle | Share:
        """The distance."""
        if isinstance(node, Scalar) and node.text.rstrip().endswith("%"):
            try:
                share = float(node.text.rstrip()[:-1])
            except ValueError:
                share = -1.0
            if not 0 <= share <= 100:
                raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; a share is 0% to 100%")
            return Share(share / 100)
        return AmountForm().read(node, reading)

    def schema(self) -> Json:
        """An amount or a share."""
        share = {"type": "string", "pattern": r"^\s*\d+(\.\d*)?\s*%\s*$"}
        return {"anyOf": [share, *AmountForm().schema()["anyOf"]]}
