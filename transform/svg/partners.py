"""Which element of an altered file is which element of the file before."""

from __future__ import annotations

import bisect
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from transform.svg.document import Document
from transform.svg.note import added_elements, metadata_of
from transform.svg.splice import Edit


class Pairs(Mapping[int, int]):
    """For elements of the altered file the one that each was."""

    def __init__(self, of: NDArray[np.int64]) -> None:
        """``of`` is by element the one that it was, -1 where there is none."""
        self._of = of

    def __getitem__(self, element: int) -> int:
        """The element that it was; KeyError for what is new."""
        found = int(self._of[element])
        if found < 0:
            raise KeyError(element)
        return found

    def __iter__(self) -> Iterator[int]:
        """The elements that were there before, in document order."""
        kept: list[int] = np.flatnonzero(self._of >= 0).tolist()
        return iter(kept)

    def __len__(self) -> int:
        """How many were there before."""
        return int(np.count_nonzero(self._of >= 0))


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
    starts, kept = before.structure.starts, _counted(before)
    for edit in edits:
        if b"<" in before.data[edit.start : edit.end]:
            kept[bisect.bisect_left(starts, edit.start) : bisect.bisect_left(starts, edit.end)] = False
    olds, news = np.flatnonzero(kept), np.flatnonzero(_counted(after))
    of = np.full(len(after), -1)
    of[news] = olds
    changed = tuple(news[np.isin(olds, list(_touched(before, edits)))].tolist())
    old_ids = before.ids.keys()
    added = tuple(e for e in sorted(added_elements(after)) if after.get(e, "id") not in (None, *old_ids))
    return Partners(before, after, Pairs(of), changed, added)


def _counted(document: Document) -> NDArray[np.bool_]:
    """By element whether it was there, or may have been there, before the alteration."""
    counted = np.ones(len(document), dtype=np.bool_)
    counted[list(added_elements(document))] = False
    # The first metadata holds the note, and may be there for the note alone or have been there before.
    holder = metadata_of(document)
    if holder is not None:
        counted[holder] = False
    return counted


def _touched(document: Document, edits: Sequence[Edit]) -> set[int]:
    """The elements whose own start tag an edit changes."""
    found: set[int] = set()
    for edit in edits:
        # An edit at the very byte where a tag begins stands before it.
        element = bisect.bisect_left(document.structure.starts, edit.start) - 1
        if element < 0 or document.from_entity(element):
            continue
        if edit.start < document.start_tag(element).end:
            found.add(element)
    return found
