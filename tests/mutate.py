"""Small changes made to the geometry and the altering: how many of them no test sees.

    python -m tests.mutate --count 60 [--seed 5] [--seconds 300] [WORD…]

Each mutant is one changed operator, comparison, number or condition of `transform/geometry` or
`transform/alter`, in a copy of the project. The test file that mirrors its module is run on it (without
one, those that name the module), then the laws, then all tests of both rooms and of the checks. The tests of
both rooms are run on the sound code first, and must pass. A mutant that takes longer than ``--seconds`` is
counted apart, with the time that the sound code takes: it says something only where that is less.
"""

from __future__ import annotations

import argparse
import ast
import copy
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
ROOMS = ("geometry", "alter")
SEED = 5
LAST = ("tests/alter/test_laws.py", "tests/alter", "tests/geometry", "tests/checks")
"""What is run where the module's own tests saw nothing."""
_COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
_OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
}


@dataclass(frozen=True)
class Mutant:
    """One changed place: byte offsets ``start`` to ``end`` in ``file``, and what stands there then."""

    file: Path
    line: int
    start: int
    end: int
    old: str
    new: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.old} -> {self.new}"


def mutants_of(file: Path) -> list[Mutant]:
    """All mutants of one file (its path beside the project's root)."""
    data = (ROOT / file).read_bytes()
    starts = [0]
    for row in data.splitlines(keepends=True):
        starts.append(starts[-1] + len(row))
    found: list[Mutant] = []
    for node in _worked_out(ast.parse(data)):
        for other in _others(node):
            start = starts[node.lineno - 1] + node.col_offset
            end = starts[(node.end_lineno or 0) - 1] + (node.end_col_offset or 0)
            found.append(Mutant(file, node.lineno, start, end, ast.unparse(node), f"({ast.unparse(other)})"))
    return found


def _worked_out(node: ast.AST) -> Iterator[ast.expr]:
    """The expressions that are worked out when the code runs: no annotations, no words, no messages."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list") or isinstance(node, ast.Raise | ast.JoinedStr):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.expr):
                yield child
            if isinstance(child, ast.AST):
                yield from _worked_out(child)


def _others(node: ast.expr) -> Iterator[ast.expr]:
    """What might stand in the place of the expression by mistake."""
    changed = copy.deepcopy(node)
    match changed:
        case ast.Compare(ops=[operator]):
            changed.ops = [_COMPARISONS[type(operator)]()]
            yield changed
        case ast.BinOp(op=operator) if type(operator) in _OPERATORS:
            changed.op = _OPERATORS[type(operator)]()
            yield changed
        case ast.BoolOp():
            changed.op = ast.And() if isinstance(changed.op, ast.Or) else ast.Or()
            yield changed
        case ast.UnaryOp(op=ast.USub() | ast.Not()):
            yield changed.operand
        case ast.Constant(value=bool()):
            yield ast.Constant(not changed.value)
        case ast.Constant(value=int() | float() as number):
            yield ast.Constant(number + 1 if isinstance(number, int) else number * 1.5 or 0.5)
        case ast.IfExp():
            changed.body, changed.orelse = changed.orelse, changed.body
            yield changed


def tests_for(file: Path) -> list[str]:
    """The test file that mirrors the module, without one those that name it; then the laws and the faults."""
    room, module = file.parent.name, file.stem
    word = re.compile(rf"transform\.{room}\.{module}\b|from transform\.{room} import [^\n]*\b{module}\b")
    mirrored = Path("tests", room, f"test_{module}.py")
    named = sorted(
        path.relative_to(ROOT).as_posix()
        for folder in ROOMS
        for path in (ROOT / "tests" / folder).glob("test_*.py")
        if word.search(path.read_text("utf-8"))
    )
    first = [mirrored.as_posix()] if (ROOT / mirrored).is_file() else []
    return list(dict.fromkeys([*(first or named), *LAST]))


def try_mutant(mutant: Mutant, project: Path, seconds: float) -> str:
    """Whether a test sees the mutant, in a copy of the project: seen, too slow, or survived."""
    target = project / mutant.file
    sound = target.read_bytes()
    target.write_bytes(sound[: mutant.start] + mutant.new.encode() + sound[mutant.end :])
    try:
        return run_tests(tests_for(mutant.file), project, seconds)
    finally:
        target.write_bytes(sound)


def run_tests(tests: Sequence[str], project: Path, seconds: float) -> str:
    """Run tests in the project as it lies there: seen, too slow, or survived."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests]
    process = subprocess.Popen(
        command,
        cwd=project,
        env=os.environ | {"PYTHONDONTWRITEBYTECODE": "1"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        return "survived" if process.wait(seconds) == 0 else "seen"
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        return "too slow"


def mutate(count: int, seeded: int, seconds: float, words: Sequence[str]) -> Counter[str]:
    """Try so many mutants, chosen by chance, and print what became of each."""
    files = [
        path.relative_to(ROOT) for room in ROOMS for path in sorted((ROOT / "transform" / room).glob("*.py"))
    ]
    asked = [file for file in files if not words or any(word in file.as_posix() for word in words)]
    every = [mutant for file in asked for mutant in mutants_of(file)]
    chosen = random.Random(seeded).sample(every, min(count, len(every)))
    tally: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        project = Path(folder) / "project"
        leave = shutil.ignore_patterns(".*", "__pycache__", "*.egg-info")
        shutil.copytree(ROOT, project, ignore=leave)
        if run_tests([f"tests/{room}" for room in ROOMS], project, 1800) != "survived":
            raise SystemExit("the tests of the sound code do not pass")
        for mutant in chosen:
            became = try_mutant(mutant, project, seconds)
            tally[became] += 1
            print(f"{became:9} {mutant}", flush=True)
            if became == "too slow":
                began = time.perf_counter()
                run_tests(tests_for(mutant.file), project, 1800)
                print(f"          (the sound code takes {time.perf_counter() - began:.0f} s)", flush=True)
    print(f"{len(chosen)} of {len(every)} mutants tried: {dict(tally)}")
    return tally


def main() -> None:
    """Try as many mutants as the command line says."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutate", description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--seconds", type=float, default=300)
    parser.add_argument("words", nargs="*", metavar="WORD", help="only modules whose path holds one of these")
    asked = parser.parse_args()
    mutate(asked.count, asked.seed, asked.seconds, asked.words)


if __name__ == "__main__":
    main()
