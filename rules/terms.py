"""Edges of pieces in a line of text, `front/armhole + back/armhole x 2`, and ranges of ease."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rules.forms import Json, Reading, shown
from rules.lengths import read_length
from rules.model import Term
from rules.yaml_text import Node, Scalar

_QUOTED = re.compile(r'"[^"]*"')
_ALLOWED = 'PIECE/EDGE, such as `front/neckline`, `front/neckline x 2`, or `"a/b"/neckline`'


def split_outside_quotes(text: str, separator: str) -> list[str]:
    """The parts of ``text`` between separators that do not stand in double quotes."""
    masked = _QUOTED.sub(lambda match: "\0" * len(match[0]), text)
    parts, begin = [], 0
    while (found := masked.find(separator, begin)) >= 0:
        parts.append(text[begin:found])
        begin = found + len(separator)
    return [*parts, text[begin:]]


def read_term(text: str) -> Term | None:
    """One edge of a piece, counted; None where the text is none."""
    masked = _QUOTED.sub(lambda match: "\0" * len(match[0]), text)
    times = 1
    counted = re.search(r"\s+x\s+(\d+)\s*$", masked)
    if counted is not None:
        times, text, masked = int(counted[1]), text[: counted.start()], masked[: counted.start()]
    if masked.count("/") != 1 or times < 1:
        return None
    cut = masked.index("/")
    piece, edge = (part.replace('"', "").strip() for part in (text[:cut], text[cut + 1 :]))
    return Term(piece, edge, times) if piece and edge else None


class Side:
    """One side of a seam: edges of pieces, added."""

    def read(self, node: Node, reading: Reading) -> tuple[Term, ...]:
        """The terms."""
        if not isinstance(node, Scalar) or node.is_null:
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: {_ALLOWED}")
        terms = [read_term(part) for part in split_outside_quotes(node.text, " + ")]
        found = tuple(term for term in terms if term is not None)
        if len(found) != len(terms):
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: {_ALLOWED}")
        return found

    def schema(self) -> Json:
        """Text with a slash."""
        return {"type": "string", "pattern": ".+/.+"}


class OneTerm:
    """One edge of a piece, counted once or several times."""

    def read(self, node: Node, reading: Reading) -> Term:
        """The term."""
        terms = Side().read(node, reading)
        if len(terms) != 1:
            raise reading.wrong(
                node.where, "wrong value", f"found {shown(node)}; write each as an entry of its own"
            )
        return terms[0]

    def schema(self) -> Json:
        """Text with a slash."""
        return Side().schema()


@dataclass(frozen=True)
class Range:
    """A range of lengths such as `10 mm .. 25 mm`; a single length is both ends."""

    def read(self, node: Node, reading: Reading) -> tuple[float, float]:
        """Both ends, mm."""
        allowed = "allowed: a range such as `10 mm .. 25 mm`"
        if not isinstance(node, Scalar) or node.is_null:
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; {allowed}")
        parts = node.text.split("..")
        try:
            ends = [read_length(part, reading.units) for part in parts]
        except ValueError as error:
            raise reading.wrong(
                node.where, "wrong value", f"found {shown(node)}; {error}; {allowed}"
            ) from None
        if len(ends) > 2 or ends[0] > ends[-1]:
            raise reading.wrong(
                node.where, "wrong value", f"found {shown(node)}; {allowed}, the smaller first"
            )
        return ends[0], ends[-1]

    def schema(self) -> Json:
        """Text with two dots, or a length."""
        return {"type": ["string", "number"]}
