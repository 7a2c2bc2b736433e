"""Which element stands in which, and between which bytes: from the tags of a file."""

from __future__ import annotations

from array import array
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from transform.svg.tag_places import Tags


class Structure(NamedTuple):
    """By element: byte offset of the start tag, offset of the tag event after it, offset of the end event,
    parent (-1: none), the element that follows its last descendant, its place among its siblings, how many
    stand directly in it."""

    starts: array[int]
    afters: array[int]
    ends: array[int]
    parents: array[int]
    nexts: array[int]
    ranks: array[int]
    counts: array[int]


def structure_of_events(events: array[int]) -> Structure:
    """The structure from the offset of every start tag and the complement of that of every end tag."""
    blank = array("q", bytes(4 * len(events)))
    starts, afters, ends, parents, nexts, ranks, counts = (array("q", blank) for _ in range(7))
    opened = [-1]
    index, last = -1, 0
    for event in events:
        offset = event if event >= 0 else ~event
        if index >= 0 and last >= 0:
            afters[index] = offset
        if event >= 0:
            index += 1
            starts[index] = offset
            parent = opened[-1]
            parents[index] = parent
            if parent >= 0:
                ranks[index] = counts[parent]
                counts[parent] += 1
            opened.append(index)
        else:
            closed = opened.pop()
            ends[closed] = offset
            nexts[closed] = index + 1
        last = event
    return Structure(starts, afters, ends, parents, nexts, ranks, counts)


def structure_of_tags(tags: Tags) -> Structure:
    """The structure from the tags of a plain file, all at once.

    Tags of one depth open and close in turn, so that the first to open there is the first to close.
    """
    opening = ~(tags.closing | tags.empty)
    begun = ~tags.closing
    count = np.cumsum(begun)
    # Not so deep that the parser would refuse it, so that small numbers do, which are sorted sooner.
    depths = np.cumsum(opening.astype(np.int8) - tags.closing, dtype=np.int16)
    starts, ends = tags.starts[begun], tags.ends[begun]
    afters = np.where(tags.empty[begun], ends, np.append(tags.starts[1:], 0)[begun])
    nexts = np.arange(1, len(starts) + 1)
    opened = (count[opening] - 1)[np.argsort(depths[opening] - 1, kind="stable")]
    closed = np.flatnonzero(tags.closing)[np.argsort(depths[tags.closing], kind="stable")]
    ends[opened] = tags.starts[closed]
    nexts[opened] = count[closed]
    parents, ranks = _families((depths - opening)[begun])
    counts = np.bincount(parents[1:], minlength=len(parents))
    found = (starts, afters, ends, parents, nexts, ranks, counts)
    return Structure(*(array("q", each.tobytes()) for each in found))


def _families(depths: NDArray[np.int16]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """By element its parent, the last element one less deep before it, and its place among its siblings."""
    count = len(depths)
    order = np.argsort(depths, kind="stable")
    keys = depths[order].astype(np.int64) * count + order
    parents = np.full(count, -1)
    parents[order[1:]] = order[np.searchsorted(keys, keys[1:] - count, side="right") - 1]
    places = np.arange(count)
    of = parents[order]
    firsts = np.maximum.accumulate(np.where(np.append(True, of[1:] != of[:-1]), places, 0))
    ranks = np.empty(count, dtype=np.int64)
    ranks[order] = places - firsts
    return parents, ranks
