"""A file understood as elements, each known by its place in document order, down to its bytes.

An element is an int everywhere: 0 is the root, 1 the element whose start tag comes next, and so on. The
tree is lxml's; where tags stand in the bytes is expat's; the attributes of a tag are looked up in the
bytes only when somebody asks for them.
"""

from __future__ import annotations

import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, NamedTuple, cast

import numpy as np
from lxml import etree
from numpy.typing import NDArray

from transform.svg import labels, parsing
from transform.svg.encoding import Encoding, detect
from transform.svg.problems import PatternError, problem_at
from transform.svg.tags import Attribute, StartTag, read_start_tag


class _Structure(NamedTuple):
    """By element: byte offset of the start tag, offset of the tag event after it, offset of the end event,
    parent (-1: none), and the element that follows its last descendant."""

    starts: array[int]
    afters: array[int]
    ends: array[int]
    parents: array[int]
    nexts: array[int]


@dataclass(eq=False)
class Document:
    """One SVG file; nothing of it ever changes (``memo`` only remembers what was worked out)."""

    name: str
    data: bytes
    encoding: Encoding
    nodes: tuple[etree._Element, ...]
    events: array[int]
    memo: dict[Any, Any] = field(default_factory=dict, repr=False)

    def __len__(self) -> int:
        """How many elements there are."""
        return len(self.nodes)

    @property
    def elements(self) -> range:
        """All elements in document order."""
        return range(len(self.nodes))

    @cached_property
    def namespace(self) -> str | None:
        """The namespace of this file's drawing elements: SVG's, or none where the file declares none."""
        return etree.QName(self.nodes[0]).namespace

    @cached_property
    def _prefix(self) -> str:
        return f"{{{self.namespace}}}" if self.namespace else ""

    def tag(self, element: int) -> str:
        """The local name of a drawing element; ``{namespace}name`` for any other."""
        return self._tags[element]

    @cached_property
    def _tags(self) -> list[str]:
        # The same few strings many times over.
        known: dict[str, str] = {}
        found: list[str] = []
        for element, node in enumerate(self.nodes):
            tag = str(node.tag)
            short = known.get(tag)
            if short is None:
                short = self._short(element, tag)
                if tag[0] == "{":
                    known[tag] = short
            found.append(short)
        return found

    def _short(self, element: int, tag: str) -> str:
        if self._prefix:
            if tag.startswith(self._prefix):
                return tag[len(self._prefix) :]
            # The parser reads the text of an entity without the namespace that is in force around it.
            if tag[0] != "{" and not self.from_entity(element):
                return "{}" + tag
        return tag

    @cached_property
    def called(self) -> frozenset[int]:
        """The elements that may have a label: in a large drawing most have none."""
        first, second, third = labels.WRITTEN
        return frozenset(
            element
            for element, node in enumerate(self.nodes)
            if node.get(first) or node.get(second) or node.get(third) or len(node)
        )

    def get(self, element: int, name: str) -> str | None:
        """The value of an attribute, ``name`` being local or ``{namespace}local``."""
        return self.nodes[element].get(name)

    def text(self, element: int) -> str:
        """All text inside an element."""
        return "".join(str(part) for part in self.nodes[element].itertext())

    # Structure ---------------------------------------------------------------------------------

    @cached_property
    def _structure(self) -> _Structure:
        count = len(self.nodes)
        blank = array("q", bytes(8 * count))
        starts, afters, ends, parents, nexts = (array("q", blank) for _ in range(5))
        opened = [-1]
        index, last = -1, 0
        for event in self.events:
            offset = event if event >= 0 else ~event
            if index >= 0 and last >= 0:
                afters[index] = offset
            if event >= 0:
                index += 1
                starts[index] = offset
                parents[index] = opened[-1]
                opened.append(index)
            else:
                closed = opened.pop()
                ends[closed] = offset
                nexts[closed] = index + 1
            last = event
        return _Structure(starts, afters, ends, parents, nexts)

    def parent(self, element: int) -> int | None:
        """The element around this one; None for the root."""
        parent = self._structure.parents[element]
        return parent if parent >= 0 else None

    def ancestors(self, element: int) -> Iterator[int]:
        """The elements around this one, the nearest first."""
        parents = self._structure.parents
        while (element := parents[element]) >= 0:
            yield element

    def descendants(self, element: int) -> range:
        """All elements inside this one, in document order."""
        return range(element + 1, self._structure.nexts[element])

    def children(self, element: int) -> tuple[int, ...]:
        """The elements directly inside this one, in document order."""
        nexts = self._structure.nexts
        found: list[int] = []
        child, end = element + 1, nexts[element]
        while child < end:
            found.append(child)
            child = nexts[child]
        return tuple(found)

    @cached_property
    def ids(self) -> dict[str, int]:
        """The element of each id; of elements that share one, the first."""
        found: dict[str, int] = {}
        for element, node in enumerate(self.nodes):
            name = node.get("id")
            if name is not None:
                found.setdefault(name, element)
        return found

    def path_of_labels(self, element: int) -> str:
        """How to find an element: the labels on the way to it, its tag where it has none, its line."""
        return labels.path_of_labels(self, element)

    # Bytes -------------------------------------------------------------------------------------

    def span(self, element: int) -> tuple[int, int]:
        """Where the start tag begins, and where the next tag of any kind does, in bytes."""
        return self._structure.starts[element], self._structure.afters[element]

    def from_entity(self, element: int) -> bool:
        """Whether the element comes out of an entity, so that it has no bytes of its own."""
        start = self._structure.starts[element]
        sign = "<".encode(self.encoding.codec)
        return self.data[start : start + len(sign)] != sign

    def start_tag(self, element: int) -> StartTag:
        """The start tag as it stands in the file.

        Raises:
            PatternError: where the element comes out of an entity.
        """
        known = self.memo.get(("start tag", element))
        if known is None:
            known = None if self.from_entity(element) else self._read_start_tag(element)
            if known is None:
                text = (
                    "comes out of an entity of the document type, so it has no place of its own in the file "
                    "that could be changed: resolve the entities when saving"
                )
                raise problem_at(self, element, "entity", f"<{self.tag(element)}> {text}")
            self.memo["start tag", element] = known
        return cast(StartTag, known)

    def _read_start_tag(self, element: int) -> StartTag | None:
        start, after = self._structure.starts[element], self._structure.afters[element]
        text = self.data[start:after].decode(self.encoding.codec)
        tag = read_start_tag(text, start, self.encoding.codec)
        local = etree.QName(self.nodes[element]).localname
        return tag if tag is not None and tag.name.rpartition(":")[2] == local else None

    def end_tag(self, element: int) -> tuple[int, int]:
        """The bytes of the end tag, from its ``</`` to behind its ``>``; none at the end of an empty tag."""
        tag = self.start_tag(element)
        if tag.empty:
            return tag.end, tag.end
        begin = self._structure.ends[element]
        sign = ">".encode(self.encoding.codec)
        return begin, self.data.index(sign, begin) + len(sign)

    def attribute(self, element: int, name: str) -> Attribute | None:
        """An attribute with its bytes; ``name`` is local or ``{namespace}local``, whatever the prefix."""
        value = self.get(element, name)
        if value is None:
            return None
        if self.from_entity(element):
            return Attribute(name, value)
        namespace, _, local = name.rpartition("}")
        spaces = self.nodes[element].nsmap if namespace else {}
        for found in self.start_tag(element).attributes:
            prefix, _, written = found.name.rpartition(":")
            if written != local or (bool(prefix) != bool(namespace)):
                continue
            if namespace and (spaces.get(prefix) or parsing.BOUND.get(prefix)) != namespace[1:]:
                continue
            return found if found.value == value else replace(found, value=value, span=None)
        return Attribute(name, value)

    def position(self, element: int) -> tuple[int, int]:
        """Line and column of the start tag, each from 1, the column in characters."""
        return self.position_at(self._structure.starts[element])

    def position_at(self, offset: int) -> tuple[int, int]:
        """Line and column of a byte, each from 1, the column in characters."""
        mark = len(self.encoding.mark)
        if self.encoding.wide:
            lines = re.split(r"\r\n|\r|\n", self.data[mark:offset].decode(self.encoding.codec))
            return len(lines), len(lines[-1]) + 1
        starts = self._line_starts
        line = int(np.searchsorted(starts, offset, side="right"))
        begin = max(int(starts[line - 1]), mark)
        return line, len(self.data[begin:offset].decode(self.encoding.codec)) + 1

    @cached_property
    def _line_starts(self) -> NDArray[np.int64]:
        every = np.frombuffer(self.data, dtype=np.uint8)
        ends = every == ord("\n")
        if b"\r" in self.data:
            # A line ends at each return, but at the feed where one follows.
            ends[:-1] |= (every[:-1] == ord("\r")) & ~ends[1:]
            ends[-1] |= every[-1] == ord("\r")
        return np.concatenate([[0], np.flatnonzero(ends) + 1])


def read_document(data: bytes, name: str) -> Document:
    """The document in these bytes; ``name`` is what the file is called in messages.

    Raises:
        PatternError: where the file is not SVG, not well-formed, or passes the bounds.
    """
    parsing.check_bytes(data, name)
    encoding = detect(data, name)
    parsing.check_content(data, encoding, name)
    plain = parsing.is_plain(data, encoding)
    if not plain:
        events = parsing.tag_events(data, encoding, name)
    try:
        root = parsing.tree_of(data, encoding, name)
    except PatternError:
        if plain:
            # The other reader says better where it breaks.
            parsing.tag_events(data, encoding, name)
        raise
    if plain:
        events = parsing.plain_tag_events(data)
    nodes = tuple(root.iter("*"))
    if 2 * len(nodes) != len(events):
        text = "the file uses entities that its document type does not declare: resolve them when saving"
        raise problem_at(name, None, "entity", text)
    return Document(name, data, encoding, nodes, events)
