"""One start tag, taken apart: where its name and each of its attributes' values stand, to the byte.

<path  d="M0&#10;1"   id='x' />
 name  |outer...... |        ^ insertion point for a further attribute: behind the last value's quote
          value span inside the quotes
"""

from __future__ import annotations

import bisect
import re
from dataclasses import dataclass

_WS = "[ \\t\\r\\n]"
_NAME = re.compile(r"<([^ \t\r\n=/>\"'<]+)")
_ATTRIBUTE = re.compile(
    rf"{_WS}+(?P<name>[^ \t\r\n=/>\"'<]+){_WS}*={_WS}*(?:\"(?P<double>[^\"<]*)\"|'(?P<single>[^'<]*)')"
)
_CLOSE = re.compile(rf"{_WS}*(/?)>")
_SPECIAL = re.compile(r"&(#x[0-9a-fA-F]+|#[0-9]+|[^;&]*);|\r\n|[\t\r\n]")
_NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"', "apos": "'"}


@dataclass(frozen=True, slots=True)
class Attribute:
    """An attribute as it stands in the file.

    ``name`` is the name as written, ``value`` what it says once references are resolved, ``raw`` the
    characters between the quotes. ``span`` are the bytes of ``raw``, ``outer`` those from the white space
    before the name to behind the closing quote; both None where the value has no characters of its own,
    because it comes out of an entity or a document type's default.
    """

    name: str
    value: str
    raw: str = ""
    quote: str = '"'
    span: tuple[int, int] | None = None
    outer: tuple[int, int] | None = None
    breaks: tuple[tuple[int, int], ...] = ((0, 0),)

    def raw_index(self, index: int) -> int:
        """The index in ``raw`` of the character ``index`` of ``value``."""
        at = bisect.bisect_right(self.breaks, (index, len(self.raw) + 1)) - 1
        decoded, raw = self.breaks[at]
        return raw + index - decoded

    def raw_between(self, first: int, last: int) -> str:
        """The written characters of ``value[first:last]``."""
        return self.raw[self.raw_index(first) : self.raw_index(last)]


@dataclass(frozen=True, slots=True)
class StartTag:
    """A start tag: byte offsets of its name, its attributes, its end; ``empty`` where it ends in ``/>``.

    ``attributes_end`` is the byte behind the last attribute (or the name).
    """

    name: str
    start: int
    name_end: int
    attributes: tuple[Attribute, ...]
    attributes_end: int
    end: int
    empty: bool


def read_start_tag(text: str, start: int, codec: str) -> StartTag | None:
    """The start tag with which ``text`` begins; ``start`` is its byte offset. None where there is none."""
    single = not codec.startswith("utf") or (codec == "utf-8" and text.isascii())

    def byte(index: int) -> int:
        return start + (index if single else len(text[:index].encode(codec)))

    found = _NAME.match(text)
    if found is None:
        return None
    name, name_end = found[1], found.end()
    at = name_end
    attributes: list[Attribute] = []
    while (one := _ATTRIBUTE.match(text, at)) is not None:
        group = "double" if one["double"] is not None else "single"
        raw = one[group]
        value, breaks = decode_value(raw)
        attributes.append(
            Attribute(
                one["name"],
                value if value is not None else "",
                raw,
                '"' if group == "double" else "'",
                None if value is None else (byte(one.start(group)), byte(one.end(group))),
                (byte(one.start()), byte(one.end())),
                breaks,
            )
        )
        at = one.end()
    close = _CLOSE.match(text, at)
    if close is None:
        return None
    return StartTag(
        name, start, byte(name_end), tuple(attributes), byte(at), byte(close.end()), close[1] == "/"
    )


def decode_value(raw: str) -> tuple[str | None, tuple[tuple[int, int], ...]]:
    """What the characters of an attribute's value mean, and where decoded and raw indices part.

    The value is None where it uses an entity that the document declares itself. White space becomes
    spaces as XML 1.0 (3.3.3) asks; a line end of two characters is one.
    """
    if not any(c in raw for c in "&\t\r\n"):
        return raw, ((0, 0),)
    parts: list[str] = []
    breaks = [(0, 0)]
    at = length = 0
    for found in _SPECIAL.finditer(raw):
        parts.append(raw[at : found.start()])
        length += found.start() - at
        reference = found[1]
        if reference is None:
            character = " "
        elif reference.startswith("#"):
            character = chr(int(reference[2:], 16) if reference[1] == "x" else int(reference[1:]))
        elif reference in _NAMED:
            character = _NAMED[reference]
        else:
            return None, ((0, 0),)
        parts.append(character)
        length += 1
        at = found.end()
        breaks.append((length, at))
    parts.append(raw[at:])
    return "".join(parts), tuple(breaks)
