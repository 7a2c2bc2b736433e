"""Permissions taken away, for real, at every moment of writing: the old set or the new one, and it is told.

    python -m tests.permissions

The command runs as a user who is not the administrator, from whom nothing can be taken. Before each call
that writing makes to the system (as Python itself tells them), a folder or the files in it lose their
permissions, and keep them lost. After the run they are given back, and the command is run again.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.hostile.running import Run, in_a_child
from tests.kills import Scene, remembering
from transform.designs import one_design
from transform.files.output import write_files
from transform.files.staging import STAGE

NOBODY = 65534
WRITING = ("open", "os.", "shutil.rmtree")
"""How the names of the calls begin that writing makes."""
READ_ONLY, NOTHING = 0o555, 0o000
TAKEN: tuple[tuple[str, int], ...] = (
    ("out", READ_ONLY),
    ("out", NOTHING),
    ("home", READ_ONLY),
    ("home", NOTHING),
    ("stage", READ_ONLY),
    ("stage", NOTHING),
    ("files", NOTHING),
)
"""What loses its permissions, and which it keeps."""


def can_try() -> bool:
    """Whether this process is an ordinary user's, or can become one."""
    if not hasattr(os, "fork") or not hasattr(os, "setuid"):
        return False
    if os.geteuid() != 0:
        return True
    child = os.fork()
    if child == 0:
        code = 1
        try:
            become_ordinary()
            code = 0
        finally:
            os._exit(code)
    return os.waitpid(child, 0)[1] == 0


def become_ordinary() -> None:
    """Give up what the administrator may do."""
    if os.geteuid() == 0:
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)


def give_over(folder: Path) -> None:
    """Give a folder and all that is in it to the ordinary user."""
    if os.geteuid() == 0:
        for path in (folder, *folder.rglob("*")):
            os.chown(path, NOBODY, NOBODY, follow_symlinks=False)


@contextmanager
def open_folder() -> Iterator[Path]:
    """A folder that the ordinary user can reach."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder


def restore(folder: Path) -> None:
    """Give back all permissions."""
    folder.chmod(0o755)
    for path in folder.iterdir():
        if path.is_dir() and not path.is_symlink():
            restore(path)
        elif path.is_file():
            path.chmod(0o644)


class _Taking:
    """Takes permissions away before the call with the number ``last`` that writing makes."""

    def __init__(self, scene: Scene, what: str, mode: int, last: int) -> None:
        self.scene, self.what, self.mode, self.last = scene, what, mode, last
        self.count: int | None = None

    def __call__(self, event: str, _: object) -> None:
        if self.count is None or not event.startswith(WRITING):
            return
        self.count += 1
        if self.count == self.last:
            for path in self._paths():
                path.chmod(self.mode)

    def _paths(self) -> list[Path]:
        out = self.scene.out
        if self.what == "files":
            return [path for path in out.glob("*") if path.is_file()]
        path = {"out": out, "home": self.scene.home, "stage": out / STAGE}[self.what]
        return [path] if path.is_dir() else []


def _taken(scene: Scene, folder: Path, what: str, mode: int, last: int) -> tuple[Run, bool]:
    """The command with permissions taken before so many calls; how it went, whether it made so many."""
    taking = _Taking(scene, what, mode, last)
    made = folder / "made"
    made.write_bytes(b"")
    made.chmod(0o666)

    def first() -> None:
        become_ordinary()
        sys.addaudithook(taking)
        note = made.open("wb", buffering=0)

        def writing(*args: object, **named: object) -> int:
            taking.count = 0
            try:
                return write_files(*args, **named)  # type: ignore[arg-type]
            finally:
                note.write(str(taking.count).encode())
                taking.count = None

        one_design.write_files = writing

    run = in_a_child(["apply", "--quiet", "--jobs", "1", str(scene.rules)], folder, first)
    return run, int(made.read_bytes() or b"0") >= last


def _wrong(scene: Scene, run: Run, *, first: bool, barred: bool) -> tuple[str, list[str]]:
    """What the folder holds, and everything that is not as it must be."""
    left = scene.found(first=first, barred=barred)
    wrong = []
    lines = [line for line in run.said.splitlines() if line and not line.startswith(" ")]
    if "Traceback" in run.said or run.exit not in (0, 1, 3):
        wrong.append(f"exit {run.exit}: {run.said[-600:]}")
    if run.exit == 3 and len(lines) != 1:
        wrong.append(f"{len(lines)} lines: {run.said[-600:]}")
    if run.exit in (0, 1) and left != "new set":
        wrong.append(f"exit {run.exit}, and there is the {left}")
    if run.exit == 3 and left != "old set" and "nothing was changed" in run.said:
        wrong.append(f"nothing was changed, it says, and there is {left}: {run.said[-600:]}")
    if left == "a part" and not barred:
        wrong.append("a part of a set is left, though it went in in one step")
    return left, wrong


def take_all(designs: tuple[str, ...], each: int = 1) -> tuple[Counter[tuple[str, int, str]], list[str]]:
    """Take everything at every moment (or every ``each``-th); how it went how often, and what went wrong."""
    counted: Counter[tuple[str, int, str]] = Counter()
    wrong: list[str] = []
    real, one_design.begin = one_design.begin, remembering(one_design.begin)
    try:
        with open_folder() as folder:
            for name in designs:
                scene = Scene(folder, name)
                for what, mode in TAKEN:
                    for barred in (False, True):
                        for first in (False, True):
                            for last in range(1, 2000, each):
                                if not _try(scene, folder, what, mode, last, first, barred, counted, wrong):
                                    break
    finally:
        one_design.begin = real
    return counted, wrong


def _try(
    scene: Scene,
    folder: Path,
    what: str,
    mode: int,
    last: int,
    first: bool,
    barred: bool,
    counted: Counter[tuple[str, int, str]],
    wrong: list[str],
) -> bool:
    """One moment; whether there was such a moment."""
    scene.lay(first=first, barred=barred)
    give_over(scene.home)
    run, reached = _taken(scene, folder, what, mode, last)
    restore(scene.home)
    if not reached:
        return False
    left, found = _wrong(scene, run, first=first, barred=barred)
    counted[what, run.exit, left] += 1
    where = f"{scene.home.name}, {what} {mode:03o} before call {last}, first {first}, barred {barred}"
    wrong += [f"{where}: {one}" for one in found]
    try:
        scene.mended(barred=barred)
    except AssertionError as error:
        wrong.append(f"{where}: exit {run.exit}, {left}, {run.said[-300:]!r}, then: {error}")
    return True


def main() -> int:
    """Take all there is, and print what became of it; 1 where something went wrong."""
    if not can_try():
        print("this process is the administrator's, and cannot become an ordinary user's")
        return 1
    counted, wrong = take_all(("shell", "wrap-blouse"))
    for (what, code, left), count in sorted(counted.items()):
        print(f"{count:6}  {what}: exit {code}, {left}")
    for one in wrong:
        print(one)
    print(f"{counted.total()} moments, {len(wrong)} times something went wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
