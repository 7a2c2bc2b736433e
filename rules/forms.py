"""Forms: each reads a node into a value and knows its own JSON Schema, so that the two cannot drift apart.

A form that finds something wrong notes every problem of its node and raises `NodeError`; forms made of
forms read all their parts first, so that all mistakes of a file are told at once.
"""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Protocol, TypeVar

from rules.labels import fold
from rules.model import Position
from rules.problems import MOST_TOLD, Problem, listed, nearest
from rules.yaml_text import Node, Row, Scalar

T_co = TypeVar("T_co", covariant=True)
Json = dict[str, Any]
TEXT_TYPES = ["string", "number", "boolean"]
"""What YAML may take a bare word for that is read as text."""
_LONGEST_SHOWN = 80
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")


class NodeError(Exception):
    """What a node holds could not be understood; the problems were noted."""


@dataclass
class Reading:
    """One file being read: its name, the unit of bare numbers, its sizes, and what is wrong so far.

    ``count`` is how many problems were met; no more of them are kept than are told.
    """

    file: str
    units: str = "mm"
    sizes: tuple[str, ...] | None = None
    problems: list[Problem] = field(default_factory=list)
    count: int = 0

    @cached_property
    def size_names(self) -> dict[str, str]:
        """The sizes by their folded names, where the file says which there are."""
        names: dict[str, str] = {}
        for size in self.sizes or ():
            names.setdefault(fold(size), size)
        return names

    @property
    def full(self) -> bool:
        """Whether so many problems were met that of another one nothing but that it is there is told."""
        return self.count > MOST_TOLD

    def wrong(self, where: Position, kind: str, text: str) -> NodeError:
        """Note a problem; the exception is for the caller to raise where it cannot go on."""
        if not self.full:
            self.problems.append(Problem(kind, text, self.file, where.line, where.column))
        self.count += 1
        return NodeError()

    def misfit(self, node: Node, allowed: str) -> NodeError:
        """Note that a node is of another form than what is allowed."""
        return self.wrong(node.where, "wrong value", f"found {shown(node)}; {allowed}")

    def unknown(self, where: Position, what: str, found: str, known: Iterable[str]) -> NodeError:
        """Note an unknown word, with what is allowed and the nearest known word."""
        if self.full:
            return self.wrong(where, "unknown word", "")
        words = list(known)
        near = nearest(found, words)
        hint = f"; did you mean `{near}`?" if near else ""
        text = f"{what} {quoted(found)} is not known here; allowed: {listed(words)}{hint}"
        return self.wrong(where, "unknown word", text)

    def unknown_size(self, where: Position, size: str) -> NodeError:
        """Note a size that is not among those of the design."""
        if self.full:
            return self.wrong(where, "unknown size", "")
        sizes = self.sizes or ()
        near = nearest(size, sizes)
        hint = f"; did you mean {near}?" if near else ""
        text = f"there is no size {quoted(size)}; `sizes` has: {listed(sizes)}{hint}"
        return self.wrong(where, "unknown size", text)


class Form(Protocol[T_co]):
    """Reads a node, and describes what it reads.

    A schema with a ``title`` is written once and referred to wherever it is used: one title is one schema.
    What stands in its ``about`` describes the place where it is used.
    """

    def read(self, node: Node, reading: Reading) -> T_co:
        """The value of ``node``; raises NodeError after noting every problem."""
        ...

    def schema(self) -> Json:
        """The JSON Schema of what it reads."""
        ...


def quoted(text: str) -> str:
    """Text of the file for a message: in quotes, on one line, not endless."""
    return repr(text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN]}…")


def shown(node: Node) -> str:
    """What was found, for a message."""
    if isinstance(node, Scalar):
        return "nothing" if node.is_null else quoted(node.text)
    return "a list" if isinstance(node, Row) else "a mapping"


@dataclass(frozen=True)
class Text:
    """A word or a name; numbers are taken as the text as which they are written."""

    what: str

    def read(self, node: Node, reading: Reading) -> str:
        """The text."""
        if not isinstance(node, Scalar) or node.is_null or not node.text.strip():
            raise reading.misfit(node, f"allowed: {self.what}")
        control = _CONTROL.search(node.text)
        if control is not None:
            raise reading.misfit(node, f"the character U+{ord(control[0]):04X} is no part of {self.what}")
        return node.text.strip()

    def schema(self) -> Json:
        """Text, or a bare word that stands for its text."""
        return {"type": TEXT_TYPES, "minLength": 1, "description": self.what}


class Selector:
    """A CSS selector. What YAML makes of one without quotes is told."""

    def read(self, node: Node, reading: Reading) -> str:
        """The selector's text."""
        if isinstance(node, Scalar) and not node.is_null:
            return Text("a CSS selector").read(node, reading)
        raise reading.misfit(
            node, "allowed: a CSS selector; one that begins with `#`, `[` or `*` stands in quotes"
        )

    def schema(self) -> Json:
        """Text."""
        return Text("a CSS selector").schema()


@dataclass(frozen=True)
class Choice:
    """One of a few words."""

    words: tuple[str, ...]

    def read(self, node: Node, reading: Reading) -> str:
        """The word."""
        if isinstance(node, Scalar) and node.text in self.words:
            return node.text
        if isinstance(node, Scalar) and not node.is_null:
            raise reading.unknown(node.where, "the word", node.text, self.words)
        raise reading.misfit(node, f"allowed: {', '.join(self.words)}")

    def schema(self) -> Json:
        """An enumeration."""
        return {"enum": list(self.words)}


class Truth:
    """Yes or no."""

    _words: Mapping[str, bool] = {"yes": True, "no": False}

    def read(self, node: Node, reading: Reading) -> bool:
        """Whether it says yes."""
        if isinstance(node, Scalar):
            truth = self._words.get(node.text) if node.truth is None else node.truth
            if truth is not None:
                return truth
        raise reading.misfit(node, "allowed: yes, no")

    def schema(self) -> Json:
        """A truth value, or one of the words."""
        return {"enum": [True, False, *self._words]}


@dataclass(frozen=True)
class Number:
    """A plain number greater than ``above`` and up to ``most``."""

    above: float
    most: float
    what: str

    def read(self, node: Node, reading: Reading) -> float:
        """The number."""
        if isinstance(node, Scalar) and node.is_number:
            # What YAML writes as `.inf` and `.nan` is no number here.
            with contextlib.suppress(ValueError):
                value = float(node.decimal)
                if self.above < value <= self.most:
                    return value
        raise reading.misfit(node, f"allowed: {self.what}")

    def schema(self) -> Json:
        """A number."""
        return {
            "type": "number",
            "exclusiveMinimum": self.above,
            "maximum": self.most,
            "description": self.what,
        }
