"""One hostile case run in a process of its own, and what must hold of every one."""

from __future__ import annotations

import contextlib
import json
import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from html.parser import HTMLParser
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread

from lxml import etree

from tests.hostile.cases import SECRET, Case, Scene, scene
from tests.small_designs import bytes_of

MOST_SECONDS = 5.0
MOST_MEGABYTES = 500.0
MOST_SAID = 150_000
"""Characters: some hundred lines, however long the names are."""
LAST_SECOND = 30
"""A run is ended when it has worked for so long, s."""
ALIVE = {"script", "iframe", "object", "embed", "link", "base", "form", "img"}
"""Elements that could act in a proof sheet; one script of the sheet's own is there."""


@dataclass(frozen=True)
class Run:
    """How a command went: its exit, what it said and printed, processor time in s, the most memory in MB."""

    exit: int
    said: str
    printed: str
    seconds: float
    megabytes: float


@contextlib.contextmanager
def listening() -> Iterator[tuple[str, list[str]]]:
    """A server that must never be asked, and what it was asked."""
    asked: list[str] = []

    class Told(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.end_headers()

        def log_message(self, format: str, *args: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Told)
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}", asked
    finally:
        server.shutdown()
        server.server_close()


def in_a_child(arguments: Sequence[str], folder: Path, first: Callable[[], object] = lambda: None) -> Run:
    """The command in a child of this process, which has loaded everything; ``first`` is done in it."""
    from transform.command.cli import app
    from transform.command.entry import run_guarded

    child = os.fork()
    if child == 0:
        code = 99
        with contextlib.suppress(BaseException):
            _become(folder)
            first()
            code = run_guarded(app, list(arguments))
            sys.stdout.flush()
            sys.stderr.flush()
        os._exit(code)
    _, status, used = os.wait4(child, 0)
    return _run(folder, os.waitstatus_to_exitcode(status), used)


def by_itself(arguments: Sequence[str], folder: Path) -> Run:
    """The command as a person runs it."""
    command = [sys.executable, "-m", "transform", *arguments]
    with (folder / "said").open("wb") as said, (folder / "printed").open("wb") as printed:
        process = subprocess.Popen(
            command, stdout=printed, stderr=said, cwd=Path(__file__).parents[2], preexec_fn=_bound
        )
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    return _run(folder, process.returncode, used)


def _become(folder: Path) -> None:
    _bound()
    signal.signal(signal.SIGINT, signal.default_int_handler)
    for name, number in (("printed", 1), ("said", 2)):
        os.dup2(os.open(folder / name, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), number)
    sys.stdout = os.fdopen(1, "w", encoding="utf-8", errors="strict", closefd=False)
    sys.stderr = os.fdopen(2, "w", encoding="utf-8", errors="backslashreplace", closefd=False)


def _bound() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (LAST_SECOND, LAST_SECOND))
    resource.setrlimit(resource.RLIMIT_FSIZE, (200 * 2**20, 200 * 2**20))


def _run(folder: Path, code: int, used: resource.struct_rusage) -> Run:
    said, printed = ((folder / name).read_bytes().decode("utf-8", "replace") for name in ("said", "printed"))
    return Run(code, said, printed, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def try_case(
    case: Case,
    server: str,
    asked: Sequence[str],
    command: Callable[[Sequence[str], Path], Run],
    *,
    most_megabytes: float = MOST_MEGABYTES,
) -> tuple[Run, list[str]]:
    """Run `apply`, and look at what it did: how it went, and everything that is not as it must be."""
    folder = Path(tempfile.mkdtemp(prefix="hostile-"))
    try:
        (folder / "world").mkdir()
        made = scene(folder / "world", server)
        case.spoil(made)
        before = _world(folder / "world")
        reports = [f"--{kind}={folder / kind}" for kind in ("report", "junit", "proof")]
        run = command(["apply", str(made.home), *reports], folder)
        wrong = list(_wrong(case, run, folder, made, before, most_megabytes))
        if asked:
            wrong.append(f"the network was asked for {asked}")
        return run, wrong
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def try_whole(
    case: Case,
    server: str,
    asked: Sequence[str],
    command: Callable[[Sequence[str], Path], Run],
) -> list[tuple[str, Run, list[str]]]:
    """Run every command that reads what the case spoils: its name, how it went, what is not as it must be."""
    found = [("apply", *try_case(case, server, asked, command))]
    if case.drawing:
        found.append(("inspect", *try_inspect(case, command)))
    return found


def try_inspect(case: Case, command: Callable[[Sequence[str], Path], Run]) -> tuple[Run, list[str]]:
    """Run `inspect` on the pattern of the case."""
    folder = Path(tempfile.mkdtemp(prefix="hostile-"))
    try:
        (folder / "world").mkdir()
        made = scene(folder / "world")
        case.spoil(made)
        run = command(["inspect", str(made.pattern)], folder)
        wrong = [*_acting(run), *_bounds(run, MOST_MEGABYTES)]
        if run.exit not in (0, 3):
            wrong.append(f"inspect: exit {run.exit}: {run.said[-300:]}")
        return run, wrong
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _world(folder: Path) -> dict[str, bytes | str]:
    """Everything that must not change: all but what is in the output folder."""
    found: dict[str, bytes | str] = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if name.startswith("home/fixed"):
            continue
        if path.is_symlink():
            found[name] = f"link to {path.readlink()}"
        elif path.is_file():
            found[name] = path.read_bytes() if path.stat().st_size < 2**30 else "large"
        else:
            found[name] = "no file"
    return found


def _wrong(
    case: Case, run: Run, folder: Path, made: Scene, before: dict[str, bytes | str], megabytes: float
) -> Iterator[str]:
    yield from _bounds(run, megabytes)
    yield from _acting(run)
    if run.exit not in case.exits:
        yield f"exit {run.exit}, not one of {sorted(case.exits)}: {run.said[-400:]}"
    if case.says not in run.said:
        yield f"{case.says!r} is not said: {run.said[-400:]}"
    if run.exit in (2, 3) and not run.said.strip():
        yield "nothing is said"
    if "Traceback" in run.said or len(run.said) > MOST_SAID:
        yield f"too much is said ({len(run.said)} characters): {run.said[:300]}"
    if _world(folder / "world") != before:
        yield "something outside the output folder was changed"
    fixed = made.home / "fixed"
    written = bytes_of(fixed) if fixed.is_dir() else {}
    # A link that was laid there before is no file that was written.
    written = {name: data for name, data in written.items() if not (fixed / name).is_symlink()}
    spoilt = (made.home / "fixed").is_symlink() or "in out" in case.name
    if run.exit > 1 and not spoilt and any(name.startswith(("front", "back")) for name in written):
        yield f"with exit {run.exit} there is {sorted(written)}"
    yield from _reports(run, folder, {name: data for name, data in written.items() if name.endswith("svg")})


def _bounds(run: Run, megabytes: float) -> Iterator[str]:
    if run.seconds > MOST_SECONDS:
        yield f"it took {run.seconds:.1f} s"
    if run.megabytes > megabytes:
        yield f"it took {run.megabytes:.0f} MB"


def _acting(run: Run) -> Iterator[str]:
    for text, where in ((run.said, "said"), (run.printed, "printed")):
        acting = {c for c in text if not c.isprintable() and c not in "\n"}
        if acting:
            yield f"control characters are {where}: {acting!r}"
        if SECRET in text:
            yield f"the secret is {where}"


def _reports(run: Run, folder: Path, written: dict[str, bytes]) -> Iterator[str]:
    texts = {kind: folder / kind for kind in ("report", "junit", "proof")}
    missing = [kind for kind, path in texts.items() if not path.is_file()]
    if missing:
        yield f"not written: {missing}"
        return
    with contextlib.suppress(ValueError):
        found = json.loads(texts["report"].read_bytes())
        if found["ungape_report"] != 1 or found["ok"] != (run.exit == 0):
            yield "the report says another thing than the exit"
        etree.fromstring(texts["junit"].read_bytes())
        proof = texts["proof"].read_text("utf-8")
        yield from _alive(proof)
        for name, data in (*written.items(), *((k, p.read_bytes()) for k, p in texts.items())):
            if SECRET.encode() in data:
                yield f"the secret stands in {name}"
        return
    yield "a report cannot be read"


class _Looking(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.acting: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ALIVE:
            self.acting.append(tag)
        self.acting += [name for name, value in attrs if name.startswith("on")]
        self.acting += [
            f"{n}={v}" for n, v in attrs if n in ("src", "href") and not (v or "").startswith("#")
        ]


def _alive(proof: str) -> Iterator[str]:
    looking = _Looking()
    looking.feed(proof)
    if looking.acting not in ([], ["script"]):
        yield f"something in the proof sheet acts: {looking.acting}"
