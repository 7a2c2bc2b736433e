"""A run as a whole: how many work on it, and what is told while it goes on."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from rules.problems import UngapeError
from rules.reading import read_rules
from tests.small_designs import back_file, front_file, make_design
from transform.command import running
from transform.command.running import run_designs
from transform.command.telling import Outputs
from transform.designs.batch import prepare
from transform.designs.job import Job, do_alone
from transform.designs.orders import Options
from transform.designs.sources import load
from transform.files.patterns import PatternFile, find_patterns
from transform.report.facts import DesignFacts

ROOT = Path(__file__).parents[2]


def terminal() -> tuple[Console, io.StringIO]:
    stream = io.StringIO()
    return Console(
        file=stream, force_terminal=True, width=120, color_system=None, legacy_windows=False
    ), stream


def test_on_a_terminal_the_progress_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    design = make_design(tmp_path)
    console, stream = terminal()
    assert run_designs([design], Options(writes=True), 1, Outputs(console)) == 0
    assert "summer bodice, design 1 of 1" in stream.getvalue()


def test_where_there_is_nothing_to_do_no_progress_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    broken = tmp_path / "x.gape.yaml"
    broken.write_text("remvals: []\n", "utf-8")
    console, stream = terminal()
    assert run_designs([broken], Options(writes=True), 1, Outputs(console)) == 2
    assert stream.getvalue().startswith(str(broken))


@pytest.mark.parametrize("how", ["quiet", "dumb", "file"])
def test_elsewhere_it_is_not(how: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb" if how == "dumb" else "xterm")
    design = make_design(tmp_path)
    console, stream = terminal()
    if how == "file":
        console = Console(file=stream, width=120)
    run_designs([design], Options(writes=True), 1, Outputs(console, quiet=how == "quiet"))
    assert "1 of 1" not in stream.getvalue()


def test_many_files_are_done_at_once_unless_said_otherwise(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 7)
    few = prepare([make_design(tmp_path / "few")], Options(writes=True))
    assert running._workers(None, few) == 1
    assert running._workers(3, few) == 3
    sizes = [str(size) for size in range(running.MANY_FILES)]
    many = prepare([make_design(tmp_path / "many", sizes)], Options(writes=True))
    assert running._workers(None, many) == 7
    assert running._workers(1, many) == 1


def test_a_job_done_alone_understands_the_common_files_too(tmp_path: Path) -> None:
    design = make_design(tmp_path, ("12",))
    back = back_file("12").replace('inkscape:label="size 12"', 'inkscape:label="sheet"')
    (tmp_path / "back-12.svg").write_text(back, encoding="utf-8")
    rules = read_rules(design)
    front, common = load(find_patterns(rules))
    common = replace(common, file=replace(common.file, size=None))
    job = Job(rules, (front,), (common,), ("12",), ("12",), {})
    part = do_alone(job)
    assert part.problems == ()
    assert [file.source.name for file in part.files] == ["front-12.svg"]
    assert part.sizes[0].seams[0].holds
    broken = replace(job, common=(replace(common, data=b"<svg"),))
    assert [problem.kind for problem in do_alone(broken).problems] == ["unreadable file"]


def test_every_file_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    files = [PatternFile(tmp_path / name, name, name) for name in ("a.svg", "b.svg")]
    (tmp_path / "b.svg").mkdir()
    with pytest.raises(UngapeError) as caught:
        load(files)
    assert [(p.kind, p.file, p.exit) for p in caught.value.problems] == [
        ("unreadable file", "a.svg", 3),
        ("unreadable file", "b.svg", 3),
    ]


@pytest.mark.skipif(sys.platform != "linux", reason="looks at processes as Linux shows them")
def test_workers_end_when_their_run_is_killed(tmp_path: Path) -> None:
    design = make_design(tmp_path)
    for size in range(14, 80, 2):
        (tmp_path / f"front-{size}.svg").write_text(front_file(str(size)), encoding="utf-8")
        (tmp_path / f"back-{size}.svg").write_text(back_file(str(size)), encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, "-m", "transform", "apply", str(design), "--jobs", "2", "--quiet"],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        start_new_session=True,
    )
    until = time.monotonic() + 30
    while len(_members(process.pid)) < 3 and process.poll() is None and time.monotonic() < until:
        time.sleep(0.01)
    os.kill(process.pid, signal.SIGKILL)
    process.wait(timeout=30)
    while _members(process.pid) and time.monotonic() < until:
        time.sleep(0.05)
    assert not _members(process.pid)


def _members(session: int) -> list[int]:
    """The processes of a session that are not yet gone."""
    found = []
    for place in Path("/proc").glob("[0-9]*"):
        try:
            fields = (place / "stat").read_text("utf-8").rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[3]) == session and fields[0] != "Z":
            found.append(int(place.name))
    return found


def test_an_output_folder_whose_name_is_too_long_is_told(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_text("<svg/>", encoding="utf-8")
    rules = tmp_path / "long.gape.yaml"
    rules.write_text(f"ungape: 1\npatterns: front.svg\nout: {'x' * 300}\nremovals: []\n", encoding="utf-8")
    (found,) = prepare([rules], Options(writes=True))
    assert isinstance(found, DesignFacts)
    assert [(problem.kind, problem.exit) for problem in found.problems] == [("unreadable file", 3)]
