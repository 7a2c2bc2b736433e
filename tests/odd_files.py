"""One hand-drawn front, written as a file in every way that the format allows, and run through a design."""

from __future__ import annotations

import re
from pathlib import Path

from tests.small_designs import run_design
from transform.designs.orders import Options
from transform.report.facts import DesignFacts

EDGES = {
    "neckline": "M70 0C70 45 45 80 0 80",
    "centre front": "M0 80L0 400",
    "hem": "M0 400L240 400",
    "side seam": "M240 400L240 200",
    "armhole": "M240 200C200 190 190 100 195 35",
    "shoulder": "M195 35L70 0",
}
WHOLE = "M70 0C70 45 45 80 0 80L0 400L240 400L240 200C200 190 190 100 195 35Z"
CORNERS = {
    "neck point": (70, 0),
    "centre front neck": (0, 80),
    "front hem": (0, 400),
    "side hem": (240, 400),
    "underarm point": (240, 200),
    "shoulder point": (195, 35),
}
RULED = """\
edges:
  front:
    neckline: [neck point, centre front neck]
    centre front: [centre front neck, front hem]
    hem: [front hem, side hem]
    side seam: [side hem, underarm point]
    armhole: [underarm point, shoulder point]
    shoulder: [shoulder point, neck point]
"""
REMOVAL = """\
removals:
  - name: neck gape
    piece: front
    edge: neckline
    from: shoulder
    distance: 40 mm
    removed: 12 mm
    pivot: apex
    opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 60 mm}
"""
APEX = '<circle id="c4" cx="95" cy="230" r="3"/>'
HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" '
    'xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd" '
    'width="400mm" height="500mm" viewBox="-50 -50 400 500">\n'
)


def page(*parts: str, head: str = HEAD) -> str:
    """A whole file."""
    return head + "\n".join(parts) + "\n</svg>\n"


def group(label: str, *parts: str, attributes: str = "") -> str:
    """A labelled group."""
    return f'<g inkscape:label="{label}"{attributes}>\n' + "\n".join(parts) + "\n</g>"


def edges(changed: dict[str, str] | None = None, attributes: str = "") -> str:
    """The edges as labelled open paths, some of them drawn otherwise."""
    rows = {**EDGES, **(changed or {})}
    return "\n".join(f'<path inkscape:label="{name}"{attributes} d="{d}"/>' for name, d in rows.items())


def dots(attribute: str = "inkscape:label") -> str:
    """A dot on each corner."""
    return "\n".join(
        f'<circle {attribute}="{name}" cx="{x}" cy="{y}" r="2"/>' for name, (x, y) in CORNERS.items()
    )


def front(line: str, *more: str) -> str:
    """The front in size 12: what its stitching line holds, and other layers."""
    return group("size 12", group("front", group("stitching line", line), *more, group("apex mark", APEX)))


def run(folder: Path, svg: str, *, head: str = "", removal: str = REMOVAL) -> DesignFacts:
    """What becomes of a design of this one file."""
    (folder / "a.svg").write_text(svg, encoding="utf-8")
    rules = folder / "a.gape.yaml"
    rules.write_text(f"ungape: 1\npatterns: a.svg\nout: fixed\n{head}{removal}", encoding="utf-8")
    return run_design(rules, Options(writes=True))


def figures(facts: DesignFacts, size: int = 0) -> tuple[float, ...]:
    """What every way of drawing the front gives alike, mm and rad."""
    (removal,) = facts.sizes[size].removals
    (opened,) = removal.opened
    found = (removal.angle, removal.edge_before, removal.edge_after, removal.moved, opened.intake_after)
    return tuple(round(value, 4) for value in found)


def texts(facts: DesignFacts) -> list[str]:
    """What went wrong, kind and text."""
    return [f"{problem.kind}: {problem.text}" for problem in facts.problems]


def labels(svg: str) -> list[str]:
    """All labels of a file in document order."""
    return re.findall(r'inkscape:label="([^"]*)"', svg)
