"""A pattern piece as it leaves the drafting table: net outline, marks and instructions, not yet a drawing."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from .curves import Chain, Motion, length, moved, place, signed_area


@dataclass(frozen=True, slots=True)
class Edge:
    """One stretch of the stitching line, with the corner at its start and the allowance outside it."""

    name: str
    corner: str
    chain: Chain
    allowance: float = 0.0
    mouth: bool = False
    """True where the outline runs across a dart: no seam, and capped for pressing."""


@dataclass(frozen=True, slots=True)
class Dart:
    """Leg end, point, leg end."""

    name: str
    points: tuple[complex, complex, complex]


@dataclass(frozen=True, slots=True)
class Notch:
    """`count` notches at a place along an edge, measured from its start or, with `from_end`, from its end."""

    edge: str
    distance: float
    count: int = 1
    from_end: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece in one size. Edges follow one another round the outline, each from its `corner` on."""

    name: str
    cutting: str
    """The cutting instruction, as printed."""
    edges: tuple[Edge, ...]
    grain: tuple[complex, complex]
    caption: complex
    """Where the printed lines begin."""
    narrow: bool = False
    """True for a band, which has room for a single printed line."""
    nested: bool = False
    """True where its sizes are drawn over one another."""
    fold: str | None = None
    """The edge that lies on the fold."""
    origin: complex = 0j
    """Where the sizes are laid together."""
    darts: tuple[Dart, ...] = ()
    apex: complex | None = None
    notches: tuple[Notch, ...] = ()
    inner: Mapping[str, Chain] = field(default_factory=dict)

    def outline(self) -> Chain:
        """The whole stitching line."""
        return tuple(curve for edge in self.edges for curve in edge.chain)

    def outward(self) -> complex:
        """What turns the outline's direction of travel outward by a right angle: 1j or -1j."""
        return -1j if signed_area(self.outline()) > 0 else 1j

    def walk(self, name: str) -> Chain:
        """All stretches of an edge, one after the other; a dart between them counts as folded out."""
        return tuple(
            curve for edge in self.edges if edge.name == name and not edge.mouth for curve in edge.chain
        )

    def length(self, name: str) -> float:
        """Length of an edge, darts folded out."""
        return length(self.walk(name))

    def allowance(self, name: str) -> float:
        """Allowance along an edge."""
        return next(edge.allowance for edge in self.edges if edge.name == name)

    def notched(self, notch: Notch) -> tuple[complex, complex]:
        """The notch's point on the stitching line, and the unit direction of the outline there."""
        chain = self.walk(notch.edge)
        index, t = place(chain, length(chain) - notch.distance if notch.from_end else notch.distance)
        return chain[index].at(t), chain[index].direction(t)

    def moved(self, motion: Motion) -> "Piece":
        """The piece under an affine motion; the order of the edges stays as it is."""
        return replace(
            self,
            edges=tuple(replace(edge, chain=moved(edge.chain, motion)) for edge in self.edges),
            grain=(motion(self.grain[0]), motion(self.grain[1])),
            caption=motion(self.caption),
            origin=motion(self.origin),
            darts=tuple(
                Dart(dart.name, (motion(dart.points[0]), motion(dart.points[1]), motion(dart.points[2])))
                for dart in self.darts
            ),
            apex=None if self.apex is None else motion(self.apex),
            inner={name: moved(chain, motion) for name, chain in self.inner.items()},
        )
