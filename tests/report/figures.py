"""Facts of a run, made by hand, for the tests of the reports."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

from rules.problems import Problem
from transform.alter.facts import Notice, OpenedFacts, RemovalFacts, StripFacts
from transform.checks.seams import WalkedSeam
from transform.report.facts import DesignFacts, FileFacts, Report, SizeFacts

OPENED = OpenedFacts("bust dart", 0.0, 25.1, (130.6, 130.6))
REMOVAL = RemovalFacts(
    index=0,
    name="neck gape",
    piece="front",
    edge="neckline",
    followed=False,
    removed=20.0,
    angle=math.radians(9.26),
    pivot=95 + 260j,
    legs=(70.00004 - 0.00001j, 60 + 20j),
    stagger=6.0,
    edge_before=214.3,
    edge_after=196.1,
    shortened=18.2,
    line="fair",
    reach=(60.0, 55.0),
    moved=1.4,
    opened=(OPENED,),
)
SEAM = WalkedSeam(
    ("front/side seam", "back/side seam"), (190.0, 190.0), (190.0, 190.0), (0.0, 0.0), 1.0, True
)
OFF = replace(SEAM, after=(190.0, 193.0), ease=(0.0, 1.0), holds=False)
WIDE = Notice("wide dart", "front", "bust dart of front takes in 45.0 mm")
UNKNOWN = Problem("unknown word", "found 'remvals'; did you mean removals?", "summer.gape.yaml", 7, 3, exit=2)
ELEMENT = Problem("gap", "the line has a gap of 3.0 mm", "b-12.svg", 40, 7, "size 12 > front (line 40)", 3)
STALE = Problem("stale file", "fixed/b-12.svg is not what would be written now", "summer.gape.yaml", exit=1)


def size(**changes: object) -> SizeFacts:
    """Size 12 with one of everything, all well."""
    usual = SizeFacts(
        "12",
        (FileFacts("b-12.svg", "fixed/b-12.svg", "ab" * 32),),
        (REMOVAL,),
        (SEAM,),
        (StripFacts("neck binding", 400.0, 363.6),),
        (),
    )
    return replace(usual, **changes)  # type: ignore[arg-type]


def design(*sizes: SizeFacts, **changes: object) -> DesignFacts:
    """A design with these sizes, written."""
    usual = DesignFacts(
        "summer.gape.yaml",
        "summer bodice",
        sizes=sizes or (size(),),
        folder=Path("wardrobe"),
        out="fixed",
        written=1,
    )
    return replace(usual, **changes)  # type: ignore[arg-type]


def report(*designs: DesignFacts, problems: tuple[Problem, ...] = (), strict: bool = False) -> Report:
    """A run over these designs."""
    return Report(designs, problems, strict)
