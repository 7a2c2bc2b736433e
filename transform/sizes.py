"""The order of sizes as a person would lay them out: XS S M L XL, 8 10 12, 00 0 2, 32B 34B, 1X 2X."""

from __future__ import annotations

import re
from collections.abc import Iterable

_TOKEN = re.compile(
    r"""(?P<steps>\d*)(?P<exes>x+)(?P<base>[sl]?)(?![^\W\d_])   # XS, XXL, 3XL, 2X
      | (?P<plain>[sml])(?![^\W\d_])                            # S, M, L
      | (?P<number>\d+(?:[.,]\d+)?)
      | (?P<word>[^\W\d_]+)""",
    re.IGNORECASE | re.VERBOSE,
)
_PLAIN = {"s": -1, "m": 0, "l": 1}

Token = tuple[int, float, int, str]


def natural_order(sizes: Iterable[str]) -> list[str]:
    """The sizes, each once, in natural order.

    Numbers compare as numbers (``00`` before ``0``) and come before letter sizes; letter sizes compare by how
    large they are; all else by the alphabet.
    """
    return sorted(dict.fromkeys(sizes), key=lambda size: (_key(size), size))


def _key(size: str) -> tuple[Token, ...]:
    return tuple(_rank(match) for match in _TOKEN.finditer(size))


def _rank(token: re.Match[str]) -> Token:
    if token["exes"]:
        steps = int(token["steps"]) if token["steps"] else len(token["exes"])
        return (1, -1 - steps if token["base"].lower() == "s" else 1 + steps, 0, "")
    if token["plain"]:
        return (1, _PLAIN[token["plain"].lower()], 0, "")
    if token["number"]:
        return (0, float(token["number"].replace(",", ".")), -len(token["number"]), "")
    return (2, 0.0, 0, token["word"].casefold())
