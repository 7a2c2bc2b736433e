"""What is to become of a piece: the values that the alteration hands over to be written back.

Everything that is not named in an ``AlteredPiece`` stays as the file has it, byte for byte.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.pattern.model import Dart, Piece
from transform.pattern.outline import Outline


@dataclass(frozen=True, slots=True)
class Moved:
    """The whole element goes with a rigid motion, in the way its Item says."""

    motion: Motion


@dataclass(frozen=True, slots=True)
class Redrawn:
    """The element's lines, drawn anew: for every subpath of its Item the chains that take its place.

    An empty inner tuple removes the subpath, several chains split it. Segments that did not change are the
    very objects of the Item, so that their characters survive.
    """

    chains: tuple[tuple[Chain, ...], ...]


@dataclass(frozen=True, slots=True)
class Shifted:
    """The element is shifted by ``vector`` (mm) and stays upright."""

    vector: complex


@dataclass(frozen=True, slots=True)
class Removed:
    """The element goes."""


Change = Moved | Redrawn | Shifted | Removed


@dataclass(frozen=True)
class AlteredPiece:
    """A piece and what becomes of it.

    ``stitching`` and ``cut`` are the new outlines; None leaves the line as it is. Their stretches keep
    ``source`` and ``flipped``: the stretches of one source, in the outline's order, become that element's
    new line. A stretch without a source is a new shape, named by its ``edge`` or its ``dart``, in the layer
    and the style of its neighbour. Detours are given at their new places, moved. ``items`` says by element
    what becomes of the piece's items; ``darts`` are the new and the changed darts by name, ``darts_gone``
    the names of those that are there no more.
    """

    piece: Piece
    stitching: Outline | None = None
    cut: Outline | None = None
    items: Mapping[int, Change] = field(default_factory=dict)
    darts: Mapping[str, Dart] = field(default_factory=dict)
    darts_gone: frozenset[str] = frozenset()
