"""Forms: each reads a node into a value and knows its own JSON Schema, so that the two cannot drift apart.

A form that finds something wrong notes every problem of its node and raises `NodeError`; forms made of
forms read all their parts first, so that all mistakes of a file are told at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, Protocol, TypeVar

from rules.model import Position
from rules.problems import Problem, nearest
from rules.yaml_text import Node, Row, Scalar, Table

T_co = TypeVar("T_co", covariant=True)
T = TypeVar("T")
Json = dict[str, Any]


class NodeError(Exception):
    """What a node holds could not be understood; the problems were noted."""


@dataclass
class Reading:
    """One file being read: its name, the unit of bare numbers, its sizes, and what is wrong so far."""

    file: str
    units: str = "mm"
    sizes: tuple[str, ...] | None = None
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, where: Position, kind: str, text: str) -> NodeError:
        """Note a problem; the exception is for the caller to raise where it cannot go on."""
        self.problems.append(Problem(kind, text, self.file, where.line, where.column))
        return NodeError()

    def unknown(self, where: Position, what: str, found: str, known: list[str]) -> NodeError:
        """Note an unknown word, with what is allowed and the nearest known word."""
        near = nearest(found, known)
        hint = f"; did you mean `{near}`?" if near else ""
        allowed = ", ".join(known)
        return self.wrong(
            where, "unknown word", f"{what} {found!r} is not known here; allowed: {allowed}{hint}"
        )


class Form(Protocol[T_co]):
    """Reads a node, and describes what it reads."""

    def read(self, node: Node, reading: Reading) -> T_co:
        """The value of ``node``; raises NodeError after noting every problem."""
        ...

    def schema(self) -> Json:
        """The JSON Schema of what it reads."""
        ...


def shown(node: Node) -> str:
    """What was found, for a message."""
    if isinstance(node, Scalar):
        return "nothing" if node.is_null else repr(node.text)
    return "a list" if isinstance(node, Row) else "a mapping"


@dataclass(frozen=True)
class Text:
    """A word or a name; numbers are taken as the text as which they are written."""

    what: str

    def read(self, node: Node, reading: Reading) -> str:
        """The text."""
        if not isinstance(node, Scalar) or node.is_null or not node.text.strip():
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: {self.what}")
        return node.text.strip()

    def schema(self) -> Json:
        """Text, or a number that stands for its text."""
        return {"type": ["string", "number"], "description": self.what}


@dataclass(frozen=True)
class Choice:
    """One of a few words."""

    words: tuple[str, ...]

    def read(self, node: Node, reading: Reading) -> str:
        """The word."""
        if isinstance(node, Scalar) and node.text in self.words:
            return node.text
        if isinstance(node, Scalar) and not node.is_null:
            raise reading.unknown(node.where, "the word", node.text, list(self.words))
        raise reading.wrong(
            node.where, "wrong value", f"found {shown(node)}; allowed: {', '.join(self.words)}"
        )

    def schema(self) -> Json:
        """An enumeration."""
        return {"enum": list(self.words)}


class Truth:
    """Yes or no."""

    _words: Mapping[str, bool] = {"yes": True, "true": True, "no": False, "false": False}

    def read(self, node: Node, reading: Reading) -> bool:
        """Whether it says yes."""
        if isinstance(node, Scalar) and node.text.casefold() in self._words:
            return self._words[node.text.casefold()]
        raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: yes, no")

    def schema(self) -> Json:
        """A truth value, or one of the words."""
        return {"enum": [True, False, "yes", "no"]}


@dataclass(frozen=True)
class Number:
    """A plain number greater than ``above``."""

    above: float
    what: str

    def read(self, node: Node, reading: Reading) -> float:
        """The number."""
        if isinstance(node, Scalar) and node.is_number:
            value = float(node.text) if not node.text.startswith("0o") else float(int(node.text, 0))
            if self.above < value < 1e6:
                return value
        raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: {self.what}")

    def schema(self) -> Json:
        """A number."""
        return {"type": "number", "exclusiveMinimum": self.above, "description": self.what}


@dataclass(frozen=True)
class ListOf(Generic[T]):
    """A list of one form; ``single`` where one item may stand without the list."""

    item: Form[T]
    single: bool = False
    least: int = 0

    def read(self, node: Node, reading: Reading) -> tuple[T, ...]:
        """Every item that could be read; NodeError where one could not."""
        if not isinstance(node, Row):
            if self.single:
                return (self.item.read(node, reading),)
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: a list")
        found, failed = [], False
        for item in node.items:
            try:
                found.append(self.item.read(item, reading))
            except NodeError:
                failed = True
        if len(node.items) < self.least:
            raise reading.wrong(node.where, "missing value", f"this list needs at least {self.least} entries")
        if failed:
            raise NodeError
        return tuple(found)

    def schema(self) -> Json:
        """An array, or a single item."""
        array: Json = {"type": "array", "items": self.item.schema()}
        if self.least:
            array["minItems"] = self.least
        return {"anyOf": [self.item.schema(), array]} if self.single else array


@dataclass(frozen=True)
class MapOf(Generic[T]):
    """A mapping from names of the person's own to one form."""

    value: Form[T]

    def read(self, node: Node, reading: Reading) -> tuple[tuple[Scalar, T], ...]:
        """Keys and values in the order written."""
        if not isinstance(node, Table):
            raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: a mapping")
        found, failed = [], False
        for key, value in node.entries:
            try:
                found.append((key, self.value.read(value, reading)))
            except NodeError:
                failed = True
        if failed:
            raise NodeError
        return tuple(found)

    def schema(self) -> Json:
        """An object of one kind of value."""
        return {"type": "object", "additionalProperties": self.value.schema()}


@dataclass(frozen=True)
class Key:
    """A key of a record."""

    form: Form[Any]
    required: bool = False


@dataclass(frozen=True)
class Record(Generic[T]):
    """A mapping with known keys. ``build`` makes the value; it may note problems and raise NodeError."""

    keys: Mapping[str, Key]
    build: Callable[[dict[str, Any], Table, Reading], T]
    exactly_one_of: tuple[tuple[str, ...], ...] = ()

    def read(self, node: Node, reading: Reading) -> T:
        """The value, once every key was read."""
        if not isinstance(node, Table):
            allowed = ", ".join(self.keys)
            raise reading.wrong(
                node.where, "wrong value", f"found {shown(node)}; allowed: a mapping of {allowed}"
            )
        values: dict[str, Any] = {}
        failed = False
        for key, value in node.entries:
            entry = self.keys.get(key.text)
            try:
                if entry is None:
                    raise reading.unknown(key.where, "the key", key.text, list(self.keys))
                values[key.text] = entry.form.read(value, reading)
            except NodeError:
                failed = True
        present = {key.text for key, _ in node.entries}
        for name, entry in self.keys.items():
            if entry.required and name not in present:
                reading.wrong(node.where, "missing value", f"`{name}` is missing here")
                failed = True
        for names in self.exactly_one_of:
            given = [name for name in names if name in present]
            if len(given) != 1:
                words = " or ".join(f"`{name}`" for name in names)
                found = "neither is" if not given else "both are"
                reading.wrong(node.where, "clash", f"give exactly one of {words}; {found} given here")
                failed = True
        if failed:
            raise NodeError
        return self.build(values, node, reading)

    def schema(self) -> Json:
        """An object that allows the known keys only."""
        found: Json = {
            "type": "object",
            "properties": {name: key.form.schema() for name, key in self.keys.items()},
            "additionalProperties": False,
        }
        required = [name for name, key in self.keys.items() if key.required]
        if required:
            found["required"] = required
        if self.exactly_one_of:
            found["allOf"] = [
                {"oneOf": [{"required": [name]} for name in names]} for names in self.exactly_one_of
            ]
        return found


@dataclass(frozen=True)
class ByKey(Generic[T]):
    """One of several records, told apart by a key that only one of them has; or a single word."""

    records: Mapping[str, Form[T]]
    word: str | None = None
    word_value: T | None = None

    def read(self, node: Node, reading: Reading) -> T:
        """The value of the record whose key is there."""
        if self.word is not None and isinstance(node, Scalar) and node.text == self.word:
            value = self.word_value
            if value is not None:
                return value
        if isinstance(node, Table):
            for key, record in self.records.items():
                if node.get(key) is not None:
                    return record.read(node, reading)
            names = list(self.records)
            for found, _ in node.entries:
                raise reading.unknown(found.where, "the key", found.text, names)
        words = [*([f"`{self.word}`"] if self.word else []), *(f"`{{{key}: …}}`" for key in self.records)]
        raise reading.wrong(node.where, "wrong value", f"found {shown(node)}; allowed: {' or '.join(words)}")

    def schema(self) -> Json:
        """Any of the records, or the word."""
        words: list[Json] = [{"const": self.word}] if self.word else []
        return {"anyOf": [*words, *(record.schema() for record in self.records.values())]}
