"""A rules file, from text to model. The forms below are the format; the schema is made from the same ones."""

from __future__ import annotations

from pathlib import Path, PurePosixPath
from typing import Any, cast

from rules.forms import (
    Choice,
    Key,
    ListOf,
    MapOf,
    NodeError,
    Reading,
    Record,
    Text,
    shown,
)
from rules.lengths import Amount
from rules.linking import ACCEPT, LINKED_OR_STRIP, REVISION, SEAM
from rules.measures import AmountForm, Length
from rules.model import Allowance, EdgePath, Find, Linked, Rules, Strip
from rules.problems import RulesError
from rules.removals import FINISH, REMOVAL, named
from rules.yaml_text import Node, Row, Scalar, Table, decode, load

VERSION = "1"


class Corners:
    """An edge's corners: one row, or a list of rows for an edge in several stretches."""

    def read(self, node: Node, reading: Reading) -> tuple[tuple[str, ...], ...]:
        """The rows; each has two corners or more."""
        row = ListOf(Text("a corner"), least=2)
        if isinstance(node, Row) and node.items and all(isinstance(item, Row) for item in node.items):
            return ListOf(row).read(node, reading)
        return (row.read(node, reading),)

    def schema(self) -> dict[str, Any]:
        """A list of words, or a list of such lists."""
        row = ListOf(Text("a corner"), least=2)
        return {"anyOf": [row.schema(), ListOf(row, least=1).schema()]}


class AllowanceForm:
    """One amount, or amounts by edge with a default."""

    def read(self, node: Node, reading: Reading) -> Allowance:
        """The allowance."""
        amount = AmountForm()
        if not isinstance(node, Table) or self._by_size(node, reading):
            return Allowance(cast("Amount", amount.read(node, reading)), {}, node.where)
        pairs = {key.text: cast("Amount", value) for key, value in MapOf(amount).read(node, reading)}
        return Allowance(pairs.pop("default", None), pairs, node.where)

    @staticmethod
    def _by_size(node: Table, reading: Reading) -> bool:
        keys = {key.text for key, _ in node.entries}
        return "amount" in keys or (bool(keys) and reading.sizes is not None and keys <= set(reading.sizes))

    def schema(self) -> dict[str, Any]:
        """An amount, or a mapping of edges to amounts."""
        return {"anyOf": [AmountForm().schema(), MapOf(AmountForm()).schema()]}


class Version:
    """The version of this format."""

    def read(self, node: Node, reading: Reading) -> str:
        """The version, as text."""
        if isinstance(node, Scalar) and node.text == VERSION:
            return node.text
        raise reading.wrong(
            node.where,
            "wrong version",
            f"found {shown(node)}; this ungape reads version {VERSION} of the format",
        )

    def schema(self) -> dict[str, Any]:
        """The one version."""
        return {"const": int(VERSION)}


class Folder:
    """A folder beside the rules file, below it, never above."""

    def read(self, node: Node, reading: Reading) -> str:
        """The folder's path, with `/`."""
        text = Text("a folder beside this file").read(node, reading)
        path = PurePosixPath(text.replace("\\", "/"))
        if path.is_absolute() or ".." in path.parts or ":" in text or path == PurePosixPath("."):
            raise reading.wrong(
                node.where, "wrong value", f"found {text!r}; allowed: a folder below the one of this file"
            )
        return str(path)

    def schema(self) -> dict[str, Any]:
        """Text."""
        return {"type": "string"}


class PatternName:
    """A file name beside the rules file, with {size} and {piece} for parts of it."""

    def read(self, node: Node, reading: Reading) -> str:
        """The name."""
        text = Text("a file name").read(node, reading)
        path = PurePosixPath(text.replace("\\", "/"))
        rest = text.replace("{size}", "").replace("{piece}", "")
        if "{" in rest or "}" in rest:
            raise reading.wrong(
                node.where, "wrong value", f"found {text!r}; allowed in braces: {{size}}, {{piece}}"
            )
        if path.is_absolute() or ".." in path.parts or ":" in text:
            raise reading.wrong(
                node.where, "wrong value", f"found {text!r}; allowed: files beside this one or below it"
            )
        return str(path)

    def schema(self) -> dict[str, Any]:
        """Text."""
        return {"type": "string"}


def _build(values: dict[str, Any], node: Table, reading: Reading) -> Rules:
    finish = values.get("finish")
    removals = named(values.get("removals", ()), finish, reading)
    linked = values.get("linked", ())
    return Rules(
        file=reading.file,
        design=values.get("design", ""),
        patterns=values["patterns"],
        out=values["out"],
        sizes=values.get("sizes"),
        units=values.get("units", "mm"),
        allowance=values.get("allowance"),
        names={key.text: words for key, words in values.get("names", ())},
        user_unit=values.get("user unit"),
        find=tuple(
            Find(key.text, selector, key.where)
            for key, selectors in values.get("find", ())
            for selector in selectors
        ),
        finish=finish,
        edges={
            piece.text: tuple(EdgePath(edge.text, rows, edge.where) for edge, rows in edges)
            for piece, edges in values.get("edges", ())
        },
        removals=removals,
        linked=tuple(link for link in linked if isinstance(link, Linked)),
        strips=tuple(link for link in linked if isinstance(link, Strip)),
        seams=values.get("seams", ()),
        accept=values.get("accept", ()),
        revision=values.get("revision"),
    )


_WORDS = ListOf(Text("a word"), single=True)

RULES: Record[Rules] = Record(
    {
        "ungape": Key(Version(), required=True),
        "design": Key(Text("the design's name")),
        "patterns": Key(ListOf(PatternName(), single=True, least=1), required=True),
        "out": Key(Folder(), required=True),
        "sizes": Key(ListOf(Text("a size"), least=1)),
        "units": Key(Choice(("mm", "cm", "in"))),
        "allowance": Key(AllowanceForm()),
        "names": Key(MapOf(_WORDS)),
        "user unit": Key(Length(some=True)),
        "find": Key(MapOf(_WORDS)),
        "finish": Key(FINISH),
        "edges": Key(MapOf(MapOf(Corners()))),
        "removals": Key(ListOf(REMOVAL)),
        "linked": Key(ListOf(LINKED_OR_STRIP)),
        "seams": Key(ListOf(SEAM)),
        "accept": Key(ListOf(ACCEPT)),
        "revision": Key(REVISION),
    },
    _build,
)


def read_rules(path: Path) -> Rules:
    """The rules file at ``path``.

    Raises:
        RulesError: with every problem of the file.
        OSError: where it cannot be read.
    """
    return read_rules_text(path.read_bytes(), str(path))


def read_rules_text(data: bytes | str, file: str) -> Rules:
    """The rules in ``data``; ``file`` is its name for messages.

    Raises:
        RulesError: with every problem of the file.
    """
    text = decode(data, file) if isinstance(data, bytes) else data
    node = load(text, file)
    reading = Reading(file)
    if isinstance(node, Table):
        _look_ahead(node, reading)
    try:
        rules = RULES.read(node, reading)
    except NodeError:
        rules = None
    if reading.problems or rules is None:
        problems = sorted(reading.problems, key=lambda p: (p.line or 0, p.column or 0))
        raise RulesError(problems)
    return rules


def _look_ahead(node: Table, reading: Reading) -> None:
    """Units and sizes count for the whole file, wherever they stand in it."""
    units, sizes = node.get("units"), node.get("sizes")
    if isinstance(units, Scalar) and units.text in ("mm", "cm", "in"):
        reading.units = units.text
    if isinstance(sizes, Row):
        reading.sizes = tuple(item.text for item in sizes.items if isinstance(item, Scalar))
