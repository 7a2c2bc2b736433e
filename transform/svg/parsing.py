"""The two readings of a file's bytes: lxml for the tree, expat for the byte position of every tag.

Both refuse what is not well-formed; neither fetches anything. Bounds keep hostile files from costing
more than a few seconds and a few hundred megabytes.
"""

from __future__ import annotations

import re
from array import array
from typing import Any
from xml.parsers import expat

from lxml import etree

from rules.plain_files import POINTER, is_pointer
from transform.svg.encoding import Encoding
from transform.svg.namespaces import SVG, XML
from transform.svg.problems import problem_at

BOUND = {"xml": XML}
"""Prefixes that are bound without a declaration."""
LARGEST = 40 * 2**20
"""The largest file that is read, bytes."""
MOST_ELEMENTS = 250_000
"""The most elements that a file may hold."""

# "internal" is what newer releases do by default; it is said here because nothing may come from outside.
# Not to collect ids would make the parser fetch the document type, so they are collected.
_HARDENED: dict[str, Any] = {
    "resolve_entities": "internal",
    "no_network": True,
    "load_dtd": False,
    "huge_tree": False,
    "remove_comments": True,
    "remove_pis": True,
}

_PREFIX = re.compile(r"Namespace prefix (\S+) (?:for \S+ )?on \S+ is not defined")

_PLAIN_WORDS = {
    "no element found": "it ends too early, or holds no element",
    "unclosed token": "it ends too early",
    "syntax error": "what stands here is no XML",
    "limit on input amplification factor (from DTD and entities) breached": (
        "its entities multiply without end"
    ),
}
_BOUNDS = {
    "Excessive depth": "its elements stand too deep inside one another (256 at most)",
    "amplification": "its entities multiply without end",
    "XML_PARSE_HUGE": "one of its texts or attributes is too long (10 MB at most)",
    "too big": "one of its comments is too long (10 MB at most)",
}

_SIGNS = (
    (b"\x1f\x8b", "is compressed (.svgz): unpack it, or save it as plain SVG"),
    (b"PK\x03\x04", "is a zip archive, not an SVG: unpack it first"),
    (b"%PDF", "is a PDF, not an SVG: export the pattern as SVG"),
    (b"\x89PNG", "is a picture in PNG form, not an SVG"),
    (b"\xff\xd8\xff", "is a picture in JPEG form, not an SVG"),
)


def check_bytes(data: bytes, name: str) -> None:
    """Refuse by name what cannot be an SVG file at all.

    Raises:
        PatternError: with the reason.
    """
    if not data or data.isspace():
        raise problem_at(name, None, "unreadable file", "the file is empty")
    if is_pointer(data):
        raise problem_at(name, None, "unreadable file", f"the file {POINTER}")
    for sign, what in _SIGNS:
        if data.startswith(sign):
            raise problem_at(name, None, "unreadable file", f"the file {what}")
    if len(data) > LARGEST:
        text = f"the file is too large; at most {LARGEST // 2**20} MB are read"
        raise problem_at(name, None, "unreadable file", text)


def check_content(data: bytes, encoding: Encoding, openings: int, name: str) -> None:
    """Refuse NUL bytes, and more tags than could ever be read; ``openings`` is how often ``<`` stands there.

    Raises:
        PatternError: with the line of the first NUL, or the number of tags.
    """
    if not encoding.wide and b"\0" in data:
        line = len(re.findall(rb"\r\n|\r|\n", data[: data.index(b"\0")])) + 1
        raise problem_at(name, None, "unreadable file", "the file holds NUL bytes: it is damaged", line=line)
    if openings > 3 * MOST_ELEMENTS:
        raise _too_many(name)


def tag_events(data: bytes, encoding: Encoding, name: str) -> array[int]:
    """The byte offset of every start tag, and the complement (~offset) of every end tag, in document order.

    The end of an empty tag is the offset behind it. Tags that come out of an entity have the offset of
    the reference to it.

    Raises:
        PatternError: where the bytes are not well-formed XML.
    """
    events = array("q")
    # Said outright, because the parser does not know every spelling of a name that a declaration may use.
    parser = expat.ParserCreate("UTF-16" if encoding.wide else encoding.codec)
    parser.ordered_attributes = True
    append = events.append

    def start(_name: str, _attributes: object) -> None:
        append(parser.CurrentByteIndex)

    def end(_name: str) -> None:
        append(~parser.CurrentByteIndex)

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        reason = expat.ErrorString(error.code) or ""
        text = f"the file is not well-formed XML: {_PLAIN_WORDS.get(reason, reason)}"
        raise problem_at(
            name, None, "unreadable file", text, line=error.lineno, column=error.offset + 1
        ) from error
    if len(events) > 2 * MOST_ELEMENTS:
        raise _too_many(name)
    return events


def tree_of(data: bytes, encoding: Encoding, name: str) -> etree._Element:
    """The root of the tree; internal entities resolved, nothing loaded from outside.

    Raises:
        PatternError: where the bytes are not well-formed XML or pass the parser's bounds.
    """
    if encoding.codec != "utf-8":
        # The parser's own list of code pages depends on how it was built; Python's does not.
        data = data[len(encoding.mark) :].decode(encoding.codec).encode()
    try:
        root = _parse(data)
    except etree.XMLSyntaxError as error:
        text = f"the file is not XML that can be read: {_reason(error.msg or '')}"
        line, column = error.position
        raise problem_at(
            name, None, "unreadable file", text, line=line or None, column=column or None
        ) from error
    outermost = etree.QName(root)
    if outermost.localname != "svg" or outermost.namespace not in (SVG, None):
        text = f"the file's outermost element is <{outermost.localname}>, not <svg>: it is not an SVG drawing"
        raise problem_at(name, None, "unreadable file", text)
    return root


def _reason(message: str) -> str:
    for sign, words in _BOUNDS.items():
        if sign in message:
            return words
    return re.sub(r", line \d+, column \d+$", "", message)


def _parse(data: bytes) -> etree._Element:
    try:
        return etree.fromstring(data, etree.XMLParser(encoding="utf-8", **_HARDENED))
    except etree.XMLSyntaxError as error:
        undeclared = _PREFIX.match(error.msg or "")
        if undeclared is None:
            raise
        # The parser reads the text of an entity without the prefixes that are declared around it.
        parser = etree.XMLParser(encoding="utf-8", recover=True, **_HARDENED)
        root = etree.fromstring(data, parser)
        declared = root is not None and undeclared[1] in root.nsmap
        if not declared or any(_PREFIX.match(entry.message) is None for entry in parser.error_log):
            raise
        return root


def _too_many(name: str) -> Exception:
    text = f"the file holds more than {MOST_ELEMENTS} elements; that many are not read"
    return problem_at(name, None, "unreadable file", text)
