"""Names with ``{size}`` and ``{piece}`` that stand for the names of files."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile
from pathlib import PurePath

from rules.labels import fold

_SIZE = r"\d+(?:[.,]\d+)?[A-Za-z]?|\d*[xX]*[sSlL]|[mM]|\d+[xX]"
_NAMED_BY_SIZE = re.compile(rf"(?:(?P<before>.*?)(?P<between>[-_ ]+))?(?P<size>{_SIZE})")
_WORDS = re.compile(r"[^-_ ]+[-_ ]*|[-_ ]+")


@dataclass(frozen=True, slots=True)
class GuessedName:
    """The pattern that stands for a file, and what the file's name says by it."""

    pattern: str
    size: str | None = None
    piece: str | None = None


def guess_names(
    names: Sequence[str], plain: Collection[str] = (), held: Mapping[str, Collection[str]] | None = None
) -> list[GuessedName]:
    """For each file name the pattern that it is guessed to stand under.

    Names that are ``plain`` say no size. ``held`` are the pieces that files are known to hold: no name says
    another. A file whose pieces have no name (none are held) is named by its piece.

    >>> [guess.pattern for guess in guess_names(["bodice-10.svg", "bodice-12.svg"])]
    ['bodice-{size}.svg', 'bodice-{size}.svg']
    >>> {guess.pattern for guess in guess_names(["summer-front-S.svg", "summer-back-S.svg"])}
    {'summer-{piece}-{size}.svg'}
    >>> [guess.pattern for guess in guess_names(["all.svg"])]
    ['all.svg']
    """
    held = held or {}
    parted = {name: _parted(name, name in plain) for name in names}
    groups: dict[str, list[str]] = {}
    for name, (_, rest, size) in parted.items():
        if size is not None or held.get(name, ("",)) == ():
            groups.setdefault(rest, []).append(name)
    pieces: dict[str, str] = {}
    for members in groups.values():
        befores = {name: parted[name][0] for name in members}
        pieces.update(_pieces(befores, held))
    found: list[GuessedName] = []
    for name, (before, rest, size) in parted.items():
        piece = pieces.get(name)
        literal = before if piece is None else before[: len(before) - len(piece)] + "{piece}"
        found.append(GuessedName(literal + rest, size, piece))
    return found


def _parted(name: str, plain: bool) -> tuple[str, str, str | None]:
    """What stands before the size, the pattern of the rest, and the size."""
    ending = PurePath(name).suffix
    stem = name.removesuffix(ending)
    match = None if plain else _NAMED_BY_SIZE.fullmatch(stem)
    if match is None:
        return stem, ending, None
    return match["before"] or "", f"{match['between'] or ''}{{size}}{ending}", match["size"]


def _pieces(befores: Mapping[str, str], held: Mapping[str, Collection[str]]) -> dict[str, str]:
    """By file name the end of what stands before the size that is the piece; nothing where it is none."""
    nameless = any(held.get(name) == () for name in befores)
    if not all(befores.values()) or not (nameless or len(set(befores.values())) > 1):
        return {}
    rows = [_WORDS.findall(before) for before in befores.values()]
    alike = len(list(takewhile(lambda words: len(set(words)) == 1, zip(*rows, strict=False))))
    for count in range(min(alike, *(len(row) - 1 for row in rows)), -1, -1):
        found = {name: "".join(row[count:]) for name, row in zip(befores, rows, strict=True)}
        if all(fold(piece) == fold(found[name]) for name in found for piece in held.get(name, ())):
            return found
    return {}
