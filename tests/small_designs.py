"""A whole design on disk, small: a front and a back in several sizes, with rules that alter the front."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from tests.builders import front
from tests.drawing import group, labelled_piece, page
from transform.designs.batch import prepare, run
from transform.designs.orders import Options
from transform.pattern.model import Piece
from transform.report.facts import DesignFacts

RULES = """\
ungape: 1
design: summer bodice
patterns: {patterns}
out: fixed
{head}
removals:
  - name: neck gape
    piece: front
    edge: neckline
    from: shoulder
    distance: 60
    removed: {removed}
    pivot: apex
    opens: {{new dart: bust dart, edge: side seam, from: armhole, distance: 60}}
{tail}
"""
SIDE_SEAM = "seams:\n  - join: [front/side seam, back/side seam]\n"
REVISION = '<text inkscape:label="revision" x="10" y="20">A 2020-01-01</text>'


def back(size: str) -> Piece:
    """A back with a side seam like the front's; no removal touches it."""
    return replace(front(size=size), name="back", apexes={})


def front_file(size: str, *more: str) -> str:
    """A file with the front of one size."""
    return page(group(f"size {size}", labelled_piece(front(size=size))), *more)


def back_file(size: str) -> str:
    """A file with the back of one size."""
    return page(group(f"size {size}", labelled_piece(back(size))))


def rules_text(
    *,
    patterns: str = '["front-{size}.svg", "back-{size}.svg"]',
    removed: str = "20",
    head: str = "",
    tail: str = "",
) -> str:
    """The rules of the design."""
    return RULES.format(patterns=patterns, removed=removed, head=head, tail=tail)


def make_design(
    folder: Path,
    sizes: Sequence[str] = ("10", "12"),
    *,
    tail: str = SIDE_SEAM,
    removed: str = "20",
    head: str = "",
) -> Path:
    """The design in a folder: a file for each piece and size, and the rules file, which is returned."""
    folder.mkdir(parents=True, exist_ok=True)
    for size in sizes:
        (folder / f"front-{size}.svg").write_text(front_file(size), encoding="utf-8")
        (folder / f"back-{size}.svg").write_text(back_file(size), encoding="utf-8")
    rules = folder / "summer.gape.yaml"
    rules.write_text(rules_text(tail=tail, removed=removed, head=head), encoding="utf-8")
    return rules


def run_design(rules: Path, options: Options) -> DesignFacts:
    """One design by itself, from its rules file on, without a command line."""
    (found,) = run(prepare([rules], options), options)
    return found


def bytes_of(folder: Path) -> dict[str, bytes]:
    """Every file below a folder by its name."""
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()
    }
