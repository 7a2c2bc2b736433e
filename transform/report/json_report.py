"""The report as JSON: lengths in mm to 1e-4, angles in degrees."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rules.problems import Problem
    from transform.alter.facts import OpenedFacts, RemovalFacts
    from transform.checks.seams import WalkedSeam
    from transform.report.facts import DesignFacts, Report, SizeFacts

VERSION = 1


def report_text(report: Report) -> str:
    """The report as text, ending with a line end.

    It is made design by design: as one value, that of a large repository would take many times its own size.
    """
    designs = ",\n  ".join(_text(_design(design)).replace("\n", "\n  ") for design in report.designs)
    frame = _text(_frame(report)).removesuffix("\n}")
    return f'{frame},\n "designs": [' + (f"\n  {designs}\n ]" if designs else "]") + "\n}\n"


def as_json(report: Report) -> dict[str, Any]:
    """The report as a JSON value."""
    return {**_frame(report), "designs": [_design(design) for design in report.designs]}


def _text(value: dict[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1)


def _frame(report: Report) -> dict[str, Any]:
    """All of the report but the designs."""
    problems = [*report.problems]
    for design in report.designs:
        problems += [*design.problems, *design.stale]
    return {
        "ungape_report": VERSION,
        "ok": report.exit == 0,
        "errors": [_problem(problem) for problem in problems],
    }


def _round(value: float) -> float:
    return round(value, 4) + 0.0


def _pair(values: tuple[float, float]) -> list[float]:
    return [_round(value) for value in values]


def _point(point: complex) -> list[float]:
    return [_round(point.real), _round(point.imag)]


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "file": problem.file,
        "line": problem.line,
        "column": problem.column,
        "kind": problem.kind,
        "text": f"{problem.element}: {problem.text}" if problem.element else problem.text,
    }


def _design(design: DesignFacts) -> dict[str, Any]:
    return {
        "rules": design.rules,
        "design": design.design,
        "sizes": [_size(size) for size in design.sizes],
    }


def _size(size: SizeFacts) -> dict[str, Any]:
    return {
        "size": size.size,
        "files": [{"from": f.source, "to": f.target, "sha256": f.sha256} for f in size.files],
        "removals": [_removal(facts) for facts in size.removals],
        "seams": [_seam(seam) for seam in size.seams],
        "strips": [
            {"piece": s.piece, "before": _round(s.before), "after": _round(s.after)} for s in size.strips
        ],
        "notices": [
            {"kind": n.kind, "piece": n.piece, "accepted": n.accepted, "text": n.text} for n in size.notices
        ],
    }


def _removal(facts: RemovalFacts) -> dict[str, Any]:
    opened = [_opened(one) for one in facts.opened]
    return {
        "name": facts.name,
        "piece": facts.piece,
        "edge": facts.edge,
        "followed": facts.followed,
        "removed": _round(facts.removed),
        "angle_deg": round(math.degrees(facts.angle), 6) + 0.0,
        "pivot": _point(facts.pivot),
        "legs": [_point(leg) for leg in facts.legs],
        "stagger": _round(facts.stagger),
        "edge_before": _round(facts.edge_before),
        "edge_after": _round(facts.edge_after),
        "shortened": _round(facts.shortened),
        "line": facts.line,
        "reach": _pair(facts.reach),
        "moved": _round(facts.moved),
        "opened": opened[0] if len(opened) == 1 else (opened or None),
    }


def _opened(opened: OpenedFacts) -> dict[str, Any]:
    return {
        "dart": opened.dart,
        "intake_before": _round(opened.intake_before),
        "intake_after": _round(opened.intake_after),
        "leg_lengths": _pair(opened.leg_lengths),
    }


def _seam(seam: WalkedSeam) -> dict[str, Any]:
    return {
        "join": list(seam.join),
        "before": _pair(seam.before),
        "after": _pair(seam.after),
        "ease": _pair(seam.ease),
        "tolerance": _round(seam.tolerance),
        "holds": seam.holds,
    }
