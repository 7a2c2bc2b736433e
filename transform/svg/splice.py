"""Edits of a file's bytes, spliced in by position: what no edit names survives by construction."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from transform.svg.document import Document


@dataclass(frozen=True, slots=True)
class Edit:
    """The bytes from ``start`` to ``end`` become ``replacement`` (text is already written as XML).

    Where nothing is replaced it is an insertion. Insertions at one place keep their order, save that
    those of a higher ``rank`` come last: the end tag of an element that was empty before.
    """

    start: int
    end: int
    replacement: str | bytes
    rank: int = 0


def splice(document: Document, edits: Iterable[Edit]) -> bytes:
    """The file's bytes with all edits made; without any, the very same bytes.

    What the file's encoding cannot hold is written as character references. An edit that is given
    twice over, replacing the same bytes by the same, or of a rank above 0, is made once.

    Raises:
        ValueError: where two edits overlap, which is a fault of ours.
    """
    ordered: list[Edit] = []
    once: set[Edit] = set()
    for edit in edits:
        if edit.start < edit.end or edit.rank:
            if edit in once:
                continue
            once.add(edit)
        ordered.append(edit)
    if not ordered:
        return document.data
    ordered.sort(key=lambda edit: (edit.start, edit.end, edit.rank))
    parts: list[bytes] = []
    at = 0
    for edit in ordered:
        if edit.start < at:
            raise ValueError(f"{document.name}: edits overlap at byte {edit.start}: {edit.replacement!r}")
        parts.append(document.data[at : edit.start])
        new = edit.replacement
        parts.append(new if isinstance(new, bytes) else document.encoding.encode(new))
        at = edit.end
    parts.append(document.data[at:])
    return b"".join(parts)
