"""Forms made of forms: lists, mappings from free names, records with known keys, one of several records."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from rules.forms import Form, Json, NodeError, Reading, quoted
from rules.labels import fold
from rules.model import Position
from rules.problems import nearest
from rules.yaml_text import Node, Row, Scalar, Table

T = TypeVar("T")
Build = Callable[[dict[str, Any], Table, Reading], T]
"""Makes a record's value from the values of its keys; it may note problems and raise NodeError."""


@dataclass(frozen=True)
class ListOf(Generic[T]):
    """A list of one form; ``single`` where one item may stand without the list.

    ``unique``: the items are names, and none may stand twice. ``together`` notes what is wrong with items
    that are right by themselves. A list that may be empty may also have nothing behind its key.
    """

    item: Form[T]
    single: bool = False
    least: int = 0
    most: int | None = None
    unique: bool = False
    together: Callable[[list[T], Reading], None] | None = None

    def read(self, node: Node, reading: Reading) -> tuple[T, ...]:
        """Every item; NodeError where one could not be read."""
        if isinstance(node, Scalar) and node.is_null and not self.least:
            return ()
        if not isinstance(node, Row):
            if self.single:
                return (self.item.read(node, reading),)
            raise reading.misfit(node, "allowed: a list, in brackets or with `- ` before each entry")
        found: list[T] = []
        failed = False
        for item in node.items:
            try:
                found.append(self.item.read(item, reading))
            except NodeError:
                failed = True
        if not self.least <= len(node.items) <= (self.most or len(node.items)):
            count = f"exactly {self.least}" if self.most == self.least else f"at least {self.least}"
            entries = "entry" if self.least == 1 else "entries"
            text = f"this list needs {count} {entries}; found {len(node.items)}"
            reading.wrong(
                node.where, "missing value" if len(node.items) < self.least else "wrong value", text
            )
            failed = True
        before = reading.count
        if self.unique and not failed:
            _note_twins(
                ((item.where, str(name)) for item, name in zip(node.items, found, strict=True)), reading
            )
        if self.together is not None:
            self.together(found, reading)
        if failed or reading.count > before:
            raise NodeError
        return tuple(found)

    def schema(self) -> Json:
        """An array, or a single item."""
        item = self.item.schema()
        array: Json = {"type": "array", "items": item}
        if self.least:
            array["minItems"] = self.least
        else:
            array["type"] = ["array", "null"]
        if self.most is not None:
            array["maxItems"] = self.most
        return {"anyOf": [item, array]} if self.single else array


def _note_twins(names: Iterator[tuple[Position, str]], reading: Reading) -> None:
    """Note every name that is the same as one before it."""
    seen: dict[str, tuple[str, Position]] = {}
    for where, name in names:
        first = seen.setdefault(fold(name), (name, where))
        if first[1] != where:
            text = f"{quoted(name)} stands here twice, first in line {first[1].line}; keep one of them"
            if first[0] != name:
                other = f"{quoted(first[0])} in line {first[1].line}"
                text = f"{quoted(name)} and {other} are one name; keep one of them"
            reading.wrong(where, "duplicate key", text)


@dataclass(frozen=True)
class MapOf(Generic[T]):
    """A mapping from names of the person's own to one form; nothing behind its key is an empty one."""

    value: Form[T]
    what: str

    def read(self, node: Node, reading: Reading) -> tuple[tuple[Scalar, T], ...]:
        """Keys and values in the order written."""
        if isinstance(node, Scalar) and node.is_null:
            return ()
        if not isinstance(node, Table):
            raise reading.misfit(node, f"allowed: a mapping of {self.what}")
        found: list[tuple[Scalar, T]] = []
        before = reading.count
        _note_twins(((key.where, key.text) for key, _ in node.entries), reading)
        failed = reading.count > before
        for key, value in node.entries:
            try:
                if not key.text.strip():
                    raise reading.wrong(key.where, "wrong value", "a name here cannot be empty")
                found.append((key, self.value.read(value, reading)))
            except NodeError:
                failed = True
        if failed:
            raise NodeError
        return tuple(found)

    def schema(self) -> Json:
        """An object of one kind of value."""
        return {
            "type": ["object", "null"],
            "propertyNames": {"minLength": 1},
            "additionalProperties": self.value.schema(),
        }


@dataclass(frozen=True)
class Key:
    """A key of a record; ``about`` says what it is for, for the schema."""

    form: Form[Any]
    required: bool = False
    about: str = ""


@dataclass(frozen=True)
class Record(Generic[T]):
    """A mapping with known keys, from which ``build`` makes the value.

    ``elsewhere``: keys that tell that the whole mapping belongs under another key of the file, and which.
    """

    keys: Mapping[str, Key]
    build: Build[T]
    exactly_one_of: tuple[tuple[str, ...], ...] = ()
    title: str = ""
    elsewhere: Mapping[str, str] = field(default_factory=dict)

    def read(self, node: Node, reading: Reading) -> T:
        """The value, once every key was read."""
        if not isinstance(node, Table):
            raise reading.misfit(node, f"allowed: a mapping of {', '.join(self.keys)}")
        for key, _ in node.entries:
            if key.text in self.elsewhere:
                text = f"an entry with `{key.text}` belongs under `{self.elsewhere[key.text]}:`, not here"
                raise reading.wrong(key.where, "unknown word", text)
        values: dict[str, Any] = {}
        failed = False
        for key, value in node.entries:
            entry = self.keys.get(key.text)
            try:
                if entry is None:
                    raise reading.unknown(key.where, "the key", key.text, self.keys)
                values[key.text] = entry.form.read(value, reading)
            except NodeError:
                failed = True
        present = {key.text for key, _ in node.entries}
        # What a misspelt key stands for is not missed as well: one mistake is told once.
        meant = {nearest(key, self.keys) for key in present if key not in self.keys}
        for name, entry in self.keys.items():
            if entry.required and name not in present and name not in meant:
                reading.wrong(node.where, "missing value", f"`{name}` is missing here")
                failed = True
        for names in self.exactly_one_of:
            given = [name for name in names if name in present]
            if len(given) != 1 and (given or meant.isdisjoint(names)):
                words = " or ".join(f"`{name}`" for name in names)
                found = "neither is" if not given else "both are"
                again = [key.where for key, _ in node.entries if key.text in given][1:]
                reading.wrong(
                    again[0] if again else node.where,
                    "clash",
                    f"give exactly one of {words}; {found} given here",
                )
                failed = True
        if failed:
            raise NodeError
        return self.build(values, node, reading)

    def schema(self) -> Json:
        """An object that allows the known keys only."""
        found: Json = {"title": self.title} if self.title else {}
        found |= {
            "type": "object",
            "properties": {name: _described(key) for name, key in self.keys.items()},
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


def _described(key: Key) -> Json:
    return {**key.form.schema(), "about": key.about} if key.about else key.form.schema()


@dataclass(frozen=True)
class ByKey(Generic[T]):
    """One of several records, told apart by a key that only one of them has; or a single word."""

    records: Mapping[str, Record[T]]
    word: str | None = None
    word_value: T | None = None

    def read(self, node: Node, reading: Reading) -> T:
        """The value of the record whose key is there."""
        if isinstance(node, Scalar) and node.text == self.word and self.word_value is not None:
            return self.word_value
        if isinstance(node, Scalar) and self.word is not None and nearest(node.text, [self.word]):
            text = f"the word {quoted(node.text)} is not known here; allowed: {self._ways()}"
            raise reading.wrong(node.where, "unknown word", f"{text}; did you mean `{self.word}`?")
        if not isinstance(node, Table) or not node.entries:
            raise reading.misfit(node, f"allowed: {self._ways()}")
        told = [(key, self.records[key.text]) for key, _ in node.entries if key.text in self.records]
        if not told:
            known = list(dict.fromkeys(name for record in self.records.values() for name in record.keys))
            strange = [key for key, _ in node.entries if key.text not in known]
            for key in strange:
                reading.unknown(key.where, "the key", key.text, known)
            if not strange:
                reading.wrong(
                    node.where, "missing value", f"this does not say which it is; allowed: {self._ways()}"
                )
            raise NodeError
        first, record = told[0]
        for key, _ in told[1:]:
            if key.text not in record.keys:
                text = f"`{key.text}` and `{first.text}` exclude each other; give {self._ways()}"
                raise reading.wrong(key.where, "clash", text)
        return record.read(node, reading)

    def _different(self) -> Iterable[Record[T]]:
        """Every record once, whatever the number of its keys."""
        return {id(record): record for record in self.records.values()}.values()

    def _ways(self) -> str:
        ways = [f"`{self.word}`"] if self.word else []
        for record in self._different():
            keys = record.keys
            names = [name for name in keys if keys[name].required] or list(keys)
            ways.append(f"`{{{', '.join(f'{name}: …' for name in names)}}}`")
        return " or ".join(ways)

    def schema(self) -> Json:
        """Any of the records, or the word."""
        words: list[Json] = [{"const": self.word}] if self.word else []
        return {"anyOf": [*words, *({**record.schema(), "minProperties": 1} for record in self._different())]}
