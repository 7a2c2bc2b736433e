"""Edges of pieces in a line of text: `front/armhole + back/armhole x 2`, `"a/b"/neckline`."""

from __future__ import annotations

import re

from rules.forms import Json, Reading, Text, quoted
from rules.model import Term
from rules.yaml_text import Node

_QUOTED = re.compile(r'"[^"]*"')
_TIMES = re.compile(r"[0-9]{1,4}")
_ALLOWED = (
    "PIECE/EDGE, such as `front/neckline`, `front/neckline x 2`, `front/armhole + back/armhole`; a name that "
    'holds `/`, ` + ` or ` x 2` stands in double quotes: `"a/b"/neckline`'
)


def read_terms(text: str) -> tuple[Term, ...]:
    """The edges that the text adds up.

    Raises:
        ValueError: where it is none; the message says which part and why.
    """
    masked = _masked(text)
    terms, begin = [], 0
    for part in masked.split(" + "):
        terms.append(_term(text[begin : begin + len(part)], part))
        begin += len(part) + len(" + ")
    return tuple(terms)


def _masked(text: str) -> str:
    """The text with what stands in double quotes blotted out, so that it has no `/`, `+` or `x`."""
    return _QUOTED.sub(lambda match: '"' * len(match[0]), text)


def _term(text: str, masked: str) -> Term:
    whole, times = text, 1
    # Words from the end, not a pattern: long runs of spaces would cost it quadratic time.
    words = masked.rsplit(None, 2)
    if len(words) == 3 and words[1] == "x" and _TIMES.fullmatch(words[2]):
        times, masked = int(words[2]), words[0]
        text = text[: len(masked)]
        if times == 0:
            raise ValueError(f"{quoted(whole.strip())} counts an edge 0 times; leave it out")
    slashes = masked.count("/")
    if slashes != 1:
        raise ValueError(
            f"{quoted(whole.strip())} has {slashes or 'no'} `/` outside double quotes, and needs one"
        )
    cut = masked.index("/")
    return Term(_name(text[:cut], whole), _name(text[cut + 1 :], whole), times)


def _name(part: str, whole: str) -> str:
    name = part.strip()
    if len(name) > 1 and _QUOTED.fullmatch(name):
        name = name[1:-1].strip()
    if not name:
        raise ValueError(f"{quoted(whole.strip())} lacks a name on one side of the `/`")
    if '"' in name:
        raise ValueError(f"{quoted(whole.strip())}: double quotes stand around a whole name")
    return name


class Side:
    """Edges of pieces, added: one side of a seam, or what a strip follows."""

    def read(self, node: Node, reading: Reading) -> tuple[Term, ...]:
        """The terms."""
        text = Text(_ALLOWED).read(node, reading)
        try:
            return read_terms(text)
        except ValueError as error:
            raise reading.wrong(node.where, "wrong value", f"{error}; allowed: {_ALLOWED}") from None

    def schema(self) -> Json:
        """Text with a slash."""
        return {
            "title": "edges-of-pieces",
            "type": "string",
            "pattern": r"[^/\s]\s*/\s*[^/\s]",
            "description": _ALLOWED,
        }
