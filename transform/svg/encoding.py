"""Which encoding a file is in: its byte-order mark and its XML declaration."""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

from transform.svg.problems import problem_at

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_SINGLE_BYTE = (
    "ascii",
    *(f"iso8859-{part}" for part in (*range(1, 12), *range(13, 17))),
    *(f"cp{page}" for page in range(1250, 1259)),
    "koi8-r",
    "koi8-u",
    "cp866",
    "mac-roman",
)
ACCEPTED = (
    "UTF-8, UTF-16 (with a byte-order mark), US-ASCII, ISO-8859-1 to -16, windows-1250 to -1258, "
    "KOI8-R, KOI8-U, IBM866 and macintosh"
)
"""The encodings that are read, in words."""

_DECLARATION = re.compile(
    r"""<\?xml[ \t\r\n]+version[ \t\r\n]*=[ \t\r\n]*(?:"[^"]*"|'[^']*')"""
    r"""[ \t\r\n]+encoding[ \t\r\n]*=[ \t\r\n]*["']([^"']*)["']"""
)
_SPELLINGS = {"macintosh": "mac-roman", "x-mac-roman": "mac-roman", "iso-10646-ucs-2": "utf-16"}


@dataclass(frozen=True, slots=True)
class Encoding:
    """``codec`` is Python's name of it, without a byte-order mark; ``mark`` are the bytes of the mark."""

    codec: str
    mark: bytes = b""

    @property
    def wide(self) -> bool:
        """Whether a character takes two bytes or more."""
        return self.codec.startswith("utf-16")

    def encode(self, text: str) -> bytes:
        """``text`` in this encoding; what it cannot hold becomes a character reference."""
        return text.encode(self.codec, "xmlcharrefreplace")


def detect(data: bytes, name: str) -> Encoding:
    """The encoding of the file's bytes.

    Raises:
        PatternError: where it is none of `ACCEPTED`, or mark and declaration differ.
    """
    if data.startswith((codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)):
        raise _refused(name, "UTF-32")
    for mark, codec in _MARKS:
        if data.startswith(mark):
            declared = _declared(data[len(mark) : len(mark) + 1024].decode(codec, "replace"))
            if declared is not None and _codec_of(declared) not in (codec, codec[:6], None):
                text = f"the byte-order mark says {codec[:6].upper()}, the XML declaration says {declared}"
                raise problem_at(name, None, "encoding", f"{text}: save the file anew in one encoding")
            return Encoding(codec, mark)
    if data.startswith((b"<\0", b"\0<")):
        raise _refused(name, "UTF-16 without a byte-order mark")
    declared = _declared(data[:1024].decode("latin-1"))
    if declared is None:
        return Encoding("utf-8")
    known = _codec_of(declared)
    if known == "utf-8":
        return Encoding("utf-8")
    if known == "utf-16":
        raise _refused(name, "UTF-16 declared, but not used")
    if known not in _SINGLE_BYTE:
        raise _refused(name, declared)
    return Encoding(known)


def _declared(head: str) -> str | None:
    found = _DECLARATION.match(head)
    return found[1] if found else None


def _codec_of(declared: str) -> str | None:
    spelled = _SPELLINGS.get(declared.casefold(), declared)
    try:
        return codecs.lookup(spelled).name
    except LookupError:
        return None


def _refused(name: str, found: str) -> Exception:
    text = f"the file's encoding is not one that can be read: {found}. Read are {ACCEPTED}"
    return problem_at(name, None, "encoding", text)
