"""Which element of an altered file is which element of the file before."""

from __future__ import annotations

import bisect
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from transform.svg.document import Document
from transform.svg.note import added_elements
from transform.svg.splice import Edit


@dataclass(frozen=True)
class Partners:
    """A file before and after: ``of`` gives for each element of the altered file the one that it was.

    ``changed`` are the elements of the altered file whose own tag was changed, ``added`` those that are new,
    both in document order.
    """

    before: Document
    after: Document
    of: Mapping[int, int]
    changed: tuple[int, ...]
    added: tuple[int, ...]


def partners(before: Document, edits: Sequence[Edit], after: Document) -> Partners:
    """The elements of both files in pairs; the note and its ``<metadata>`` belong to neither."""
    gone = [(e.start, e.end) for e in edits if b"<" in before.data[e.start : e.end]]
    kept = [element for element in _counted(before) if not _is_removed(before, element, gone)]
    of = dict(zip(_counted(after), kept, strict=True))
    places = sorted(edit.start for edit in edits)
    changed = tuple(new for new, old in of.items() if _is_changed(before, old, places))
    old_ids = before.ids.keys()
    added = tuple(e for e in sorted(added_elements(after)) if after.get(e, "id") not in (None, *old_ids))
    return Partners(before, after, of, changed, added)


def _counted(document: Document) -> list[int]:
    added = added_elements(document)
    # The first metadata holds the note, and may be there for the note alone or have been there before.
    holder = next((child for child in document.children(0) if document.tag(child) == "metadata"), None)
    return [element for element in document.elements if element != holder and element not in added]


def _is_removed(document: Document, element: int, gone: Sequence[tuple[int, int]]) -> bool:
    start = document.span(element)[0]
    return any(begin <= start < end for begin, end in gone)


def _is_changed(document: Document, element: int, places: Sequence[int]) -> bool:
    start, behind = document.span(element)
    at = bisect.bisect_right(places, start)
    if at == len(places) or places[at] >= behind or document.from_entity(element):
        return False
    return places[at] < document.start_tag(element).end
