"""The text of a rules file before it is YAML: its encoding, its characters, and what its mistakes mean."""

from __future__ import annotations

import codecs
import re

from rules.plain_files import POINTER, is_pointer
from rules.problems import Problem, RulesError

LARGEST = 1_000_000
"""A rules file holds at most this many bytes, or characters."""

# What is no character of YAML 1.2; the line separators of YAML 1.1, at which lines would be counted otherwise
# than in an editor; byte-order marks, which cannot be seen. A class of what is allowed, up to U+10FFFF, would
# take ten times as long to compile.
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_LINE_END = re.compile(r"\r\n|\r|\n")

_EMPTY_LIST = re.compile(r" *([a-z]+): *\[ *\] *(?:#.*)?$")
_KEY = re.compile(r" *([a-z]+(?: [a-z]+)?):(?: |$)")
OUTERMOST = frozenset(
    (
        *("ungape", "design", "patterns", "out", "sizes", "units", "allowance", "names", "user unit", "find"),
        *("finish", "edges", "removals", "linked", "seams", "accept", "revision"),
    )
)
"""The keys that stand at the left margin of a rules file."""

_MEANINGS = (
    (
        "mapping values are not allowed",
        "a `:` is not expected here; put text that holds `: ` in quotes, and let keys of one mapping begin "
        "in one column",
    ),
    ("cannot start any token", "text cannot begin with {found!r}; put it in quotes"),
    ("unexpected end of stream", "the quotation mark opened in line {begun} is not closed"),
    (
        "expected ',' or",
        "the bracket opened in line {begun} is not closed, or a comma is missing before this; within "
        "brackets, text that holds one stands in quotes",
    ),
    (
        "node content",
        "something is missing here: a bracket is not closed, or ` #` begins a comment where it should stand "
        "in quotes",
    ),
    (
        "expected key",
        "this is neither a key of the mapping begun in line {begun} nor a value; text that begins with a "
        "bracket or a quotation mark stands in quotes as a whole",
    ),
    (
        "expected <block end>",
        "this does not go on with what begins in line {begun}; mind the columns, and put text that begins "
        "with a bracket in quotes",
    ),
    ("a block scalar", "text behind `|` or `>` begins on the next line; put text that begins so in quotes"),
    ("expected '-' indicator", "the list begun in line {begun} goes on with `- `; mind the columns"),
    ("could not find expected ':'", "a key needs a `:` behind it"),
    ("document start", "the text goes on where it should end; mind brackets that close too early"),
    ("nesting depth", "this is nested too deeply for a rules file"),
    ("unknown escape", "a backslash in double quotes begins an escape; use single quotes"),
    ("escape code", "this escape names no character"),
    ("incompatible", "the rules are YAML 1.2; leave the `%YAML` line out"),
)


def decode(data: bytes, file: str) -> str:
    """The bytes as text: UTF-8, with or without a byte-order mark, or UTF-16 with one.

    Raises:
        RulesError: where they are neither, or too many.
    """
    if len(data) > LARGEST:
        raise RulesError((_too_large(file),))
    if is_pointer(data):
        raise RulesError((Problem("no rules", f"this {POINTER}", file, 1, 1),))
    encoding = "utf-16" if data[:2] in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE) else "utf-8-sig"
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        before = data[: error.start].decode(encoding, "replace")
        name = encoding.removesuffix("-sig").upper()
        text = f"this is not text in {name}; save the file as UTF-8"
        raise RulesError((Problem("yaml", text, file, *_place(before, len(before))),)) from None


def first_forbidden(text: str, file: str) -> Problem | None:
    """The problem that keeps the text from being read at all: its size, or a character that is none."""
    if len(text) > LARGEST:
        return _too_large(file)
    match = _FORBIDDEN.search(text)
    if match is None:
        return None
    what = f"this is not YAML: the character U+{ord(match[0]):04X} is not allowed; take it out"
    return Problem("yaml", what, file, *_place(text, match.start()))


def leading_tabs(text: str, file: str) -> list[Problem]:
    """A problem for each line that begins with a tab."""
    what = "this is not YAML: a tab stands before the text; indent with spaces"
    found = []
    for number, line in enumerate(_LINE_END.split(text), 1):
        rest = line.lstrip(" ")
        if rest.startswith("\t") and rest.strip() and not rest.lstrip().startswith("#"):
            found.append(Problem("yaml", what, file, number, len(line) - len(rest) + 1))
    return found


def mended(text: str, line: int, column: int, begun: int, context: str, problem: str) -> str:
    """What the parser's ``problem`` (met in ``context``) at line and column means, and what to do about it.

    ``begun`` is the line in which the part begins that could not be read.
    """
    row = next((row for number, row in enumerate(_LINE_END.split(text), 1) if number == line), "")
    found = row[column - 1 : column]
    if found == "\t":
        return "a tab stands here; use spaces"
    strayed = _astray(text, line, column)
    if strayed is not None and "block mapping" in context:
        return strayed
    for words, meaning in _MEANINGS:
        if words in problem or words in context:
            return meaning.format(found=found, begun=begun)
    return problem


def _astray(text: str, line: int, column: int) -> str | None:
    """What is wrong with where a line begins, if that is what is wrong with it."""
    rows = _LINE_END.split(text)
    row = rows[line - 1] if line <= len(rows) else ""
    before = len(row) - len(row.lstrip(" "))
    above = [above for above in rows[: line - 1] if above.strip() and not above.lstrip().startswith("#")]
    if before + 1 != column or not above:
        return None
    emptied = _EMPTY_LIST.match(above[-1])
    if emptied and row.lstrip().startswith("- "):
        return f"`{emptied[1]}: []` means none: take away the `[]` before entries that follow"
    key = _KEY.match(row)
    if key and before and key[1] in OUTERMOST:
        spaces = "1 space" if before == 1 else f"{before} spaces"
        return f"this line begins with {spaces}; `{key[1]}:` stands at the left margin like the keys above it"
    return None


def _too_large(file: str) -> Problem:
    return Problem("yaml", f"too large for a rules file, which holds at most {LARGEST:,} bytes", file)


def _place(text: str, index: int) -> tuple[int, int]:
    """Line and column of a character, both from 1."""
    begin, line = 0, 1
    for match in _LINE_END.finditer(text, 0, index):
        begin, line = match.end(), line + 1
    return line, index - begin + 1
