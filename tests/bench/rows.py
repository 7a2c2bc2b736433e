"""The rows of the table: each makes its files, measures its work and its floor, and says what came out."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.bench import designs, floor
from tests.bench.timing import Run, Runs, here, in_turn, process
from tests.small_designs import run_design
from transform.designs.orders import Options
from transform.geometry.measure import length, parameter_at


@dataclass(frozen=True)
class Row:
    """One line of the table; ``figure`` is a ratio by processor time, ``by_wall`` by the wall clock."""

    what: str
    figure: float
    by_wall: float
    least: str
    median: str
    divided_by: str
    reach: str
    met: bool


@dataclass(frozen=True)
class Bench:
    """Where files are made, how many runs are measured, and by how much everything is made smaller."""

    folder: Path
    runs: int
    small: bool = False
    most: int = 1000
    """How many files the largest set has."""

    def fresh(self, name: str) -> Path:
        """A folder that is not there yet."""
        place = self.folder / name
        shutil.rmtree(place, ignore_errors=True)
        return place

    def ungape(self, *arguments: str) -> Run:
        """One run of the command, as a process."""
        return process([sys.executable, "-m", "transform", *arguments], self.bytecode, self.folder)

    def python(self, *arguments: str) -> Run:
        """One run of another Python program, as a process."""
        return process([sys.executable, *arguments], self.bytecode, self.folder)

    @property
    def bytecode(self) -> Path:
        """Where compiled modules are kept."""
        return self.folder / "bytecode"


def cold_set(bench: Bench) -> Iterator[Row]:
    """A set of 12 files of 200 KB in a process of its own, everything checked and reported."""
    files, size = (3, 20_000) if bench.small else (12, 200_000)
    rules = designs.write_set(bench.fresh("cold"), files, size=size)
    sources = sorted(str(path) for path in rules.parent.glob("*.svg"))
    out, report = bench.folder / "cold out", bench.folder / "cold.json"

    def work(_: int) -> Run:
        shutil.rmtree(out, ignore_errors=True)
        return bench.ungape("apply", str(rules), "--out", str(out), "--report", str(report), "--jobs", "1")

    def least(_: int) -> Run:
        return bench.python(floor.__file__, str(bench.fresh("cold floor")), *sources)

    ours, theirs = in_turn(bench.runs, work, least)
    yield _ratio(
        f"{files} files of {size // 1000} KB, cold, with report",
        ours,
        theirs,
        "imports, parse, tostring, write",
        1.6,
    )


def one_more(bench: Bench) -> Iterator[Row]:
    """One file more in a warm process; each run has a file of its own."""
    size = 20_000 if bench.small else 200_000
    place = bench.fresh("warm")
    rules = [designs.write_set(place / str(k), 1, size=size, round_=k + 1) for k in range(bench.runs + 1)]

    def work(number: int) -> Run:
        return here(lambda: _apply(rules[number]))

    def least(number: int) -> Run:
        folder = rules[number].parent
        (folder / "floor").mkdir()
        return here(lambda: floor.parse_and_write(folder.glob("*.svg"), folder / "floor"))

    ours, theirs = in_turn(bench.runs, work, least)
    yield _ratio(f"one file of {size // 1000} KB more, warm", ours, theirs, "parse, tostring, write", 3)


def untouched(bench: Bench) -> Iterator[Row]:
    """Content that no removal touches, grown a hundredfold."""
    sizes = (20_000, 40_000, 60_000) if bench.small else (100_000, 1_000_000, 3_000_000, 10_000_000)
    place = bench.fresh("grown")
    rules = [designs.write_file(place / str(size), size=size) for size in sizes]
    data = [next(path.parent.glob("*.svg")).read_bytes() for path in rules]
    works: list[Callable[[int], Run]] = []
    for path, content in zip(rules, data, strict=True):
        works.append(lambda _, path=path: here(lambda: _apply(path)))
        works.append(lambda _, content=content: here(lambda: floor.parsed(content)))
    runs = in_turn(bench.runs, *works)
    ours, theirs = runs[::2], runs[1::2]
    slope = [
        (o.cpu - ours[0].cpu) / (t.cpu - theirs[0].cpu) for o, t in zip(ours[1:], theirs[1:], strict=True)
    ]
    wall = (ours[-1].wall - ours[0].wall) / (theirs[-1].wall - theirs[0].wall)
    bent = max(slope) / min(slope)
    yield Row(
        f"untouched content, {sizes[0] / 1e6:g} to {sizes[-1] / 1e6:g} MB: slope",
        slope[-1],
        wall,
        f"{ours[0].wall:.3f} to {ours[-1].wall:.3f} s",
        f"{ours[0].median:.3f} to {ours[-1].median:.3f} s",
        f"parse, tostring: {theirs[0].wall:.4f} to {theirs[-1].wall:.4f} s",
        f"<= 2.5, straight (slopes {', '.join(f'{s:.2f}' for s in slope)})",
        slope[-1] <= 2.5 and bent <= 1.25,
    )


def memory(bench: Bench) -> Iterator[Row]:
    """The most memory that a large file takes."""
    size = 100_000 if bench.small else 10_000_000
    rules = designs.write_file(bench.fresh("memory"), size=size)
    out = bench.folder / "memory out"

    def work(_: int) -> Run:
        shutil.rmtree(out, ignore_errors=True)
        return bench.ungape("apply", str(rules), "--out", str(out))

    (ours,) = in_turn(2, work)
    allowed = 20 * size + 60e6
    yield Row(
        f"peak memory on {size / 1e6:g} MB",
        ours.peak / allowed,
        ours.peak / allowed,
        f"{ours.peak / 1e6:.0f} MB",
        "",
        f"20 x the file + 60 MB = {allowed / 1e6:.0f} MB",
        "<= 1",
        ours.peak <= allowed,
    )


def many_files(bench: Bench) -> Iterator[Row]:
    """A set of 10 files, then of many; and the larger set with two jobs."""
    few, many = (2, 4) if bench.small else (10, bench.most)
    rounds, beside = (1, 1) if bench.small else (2, bench.runs)
    place = bench.fresh("many")

    def sets(name: str, files: int, other: int) -> list[Path]:
        return [
            designs.write_set(place / f"{name} {k}", files, round_=k + (rounds + 1) * other)
            for k in range(rounds + 1)
        ]

    large = sets("many", many, 0)
    small = [sets(f"few, {number}", few, number + 1) for number in range(2 * beside)]
    works = [lambda k, each=each: here(lambda: _apply(each[k])) for each in small]
    # A short run may find a quiet moment and a long one never does: so these are means, of runs side by side.
    before, after = works[:beside], works[beside:]
    runs = in_turn(rounds, *before, lambda k: here(lambda: _apply(large[k])), *after)
    long = runs.pop(beside).mean
    short = Runs(tuple(run for each in runs for run in each.runs)).mean
    ratio = (long.cpu / many) / (short.cpu / few)
    yield Row(
        f"{few} -> {many} files, per file",
        ratio,
        (long.wall / many) / (short.wall / few),
        "",
        f"{long.wall / many * 1000:.1f} ms (mean)",
        f"per file at {few}: {short.wall / few * 1000:.1f} ms",
        "0.9 to 1.1",
        0.9 <= ratio <= 1.1,
    )

    def jobs(count: int) -> Run:
        out = bench.fresh("many out")
        return bench.ungape("apply", str(large[0]), "--out", str(out), "--jobs", str(count), "--quiet")

    single, double = in_turn(rounds, lambda _: jobs(1), lambda _: jobs(2))
    faster = single.wall / double.wall
    yield Row(
        f"{many} files, two jobs: times as fast",
        faster,
        faster,
        f"{double.wall:.2f} s",
        f"{double.median:.2f} s",
        f"one job: {single.wall:.2f} s",
        ">= 1.7",
        faster >= 1.7,
    )


def nested_sizes(bench: Bench) -> Iterator[Row]:
    """More sizes in one file."""
    counts = (1, 2) if bench.small else (5, 10, 20, 40)
    yield _linear(
        bench,
        "sizes nested in one file",
        counts,
        lambda place, n, k: designs.write_file(place, sizes=n, round_=k),
    )


def more_removals(bench: Bench) -> Iterator[Row]:
    """More removals on one edge, all into one dart."""
    counts = (1, 2) if bench.small else (1, 5, 10, 20, 40)
    yield _linear(
        bench,
        "removals on one edge",
        counts,
        lambda place, n, k: designs.write_file(place, removals=n, round_=k),
    )


def longer_outlines(bench: Bench) -> Iterator[Row]:
    """Outlines of more segments."""
    counts = (12, 24) if bench.small else (40, 400, 4000)
    yield _linear(
        bench,
        "segments in each outline",
        counts,
        lambda place, n, k: designs.write_file(place, pieces=n, round_=k),
    )


def _linear(bench: Bench, unit: str, counts: Sequence[int], write: Callable[[Path, int, int], Path]) -> Row:
    """What each unit more costs, between the smallest counts and between the largest."""
    place = bench.fresh(unit)
    rules = [[write(place / f"{count} {k}", count, k) for k in range(bench.runs + 1)] for count in counts]
    works = [lambda k, each=each: here(lambda: _apply(each[k])) for each in rules]
    runs = in_turn(bench.runs, *works)
    cost = [run.cpu for run in runs]
    # With a constant part taken off, each unit more costs the same wherever the counting stands.
    each = [(cost[k + 1] - cost[k]) / (counts[k + 1] - counts[k]) for k in range(len(counts) - 1)]
    wall = runs[-1].wall / counts[-1] / (runs[0].wall / counts[0])
    return Row(
        f"{counts[0]} -> {counts[-1]} {unit}",
        each[-1] / each[0],
        wall,
        f"{each[-1] * 1000:.2f} ms each",
        f"{runs[-1].median:.2f} s for {counts[-1]}",
        f"each of the first: {each[0] * 1000:.2f} ms; steps {', '.join(f'{e * 1000:.2f}' for e in each)}",
        "linear: <= 1.25",
        each[-1] <= 1.25 * each[0],
    )


def places(bench: Bench) -> Iterator[Row]:
    """A place found by its distance along a curve, to 1e-9 of the curve's length."""
    from svgpathtools import CubicBezier

    count = 20 if bench.small else 200
    ours: list[float] = []
    theirs: list[float] = []

    def work(number: int) -> Run:
        curves = designs.curves(count, number)
        ours.clear()
        return here(lambda: ours.extend(parameter_at(c, 0.4 * length(c)) for c in curves))

    def reference(number: int) -> Run:
        curves = [CubicBezier(*c.controls()) for c in designs.curves(count, number)]
        theirs.clear()
        return here(lambda: theirs.extend(c.ilength(0.4 * c.length(error=1e-11), s_tol=1e-9) for c in curves))

    fast, slow = in_turn(bench.runs, work, reference)
    apart = max(abs(a - b) for a, b in zip(ours, theirs, strict=True))
    if apart > 1e-7:
        raise RuntimeError(f"places by arc length differ by {apart}")
    times = slow.cpu / fast.cpu
    yield Row(
        "a place by arc length: times as fast",
        times,
        slow.wall / fast.wall,
        f"{fast.wall / count * 1e6:.0f} us",
        f"{fast.median / count * 1e6:.0f} us",
        f"svgpathtools ilength: {slow.wall / count * 1e6:.0f} us",
        ">= 15",
        times >= 15,
    )


def starts(bench: Bench) -> Iterator[Row]:
    """Commands that touch no pattern."""
    place = bench.fresh("starts")
    rules = designs.write_set(place, 1)
    text = rules.read_text("utf-8").replace("neckline", "neckine", 1)
    rules.write_text(text.replace("pivot: apex", "pivto: apex"), encoding="utf-8")
    for name, arguments in (
        ("--help", ["--help"]),
        ("--version", ["--version"]),
        ("an error in the rules", ["apply", str(rules)]),
    ):
        ours, theirs = in_turn(
            bench.runs, lambda _, a=arguments: bench.ungape(*a), lambda _: bench.python("-c", "pass")
        )
        yield _ratio(name, ours, theirs, "python -c pass", 8)


def _ratio(what: str, ours: Runs, theirs: Runs, divided_by: str, reach: float) -> Row:
    return Row(
        what,
        ours.cpu / theirs.cpu,
        ours.wall / theirs.wall,
        f"{ours.wall * 1000:.0f} ms",
        f"{ours.median * 1000:.0f} ms",
        f"{divided_by}: {theirs.wall * 1000:.1f} ms",
        f"<= {reach:g}",
        min(ours.wall / theirs.wall, ours.cpu / theirs.cpu) <= reach,
    )


def _apply(rules: Path) -> None:
    """The design written anew; it must have been altered."""
    shutil.rmtree(rules.parent / "fixed", ignore_errors=True)
    facts = run_design(rules, Options(writes=True))
    if facts.problems or not facts.written or not all(size.removals for size in facts.sizes):
        raise RuntimeError(f"{rules}: {facts.problems}")


ROWS: dict[str, Callable[[Bench], Iterator[Row]]] = {
    "cold": cold_set,
    "warm": one_more,
    "untouched": untouched,
    "memory": memory,
    "many": many_files,
    "sizes": nested_sizes,
    "removals": more_removals,
    "segments": longer_outlines,
    "places": places,
    "starts": starts,
}
