"""The pictures of the README: what the rules do to a piece, drawn from what ungape really makes of it.

``python -m samples.drafting.rules_in_pictures [FOLDER]`` writes them into ``samples/pictures``.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from html import escape
from pathlib import Path

from transform.designs.batch import prepare, run
from transform.designs.orders import Options
from transform.designs.picturing import Picture

SAMPLES = Path(__file__).parents[1]
FRONT = SAMPLES / "mistakes" / "front-12.svg"
_WIDTH = 260
_END = ' text-anchor="end"'
_RULES = """\
ungape: 1
design: picture
patterns: front-12.svg
out: fixed
removals:
  - {piece: front, edge: neckline, from: shoulder, distance: 8 cm, pinched: 7 mm, pivot: apex,
     opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 6 cm}FINISH}
"""
_STYLE = (
    "path{fill:none;stroke:#222;stroke-width:1.6}"
    ".before{stroke:#777;stroke-width:1.2;stroke-dasharray:6 4}"
    ".closure{stroke:#9c4a1a;stroke-width:3.4}"
    ".dart{stroke-width:1.3;stroke-dasharray:8 3 2 3}"
    ".wedge{fill:#e8c9b4;stroke:#9c4a1a;stroke-width:.8}"
    ".turned{fill:#efece6;stroke:none}"
    ".pivot{fill:#9c4a1a;stroke:none}"
    "text{font:13px Georgia,serif;fill:#222}"
)


@dataclass(frozen=True)
class Words:
    """Words beside a place of the picture (mm); ``end`` where they end there."""

    x: float
    y: float
    text: str
    end: bool = False


def pictures() -> Iterator[tuple[str, str]]:
    """The name and the text of every picture."""
    new_dart = _of_front("")
    bare = replace(new_dart, after=new_dart.before, before="", closures="", turned="", darts_after="")
    yield "measures.svg", _svg(bare, "How a removal is measured", tuple(_measures(bare)))
    yield "new-dart.svg", _svg(new_dart, "To the apex, opening a new dart")
    taken_out = _of_front(", finish: {take out at: hem, to: centre front}")
    yield "taken-out.svg", _svg(taken_out, "To the apex, the opening taken out at the hem")
    yield "known-dart.svg", _svg(_of_sample("shell", "front"), "To the dart that is there")
    panel = _of_sample("choir-bodice", "centre front panel")
    yield "across-a-panel.svg", _svg(panel, "Across a princess panel to nothing")


def _measures(picture: Picture) -> Iterator[Words]:
    """Beside the drawing of `FRONT`, whose neck point, neckline and side seam lie where they lie."""
    (x, y), (px, py) = picture.labels[0].place, picture.pivots[0]
    yield Words(72, 14, "from", end=True)
    yield Words(64, 62, "distance", end=True)
    yield Words(x + 2, y + 12, "removed", end=True)
    yield Words(px - 8, py + 4, "pivot", end=True)
    yield Words(220, py + 4, "opens →", end=True)


def _of_front(finish: str) -> Picture:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / FRONT.name).write_bytes(FRONT.read_bytes())
        rules = folder / "picture.yaml"
        rules.write_text(_RULES.replace("FINISH", finish), "utf-8")
        return _made(rules, "front", 0)


def _of_sample(design: str, piece: str) -> Picture:
    return _made(SAMPLES / design / f"{design}.gape.yaml", piece, 2)


def _made(rules: Path, piece: str, size: int) -> Picture:
    options = Options(writes=True, dry_run=True, proof=True)
    (facts,) = run(prepare([rules], options), options)
    if facts.problems:
        raise SystemExit("\n".join(str(problem) for problem in facts.problems))
    return next(picture for picture in facts.sizes[size].pictures if picture.piece == piece)


def _svg(picture: Picture, title: str, words: tuple[Words, ...] = ()) -> str:
    x, y, width, height = picture.box
    x, y, width, height = x - 40, y - 24, width + 80, height + 40
    scale = _WIDTH / width
    layers = (
        ("turned", picture.turned),
        ("wedge", picture.wedges),
        ("before", picture.before),
        ("dart", picture.darts_after),
        ("after", picture.after),
        ("closure", picture.closures),
    )
    paths = [f'<path class="{kind}" d="{data}"/>' for kind, data in layers if data]
    pivots = [f'<circle class="pivot" cx="{px}" cy="{py}" r="4"/>' for px, py in picture.pivots]
    said = [
        f'<text x="{w.x:.1f}" y="{w.y:.1f}"{_END if w.end else ""}>{escape(w.text)}</text>' for w in words
    ]
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{_WIDTH}" height="{height * scale:.0f}" '
            f'viewBox="{x:.1f} {y:.1f} {width:.1f} {height:.1f}" role="img">',
            f"<title>{escape(title)}</title><style>{_STYLE}</style>",
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" fill="#fff"/>',
            *paths,
            *pivots,
            *said,
            "</svg>\n",
        )
    )


def main() -> None:
    """Write the pictures."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else SAMPLES / "pictures"
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in pictures():
        (folder / name).write_text(text, "utf-8", newline="\n")


if __name__ == "__main__":
    main()
