"""What is to be told of a file as it is written: what cuts it off, what it loses, what changes with it."""

from __future__ import annotations

from collections.abc import Iterator

from transform.alter.facts import Notice
from transform.checks.copies import copies
from transform.checks.editor_copies import editor_copies
from transform.checks.frames import frames
from transform.checks.looks import looks
from transform.pattern.reading import Reading
from transform.svg.partners import Partners


def told_of_file(reading: Reading, pairs: Partners, user_unit: float | None) -> Iterator[Notice]:
    """Every notice of one altered file; ``reading`` is of the file before."""
    yield from _unused_edges(reading)
    yield from frames(pairs, user_unit)
    yield from editor_copies(pairs)
    yield from copies(pairs)
    yield from looks(pairs)


def _unused_edges(reading: Reading) -> Iterator[Notice]:
    """A notice for every piece to which the rules give edges that its own labels overrule."""
    for name in dict.fromkeys(source.piece.name for source in reading.sources if source.unused_edges):
        text = (
            f"{reading.document.name}: the rules' `edges` of {name} are not used: its shapes are labelled "
            "with their edges, and the labels count; take either away"
        )
        yield Notice("edges not used", name, text)
