"""What files hold, as text for a person and as JSON."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator, Sequence
from typing import Any

from rules.lengths import format_length
from transform.first_look.inspecting import EdgeFacts, FileContents, MarkFacts, PieceFacts, PlacedFacts
from transform.report.terminal import plain

VERSION = 1
_HOW_CORNERS = "say under `edges` in the rules between which of these corners each edge runs"
_HOW_EDGES = "draw each edge as a line of its own and name it, or mark the corners in a layer `corner marks`"
_ACTING = re.compile("[^\n -~\xa1-\U0010ffff]|[\u2028-\u202e\u2066-\u2069]")
"""What a terminal might act on; it stands in texts only, where JSON knows another spelling."""


def as_text(files: Sequence[FileContents], units: str) -> str:
    """A block for each file, ending with a line end."""
    return "\n".join("\n".join(map(plain, _file(file, units))) for file in files) + "\n"


def as_json(files: Sequence[FileContents]) -> str:
    """The same as JSON: lengths in mm to 1e-4, angles in degrees."""
    value = {"ungape_inspection": VERSION, "files": [_file_json(file) for file in files]}
    return _ACTING.sub(_escaped, json.dumps(value, ensure_ascii=False, indent=1)) + "\n"


def _escaped(match: re.Match[str]) -> str:
    return f"\\u{ord(match[0]):04x}"


def _file(file: FileContents, units: str) -> Iterator[str]:
    yield file.name
    yield f"  sizes: {', '.join(file.sizes) or 'none'}"
    for piece in file.pieces:
        yield f"  {piece.name}" + (
            f", size {piece.size}" if piece.size is not None else ", outside all sizes"
        )
        yield f"    lines: {', '.join(piece.lines)}"
        yield from _rows("edges", [(edge.name, _edge(edge, units)) for edge in piece.edges])
        if not piece.edges:
            yield f"    edges: none has a name: {_HOW_CORNERS if piece.corners else _HOW_EDGES}"
        yield from _rows("corners", [(c.name, f"{math.degrees(c.angle):.1f}°") for c in piece.corners])
        yield from _rows("darts", list(_darts(piece, units)))
        yield from _rows("marks", list(_marks(piece.marks)))
    yield from _rows("taken for", list(_placed(file.placed)), "  ")
    yield from _rows("could not be placed", [(u.where or u.what, u.needed) for u in file.unplaced], "  ")


def _edge(edge: EdgeFacts, units: str) -> str:
    length = format_length(edge.length, units)
    if edge.allowance is None:
        return length
    least, most = (format_length(width, units) for width in edge.allowance)
    return f"{length}, allowance {least}" + (f" to {most}" if most != least else "")


def _placed(placed: Sequence[PlacedFacts]) -> Iterator[tuple[str, str]]:
    """What elements were taken for, those together that are alike in what and why: the first by name."""
    alike: dict[tuple[str, str], list[str]] = {}
    for one in placed:
        alike.setdefault((one.what, one.why), []).append(one.where)
    for (what, why), places in alike.items():
        more = f" and {len(places) - 1} more" if len(places) > 1 else ""
        yield what, f"{places[0]}{more}: {why}"


def _rows(title: str, rows: Sequence[tuple[str, str]], indent: str = "    ") -> Iterator[str]:
    if not rows:
        return
    yield f"{indent}{title}:"
    width = max(len(name) for name, _ in rows)
    for name, value in rows:
        yield f"{indent}  {name.ljust(width)}  {value}".rstrip()


def _darts(piece: PieceFacts, units: str) -> Iterator[tuple[str, str]]:
    for dart in piece.darts:
        legs = " and ".join(format_length(leg, units) for leg in dart.legs)
        drawn = ", drawn into the outline" if dart.drawn_in else ""
        yield dart.name, f"intake {format_length(dart.intake, units)}, legs {legs}{drawn}"


def _marks(marks: Sequence[MarkFacts]) -> Iterator[tuple[str, str]]:
    """Marks by role, each kind on a line of its own."""
    roles: dict[str, list[MarkFacts]] = {}
    for mark in marks:
        roles.setdefault(mark.role or "inner lines and notes", []).append(mark)
    for role, found in roles.items():
        labels = list(dict.fromkeys(mark.label for mark in found if mark.label))
        yield role, f"{len(found)}" + (f": {', '.join(labels)}" if labels else "")


def _file_json(file: FileContents) -> dict[str, Any]:
    return {
        "file": file.name,
        "sizes": list(file.sizes),
        "pieces": [_piece_json(piece) for piece in file.pieces],
        "placed": [{"element": p.where, "what": p.what, "why": p.why} for p in file.placed],
        "unplaced": [{"element": u.where, "what": u.what, "needed": u.needed} for u in file.unplaced],
        "errors": [
            {"file": p.file, "line": p.line, "column": p.column, "kind": p.kind, "text": p.text}
            for p in file.problems
        ],
    }


def _piece_json(piece: PieceFacts) -> dict[str, Any]:
    return {
        "piece": piece.name,
        "size": piece.size,
        "element": piece.labels,
        "lines": list(piece.lines),
        "edges": [
            {
                "edge": edge.name,
                "length": _round(edge.length),
                "allowance": None if edge.allowance is None else [_round(width) for width in edge.allowance],
            }
            for edge in piece.edges
        ],
        "corners": [
            {"corner": c.name, "angle_deg": round(math.degrees(c.angle), 4), "at": _point(c.place)}
            for c in piece.corners
        ],
        "darts": [
            {
                "dart": dart.name,
                "intake": _round(dart.intake),
                "leg_lengths": [_round(leg) for leg in dart.legs],
                "point": _point(dart.point),
                "drawn_in": dart.drawn_in,
            }
            for dart in piece.darts
        ],
        "marks": [{"role": m.role, "label": m.label, "at": _point(m.place)} for m in piece.marks],
    }


def _round(value: float) -> float:
    return round(value, 4) + 0.0


def _point(point: complex) -> list[float]:
    return [_round(point.real), _round(point.imag)]
