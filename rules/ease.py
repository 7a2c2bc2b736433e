"""The form of a seam's ease: a length, or a range such as `10 mm .. 25 mm`, that may differ by size."""

from __future__ import annotations

import re
from typing import Any

from rules.forms import Json, Reading
from rules.lengths import Amount, Fixed, PerSize, Sign, read_length
from rules.measures import (
    Length,
    by_size_entries,
    by_size_schema,
    growing_record,
    grows,
    known_size,
    place,
    stepped,
)
from rules.yaml_text import Node, Scalar, Table

_ALLOWED = "ease is a length, or a range such as `10 mm .. 25 mm`"
Ends = tuple[float, float]


class Range:
    """A range of lengths; a single length is both ends."""

    def read(self, node: Node, reading: Reading) -> Ends:
        """Both ends, mm."""
        if not isinstance(node, Scalar) or node.is_null:
            raise reading.misfit(node, _ALLOWED)
        parts = [part.strip() for part in node.decimal.split("..")]
        if len(parts) > 2:
            raise reading.misfit(node, _ALLOWED)
        try:
            ends = [read_length(part, reading.units) for part in parts]
        except ValueError as error:
            raise reading.misfit(node, f"{_ALLOWED}; {error}") from None
        if len(parts) == 2 and _has_unit(parts[0]) != _has_unit(parts[1]):
            raise reading.misfit(node, "give a unit at both ends of the range, or at neither")
        if ends[0] > ends[-1]:
            raise reading.misfit(node, f"{_ALLOWED}, the smaller first")
        return ends[0], ends[-1]

    def schema(self) -> Json:
        """A length, or text with two dots."""
        length = Length(Sign.ANY).schema()
        number = length["anyOf"][1]["pattern"].removeprefix("^").removesuffix("$")
        ends = {"type": "string", "pattern": rf"^{number}\.\.{number}$"}
        return {"title": "range", "anyOf": [length, ends]}


class EaseForm:
    """A range that may differ by size."""

    def read(self, node: Node, reading: Reading) -> tuple[Amount, Amount]:
        """The amounts at both ends."""
        if not isinstance(node, Table):
            low, high = Range().read(node, reading)
            return Fixed(low), Fixed(high)
        if grows(node):
            return growing_record(Range(), self._build).read(node, reading)
        entries = by_size_entries(Range(), node, reading)
        where = place(node, reading)
        low_of, high_of = ({key.text: ends[k] for key, ends in entries} for k in (0, 1))
        return PerSize(low_of, where), PerSize(high_of, where)

    def _build(self, values: dict[str, Any], node: Table, reading: Reading) -> tuple[Amount, Amount]:
        at = known_size(values["at"], node, reading)
        low, high = (stepped(at, end, values["step"], Sign.ANY, node, reading) for end in values["amount"])
        return low, high

    def schema(self) -> Json:
        """A range, one by size, or one that moves in steps."""
        growing = growing_record(Range(), self._build).schema()
        return {"title": "ease", "anyOf": [Range().schema(), growing, by_size_schema(Range())]}


def _has_unit(text: str) -> bool:
    return bool(re.search(r"[a-z\"″]$", text))
