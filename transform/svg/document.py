"""A file understood as elements, each known by its place in document order, down to its bytes.

An element is an int everywhere: 0 is the root, 1 the element whose start tag comes next, and so on. The
tree is lxml's; where tags stand in the bytes is told by their looks, or by expat; nodes of the tree and
attributes of a tag are looked up only when somebody asks for them.
"""

from __future__ import annotations

import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, cast

import numpy as np
from lxml import etree
from numpy.typing import NDArray

from transform.svg import labels, parsing
from transform.svg.attribute_places import AttributePlaces, attribute_places_of
from transform.svg.counted_ids import counted_ids
from transform.svg.encoding import Encoding, detect
from transform.svg.problems import PatternError, problem_at
from transform.svg.structure import Structure, structure_of_events, structure_of_tags
from transform.svg.tag_places import Signs, is_plain, names_of, signs_of, tags_of
from transform.svg.tags import Attribute, StartTag, read_start_tag

_FEW = 500
"""Of fewer elements of one name than these each is looked up, rather than how their prefix is declared."""
_LINES_AT_ONCE = 2**16
_DECLARED = re.compile(rb"xmlns:([^ \t\r\n=]+)")
_COUNT = etree.XPath("count(//*)")


@dataclass(eq=False)
class Document:
    """One SVG file; nothing of it ever changes (``memo`` only remembers what was worked out).

    ``attribute_places`` are those of a plain file; None where they cannot be told by their looks.
    """

    name: str
    data: bytes
    encoding: Encoding
    root: etree._Element
    structure: Structure
    attribute_places: AttributePlaces | None
    memo: dict[Any, Any] = field(default_factory=dict, repr=False)
    _line_starts: tuple[NDArray[np.int64], int] = field(
        default_factory=lambda: (np.zeros(1, dtype=np.int64), 0), repr=False
    )

    def __len__(self) -> int:
        """How many elements there are."""
        return len(self.structure.starts)

    @property
    def elements(self) -> range:
        """All elements in document order."""
        return range(len(self))

    def node(self, element: int) -> etree._Element:
        """The element of the tree.

        Raises:
            PatternError: where the tree holds other elements than the bytes seem to.
        """
        parents, rows = self.structure.parents, self._rows
        way: list[int] = []
        at = element
        while at and parents[at] not in rows:
            way.append(at)
            at = parents[at]
        found = rows[parents[at]][self.structure.ranks[at]]
        for each in reversed(way):
            row = tuple(found.iterchildren("*"))
            if len(row) != self.structure.counts[parents[each]]:
                raise _disagreeing(self.name)
            rows[parents[each]] = row
            found = row[self.structure.ranks[each]]
        return found

    @cached_property
    def _rows(self) -> dict[int, tuple[etree._Element, ...]]:
        """By element the nodes of its children, where somebody has asked for one of them."""
        return {-1: (self.root,)}

    @cached_property
    def namespace(self) -> str | None:
        """The namespace of this file's drawing elements: SVG's, or none where the file declares none."""
        return etree.QName(self.root).namespace

    @cached_property
    def _prefix(self) -> str:
        return f"{{{self.namespace}}}" if self.namespace else ""

    def tag(self, element: int) -> str:
        """The local name of a drawing element; ``{namespace}name`` for any other."""
        return self._names[self._kinds[element]]

    def tagged(self, *tags: str) -> list[int]:
        """The elements of these tags, in document order."""
        found: list[int] = np.flatnonzero(self.are_tagged(*tags)).tolist()
        return found

    def are_tagged(self, *tags: str) -> NDArray[np.bool_]:
        """By element whether its tag is one of these."""
        wanted = np.array([name in tags for name in self._names], dtype=np.bool_)
        return wanted[np.frombuffer(self._kinds, dtype=np.int64)]

    def are_inside(self, around: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """By element whether it stands inside any of those ``around``."""
        ends = np.frombuffer(self.structure.nexts, dtype=np.int64)[around]
        count = len(self) + 1
        begins = np.bincount(np.flatnonzero(around) + 1, minlength=count)
        inside: NDArray[np.bool_] = np.cumsum(begins - np.bincount(ends, minlength=count))[:-1] > 0
        return inside

    @property
    def _kinds(self) -> array[int]:
        return self._named[0]

    @property
    def _names(self) -> list[str]:
        return self._named[1]

    @cached_property
    def _named(self) -> tuple[array[int], list[str]]:
        """By element the place of its tag in the list of all tags."""
        known: dict[str, int] = {}
        places = self.attribute_places
        if places is None:
            tags = (str(node.tag) for node in self.root.iter("*"))
            every = (self._short(element, tag) for element, tag in enumerate(tags))
            return array("q", [known.setdefault(tag, len(known)) for tag in every]), list(known)
        kinds, written = names_of(self.data, places.starts)
        spaces = self.root.nsmap
        alone = np.zeros(len(self), dtype=np.bool_)
        # What declares a namespace itself speaks for all that is in it.
        for element in np.flatnonzero(places.may_have(b"xmlns")).tolist():
            if element:
                alone[element : self.structure.nexts[element]] = True
        meant = np.zeros(len(written), dtype=np.int64)
        for kind, raw in enumerate(written):
            prefix, _, local = raw.decode(self.encoding.codec).rpartition(":")
            if prefix:
                own = kinds == kind
                if np.count_nonzero(own) < _FEW or prefix not in spaces or prefix in self._declared_inside:
                    alone |= own
                    continue
            space = spaces.get(prefix or None)
            tag = self._short(0, f"{{{space}}}{local}" if space else local)
            meant[kind] = known.setdefault(tag, len(known))
        found = meant[kinds]
        for element in np.flatnonzero(alone).tolist():
            tag = self._short(element, str(self.node(element).tag))
            found[element] = known.setdefault(tag, len(known))
        return array("q", found.tobytes()), list(known)

    @cached_property
    def _declared_inside(self) -> frozenset[str]:
        """The prefixes that something inside the root may declare anew."""
        found = _DECLARED.findall(self.data, self.structure.afters[0])
        return frozenset(prefix.decode(self.encoding.codec) for prefix in found)

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
        places, names = self.attribute_places, labels.WRITTEN
        if places is not None:
            with_id = places.may_have(names[-1].encode())
            with_id &= ~counted_ids(places, with_id & ~places.odd)
            named = places.may_have(*(name.encode() for name in names[:-1]))
            written = np.flatnonzero(named | with_id).tolist()
        else:
            nodes = enumerate(self.root.iter("*"))
            written = [element for element, node in nodes if any(node.get(name) for name in names)]
        return frozenset((*self.titles, *written))

    def without_words(self, words: re.Pattern[bytes]) -> NDArray[np.bool_]:
        """By element whether its label, if it has one, is plainly its id, and that holds none of the words.

        ``words`` is a pattern of `labels.words_in_ids`.
        """
        without = np.zeros(len(self), dtype=np.bool_)
        places, names = self.attribute_places, labels.WRITTEN
        if places is None:
            return without
        elements, ids = self._written_ids
        ends = np.cumsum([len(each) + 1 for each in ids])
        found = [match.start() for match in words.finditer(b'"'.join([*ids, b""]))]
        without[elements] = True
        without[np.array(elements, dtype=np.int64)[np.searchsorted(ends, found, side="right")]] = False
        without[list(self.titles)] = False
        return without & ~places.may_have(*(name.encode() for name in names[:-1]))

    @cached_property
    def _written_ids(self) -> tuple[list[int], list[bytes]]:
        """The elements of a plain file whose ids can be told by their looks, and the ids as written."""
        places = self.attribute_places
        return ([], []) if places is None else places.texts(b"id", ~places.odd)

    @cached_property
    def titles(self) -> dict[int, list[int]]:
        """By element the ``<title>`` elements directly inside it."""
        found: dict[int, list[int]] = {}
        for title in self.tagged("title"):
            found.setdefault(self.structure.parents[title], []).append(title)
        return found

    def get(self, element: int, name: str) -> str | None:
        """The value of an attribute, ``name`` being local or ``{namespace}local``."""
        return self.node(element).get(name)

    def text(self, element: int) -> str:
        """All text inside an element."""
        return "".join(str(part) for part in self.node(element).itertext())

    # Structure ---------------------------------------------------------------------------------

    def parent(self, element: int) -> int | None:
        """The element around this one; None for the root."""
        parent = self.structure.parents[element]
        return parent if parent >= 0 else None

    def ancestors(self, element: int) -> Iterator[int]:
        """The elements around this one, the nearest first."""
        parents = self.structure.parents
        while (element := parents[element]) >= 0:
            yield element

    def descendants(self, element: int) -> range:
        """All elements inside this one, in document order."""
        return range(element + 1, self.structure.nexts[element])

    def children(self, element: int) -> tuple[int, ...]:
        """The elements directly inside this one, in document order."""
        nexts = self.structure.nexts
        found: list[int] = []
        child, end = element + 1, nexts[element]
        while child < end:
            found.append(child)
            child = nexts[child]
        return tuple(found)

    @cached_property
    def ids(self) -> dict[str, int]:
        """The element of each id; of elements that share one, the first."""
        places = self.attribute_places
        if places is None:
            pairs = [(element, node.get("id")) for element, node in enumerate(self.root.iter("*"))]
        else:
            some = places.may_have(b"id")
            elements, raws = self._written_ids
            together = b'"'.join(raws)
            if any(sign in together for sign in b"&\t\r\n"):
                elements, together = [], b""
            else:
                some &= places.odd
            texts = together.decode(self.encoding.codec).split('"')
            asked = np.flatnonzero(some).tolist()
            pairs = [*zip(elements, texts, strict=False), *((each, self.get(each, "id")) for each in asked)]
            pairs.sort(key=lambda pair: pair[0])
        # Of elements of one id the first comes last.
        return {name: element for element, name in reversed(pairs) if name is not None}

    def path_of_labels(self, element: int) -> str:
        """How to find an element: the labels on the way to it, its tag where it has none, its line."""
        return labels.path_of_labels(self, element)

    # Bytes -------------------------------------------------------------------------------------

    def span(self, element: int) -> tuple[int, int]:
        """Where the start tag begins, and where the next tag of any kind does, in bytes."""
        return self.structure.starts[element], self.structure.afters[element]

    def from_entity(self, element: int) -> bool:
        """Whether the element comes out of an entity, so that it has no bytes of its own."""
        start = self.structure.starts[element]
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
        start, after = self.structure.starts[element], self.structure.afters[element]
        text = self.data[start:after].decode(self.encoding.codec)
        tag = read_start_tag(text, start, self.encoding.codec)
        local = etree.QName(self.node(element)).localname
        return tag if tag is not None and tag.name.rpartition(":")[2] == local else None

    def end_tag(self, element: int) -> tuple[int, int]:
        """The bytes of the end tag, from its ``</`` to behind its ``>``; none at the end of an empty tag."""
        tag = self.start_tag(element)
        if tag.empty:
            return tag.end, tag.end
        begin = self.structure.ends[element]
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
        spaces = self.node(element).nsmap if namespace else {}
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
        return self.position_at(self.structure.starts[element])

    def position_at(self, offset: int) -> tuple[int, int]:
        """Line and column of a byte, each from 1, the column in characters."""
        mark = len(self.encoding.mark)
        if self.encoding.wide:
            lines = re.split(r"\r\n|\r|\n", self.data[mark:offset].decode(self.encoding.codec))
            return len(lines), len(lines[-1]) + 1
        starts = self._lines_before(offset)
        line = int(np.searchsorted(starts, offset, side="right"))
        begin = max(int(starts[line - 1]), mark)
        return line, len(self.data[begin:offset].decode(self.encoding.codec)) + 1

    def _lines_before(self, offset: int) -> NDArray[np.int64]:
        """Where lines begin, as far as to a byte at least: nobody asks about most of a large drawing."""
        starts, read = self._line_starts
        if read < offset:
            until = max(offset, read + _LINES_AT_ONCE)
            every = np.frombuffer(self.data[read : until + 1], dtype=np.uint8)
            ends = every == ord("\n")
            # A line ends at each return, but at the feed where one follows.
            ends[:-1] |= (every[:-1] == ord("\r")) & ~ends[1:]
            found = np.flatnonzero(ends[: until - read]) + read + 1
            self._line_starts = starts, read = np.concatenate([starts, found]), until
        return starts


def read_document(data: bytes, name: str) -> Document:
    """The document in these bytes; ``name`` is what the file is called in messages.

    Raises:
        PatternError: where the file is not SVG, not well-formed, or passes the bounds.
    """
    parsing.check_bytes(data, name)
    encoding = detect(data, name)
    signs = None if encoding.wide else signs_of(data)
    parsing.check_content(data, encoding, data.count(b"<") if signs is None else signs.openings, name)
    if signs is not None and is_plain(data, signs, parsing.MOST_ELEMENTS):
        return _plain(data, encoding, signs, name)
    events = parsing.tag_events(data, encoding, name)
    root = parsing.tree_of(data, encoding, name)
    if 2 * _COUNT(root) != len(events):
        raise _disagreeing(name)
    return Document(name, data, encoding, root, structure_of_events(events), None)


def _plain(data: bytes, encoding: Encoding, signs: Signs, name: str) -> Document:
    try:
        root = parsing.tree_of(data, encoding, name)
    except PatternError:
        # The other reader says better where it breaks.
        parsing.tag_events(data, encoding, name)
        raise
    tags = tags_of(data, signs)
    places = attribute_places_of(data, tags)
    document = Document(name, data, encoding, root, structure_of_tags(tags), places)
    if len(root) != document.structure.counts[0]:
        raise _disagreeing(name)
    return document


def _disagreeing(name: str) -> PatternError:
    text = "the file uses entities that its document type does not declare: resolve them when saving"
    return problem_at(name, None, "entity", text)
