"""Where the attributes of a plain file stand, by the looks of its bytes: for what is asked of many at once.

Names of attributes are told by what stands before their ``=``. Between single quotes, or with blanks before
the ``=``, that may deceive: such elements are `odd`, and have to be asked one by one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from transform.svg.tag_places import BLANK, Flags, Places, Tags

_USUAL = 24
"""Most values that are asked for as a whole are no longer than this."""


@dataclass(frozen=True)
class AttributePlaces:
    """The bytes of the start tags of a plain file, by element, and every ``=`` that stands in one of them."""

    data: bytes
    starts: Places
    ends: Places
    equals: Places
    owners: Places

    @cached_property
    def every(self) -> NDArray[np.uint8]:
        """The bytes of the file."""
        return np.frombuffer(self.data, dtype=np.uint8)

    @cached_property
    def _last(self) -> NDArray[np.uint8]:
        """By ``=`` the byte before it: the last of a name."""
        return self.every[self.equals - 1]

    @cached_property
    def _unsure(self) -> Flags:
        """By ``=`` whether blanks stand before it, so that the name is not known."""
        return BLANK[self._last]

    def may_have(self, *names: bytes) -> Flags:
        """By element whether it may have one of the attributes, whatever its prefix: some have none."""
        flags = np.zeros(len(self.starts), dtype=np.bool_)
        flags[self.owners[self._unsure]] = True
        for name in names:
            likely = np.flatnonzero(self._last == name[-1])
            likely = likely[self.every[self.equals[likely] - 2] == name[-2]]
            flags[self.owners[likely]] = True
        return flags

    @cached_property
    def odd(self) -> Flags:
        """By element whether its attributes cannot be told by their looks."""
        flags = np.zeros(len(self.starts), dtype=np.bool_)
        flags[self.owners[self._unsure]] = True
        if b"'" in self.data:
            quotes = np.flatnonzero(self.every == ord("'"))
            owners = np.searchsorted(self.starts, quotes, side="right") - 1
            flags[owners[(owners >= 0) & (quotes < self.ends[owners])]] = True
        return flags

    def values(self, name: bytes, those: Flags) -> tuple[Places, Places]:
        """The elements of ``those`` that have the attribute, and the first bytes of the values.

        Of elements that are not odd, all that have it.
        """
        likely = np.flatnonzero(self._last == name[-1])
        likely = likely[those[self.owners[likely]]]
        equals = self.equals[likely]
        fits = (self.every[equals + 1] == ord('"')) & BLANK[self.every[equals - 1 - len(name)]]
        for place, letter in enumerate(reversed(name), 1):
            fits &= self.every[equals - place] == letter
        return self.owners[likely[fits]], equals[fits] + 2

    def texts(self, name: bytes, those: Flags) -> tuple[list[int], list[bytes]]:
        """The elements of ``those`` that have the attribute, and the bytes of the values as they are written.

        Of elements that are not odd, all that have it.
        """
        elements, begins = self.values(name, those)
        at = begins.copy()
        left = np.arange(len(at))
        for _ in range(_USUAL):
            left = left[self.every.take(at[left], mode="clip") != ord('"')]
            at[left] += 1
        for value in left.tolist():
            at[value] = self.data.index(b'"', int(at[value]))
        spans = zip(begins.tolist(), at.tolist(), strict=True)
        return elements.tolist(), [self.data[begin:end] for begin, end in spans]


def attribute_places_of(data: bytes, tags: Tags) -> AttributePlaces:
    """Those of a plain, well-formed file."""
    own = ~tags.closing
    inside = own[tags.owners] & (tags.equals < tags.ends[tags.owners])
    numbers = np.cumsum(own) - 1
    return AttributePlaces(
        data, tags.starts[own], tags.ends[own], tags.equals[inside], numbers[tags.owners[inside]]
    )
