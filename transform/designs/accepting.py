"""Notices that a person has looked at, and those acceptances that meet none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rules.labels import fold
from rules.model import Rules
from transform.alter.facts import Notice
from transform.report.facts import SizeFacts


def with_accepted(rules: Rules, sizes: Sequence[SizeFacts], *, whole: bool) -> Iterator[SizeFacts]:
    """The sizes with accepted notices marked.

    Where the ``whole`` design was looked at, an acceptance that met nothing is itself a notice, of the first
    size.
    """
    met: set[int] = set()

    def marked(notice: Notice) -> Notice:
        for index, accept in enumerate(rules.accept):
            if accept.kind == notice.kind and (
                accept.piece is None or fold(accept.piece) == fold(notice.piece or "")
            ):
                met.add(index)
                notice = replace(notice, accepted=True)
        return notice

    found = [replace(size, notices=tuple(marked(notice) for notice in size.notices)) for size in sizes]
    idle = [accept for index, accept in enumerate(rules.accept) if index not in met]
    if found and whole:
        told = tuple(
            Notice("accepted nothing", a.piece, f"no notice of the kind {a.kind!r} was there to accept")
            for a in idle
        )
        found[0] = replace(found[0], notices=(*found[0].notices, *told))
    yield from found
