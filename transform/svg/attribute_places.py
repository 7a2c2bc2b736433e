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
    def _unsure(self) -> Flags:
        """By ``=`` whether blanks stand before it, so that the name is not known."""
        return BLANK[self.every[self.equals - 1]]

    def may_have(self, *names: bytes) -> Flags:
        """By element whether it may have one of the attributes, whatever its prefix: some have none."""
        found = self._unsure.copy()
        last, before = self.every[self.equals - 1], self.every[self.equals - 2]
        for name in names:
            found |= (before == name[-2]) & (last == name[-1])
        flags = np.zeros(len(self.starts), dtype=np.bool_)
        flags[self.owners[found]] = True
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
        every = self.every
        mine = those[self.owners]
        equals, owners = self.equals[mine], self.owners[mine]
        fits = (every[equals + 1] == ord('"')) & BLANK[every[equals - 1 - len(name)]]
        for place, letter in enumerate(reversed(name), 1):
            fits &= every[equals - place] == letter
        return owners[fits], equals[fits] + 2


def attribute_places_of(data: bytes, tags: Tags) -> AttributePlaces:
    """Those of a plain, well-formed file."""
    own = ~tags.closing
    inside = own[tags.owners] & (tags.equals < tags.ends[tags.owners])
    numbers = np.cumsum(own) - 1
    return AttributePlaces(
        data, tags.starts[own], tags.ends[own], tags.equals[inside], numbers[tags.owners[inside]]
    )
