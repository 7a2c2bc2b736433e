"""The proof sheet: one HTML file by itself, in which a person looks at what was altered rather than reads it.

Lines are told apart by their kind, not by colour alone: what was is a fine broken line, what is a firm
one; cut lines are thin; the wedge is hatched, the turned part dotted, the closed edge heavy. Of sizes that
are laid together each has a broken line of its own. The sheet asks nothing of any network.
"""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING

from transform.report.proof_drawings import figures, sample
from transform.report.proof_words import listed, notices, removals, seams, summary, text
from transform.report.sentences import titles

if TYPE_CHECKING:
    from transform.report.facts import DesignFacts, Report

_POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"
_CAUTION = (
    "This sheet shows that the pieces still sew together; it says nothing of a body. Make a toile before "
    "cutting good cloth. A large removal may mean another size or a bust adjustment. The drawings above are "
    "not to scale; the altered files are."
)
_SQUARE = (
    "<p>Test square: printed without scaling (100 %), the outer square is 100 mm each way and the inner one "
    "50 mm.</p>"
    '<div class="scroll" tabindex="0" role="region" aria-label="Test square">'
    '<svg class="square" width="100mm" height="100mm" viewBox="0 0 100 100" role="img" '
    'aria-label="Test square of 100 mm each way, in it one of 50 mm"><rect width="100" height="100"/>'
    '<rect y="50" width="50" height="50"/><text x="96" y="8">100 mm</text>'
    '<text x="46" y="58">50 mm</text></svg></div>'
)
_KINDS = (
    ("before", "stitching line before"),
    ("after", "stitching line after"),
    ("cut-before", "cut line before"),
    ("cut-after", "cut line after"),
    ("closure", "closed edge"),
    ("dart-before", "dart before"),
    ("dart-after", "dart after"),
    ("marks", "notches, grain, inner lines"),
    ("wedge", "wedge taken out"),
    ("turned", "part that turned"),
    ("pivot", "pivot"),
)
_PATTERNS = (
    '<svg width="0" height="0" class="patterns" aria-hidden="true"><defs>'
    '<pattern id="hatch" width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<path class="hatch" d="M0 0V4"/></pattern>'
    '<pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<rect class="tone" width="6" height="6"/><circle class="dot" cx="3" cy="3" r=".7"/></pattern>'
    "</defs></svg>"
)
_TOOLS = (
    '<div class="tools"><div role="group" aria-label="What is shown">'
    '<button type="button" data-show="both" aria-pressed="true">Before and after</button>'
    '<button type="button" data-show="before" aria-pressed="false">Before</button>'
    '<button type="button" data-show="after" aria-pressed="false">After</button></div>'
    '<button type="button" data-nest aria-pressed="false">All sizes together</button></div>'
)
_HOW = (
    '<p class="how">In a drawing: drag or use the arrow keys to move, <kbd>+</kbd> and <kbd>−</kbd> or Ctrl '
    "and the wheel to come nearer or go farther, <kbd>0</kbd> for the whole piece, <kbd>,</kbd> and "
    "<kbd>.</kbd> for the next smaller and larger size. What you see is what is printed.</p>"
)


def proof_text(report: Report) -> str:
    """The whole sheet."""
    room = files("transform.report")
    style, script = ((room / f"proof.{kind}").read_text("utf-8") for kind in ("css", "js"))
    told = listed("What stopped", report.problems)
    named = titles(report.designs)
    body = "".join(_design(design, number, named[number]) for number, design in enumerate(report.designs))
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>Proof sheet</title><style>{style}</style></head>\n<body>{_PATTERNS}"
        f"<header><h1>Proof sheet</h1>{_contents(report)}{_legend()}{_HOW}</header>\n"
        f"<main>{_TOOLS}{told}{body}</main>\n"
        f"<footer><p>{_CAUTION}</p>{_SQUARE}</footer>\n<script>{script}</script></body></html>\n"
    )


def _contents(report: Report) -> str:
    if len(report.designs) < 2:
        return ""
    links = "".join(
        f'<li><a href="#design-{number}">{text(title)}</a>{" (stopped)" if design.problems else ""}</li>'
        for number, (design, title) in enumerate(zip(report.designs, titles(report.designs), strict=True))
    )
    return f'<nav aria-label="Designs"><ul>{links}</ul></nav>'


def _legend() -> str:
    kinds = "".join(f"<li>{sample(kind)}{name}</li>" for kind, name in _KINDS)
    return f'<ul class="legend" aria-label="Kinds of lines">{kinds}</ul>'


def _design(design: DesignFacts, number: int, title: str) -> str:
    parts = (
        listed("What needs you", (*design.problems, *design.stale)),
        summary(design),
        notices(design),
        *figures(design, f"d{number}"),
        removals(design),
        seams(design),
    )
    return f'<section class="design" id="design-{number}"><h2>{text(title)}</h2>{"".join(parts)}</section>'
