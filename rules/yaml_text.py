"""YAML 1.2 text as nodes that know where they stand; what YAML should not do here is refused.

PyYAML's parser gives events with positions. Types are told by the YAML 1.2 core schema, so that `no`, `on`,
`12:30` and `010` are the text that they look like. Duplicate keys, anchors, tags and further documents
are errors: a rules file needs none of them, and each can hide what a reader would not see.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from rules.model import Position
from rules.problems import Problem, RulesError

LARGEST = 1_000_000
"""A rules file holds at most this many bytes."""
_DEEPEST = 20
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NULL = frozenset(("", "~", "null", "Null", "NULL"))
_TRUE = frozenset(("true", "True", "TRUE"))
_FALSE = frozenset(("false", "False", "FALSE"))
_INT = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
_FLOAT = re.compile(
    r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?|[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)"
)


@dataclass(frozen=True, slots=True)
class Scalar:
    """A single value as written; ``quoted`` values are text whatever they look like."""

    text: str
    quoted: bool
    where: Position

    @property
    def is_null(self) -> bool:
        """Whether nothing was written."""
        return not self.quoted and self.text in _NULL

    @property
    def is_number(self) -> bool:
        """Whether YAML 1.2 takes it for a number."""
        return not self.quoted and bool(_INT.fullmatch(self.text) or _FLOAT.fullmatch(self.text))

    @property
    def truth(self) -> bool | None:
        """The truth value that it is, if it is one."""
        if self.quoted or self.text not in _TRUE | _FALSE:
            return None
        return self.text in _TRUE


@dataclass(frozen=True, slots=True)
class Row:
    """A sequence of nodes."""

    items: tuple[Node, ...]
    where: Position


@dataclass(frozen=True, slots=True)
class Table:
    """A mapping; every key stands once."""

    entries: tuple[tuple[Scalar, Node], ...]
    where: Position

    def get(self, key: str) -> Node | None:
        """The value of ``key``, if it is there."""
        return next((value for name, value in self.entries if name.text == key), None)


Node = Scalar | Row | Table


def decode(data: bytes, file: str) -> str:
    """The bytes as text: UTF-8, with or without a byte-order mark, or UTF-16 with one.

    Raises:
        RulesError: where they are neither, or too many.
    """
    if len(data) > LARGEST:
        raise RulesError((Problem("yaml", f"{len(data)} bytes are too many for a rules file (1 MB)", file),))
    encoding = "utf-16" if data[:2] in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE) else "utf-8-sig"
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        text = f"this is not text in {encoding.removesuffix('-sig').upper()}; save the file as UTF-8"
        raise RulesError((Problem("yaml", text, file, line, 1),)) from None


def load(text: str, file: str) -> Node:
    """The one document of the text.

    Raises:
        RulesError: where it is no YAML, or uses what is refused here; every duplicate key is told.
    """
    problems: list[Problem] = []
    try:
        events = iter(yaml.parse(text, Loader=_LOADER))
        node = _document(events, file, problems)
    except RulesError:
        raise
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
        what = ", ".join(part for part in (error.context, error.problem) if part)
        problems.append(Problem("yaml", f"this is not YAML: {what}", file, line, column))
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        problems.append(Problem("yaml", f"this is not YAML: {error}", file, *_control(text)))
    if problems:
        raise RulesError(problems)
    return node


def _control(text: str) -> tuple[int, int]:
    """Where the first character stands that YAML does not allow."""
    for number, line in enumerate(text.splitlines(), 1):
        for column, character in enumerate(line, 1):
            if not (character.isprintable() or character == "\t"):
                return number, column
    return 1, 1


def _position(mark: Any) -> Position:
    return Position(mark.line + 1, mark.column + 1)


def _document(events: Iterator[Any], file: str, problems: list[Problem]) -> Node:
    node: Node = Scalar("", False, Position(1, 1))
    count = 0
    for event in events:
        if isinstance(event, yaml.DocumentStartEvent):
            count += 1
            if count > 1:
                raise _refused("a rules file is one document; this is a second one", event, file)
            node = _node(next(events), events, file, problems, 0)
    return node


def _refused(text: str, event: Any, file: str) -> RulesError:
    where = _position(event.start_mark)
    return RulesError((Problem("yaml", text, file, where.line, where.column),))


def _node(event: Any, events: Iterator[Any], file: str, problems: list[Problem], depth: int) -> Node:
    where = _position(event.start_mark)
    if isinstance(event, yaml.AliasEvent) or event.anchor is not None:
        raise _refused("anchors and aliases (& and *) are not used here; write the value out", event, file)
    if depth > _DEEPEST:
        raise _refused("this is nested too deeply for a rules file", event, file)
    if event.tag is not None and event.tag != "!":
        raise _refused(f"tags ({event.tag}) are not used here; write the plain value", event, file)
    if isinstance(event, yaml.ScalarEvent):
        return Scalar(event.value, bool(event.style), where)
    if isinstance(event, yaml.SequenceStartEvent):
        items: list[Node] = []
        while not isinstance(inner := next(events), yaml.SequenceEndEvent):
            items.append(_node(inner, events, file, problems, depth + 1))
        return Row(tuple(items), where)
    entries: list[tuple[Scalar, Node]] = []
    seen: dict[str, Position] = {}
    while not isinstance(inner := next(events), yaml.MappingEndEvent):
        key = _node(inner, events, file, problems, depth + 1)
        value = _node(next(events), events, file, problems, depth + 1)
        if not isinstance(key, Scalar):
            text = "a key here is a word, not a list or a mapping"
            problems.append(Problem("yaml", text, file, key.where.line, key.where.column))
            continue
        if key.text in seen:
            first = seen[key.text]
            text = f"{key.text!r} stands here twice, first in line {first.line}; keep one of them"
            problems.append(Problem("duplicate key", text, file, key.where.line, key.where.column))
            continue
        seen[key.text] = key.where
        entries.append((key, value))
    return Table(tuple(entries), where)
