"""Runs measured: whole processes by what the system says of them, work in this process by its clocks."""

from __future__ import annotations

import gc
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Run:
    """One run: wall clock and processor time in s, the most memory in bytes (0: not measured)."""

    wall: float
    cpu: float
    peak: int = 0


@dataclass(frozen=True)
class Runs:
    """Several runs of the same work."""

    runs: tuple[Run, ...]

    @property
    def wall(self) -> float:
        """The least wall clock time, s."""
        return min(run.wall for run in self.runs)

    @property
    def cpu(self) -> float:
        """The least processor time, s."""
        return min(run.cpu for run in self.runs)

    @property
    def peak(self) -> int:
        """The most memory, bytes."""
        return max(run.peak for run in self.runs)

    @property
    def mean(self) -> Run:
        """What a run takes on the mean."""
        walls, cpus = zip(*((run.wall, run.cpu) for run in self.runs), strict=True)
        return Run(statistics.mean(walls), statistics.mean(cpus), self.peak)

    @property
    def median(self) -> float:
        """The median of the wall clock times, s."""
        return statistics.median(run.wall for run in self.runs)


def process(command: Sequence[str], bytecode: Path, folder: Path) -> Run:
    """One run of a command as a process of its own; ``bytecode`` is where its compiled modules are kept.

    Raises:
        RuntimeError: where the command cannot be run, or ends in a fault.
    """
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environment |= {"PYTHONPYCACHEPREFIX": str(bytecode)}
    begun = time.perf_counter()
    with subprocess.Popen(
        command, cwd=folder, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as child:
        _, status, usage = os.wait4(child.pid, 0)
        wall = time.perf_counter() - begun
        child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode not in (0, 1, 2):
        raise RuntimeError(f"{' '.join(command)} ended with {child.returncode}")
    unit = 1 if sys.platform == "darwin" else 1024
    return Run(wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * unit)


def here(work: Callable[[], object]) -> Run:
    """One run of ``work`` in this process."""
    gc.collect()
    begun, used = time.perf_counter(), time.process_time()
    work()
    return Run(time.perf_counter() - begun, time.process_time() - used)


def in_turn(count: int, *works: Callable[[int], Run]) -> list[Runs]:
    """Each of ``works`` ``count`` times, in turn, after one that is not counted; each is told its round."""
    rounds = [[work(number) for work in works] for number in range(count + 1)]
    return [Runs(tuple(one[k] for one in rounds[1:])) for k in range(len(works))]
