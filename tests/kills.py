"""Runs that are killed at any moment: the output folder holds the old set or the new one, and is mended.

    python -m tests.kills --runs 200 --writes 2000

``--runs`` kills the whole command (a process of its own) at moments spread over all of its run; ``--writes``
kills it while it writes, each time at another moment of the writing, what it writes having been worked out
once. Every second time the folder holds a folder of somebody else's, so that the set goes in by renames.
After each kill the folder is looked at as it lies there, then the command is run again.
"""

from __future__ import annotations

import argparse
import contextlib
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
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from tests.small_designs import bytes_of
from transform.command.cli import app
from transform.command.entry import run_guarded
from transform.designs import one_design
from transform.designs.reissue import Asked, Begun, Reissue

SAMPLES = Path(__file__).parents[1] / "samples"
DESIGNS = ("wrap-blouse", "shell", "choir-bodice")
SEED = 20


class Scene:
    """One sample design in a folder of its own, its old set and its new one."""

    def __init__(self, folder: Path, name: str) -> None:
        self.home = folder / name
        shutil.copytree(SAMPLES / name, self.home, ignore=shutil.ignore_patterns("fixed"))
        self.rules = next(self.home.glob("*.gape.yaml"))
        self.out = self.home / "fixed"
        self.old = self._set()
        text = self.rules.read_text("utf-8")
        self.rules.write_text(re.sub("(?m)^design: .*", "design: another title", text), "utf-8")
        self.new = self._set()
        self.sources = self._sources()
        assert self.old != self.new

    def _set(self) -> dict[str, bytes]:
        shutil.rmtree(self.out, ignore_errors=True)
        assert _command(self.rules) in (0, 1)
        return bytes_of(self.out)

    def _sources(self) -> dict[str, bytes]:
        return {n: data for n, data in bytes_of(self.home).items() if not n.startswith(("fixed/", "."))}

    def lay(self, *, first: bool, barred: bool) -> None:
        """Put the old set, or none, into the folder; ``barred``: with something that cannot be swapped."""
        shutil.rmtree(self.out, ignore_errors=True)
        if not first:
            for name, data in self.old.items():
                (self.out / name).parent.mkdir(parents=True, exist_ok=True)
                (self.out / name).write_bytes(data)
        if barred:
            (self.out / "theirs").mkdir(parents=True)
            (self.out / "theirs" / "notes.txt").write_text("mine")

    def found(self, *, first: bool, barred: bool) -> str:
        """What the folder holds just after a kill."""
        files = {n: data for n, data in bytes_of(self.out).items() if not n.startswith(".ungape-stage/")}
        theirs = files.pop("theirs/notes.txt", None)
        assert (theirs == b"mine") == barred, "a file of somebody else's was lost"
        assert self._sources() == self.sources, "a source was changed"
        if files == ({} if first else self.old):
            return "old set"
        return "new set" if files == self.new else "a part"

    def mended(self, *, barred: bool) -> None:
        """Run the command again: the new set stands there, and nothing else is left."""
        assert forked(lambda: _command(self.rules)) in (0, 1)
        files = bytes_of(self.out)
        assert (files.pop("theirs/notes.txt", None) == b"mine") == barred
        assert files == self.new, "the next run did not mend it"
        assert self._sources() == self.sources, "a source was changed"
        assert not [path for path in self.home.iterdir() if path.name.startswith(".")], "something is left"


def _command(rules: Path) -> int:
    return run_guarded(app, ["apply", "--quiet", "--jobs", "1", str(rules)])


def forked(work: Callable[[], int]) -> int:
    child = os.fork()
    if child == 0:
        code = 99
        with contextlib.suppress(BaseException):
            code = work()
        os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _killed_run(scene: Scene, after: float) -> bool:
    """The whole command, killed so many seconds after it began; whether that was before its end."""
    command = [sys.executable, "-m", "transform", "apply", "--quiet", str(scene.rules)]
    process = subprocess.Popen(command, cwd=SAMPLES.parent)
    try:
        process.wait(after)
    except subprocess.TimeoutExpired:
        process.kill()
    return process.wait() == -signal.SIGKILL


def _killed_write(scene: Scene, after: float) -> tuple[bool, float]:
    """The command, killed so long after it began to write; whether before its end, and how long it wrote."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        write = one_design.write_files

        def told(*args: Any, **named: Any) -> int:
            os.write(writer, b"w")
            count = write(*args, **named)
            os.write(writer, b"d")
            return count

        one_design.write_files = told  # type: ignore[attr-defined]
        os._exit(_command(scene.rules))
    os.close(writer)
    with os.fdopen(reader, "rb", buffering=0) as stream:
        assert stream.read(1) == b"w"
        began = time.perf_counter()
        while time.perf_counter() - began < after:
            pass
        os.kill(child, signal.SIGKILL)
        took = time.perf_counter() - began
        done = stream.read(1) == b"d"
    os.waitpid(child, 0)
    return not done, took


def remembering(real: Callable[..., Begun]) -> Callable[..., Begun]:
    """Work a design out once; from then on only the writing is done anew."""
    made: dict[str, Reissue] = {}

    def remembering(asked: Asked, *others: Any, **named: Any) -> Begun:
        key = f"{asked.rules.file} {asked.rules.design}"
        if key not in made:
            made[key] = real(asked, *others, **named).end(lambda: None)
        return Begun(0, lambda _: made[key])

    return remembering


def _writing_time(scene: Scene) -> float:
    """How long the command writes when nobody kills it, s."""
    scene.lay(first=False, barred=False)
    write, times = one_design.write_files, []

    def timed(*args: Any, **named: Any) -> int:
        began = time.perf_counter()
        count = write(*args, **named)
        times.append(time.perf_counter() - began)
        return count

    one_design.write_files = timed
    _command(scene.rules)
    one_design.write_files = write
    return times[0]


def kill(
    runs: int, writes: int, seed: int = SEED, designs: Sequence[str] = DESIGNS
) -> Counter[tuple[str, str]]:
    """Kill so many runs; how often which way of putting the set in place left what behind.

    Raises:
        AssertionError: where anything was lost.
    """
    real, one_design.begin = one_design.begin, remembering(one_design.begin)
    try:
        return _kill_all(runs, writes, random.Random(seed), designs)
    finally:
        one_design.begin = real


def _kill_all(runs: int, writes: int, rng: random.Random, designs: Sequence[str]) -> Counter[tuple[str, str]]:
    counted: Counter[tuple[str, str]] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        scenes = [Scene(Path(folder), name) for name in designs]
        spans = [_writing_time(scene) for scene in scenes]
        began = time.perf_counter()
        _killed_run(scenes[0], 600)
        whole = time.perf_counter() - began
        for number in range(runs + writes):
            index = number % len(scenes)
            scene = scenes[index]
            barred, first = number % 2 == 1, number % 5 == 4
            scene.lay(first=first, barred=barred)
            if number < runs:
                before_end = _killed_run(scene, whole * (number + rng.random()) / runs)
            else:
                before_end, _ = _killed_write(scene, spans[index] * 1.3 * rng.random())
            left = scene.found(first=first, barred=barred)
            way = "by renames" if barred else "in one step"
            counted[way, left if before_end else f"{left}, not killed in time"] += 1
            assert left != "a part" or barred, "a part of a set was left, though it went in in one step"
            scene.mended(barred=barred)
    return counted


def main() -> None:
    """Kill as many runs as the command line says, and print what was left."""
    parser = argparse.ArgumentParser(prog="python -m tests.kills", description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=200)
    parser.add_argument("--writes", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=SEED)
    asked = parser.parse_args()
    for (way, left), count in sorted(kill(asked.runs, asked.writes, asked.seed).items()):
        print(f"{count:6}  {way}: {left}")
    print("nothing was lost; every folder was whole after the next run")


if __name__ == "__main__":
    main()
