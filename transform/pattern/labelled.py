"""What each element is called: by its own label, and by those that the rules' ``find`` gives it.

A found label may be a path, ``front/cut line`` or ``front/stitching line/neckline``; parts that hold a
``/`` themselves stand in double quotes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rules.model import Find, Rules
from rules.problems import Problem, UngapeError
from transform.pattern.model import Role
from transform.pattern.vocabulary import Meaning, Vocabulary
from transform.svg.document import Document
from transform.svg.labels import label_of
from transform.svg.note import added_elements
from transform.svg.select import SelectorError, select

_PART = re.compile(r'\s*(?:"([^"]*)"|([^/"]+))\s*(?:/|$)')


@dataclass(frozen=True, slots=True)
class Named:
    """What the labels of one element say together.

    ``role_words`` are the words that stand before the role in one label, or the parts before it in a found
    path: the piece. ``words`` is everything else that the element is called: the piece where it is a group
    around a line, the edge, corner, dart or mark where it is a shape. ``instead`` as in `Meaning`.
    """

    size: str | None = None
    role: Role | None = None
    role_words: str | None = None
    words: str | None = None
    instead: Meaning | None = None


def found_labels(document: Document, rules: Rules) -> tuple[dict[int, list[tuple[str, ...]]], list[Find]]:
    """By element the paths of labels that ``find`` gives it; and the entries that match nothing here.

    What an alteration has added says itself what it is: no selector counts it.

    Raises:
        UngapeError: with every selector that cannot be read.
    """
    found: dict[int, list[tuple[str, ...]]] = {}
    idle: list[Find] = []
    problems: list[Problem] = []
    for entry in rules.find:
        try:
            elements = select(document, entry.selector, added_elements(document))
        except SelectorError as error:
            where = entry.where
            problems.append(Problem("selector", f"find: {error}", rules.file, where.line, where.column))
            continue
        if not elements:
            idle.append(entry)
        for element in elements:
            found.setdefault(element, []).append(parts_of(entry.label))
    if problems:
        raise UngapeError(problems)
    return found, idle


def parts_of(label: str) -> tuple[str, ...]:
    """The parts of a path of labels.

    >>> parts_of('front/"cut line"')
    ('front', 'cut line')
    """
    parts = tuple((quoted or plain).strip() for quoted, plain in _PART.findall(label))
    return tuple(part for part in parts if part) or (label,)


def named(
    document: Document, element: int, vocabulary: Vocabulary, found: Mapping[int, Sequence[tuple[str, ...]]]
) -> Named | None:
    """What the element is called; None where nothing calls it anything.

    A found label says before the element's own label does.
    """
    paths = found.get(element, ())
    own = label_of(document, element)
    if own is None and not paths:
        return None
    result = Named()
    for path in paths:
        result = _with(result, _of_path(path, vocabulary))
    if own is not None:
        result = _with(result, _of_label(own, vocabulary))
    return None if result == Named() else result


def _of_path(path: Sequence[str], vocabulary: Vocabulary) -> Named:
    result = Named()
    for part in path:
        said = _of_label(part, vocabulary)
        if said.role is not None and result.role is None and result.words is not None:
            # What stood before the role was the piece.
            said = Named(said.size, said.role, said.role_words or result.words)
            result = Named(result.size or said.size, said.role, said.role_words)
        elif said.words is not None and result.words is not None:
            # Without a role between them the first is the piece, the second what is on it.
            result = Named(result.size, result.role, result.role_words or result.words, said.words)
        else:
            result = _with(result, said)
    return result


def _of_label(label: str, vocabulary: Vocabulary) -> Named:
    said = vocabulary.meaning(label)
    if said.role is not None:
        return Named(said.size, said.role, said.words, None, said.instead)
    return Named(said.size, None, None, said.words, said.instead)


def _with(first: Named, second: Named) -> Named:
    """What ``first`` says, and ``second`` where it says nothing."""
    words = first.words
    # A label that is the role itself is no name; what a second label adds to a role is.
    if words is None and not (first.role is not None and second.role is not None):
        words = second.words
    return Named(
        first.size or second.size,
        first.role or second.role,
        first.role_words or second.role_words,
        words,
        first.instead or second.instead,
    )
