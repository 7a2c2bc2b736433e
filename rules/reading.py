"""A rules file, from text to model. The forms below are the format; the schema is made from the same ones."""

from __future__ import annotations

import contextlib
import re
from itertools import pairwise
from pathlib import Path
from typing import Any

from rules.files import Folder, PatternName
from rules.forms import Choice, NodeError, Reading, Selector, Text, shown
from rules.labels import fold, like_a_size
from rules.lengths import Sign
from rules.linking import ACCEPT, LINKED_OR_STRIP, REVISION, SEAM
from rules.measures import AmountForm, Length
from rules.model import Allowance, EdgePath, Find, Linked, Rules, Strip
from rules.plain_files import read_plain
from rules.problems import Problem, RulesError
from rules.records import Key, ListOf, MapOf, Record
from rules.removals import FINISH, REMOVAL
from rules.together import check_links, check_removals, completed
from rules.yaml_source import LARGEST, decode
from rules.yaml_text import Node, Row, Scalar, Table, parse

VERSION = "1"
UNITS = ("mm", "cm", "in")
_DRAWING = re.compile(r"[\s\ufeff]*<(\?xml|!DOCTYPE|!--|svg\b)")
"""How a drawing begins that was named in place of the rules."""


class Corners:
    """An edge's corners: one row, or a list of rows for an edge in several stretches."""

    _row = ListOf(Text("a corner"), least=2)

    def read(self, node: Node, reading: Reading) -> tuple[tuple[str, ...], ...]:
        """The rows; each has two corners or more."""
        if not isinstance(node, Row) or not any(isinstance(item, Row) for item in node.items):
            rows: tuple[tuple[str, ...], ...] = (self._row.read(node, reading),)
        else:
            rows = ListOf(self._row, least=1).read(node, reading)
        for row in rows:
            for corner, following in pairwise(row):
                if fold(corner) == fold(following):
                    text = f"an edge cannot run from {corner!r} to itself; name a corner between"
                    raise reading.wrong(node.where, "wrong value", text)
        return rows

    def schema(self) -> dict[str, Any]:
        """A list of words, or a list of such lists."""
        row = self._row.schema()
        return {"title": "corners", "anyOf": [row, {"type": "array", "items": row, "minItems": 1}]}


class AllowanceForm:
    """One amount, or amounts by edge with a default."""

    _by_edge = MapOf(AmountForm(), "edges to lengths")

    def read(self, node: Node, reading: Reading) -> Allowance:
        """The allowance."""
        if not isinstance(node, Table) or self._is_amount(node, reading):
            return Allowance(AmountForm().read(node, reading), {}, node.where)
        if not node.entries:
            raise reading.misfit(
                node, "allowed: a length, or lengths by edge such as `{default: 15 mm, hem: 3 cm}`"
            )
        by_edge = {key.text: amount for key, amount in self._by_edge.read(node, reading)}
        return Allowance(by_edge.pop("default", None), by_edge, node.where)

    @staticmethod
    def _is_amount(node: Table, reading: Reading) -> bool:
        """Whether the mapping is one amount that differs by size: its keys are those of one, or sizes."""
        keys = [key.text for key, _ in node.entries]
        sizes = reading.size_names
        return bool(keys) and (
            bool({"at", "amount", "step"} & set(keys))
            or all(fold(key) in sizes or like_a_size(key) for key in keys)
        )

    def schema(self) -> dict[str, Any]:
        """An amount, or a mapping of edges to amounts."""
        amount = AmountForm().schema()
        by_edge = {
            "type": "object",
            "minProperties": 1,
            "propertyNames": {"minLength": 1, "not": {"enum": ["at", "amount", "step"]}},
            "additionalProperties": amount,
        }
        return {"anyOf": [amount, by_edge]}


class Version:
    """The version of this format."""

    def read(self, node: Node, reading: Reading) -> str:
        """The version, as text."""
        if isinstance(node, Scalar) and node.text == VERSION:
            return node.text
        version = f"this ungape reads version {VERSION} of the format"
        raise reading.wrong(node.where, "wrong version", f"found {shown(node)}; {version}")

    def schema(self) -> dict[str, Any]:
        """The one version."""
        return {"enum": [int(VERSION), VERSION]}


def _build(values: dict[str, Any], node: Table, reading: Reading) -> Rules:
    linked = values.get("linked", ())
    finish = values.get("finish")
    return Rules(
        file=reading.file,
        design=values.get("design") or _plain_name(reading.file),
        patterns=values["patterns"],
        out=values["out"],
        sizes=values.get("sizes"),
        units=values.get("units", "mm"),
        allowance=values.get("allowance"),
        names={key.text: words for key, words in values.get("names", ())},
        user_unit=values.get("user unit"),
        find=tuple(Find(key.text, selector, key.where) for key, selector in values.get("find", ())),
        finish=finish,
        edges={
            piece.text: tuple(EdgePath(edge.text, rows, edge.where) for edge, rows in edges)
            for piece, edges in values.get("edges", ())
        },
        removals=completed(values.get("removals", ()), finish),
        linked=tuple(link for link in linked if isinstance(link, Linked)),
        strips=tuple(link for link in linked if isinstance(link, Strip)),
        seams=values.get("seams", ()),
        accept=values.get("accept", ()),
        revision=values.get("revision"),
    )


def _plain_name(file: str) -> str:
    """The file's name without its folders and endings: what a design without a name is called."""
    name = re.split(r"[/\\]", file)[-1]
    return re.sub(r"(\.gape)?\.ya?ml$", "", name) or name


_EDGES = MapOf(Corners(), "edges to corners")
RULES: Record[Rules] = Record(
    {
        "ungape": Key(Version(), required=True, about="the version of this format"),
        "design": Key(Text("the design's name"), about="shown in reports"),
        "patterns": Key(
            ListOf(PatternName(), single=True, least=1, unique=True),
            required=True,
            about="pattern files beside this file; {size} and {piece} stand for a part of the name",
        ),
        "out": Key(Folder(), required=True, about="the folder for the altered files, beside this file"),
        "sizes": Key(
            ListOf(Text("a size"), least=1, unique=True),
            about="which sizes, in order; left out, every size found, in natural order",
        ),
        "units": Key(Choice(UNITS), about="for bare numbers; left out: mm"),
        "allowance": Key(AllowanceForm(), about="where a file has only one of cut line and stitching line"),
        "names": Key(
            MapOf(ListOf(Text("a word"), single=True, least=1), "names to the words that the files use"),
            about="role, piece, edge, corner or the word `size`: words that the files use for it too",
        ),
        "user unit": Key(Length(Sign.ABOVE_ZERO), about="its real length, where a file has no real size"),
        "find": Key(
            MapOf(Selector(), "labels to CSS selectors"),
            about="what a selector matches counts as labelled so",
        ),
        "finish": Key(FINISH, about="for every removal that does not say otherwise"),
        "edges": Key(MapOf(_EDGES, "pieces to their edges"), about="of outlines drawn as one shape"),
        "removals": Key(ListOf(REMOVAL, together=check_removals), about="the wedges to take out, in order"),
        "linked": Key(
            ListOf(LINKED_OR_STRIP, together=check_links), about="pieces and strips that follow others"
        ),
        "seams": Key(ListOf(SEAM), about="seams that have to hold"),
        "accept": Key(ListOf(ACCEPT), about="notices that a person has looked at"),
        "revision": Key(REVISION, about="the new mark and date of the pattern"),
    },
    _build,
)


def read_rules(path: Path) -> Rules:
    """The rules file at ``path``.

    Raises:
        RulesError: with every problem of the file, or that it cannot be read.
    """
    try:
        data = read_plain(path, LARGEST)
    except OSError as error:
        text = f"the file cannot be read: {error.strerror}"
        raise RulesError((Problem("no rules", text, str(path)),)) from error
    return read_rules_text(data, str(path))


def read_rules_text(data: bytes | str, file: str) -> Rules:
    """The rules in ``data``; ``file`` is its name for messages.

    Raises:
        RulesError: with every problem of the file.
    """
    text = decode(data, file) if isinstance(data, bytes) else data
    if _DRAWING.match(text):
        what = "this is a drawing, not a rules file; `ungape start SVG…` prints rules for it, to fill in"
        raise RulesError((Problem("no rules", what, file, 1, 1),))
    node, problems = parse(text, file)
    reading = Reading(file)
    if isinstance(node, Table):
        _look_ahead(node, reading)
    with contextlib.suppress(NodeError):
        rules = RULES.read(node, reading)
        if not problems:
            return rules
    problems = [*problems, *reading.problems]
    raise RulesError(sorted(problems, key=lambda p: (p.line or 0, p.column or 0)))


def _look_ahead(node: Table, reading: Reading) -> None:
    """Units and sizes count for the whole file, wherever they stand in it."""
    units, sizes = node.get("units"), node.get("sizes")
    if isinstance(units, Scalar) and units.text in UNITS:
        reading.units = units.text
    if isinstance(sizes, Row) and all(isinstance(item, Scalar) for item in sizes.items):
        reading.sizes = tuple(item.text.strip() for item in sizes.items if isinstance(item, Scalar))
