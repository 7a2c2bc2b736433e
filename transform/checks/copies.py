"""Altered lines that a ``use`` draws a second time: the copy changes with them."""

from __future__ import annotations

from collections.abc import Iterator

from transform.alter.facts import Notice
from transform.svg.bounds import target_of
from transform.svg.partners import Partners


def copies(pairs: Partners) -> Iterator[Notice]:
    """A notice for every ``use`` that draws something altered."""
    document = pairs.after
    changed = {*pairs.changed, *pairs.added}
    for element in document.tagged("use"):
        target = target_of(document, element)
        if target is None:
            continue
        inside = {target, *document.descendants(target)} & changed
        if inside:
            copy, drawn = document.path_of_labels(element), document.path_of_labels(target)
            text = (
                f"{document.name}: {copy} draws {drawn} a second time, so this copy is altered too; "
                "unlink it where it is to stay as it was"
            )
            yield Notice("copy altered too", None, text)
