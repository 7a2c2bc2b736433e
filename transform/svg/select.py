"""CSS selectors: which elements one matches, in time that grows only with the file and the selector.

Parsed by cssselect and matched here, element by element: element names match in the drawing's own
namespace, whatever its prefix, and ``[inkscape|label='front']`` works in every file.
"""

from __future__ import annotations

import bisect
from collections.abc import Callable
from typing import Any

import cssselect
from cssselect import parser as css_parser
from lxml import etree

from transform.svg.document import Document
from transform.svg.namespaces import INKSCAPE, SODIPODI, SVG, XLINK, XML

LONGEST = 500
"""The longest selector that is read, in characters."""
MOST_PARTS = 16
"""The most parts that a selector may join; each is looked for over the whole file."""

_PREFIXES = {"svg": SVG, "inkscape": INKSCAPE, "sodipodi": SODIPODI, "xlink": XLINK, "xml": XML}
_PSEUDO = ("root", "empty")
_NTH = {
    "first-child": (0, 1, False, False),
    "last-child": (0, 1, True, False),
    "first-of-type": (0, 1, False, True),
    "last-of-type": (0, 1, True, True),
}
_NTH_FUNCTIONS = {
    "nth-child": (False, False),
    "nth-last-child": (True, False),
    "nth-of-type": (False, True),
    "nth-last-of-type": (True, True),
}


class SelectorError(ValueError):
    """A selector that cannot be read, with the reason."""


def select(document: Document, css: str, hidden: frozenset[int] = frozenset()) -> tuple[int, ...]:
    """The elements that ``css`` (one selector or several between commas) matches, in document order.

    What is ``hidden`` counts for nothing: it is not matched, and its siblings are counted without it.

    Raises:
        SelectorError: where it is no CSS selector, or one of a kind that is not read.
    """
    if len(css) > LONGEST:
        raise SelectorError(f"a selector of {len(css)} characters: at most {LONGEST} are read")
    try:
        selectors = cssselect.parse(css)
    except (cssselect.SelectorError, RecursionError) as error:
        raise SelectorError(f"{css!r} is no CSS selector: {error}") from error
    for selector in selectors:
        if selector.pseudo_element is not None:
            raise SelectorError(f"{css!r}: a pseudo-element selects no element of a drawing")
        if (parts := _parts(selector.parsed_tree)) > MOST_PARTS:
            raise SelectorError(f"a selector that joins {parts} parts: at most {MOST_PARTS} are read")
    matcher = _Matcher(document, hidden)
    trees = [selector.parsed_tree for selector in selectors]
    seen = (i for i in document.elements if i not in hidden)
    return tuple(i for i in seen if any(matcher.matches(tree, i) for tree in trees))


def _parts(tree: Any) -> int:
    count = 1
    while isinstance(tree, css_parser.CombinedSelector):
        tree, count = tree.selector, count + 1
    return count


class _Matcher:
    def __init__(self, document: Document, hidden: frozenset[int]) -> None:
        self.document = document
        self.hidden = hidden
        self.prefixes = {**_PREFIXES, **{k: v for k, v in document.root.nsmap.items() if k}}
        self.first_siblings: dict[tuple[int, int], int] = {}
        self.siblings: dict[int, tuple[int, ...]] = {}
        self.known: dict[tuple[int, int], bool] = {}
        self.places: dict[tuple[int, bool, str], dict[int, int]] = {}
        self.kinds: dict[type, Callable[[Any, int], bool]] = {
            css_parser.Element: self._element,
            css_parser.Hash: self._hash,
            css_parser.Class: self._class,
            css_parser.Attrib: self._attribute,
            css_parser.Pseudo: self._pseudo,
            css_parser.Function: self._function,
            css_parser.Negation: self._negation,
            css_parser.Matching: self._matching,
            css_parser.SpecificityAdjustment: self._matching,
            css_parser.CombinedSelector: self._combined,
        }

    def matches(self, tree: Any, element: int) -> bool:
        kind = self.kinds.get(type(tree))
        if kind is None:
            raise SelectorError(f"{tree.canonical()!r} is of a kind that is not read")
        return kind(tree, element)

    def _namespace(self, prefix: str) -> str:
        if prefix not in self.prefixes:
            known = ", ".join(sorted(self.prefixes))
            raise SelectorError(f"the prefix {prefix!r} is not known; known are {known}")
        return self.prefixes[prefix]

    def _element(self, tree: Any, element: int) -> bool:
        if tree.namespace in (None, "*"):
            return tree.element is None or self.document.tag(element) == tree.element
        name = etree.QName(self.document.node(element))
        inside = (name.namespace or SVG) == self._namespace(tree.namespace)
        return inside and tree.element in (None, name.localname)

    def _hash(self, tree: Any, element: int) -> bool:
        return self.document.get(element, "id") == tree.id and self.matches(tree.selector, element)

    def _class(self, tree: Any, element: int) -> bool:
        names = (self.document.get(element, "class") or "").split()
        return tree.class_name in names and self.matches(tree.selector, element)

    def _attribute(self, tree: Any, element: int) -> bool:
        name = tree.attrib
        prefix = tree.namespace if tree.namespace not in (None, "*") else None
        if prefix is None and ":" in name:
            prefix, _, name = name.partition(":")
        value = self.document.get(element, f"{{{self._namespace(prefix)}}}{name}" if prefix else name)
        if value is None:
            return tree.operator == "!=" and self.matches(tree.selector, element)
        wanted = tree.value.value if tree.value is not None else ""
        return _compares(tree.operator, value, wanted) and self.matches(tree.selector, element)

    def _pseudo(self, tree: Any, element: int) -> bool:
        if tree.ident == "root":
            holds = element == 0
        elif tree.ident == "empty":
            inside = self.document.descendants(element)
            holds = not self.document.text(element) and all(i in self.hidden for i in inside)
        elif tree.ident in ("only-child", "only-of-type"):
            of_type = tree.ident == "only-of-type"
            holds = all(self._nth(element, 0, 1, last, of_type) for last in (False, True))
        elif tree.ident in _NTH:
            holds = self._nth(element, *_NTH[tree.ident])
        else:
            known = ", ".join(f":{name}" for name in (*_PSEUDO, *_NTH, "only-child", "only-of-type"))
            raise SelectorError(f":{tree.ident} says nothing about a drawing; known are {known}")
        return holds and self.matches(tree.selector, element)

    def _function(self, tree: Any, element: int) -> bool:
        if tree.name not in _NTH_FUNCTIONS:
            known = ", ".join(f":{name}()" for name in _NTH_FUNCTIONS)
            raise SelectorError(f":{tree.name}() is not read; known are :not(), :is(), {known}")
        try:
            step, offset = css_parser.parse_series(tree.arguments)
        except ValueError as error:
            raise SelectorError(f":{tree.name}() holds no series like 2n+1") from error
        last, of_type = _NTH_FUNCTIONS[tree.name]
        return self._nth(element, step, offset, last, of_type) and self.matches(tree.selector, element)

    def _nth(self, element: int, step: int, offset: int, last: bool, of_type: bool) -> bool:
        parent = self.document.parent(element)
        if parent is None:
            place = 1
        else:
            key = (parent, last, self.document.tag(element) if of_type else "")
            if key not in self.places:
                siblings = [
                    i for i in self._children(parent) if not of_type or self.document.tag(i) == key[2]
                ]
                ordered = reversed(siblings) if last else siblings
                self.places[key] = {sibling: place for place, sibling in enumerate(ordered, 1)}
            place = self.places[key][element]
        behind = place - offset
        return behind == 0 if step == 0 else behind % step == 0 and behind // step >= 0

    def _children(self, parent: int) -> tuple[int, ...]:
        return tuple(i for i in self.document.children(parent) if i not in self.hidden)

    def _negation(self, tree: Any, element: int) -> bool:
        return not self.matches(tree.subselector, element) and self.matches(tree.selector, element)

    def _matching(self, tree: Any, element: int) -> bool:
        fits = any(self.matches(one, element) for one in tree.selector_list)
        return fits and self.matches(tree.selector, element)

    def _combined(self, tree: Any, element: int) -> bool:
        # Remembered, so that a chain of combinators costs its length and not its power.
        key = (id(tree), element)
        if key not in self.known:
            fits = self.matches(tree.subselector, element)
            self.known[key] = fits and self._combinator(tree, element)
        return self.known[key]

    def _combinator(self, tree: Any, element: int) -> bool:
        parent = self.document.parent(element)
        if parent is None:
            return False
        if tree.combinator == ">":
            return self.matches(tree.selector, parent)
        if tree.combinator == " ":
            return any(self.matches(tree.selector, around) for around in self.document.ancestors(element))
        if parent not in self.siblings:
            self.siblings[parent] = self._children(parent)
        siblings = self.siblings[parent]
        if tree.combinator == "+":
            place = bisect.bisect_left(siblings, element)
            return place > 0 and self.matches(tree.selector, siblings[place - 1])
        key = (id(tree), parent)
        if key not in self.first_siblings:
            first = next((i for i in siblings if self.matches(tree.selector, i)), len(self.document))
            self.first_siblings[key] = first
        return self.first_siblings[key] < element


def _compares(operator: str, value: str, wanted: str) -> bool:
    if operator == "exists":
        return True
    if operator == "=":
        return value == wanted
    if operator == "!=":
        return value != wanted
    if operator == "|=":
        return value == wanted or value.startswith(wanted + "-")
    if not wanted:
        return False
    if operator == "~=":
        return wanted in value.split()
    if operator == "^=":
        return value.startswith(wanted)
    if operator == "$=":
        return value.endswith(wanted)
    return wanted in value
