"""The note of what was done, in the file's ``<metadata>``: an element of the project's own namespace."""

from __future__ import annotations

import json
from collections.abc import Iterator

from transform.svg.document import Document
from transform.svg.edits import element_text, escape, insert_child
from transform.svg.namespaces import NOTE
from transform.svg.splice import Edit

_TAG = f"{{{NOTE}}}note"


def read_note(document: Document) -> str | None:
    """The note's text; None where the file has none."""
    element = _find(document)
    return None if element is None else document.text(element)


def added_elements(document: Document) -> frozenset[int]:
    """The elements that alterations have added: those whose ids the note lists, and the note itself.

    A ``<metadata>`` that holds nothing but the note was added with it.
    """
    if "added" not in document.memo:
        document.memo["added"] = frozenset(_added(document))
    found: frozenset[int] = document.memo["added"]
    return found


def _added(document: Document) -> Iterator[int]:
    note = _find(document)
    if note is None:
        return
    yield note
    around = document.parent(note)
    if around is not None and document.children(around) == (note,):
        yield around
    for name in added_ids(document):
        element = document.ids.get(name)
        if element is not None:
            # A title is added within.
            yield element
            yield from document.descendants(element)


def added_ids(document: Document) -> tuple[str, ...]:
    """The ids of what earlier alterations have added; none where the note cannot be read."""
    try:
        listed = json.loads(read_note(document) or "{}").get("added", [])
    except (ValueError, AttributeError, RecursionError):
        return ()
    return tuple(name for name in listed if isinstance(name, str)) if isinstance(listed, list) else ()


def write_note(document: Document, text: str) -> list[Edit]:
    """Put the note into the file, in the place of one that is there; all else in ``<metadata>`` stays.

    Raises:
        PatternError: where the root or its metadata comes out of an entity.
        ValueError: where the text holds characters that XML does not allow.
    """
    if any((ord(c) < 32 and c not in "\t\n\r") or c in "\ufffe\uffff" for c in text):
        raise ValueError("the note holds characters that XML does not allow")
    element = _find(document)
    if element is not None:
        if document.text(element) == text:
            return []
        tag = document.start_tag(element)
        if not tag.empty:
            return [Edit(tag.end, document.end_tag(element)[0], escape(text))]
        return [Edit(tag.start, tag.end, _note(text))]
    holder = metadata_of(document)
    if holder is not None:
        return insert_child(document, holder, _note(text))
    metadata = element_text(document, 0, "metadata", {}, _note(text))
    return insert_child(document, 0, metadata, first=True)


def metadata_of(document: Document) -> int | None:
    """The first ``<metadata>`` of the root."""
    return next((each for each in document.tagged("metadata") if document.parent(each) == 0), None)


def _note(text: str) -> str:
    return f'<ungape:note xmlns:ungape="{NOTE}">{escape(text)}</ungape:note>'


def _find(document: Document) -> int | None:
    for element in document.tagged(_TAG):
        around = list(document.ancestors(element))
        if len(around) > 1 and document.tag(around[-2]) == "metadata":
            return element
    return None
