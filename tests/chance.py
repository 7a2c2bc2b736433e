"""Bodices drafted by chance, with removals, darts, allowances and links of any sensible size: none fails.

    python -m tests.chance --count 1000 [--seed 0]

Each is a front, with or without a dart in its side seam, a back, often a facing or a lining, and one or two
removals. What does not fit may be refused; a result that breaks a law (exit 4) or a fault (70) may not come.
"""

from __future__ import annotations

import argparse
import cmath
import random
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tests.alter.cut_lines import WIDTHS, cut_outline
from tests.builders import stretch
from tests.drawing import group, labelled_piece, page
from tests.small_designs import run_design
from transform.designs.orders import Options
from transform.geometry.chain import Chain
from transform.geometry.folding import cap
from transform.geometry.offset import offset_chain
from transform.geometry.segments import Cubic, Line, Segment
from transform.pattern.model import Dart, Piece
from transform.pattern.outline import Outline, Stretch
from transform.report.facts import DesignFacts

RULES = "chance.gape.yaml"
_WIDTHS = (6, 8, 10, 10, 12, 15, 15, 20)
_FAULTS = (4, 70)


@dataclass(frozen=True)
class Drafted:
    """A design: its pieces and its rules."""

    pieces: tuple[Piece, ...]
    rules: str


def drafted(seed: int) -> Drafted:
    """The design of a seed."""
    return _Draft(random.Random(seed)).design()


class _Draft:
    """One design while it is drafted; ``chance`` decides everything."""

    def __init__(self, chance: random.Random) -> None:
        self.chance, self.between, self.one_of = chance, chance.uniform, chance.choice
        edges = ("neckline", "shoulder", "armhole", "side seam")
        self.widths = {**WIDTHS, **{edge: float(self.one_of(_WIDTHS)) for edge in edges}}
        self.widths["hem"] = float(self.one_of((0, 10, 20, 30, 40)))
        self.widths["outer edge"] = float(self.one_of((0, 6, 10)))

    def likely(self, share: float) -> bool:
        """Whether something with this share of all chances happens."""
        return self.chance.random() < share

    def design(self) -> Drafted:
        """Pieces and rules."""
        with_dart = self.likely(0.45)
        front = self.front(with_dart=with_dart)
        pieces, linked = [front], []
        if not with_dart and self.likely(0.5):
            pieces.append(self.facing(front))
            linked.append("{piece: front facing, follows: front, along: neckline}")
        if self.likely(0.35):
            pieces.append(replace(front, name="front lining", label_path="front lining", apexes={}))
            along = "[neckline, armhole, side seam, shoulder, hem]"
            linked.append(f"{{piece: front lining, follows: front, along: {along}, dart: sewn}}")
        removals = self.removals_to_a_dart() if with_dart else self.removals_to_the_apex()
        rows = ["ungape: 1", "design: by chance", "patterns: front-{size}.svg", "out: fixed"]
        rows += ["removals:", *(f"  - {{{row}}}" for row in removals)]
        rows += ["linked:", *(f"  - {row}" for row in linked)] if linked else []
        return Drafted(tuple(pieces), "\n".join(rows) + "\n")

    def front(self, *, with_dart: bool) -> Piece:
        """A half front; its centre at x = 0, on the fold or with a seam."""
        between = self.between
        neck = complex(between(60, 95), 0)
        shoulder = neck + complex(between(75, 130), between(20, 55))
        underarm = complex(between(225, 270), between(210, 260))
        side_hem = complex(underarm.real + between(-45, 30), between(430, 630))
        top = complex(0, between(60, 175))
        armhole = Cubic(
            shoulder,
            shoulder + complex(-between(5, 40), between(50, 110)),
            complex(shoulder.real - between(-10, 30), underarm.imag - between(0, 15)),
            underarm,
        )
        apex = complex(between(72, 110), between(230, 290))
        side = [stretch("side seam", self.side_seam(underarm, side_hem, straight=with_dart))]
        darts: tuple[Dart, ...] = ()
        if with_dart:
            side, dart = self.with_dart(underarm, side_hem, apex)
            darts = (dart,)
        end = side[-1].chain.end
        low = complex(0, end.imag + between(2, 20))
        hem = Cubic(end, complex(end.real * 0.66, end.imag + 4), complex(end.real * 0.33, low.imag), low)
        rows = (
            stretch("neckline", *self.neckline(top, neck)),
            stretch("shoulder", Line(neck, shoulder)),
            stretch("armhole", armhole),
            *side,
            stretch("hem", hem),
            stretch("centre front", Line(low, top)),
        )
        outline = Outline(rows)
        seam = 0.0 if with_dart or self.likely(0.75) else 15.0
        for dart in darts:
            begin = outline.begins[4]
            darts = (replace(dart, mouth=(begin, begin + rows[4].chain.length)),)
        return Piece(
            "front",
            None,
            "",
            "front",
            outline,
            True,
            cut_outline(outline, {**self.widths, "centre front": seam}),
            apexes={"": apex},
            darts=darts,
            grain=(40 + 300j, 40 + 400j),
            fold=None if seam else rows[-1].chain,
        )

    def neckline(self, top: complex, neck: complex) -> list[Segment]:
        """A round, a V, a scooped or a nearly square neckline from the centre to the shoulder."""
        x, y = neck.real, top.imag
        kind = self.one_of(("round", "round", "vee", "scoop", "square"))
        if kind == "vee":
            return [Cubic(top, top + complex(x * 0.3, -y * 0.3), neck + complex(-x * 0.25, y * 0.35), neck)]
        if kind == "scoop":
            return [Cubic(top, complex(x * 0.75, y), complex(x * 1.02, y * 0.75), neck)]
        if kind == "square":
            corner = complex(x * 0.97, y * 0.6)
            return [Cubic(top, complex(x * 0.5, y), complex(x * 0.95, y * 0.95), corner), Line(corner, neck)]
        return [Cubic(top, complex(x * 0.55, y), complex(x, y * 0.5), neck)]

    def side_seam(self, start: complex, end: complex, *, straight: bool) -> Segment:
        """A side seam, straight or shaped to the waist."""
        if straight or self.likely(0.5):
            return Line(start, end)
        deep = (end.imag - start.imag) * 0.4
        return Cubic(
            start,
            start + complex(-self.between(5, 25), deep),
            end - complex(self.between(-10, 25), deep),
            end,
        )

    def with_dart(self, start: complex, end: complex, apex: complex) -> tuple[list[Stretch], Dart]:
        """The side seam opened by a dart towards the apex, its mouth straight, capped or drawn in."""
        along = (end - start) / abs(end - start)
        upper = start + along * self.between(0.15, 0.5) * abs(end - start)
        point = apex + (upper - apex) / abs(upper - apex) * self.between(0, 40)
        turn = cmath.exp(1j * self.between(0.03, 0.25))
        lower, low = point + (upper - point) * turn, point + (end - point) * turn
        kind = self.one_of(("drawn in", "straight", "capped"))
        mouth = Chain((Line(upper, lower),))
        if kind == "drawn in":
            mouth = Chain((Line(upper, point), Line(point, lower)))
        elif kind == "capped":
            mouth = cap(Chain((Line(lower, low),)), lower, upper, point).reversed()
        rows = [
            stretch("side seam", Line(start, upper)),
            Stretch(mouth, None, "bust dart", drawn_in=kind == "drawn in"),
            stretch("side seam", Line(lower, low)),
        ]
        dart = Dart("bust dart", point, (upper, lower), (0.0, 0.0), kind == "drawn in", kind == "capped")
        return rows, dart

    def facing(self, front: Piece) -> Piece:
        """A neck facing, 35 to 60 mm wide."""
        top = front.stitching.stretches[0].chain
        inner = offset_chain(top, -self.between(35, 60))
        rows = (
            stretch("neckline", *top.segments),
            stretch("shoulder", Line(top.end, inner.end)),
            stretch("outer edge", *inner.reversed().segments),
            stretch("centre front", Line(inner.start, top.start)),
        )
        outline = Outline(rows)
        cut = cut_outline(outline, {**self.widths, "centre front": 0.0})
        return Piece("front facing", None, "", "front facing", outline, True, cut, fold=rows[-1].chain)

    def edges(self) -> list[str]:
        """One or two edges that gape."""
        return self.chance.sample(["neckline", "armhole"], self.one_of((1, 1, 1, 2)))

    def place(self, edge: str, most: float) -> str:
        """Where on an edge how much is removed."""
        begin = "shoulder" if edge == "neckline" or self.likely(0.7) else "side seam"
        across = ", measured: across" if self.likely(0.15) else ""
        return (
            f"piece: front, edge: {edge}, from: {begin}, distance: {self.between(15, 85):.0f}%, "
            f"removed: {self.between(3, most):.1f}{across}"
        )

    def removals_to_the_apex(self) -> list[str]:
        """Removals that open one new dart."""
        gaping = self.edges()
        at = self.one_of(
            ["side seam", "side seam", "hem", *({"shoulder", "armhole"} - {*gaping, "shoulder"})]
        )
        begin = {"side seam": self.one_of(("armhole", "hem")), "hem": "side seam", "armhole": "shoulder"}[at]
        opens = f"{{new dart: bust dart, edge: {at}, from: {begin}, distance: {self.between(20, 75):.0f}%}}"
        finish = ""
        if at == "side seam" and self.likely(0.25):
            finish = ", finish: {take out at: hem, to: centre front}"
        elif self.likely(0.5):
            press = self.one_of(("down", "up", "to centre", "to side"))
            trim = f", trim: {self.between(6, 15):.0f}" if self.likely(0.3) else ""
            finish = f", finish: {{draw back: {self.between(10, 50):.0f}, press: {press}{trim}}}"
        rows = [f"{self.place(gaping[0], 25)}, pivot: apex, opens: {opens}{finish}"]
        rows += [f"{self.place(e, 20)}, pivot: apex, opens: {{dart: bust dart}}{finish}" for e in gaping[1:]]
        return rows

    def removals_to_a_dart(self) -> list[str]:
        """Removals that open the dart that is there: from its point, from the apex, or with another dart."""
        rows = []
        for edge in self.edges():
            waist = (
                f"{{new dart: waist dart {edge}, edge: hem, from: centre front, distance: 50%, share: 40%}}"
            )
            how = self.one_of(
                (
                    "pivot: {dart: bust dart}",
                    "pivot: apex, opens: {dart: bust dart}",
                    f"pivot: apex, opens: [{{dart: bust dart, share: 60%}}, {waist}]",
                )
            )
            line = ", line: straight" if self.likely(0.1) else ""
            rows.append(f"{self.place(edge, 20)}, {how}{line}")
        return rows


def made(design: Drafted, folder: Path) -> DesignFacts:
    """What became of the design, written into a folder that is not there yet."""
    folder.mkdir(parents=True)
    rows = [labelled_piece(piece) for piece in design.pieces]
    (folder / "front-12.svg").write_text(page(group("size 12", *rows)), encoding="utf-8")
    (folder / RULES).write_text(design.rules, encoding="utf-8")
    return run_design(folder / RULES, Options(writes=True))


def tried(seeds: Sequence[int], tell: Callable[[str], None] = lambda line: None) -> Counter[str]:
    """What became of the designs of these seeds; those that fail are told and their files kept."""
    became: Counter[str] = Counter()
    for seed in seeds:
        folder = Path(tempfile.mkdtemp(prefix=f"ungape-chance-{seed}-")) / "design"
        problems = made(drafted(seed), folder).problems
        became[problems[0].kind if problems else "altered"] += 1
        failed = [problem for problem in problems if problem.exit in _FAULTS]
        for problem in failed:
            tell(f"seed {seed}, {folder}: {problem.text}")
        became["failed"] += bool(failed)
        if not failed:
            shutil.rmtree(folder.parent)
    return became


def main() -> None:
    """What the command line asks for."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.chance", description="Alter bodices made by chance."
    )
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=0, help="that of the first design; the others follow")
    asked = parser.parse_args()
    became = tried(range(asked.seed, asked.seed + asked.count), print)
    print("; ".join(f"{kind} {count}" for kind, count in became.most_common()))


if __name__ == "__main__":
    main()
