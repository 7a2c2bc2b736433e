"""Measure every row and print the table."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from tests.bench.rows import ROWS, Bench, Row

_HEAD = ("what, in one run", "ratio (CPU)", "ratio (wall)", "least", "median", "divided by", "reach", "")


def main() -> None:
    """What the command line asks for."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description="Measure what a run costs.")
    parser.add_argument("rows", nargs="*", metavar="ROW", help=f"only these: {', '.join(ROWS)}")
    parser.add_argument("--small", action="store_true", help="small files, one run each, nothing judged")
    parser.add_argument("--runs", type=int, default=7, help="how many runs of each (7)")
    parser.add_argument("--many", type=int, default=1000, help="how many files the largest set has (1000)")
    asked = parser.parse_args()
    unknown = [name for name in asked.rows if name not in ROWS]
    if unknown:
        parser.error(f"no row {unknown[0]}; there are: {', '.join(ROWS)}")
    print(_line(_HEAD))
    print(_line(["---"] * len(_HEAD)))
    with tempfile.TemporaryDirectory(prefix="ungape-bench-") as folder:
        bench = Bench(Path(folder), 1 if asked.small else asked.runs, asked.small, asked.many)
        for name in asked.rows or ROWS:
            for row in ROWS[name](bench):
                print(_line(_cells(row, judged=not asked.small)), flush=True)


def _cells(row: Row, *, judged: bool) -> list[str]:
    met = ("met" if row.met else "not met") if judged else ""
    figures = [f"{row.figure:.2f}", f"{row.by_wall:.2f}"]
    return [row.what, *figures, row.least, row.median, row.divided_by, row.reach, met]


def _line(cells: list[str] | tuple[str, ...]) -> str:
    return "| " + " | ".join(cells) + " |"


if __name__ == "__main__":
    main()
