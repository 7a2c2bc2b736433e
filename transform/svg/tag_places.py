"""Where every tag of a plain file stands, by the looks of its bytes: all at once, none read by itself.

Tags can be told by their looks where a character takes one byte as far as ``<``, ``=`` and ``>`` go and where
no document type declares entities, which may hold tags. What is found means something only if the bytes
are well-formed, which another reader says.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Places = NDArray[np.int64]
"""Byte offsets, or places in a list, in ascending order."""
Flags = NDArray[np.bool_]
"""By element or tag whether something is so."""

MOST_SIGNS = 4_000_000
"""In a file with more signs than these it is not looked for tags by their looks."""
_BLOCK = 2**18
_LESS, _EQUAL, _MORE = b"<=>"
_SLASH = ord("/")
BLANK = np.zeros(256, dtype=np.bool_)
BLANK[list(b" \t\r\n")] = True
"""By byte whether it is white space."""
_NAME_ENDS = BLANK.copy()
_NAME_ENDS[list(b"/>")] = True
_NEAR = 8
_MOST_NAMES = 40
# Of the first eight bytes behind a `<` those that stand before the end of the name.
_FRONT = np.array([(1 << (8 * count)) - 1 for count in range(_NEAR)], dtype="<u8")
_NAME = re.compile(rb"<([^ \t\r\n/>]*)")
# Quoted values are taken whole, so that a `>` in them ends nothing.
_TAG = re.compile(rb"<[^>\"']*+(?:\"[^\"]*+\"[^>\"']*+|'[^']*+'[^>\"']*+)*+>")
_TYPE = re.compile(rb"<!DOCTYPE(?:[^<>\"'\[]++|\"[^\"<\[]*+\"|'[^'<\[]*+')*+>")
_ASIDE = ((b"<!--", b"-->"), (b"<![CDATA[", b"]]>"), (b"<?", b"?>"))


@dataclass(frozen=True, slots=True)
class Signs:
    """Every ``<``, ``=`` and ``>`` of a file: ``places``, and ``kinds``, the byte itself."""

    places: Places
    kinds: NDArray[np.uint8]
    openings: int
    """How many of them are ``<``."""


@dataclass(frozen=True, slots=True)
class Tags:
    """Every tag in document order.

    ``starts`` are the bytes of their ``<``, ``ends`` those behind their ``>``. A tag that is neither
    ``closing`` (``</g>``) nor ``empty`` (``<g/>``) opens an element. ``equals`` are the bytes of every ``=``
    in the tags and between them, ``owners`` the last tag that begins before each.
    """

    starts: Places
    ends: Places
    closing: Flags
    empty: Flags
    equals: Places
    owners: Places


def signs_of(data: bytes) -> Signs | None:
    """The signs of a file; None where there are more than `MOST_SIGNS`."""
    every = np.frombuffer(data, dtype=np.uint8)
    found: list[Places] = []
    left = MOST_SIGNS
    for begin in range(0, len(every), _BLOCK):
        # What is less than `<` turns over and is large.
        places = np.flatnonzero(every[begin : begin + _BLOCK] - np.uint8(_LESS) <= _MORE - _LESS)
        left -= len(places)
        if left < 0:
            return None
        found.append(places + begin)
    places = np.concatenate(found)
    kinds = every[places]
    return Signs(places, kinds, int(np.count_nonzero(kinds == _LESS)))


def is_plain(data: bytes, signs: Signs, most: int) -> bool:
    """Whether tags can be told by their looks, if the file is well-formed.

    Not where a document type declares anything; a waste where there may be more than ``most`` elements.
    """
    openings = signs.places[signs.kinds == _LESS]
    behind = np.frombuffer(data, dtype=np.uint8).take(openings + 1, mode="clip")
    if np.count_nonzero(behind != _SLASH) > most:
        return False
    types = (place for place in openings[behind == ord("!")].tolist() if data.startswith(b"<!DOCTYPE", place))
    return all(_TYPE.match(data, place) is not None for place in types)


def tags_of(data: bytes, signs: Signs) -> Tags:
    """The tags of a plain, well-formed file."""
    every = np.frombuffer(data, dtype=np.uint8)
    places, kinds = _without_asides(data, every, signs)
    bare = kinds != _EQUAL
    edges, opens = places[bare], kinds[bare] == _LESS
    at = np.flatnonzero(opens)
    starts, ends = edges[at], edges[at + 1] + 1
    # A `>` may stand in a value or in a text too: which of several ends the tag is read from the tag.
    several = np.flatnonzero(~opens.take(at + 2, mode="clip") & (at + 2 < len(edges)))
    for place in several.tolist():
        tag = _TAG.match(data, int(starts[place]))
        if tag is not None:
            ends[place] = tag.end()
    closing = every[starts + 1] == _SLASH
    empty = ~closing & (every[ends - 2] == _SLASH)
    return Tags(starts, ends, closing, empty, places[~bare], (np.cumsum(kinds == _LESS) - 1)[~bare])


def _without_asides(data: bytes, every: NDArray[np.uint8], signs: Signs) -> tuple[Places, NDArray[np.uint8]]:
    """The signs that stand in no comment, instruction, CDATA or document type, those of these left out."""
    openings = signs.places[signs.kinds == _LESS]
    behind = every.take(openings + 1, mode="clip")
    begins: list[int] = []
    ends: list[int] = [0]
    for place in openings[(behind == ord("!")) | (behind == ord("?"))].tolist():
        if place < ends[-1]:
            continue
        begins.append(place)
        ends.append(_end_of_aside(data, place))
    if not begins:
        return signs.places, signs.kinds
    outside = np.ones(len(signs.places), dtype=np.bool_)
    spans = (np.searchsorted(signs.places, offsets).tolist() for offsets in (begins, ends[1:]))
    for first, last in zip(*spans, strict=True):
        outside[first:last] = False
    return signs.places[outside], signs.kinds[outside]


def _end_of_aside(data: bytes, place: int) -> int:
    for first, last in _ASIDE:
        if data.startswith(first, place):
            return data.index(last, place + len(first)) + len(last)
    found = _TYPE.match(data, place)
    return place + 1 if found is None else found.end()


def names_of(data: bytes, starts: Places) -> tuple[NDArray[np.int64], list[bytes]]:
    """The names of tags as they are written: by tag the place in the list of all different names."""
    every = np.frombuffer(data, dtype=np.uint8)
    near = every.take(starts[:, None] + np.arange(1, _NEAR + 1), mode="clip")
    ends = _NAME_ENDS[near]
    words = near.view("<u8")[:, 0] & _FRONT[ends.argmax(axis=1)]
    kinds = np.full(len(starts), -1)
    names: list[bytes] = []
    long = ~ends.any(axis=1)
    left = np.flatnonzero(~long)
    while len(left):
        if len(names) > _MOST_NAMES:
            different, found = np.unique(words[left], return_inverse=True)
            kinds[left] = len(names) + found
            names += (word.tobytes().rstrip(b"\0") for word in different)
            break
        # A drawing has few kinds of elements, and most are of the first few.
        word = words[left[0]]
        same = words[left] == word
        kinds[left[same]] = len(names)
        names.append(word.tobytes().rstrip(b"\0"))
        left = left[~same]
    known: dict[bytes, int] = {}
    for tag in np.flatnonzero(long).tolist():
        written = _NAME.match(data, int(starts[tag]))
        name = written[1] if written is not None else b""
        kinds[tag] = known.setdefault(name, len(names) + len(known))
    return kinds, [*names, *known]
