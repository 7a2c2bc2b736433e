"""What a hostile file is here: how it is made, which exits are allowed, and what must be said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.small_designs import make_design

SECRET = "the-secret-that-nobody-may-read"
"""What stands in a file outside the design's folder that hostile files ask for."""
ALL_WELL = frozenset((0, 1))
UNFIT = frozenset((3,))
WRONG = frozenset((2,))
LARGE = frozenset(
    (
        "10,000 notches",
        "10,000 apex marks",
        "15,000 segments in an edge",
        "20,000 sizes",
        "200,000 elements",
        "2,000 darts",
        "1,500 pieces",
        "an edge of 2,000 corners",
        "an attribute of 9 MB",
        "an attribute of 20 MB",
        "compressed to a thousandth",
        "a style of 5 MB",
        "a comment of 20 MB",
        "seams counted often",
        "20,000 seams",
        "seams of many edges",
        "seams that do not hold",
        "seams of unknown edges",
        "seams of unknown pieces",
        "as many sizes as amounts",
        "many sizes",
        "20,000 names",
        "80,000 keys",
        "one key 90,000 times",
        "5,000 removals",
        "an endless sum",
    )
)
"""Cases of which the runs take more than a second and a half; the test suite leaves them out."""
LONG = 1.5
"""A case whose runs take longer (s of processor time) is one of the large ones."""


@dataclass(frozen=True)
class Scene:
    """A design in a folder of its own, about to be spoilt.

    ``home`` holds the rules and the patterns; ``outside`` is a folder that is none of its business;
    ``server`` is the address of a server that must never be asked.
    """

    home: Path
    outside: Path
    server: str

    @property
    def rules(self) -> Path:
        """The rules file."""
        return self.home / "summer.gape.yaml"

    @property
    def pattern(self) -> Path:
        """One of the pattern files."""
        return self.home / "front-10.svg"

    @property
    def secret(self) -> str:
        """The address of a file that must not be read."""
        return (self.outside / "secret.txt").as_uri()

    def change(self, old: str, new: str, *, rules: bool = False) -> None:
        """Replace the first place of ``old`` in the pattern, or in the rules."""
        file = self.rules if rules else self.pattern
        text = file.read_text("utf-8")
        assert old in text
        file.write_text(text.replace(old, new, 1), "utf-8", "surrogatepass")

    def head(self, before: str, inside: str = "") -> None:
        """Put text before the pattern's root, and into it."""
        self.change("<svg", before + "<svg")
        if inside:
            self.change("</svg>", inside + "</svg>")


@dataclass(frozen=True)
class Case:
    """``spoil`` makes the file; ``exits`` are those allowed; ``says`` stands in the messages.

    ``drawing``: a pattern is spoilt, not the rules.
    """

    name: str
    spoil: Callable[[Scene], None]
    exits: frozenset[int] = UNFIT
    says: str = ""
    drawing: bool = False


def scene(folder: Path, server: str = "http://127.0.0.1:9") -> Scene:
    """A sound design in ``folder``, with a secret beside it."""
    home, outside = folder / "home", folder / "outside"
    make_design(home)
    outside.mkdir()
    (outside / "secret.txt").write_text(SECRET)
    (outside / "evil.dtd").write_text(f'<!ENTITY e "{SECRET}">')
    return Scene(home, outside, server)
