"""The order of sizes as a person would lay them out: XS S M L XL, 8 10 12, 00 0 2, 32B 34B."""

from __future__ import annotations

import re
from collections.abc import Iterable

_TOKEN = re.compile(
    r"\d+(?:[.,]\d+)?X*[SML](?![^\W\d_])|\d+(?:[.,]\d+)?|X*[SML](?![^\W\d_])|[^\W\d_]+", re.IGNORECASE
)
_LETTERS = re.compile(r"(\d*)(X*)([SML])", re.IGNORECASE)
_PLUS = re.compile(r"(\d+)X", re.IGNORECASE)

Token = tuple[int, float, int, str]


def natural_order(sizes: Iterable[str]) -> list[str]:
    """The sizes, each once, in natural order.

    Runs of digits compare as numbers (``00`` before ``0``), letter sizes by how large they are, all else by
    the alphabet; numbers come before letter sizes.
    """
    return sorted(dict.fromkeys(sizes), key=lambda size: (_key(size), size))


def _key(size: str) -> tuple[Token, ...]:
    return tuple(_rank(match.group()) for match in _TOKEN.finditer(size))


def _rank(token: str) -> Token:
    letters = _LETTERS.fullmatch(token)
    if letters is not None:
        digits, exes, base = letters.groups()
        if exes or not digits:
            steps = int(digits) if digits else len(exes)
            return (1, {"S": -1 - steps, "M": 0, "L": 1 + steps}[base.upper()], 0, "")
    number = re.match(r"\d+(?:[.,]\d+)?", token)
    if number is not None:
        return (
            0,
            float(number.group().replace(",", ".")),
            -len(number.group()),
            token[number.end() :].casefold(),
        )
    return (2, 0.0, 0, token.casefold())
