"""Small means of writing SVG that the three house styles share."""

from collections.abc import Mapping
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from .curves import Chain, Curve

DASHES = ("1.2 1.2", "5 1.8", "", "9 2 1.5 2", "14 3")  # mm; one for each size, with its weight
WEIGHTS = (0.5, 0.35, 0.5, 0.4, 0.5)  # mm
FINE = 0.35  # mm, all lines that do not tell sizes apart

Attributes = Mapping[str, str]


def element(tag: str, attributes: Attributes, content: str | list[str] = "") -> str:
    """An element; `content` is text, or the elements inside, which are put on lines of their own."""
    start = "".join([tag, *(f" {name}={quoteattr(value)}" for name, value in attributes.items())])
    if isinstance(content, str):
        return f"<{start}>{escape(content)}</{tag}>" if content else f"<{start}/>"
    inside = "\n".join(content).replace("\n", "\n  ")
    return f"<{start}>\n  {inside}\n</{tag}>"


def document(attributes: Attributes, content: list[str]) -> str:
    """A whole file."""
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{element("svg", attributes, content)}\n'


@dataclass(frozen=True, slots=True)
class Units:
    """User units of a house: how many to the mm, and how many decimals are written."""

    to_mm: float
    decimals: int

    def number(self, mm: float) -> str:
        """A length in user units, without needless zeros."""
        return self.plain(self.ticks(mm))

    def ticks(self, mm: float) -> int:
        """A length in the smallest step that is written."""
        return round(mm * self.to_mm * 10.0**self.decimals)

    def plain(self, ticks: int) -> str:
        """A number of smallest steps, written out."""
        text = f"{ticks / 10.0**self.decimals:.{self.decimals}f}".rstrip("0").rstrip(".")
        return "0" if text == "-0" else text

    def point(self, p: complex, between: str = ",") -> str:
        """Both coordinates."""
        return f"{self.number(p.real)}{between}{self.number(p.imag)}"

    def dash(self, mm: str) -> str:
        """A dash pattern given in mm."""
        return " ".join(self.number(float(part)) for part in mm.split())


def subpaths(chain: Chain) -> list[Chain]:
    """The chain, parted where a curve does not begin where the one before it ends."""
    parts: list[list[Curve]] = []
    for curve in chain:
        if parts and abs(parts[-1][-1].d - curve.a) < 1e-6:
            parts[-1].append(curve)
        else:
            parts.append([curve])
    return [tuple(part) for part in parts]


def straight_points(chain: Chain) -> list[complex] | None:
    """The corners of a chain of lines in one stroke; None where it curves or breaks."""
    if len(subpaths(chain)) > 1 or not all(curve.straight for curve in chain):
        return None
    return [chain[0].a, *(curve.d for curve in chain)]
