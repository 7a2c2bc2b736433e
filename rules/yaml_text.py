"""YAML 1.2 text as nodes that know where they stand; what YAML should not do here is refused.

PyYAML's parser gives events with positions. Types are told by the YAML 1.2 core schema, so that `no`, `on`,
`12:30` and `010` are the text that they look like. Duplicate keys, anchors, tags and further documents
are errors: a rules file needs none of them, and each can hide what a reader would not see.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from rules.model import Position
from rules.problems import Problem, RulesError
from rules.yaml_source import first_forbidden, leading_tabs, mended

_DEEPEST = 20
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NULL = frozenset(("", "~", "null", "Null", "NULL"))
_TRUE = frozenset(("true", "True", "TRUE"))
_FALSE = frozenset(("false", "False", "FALSE"))
_OTHER_BASE = re.compile(r"0o[0-7]{1,12}|0x[0-9a-fA-F]{1,9}")
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
    def decimal(self) -> str:
        """The text, with a number of base 8 or 16 (`0o14`, `0xC`) written as a decimal one."""
        if self.quoted or not _OTHER_BASE.fullmatch(self.text):
            return self.text
        return str(int(self.text, 0))

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


def parse(text: str, file: str) -> tuple[Node, list[Problem]]:
    """The one document of the text without what is twice or has no word for a key, and what that was.

    Raises:
        RulesError: where what is wrong leaves nothing to go on reading.
    """
    text = text.removeprefix("\ufeff")
    forbidden = first_forbidden(text, file)
    if forbidden is not None:
        raise RulesError((forbidden,))
    problems = leading_tabs(text, file)
    if problems:
        raise RulesError(problems)
    try:
        return _document(iter(yaml.parse(text, Loader=_LOADER)), file, problems), _in_order(problems)
    except _RefusedError as refused:
        problems.append(refused.problem)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
        begun = error.context_mark.line + 1 if error.context_mark is not None else line
        what = mended(text, line, column, begun, error.context or "", error.problem or "")
        problems.append(Problem("yaml", f"this is not YAML: {what}", file, line, column))
    raise RulesError(_in_order(problems))


def _in_order(problems: list[Problem]) -> list[Problem]:
    return sorted(problems, key=lambda p: (p.line or 0, p.column or 0))


class _RefusedError(Exception):
    """A part of YAML that rules do without; nothing behind it is read."""

    def __init__(self, text: str, event: Any, file: str) -> None:
        where = _position(event.start_mark)
        self.problem = Problem("yaml", text, file, where.line, where.column)
        super().__init__(text)


def _position(mark: Any) -> Position:
    return Position(mark.line + 1, mark.column + 1)


def _document(events: Iterator[Any], file: str, problems: list[Problem]) -> Node:
    node: Node = Scalar("", False, Position(1, 1))
    count = 0
    for event in events:
        if isinstance(event, yaml.DocumentStartEvent):
            count += 1
            if count > 1:
                raise _RefusedError("a rules file is one document; this is a second one", event, file)
            node = _node(next(events), events, file, problems, 0)
    return node


def _node(event: Any, events: Iterator[Any], file: str, problems: list[Problem], depth: int) -> Node:
    where = _position(event.start_mark)
    if isinstance(event, yaml.AliasEvent) or event.anchor is not None:
        text = "anchors and aliases (& and *) are not used here; write the value out, or put text in quotes"
        raise _RefusedError(text, event, file)
    if depth > _DEEPEST:
        raise _RefusedError("this is nested too deeply for a rules file", event, file)
    if event.tag is not None:
        text = f"tags ({event.tag}) are not used here; write the plain value, or put text in quotes"
        raise _RefusedError(text, event, file)
    if isinstance(event, yaml.ScalarEvent):
        none = next((c for c in event.value if c in "\ufffe\uffff" or "\ud800" <= c <= "\udfff"), None)
        if none is not None:
            raise _RefusedError(
                f"U+{ord(none):04X}, written as an escape, is no character; take it out", event, file
            )
        return Scalar(event.value, bool(event.style), where)
    if isinstance(event, yaml.SequenceStartEvent):
        items: list[Node] = []
        while not isinstance(inner := next(events), yaml.SequenceEndEvent):
            items.append(_node(inner, events, file, problems, depth + 1))
        return Row(tuple(items), where)
    return Table(tuple(_entries(events, file, problems, depth)), where)


def _entries(
    events: Iterator[Any], file: str, problems: list[Problem], depth: int
) -> Iterator[tuple[Scalar, Node]]:
    seen: dict[str, Position] = {}
    while not isinstance(inner := next(events), yaml.MappingEndEvent):
        key = _node(inner, events, file, problems, depth + 1)
        value = _node(next(events), events, file, problems, depth + 1)
        if not isinstance(key, Scalar) or key.is_null:
            found = "nothing" if isinstance(key, Scalar) else "a list or a mapping"
            text = f"a key here is a word, not {found}; put text that begins with a bracket in quotes"
            problems.append(Problem("yaml", text, file, key.where.line, key.where.column))
        elif key.text in seen:
            first = seen[key.text]
            text = f"{key.text!r} stands here twice, first in line {first.line}; keep one of them"
            problems.append(Problem("duplicate key", text, file, key.where.line, key.where.column))
        else:
            seen[key.text] = key.where
            yield key, value
