"""What the rules may need for files whose labels say too little: words for roles, selectors for outlines."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass

from rules.labels import fold
from transform.pattern.loops import closes_itself
from transform.pattern.reading import Reading
from transform.pattern.vocabulary import ROLE_WORDS
from transform.svg.bounds import Box, box_of_points, extremes
from transform.svg.css import declarations
from transform.svg.document import Document
from transform.svg.problems import PatternError
from transform.svg.shapes import is_shape, is_template, read_drawing

_SMALLEST = 50.0
"""What is smaller than this (mm) is no outline of a piece."""
_ALIKE = 0.85
_MOST = 12
_ID = re.compile(r"[A-Za-z_][\w-]*", re.ASCII)


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A selector, and what it selects: for the person who gives that a label."""

    selector: str
    what: str


def words_for_roles(readings: Sequence[Reading]) -> dict[str, list[str]]:
    """By role the labels of groups that are its name but for a slip, so that they can be made names of it."""
    found: dict[str, list[str]] = {}
    roles = {fold(word): role.value for role, words in ROLE_WORDS.items() for word in words}
    for label in unknown_words(readings):
        for near in difflib.get_close_matches(fold(label), list(roles), n=1, cutoff=_ALIKE):
            found.setdefault(roles[near], []).append(label)
    return found


def unknown_words(readings: Sequence[Reading]) -> tuple[str, ...]:
    """The labels of groups around what belongs to no piece: a role, a piece or a size by another word."""
    labels = (a.name.words for reading in readings for leaf in reading.left for a in leaf.around)
    return tuple(dict.fromkeys(label for label in labels if label is not None))[:_MOST]


def outlines(reading: Reading) -> list[Suggestion]:
    """Closed shapes of some size that belong to no piece, the largest first."""
    found: list[tuple[float, Suggestion]] = []
    document = reading.document
    for leaf in reading.left:
        if leaf.is_shape and (box := _closed_box(document, leaf.element)) is not None:
            width, height = box.xmax - box.xmin, box.ymax - box.ymin
            if max(width, height) >= _SMALLEST:
                line = document.position(leaf.element)[0]
                what = f"{width:.0f} × {height:.0f} mm, line {line} of {document.name.rpartition('/')[2]}"
                found.append((-width * height, Suggestion(selector_of(document, leaf.element), what)))
    return [suggestion for _, suggestion in sorted(found, key=lambda pair: pair[0])][:_MOST]


def dashes(reading: Reading) -> list[Suggestion]:
    """A selector for each way in which lines are dashed, where there are several: sizes are often told so."""
    counts: dict[str, int] = {}
    document = reading.document
    for element in document.elements:
        if not is_shape(document, element) or is_template(document, element):
            continue
        attribute = document.get(element, "stroke-dasharray")
        style = document.get(element, "style") or ""
        dash = dict(declarations(style)).get("stroke-dasharray")
        if attribute is not None and "'" not in attribute:
            selector = f"[stroke-dasharray='{attribute}']"
        elif dash is not None and (said := re.search(r"stroke-dasharray\s*:[^;'\"]*", style)) is not None:
            selector = f"[style*='{said[0].rstrip()}']"
        else:
            continue
        counts[selector] = counts.get(selector, 0) + 1
    if len(counts) < 2:
        return []
    return [Suggestion(selector, f"{count} shapes") for selector, count in counts.items()][:_MOST]


def selector_of(document: Document, element: int) -> str:
    """A CSS selector that matches this element alone."""
    parts: list[str] = []
    at: int | None = element
    while at is not None:
        name = document.get(at, "id")
        if name is not None and _ID.fullmatch(name) and document.ids[name] == at:
            parts.append(f"#{name}")
            break
        parent = document.parent(at)
        if parent is None:
            parts.append(":root")
        else:
            alike = [e for e in document.children(parent) if document.tag(e) == document.tag(at)]
            parts.append(f"{document.tag(at)}:nth-of-type({alike.index(at) + 1})")
        at = parent
    return " > ".join(reversed(parts))


def _closed_box(document: Document, element: int) -> Box | None:
    """The box around the closed lines of a shape, taken at 96 px to the inch where the file has no size."""
    try:
        chains = [c for c in read_drawing(document, element, 25.4 / 96).chains if closes_itself(c)]
    except PatternError:
        return None
    return box_of_points(point for chain in chains for s in chain.segments for point in extremes(s))
