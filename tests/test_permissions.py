"""Permissions that are not there, or are taken away: one message, and never a part of a set untold.

`python -m tests.permissions` is the larger form of the first test.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from rules.model import Rules
from tests.hostile.running import Run, in_a_child
from tests.permissions import become_ordinary, can_try, give_over, open_folder, restore, take_all
from tests.small_designs import bytes_of, make_design, run_design
from transform.designs.orders import Options
from transform.files.patterns import PatternFile
from transform.first_look.inspecting import examine
from transform.report.facts import Report
from transform.report.proof import proof_text

pytestmark = pytest.mark.skipif(
    not can_try(), reason="the tests run as the administrator and cannot become an ordinary user"
)


def test_taken_away_while_it_writes_nothing_is_lost_and_nothing_untrue_is_told() -> None:
    counted, wrong = take_all(("shell",), each=4)
    assert wrong == []
    assert counted.total() > 60
    assert {code for _, code, _ in counted} == {0, 3}


@pytest.fixture
def home() -> Iterator[Path]:
    """A design, sound and never run, in a folder that the ordinary user owns."""
    with open_folder() as folder:
        make_design(folder / "home")
        # What is needed is loaded before the user changes, who may not be let into the project's folder.
        facts = run_design(folder / "home" / "summer.gape.yaml", Options(writes=True))
        proof_text(Report((facts,)))
        examine(PatternFile(folder / "home" / "front-10.svg", "x", "x"), Rules(file=""))
        shutil.rmtree(folder / "home" / "fixed")
        give_over(folder / "home")
        yield folder / "home"
        restore(folder / "home")


def _run(home: Path, *arguments: str) -> Run:
    return in_a_child([*arguments, str(home)], home.parent, become_ordinary)


def _lines(run: Run) -> list[str]:
    return [line for line in run.said.splitlines() if line and not line.startswith(" ")]


@pytest.mark.parametrize(
    ("place", "mode", "code"),
    [
        ("front-12.svg", 0o000, 3),
        ("summer.gape.yaml", 0o000, 2),
        (".", 0o000, 2),
        (".", 0o111, 2),
        (".", 0o444, 2),
        (".", 0o555, 3),
    ],
)
def test_what_cannot_be_read_or_written_is_one_message(home: Path, place: str, mode: int, code: int) -> None:
    (home / place).chmod(mode)
    run = _run(home, "apply", "--quiet")
    restore(home)
    assert run.exit == code, run.said
    assert len(_lines(run)) == 1, run.said
    assert "ermission denied" in run.said
    assert not (home / "fixed").exists()
    assert _run(home, "apply", "--quiet").exit == 0


@pytest.mark.parametrize(
    ("place", "mode", "code", "check"),
    [
        ("fixed", 0o555, 3, 1),
        ("fixed", 0o444, 3, 3),
        ("fixed", 0o333, 3, 1),
        ("fixed", 0o000, 3, 3),
        ("fixed/front-10.svg", 0o000, 3, 3),
        ("fixed/.ungape.json", 0o000, 3, 1),
        (".", 0o555, 0, 1),
    ],
)
def test_an_output_folder_that_cannot_be_changed_keeps_its_set(
    home: Path, place: str, mode: int, code: int, check: int
) -> None:
    assert _run(home, "apply", "--quiet").exit == 0
    rules = home / "summer.gape.yaml"
    rules.write_text(rules.read_text().replace("removed: 20", "removed: 16"))
    old = bytes_of(home / "fixed")
    (home / place).chmod(mode)
    checked, run = _run(home, "check", "--quiet"), _run(home, "apply", "--quiet")
    restore(home)
    assert (checked.exit, run.exit) == (check, code), checked.said + run.said
    if code:
        assert len(_lines(run)) == 1, run.said
        assert bytes_of(home / "fixed") == old
        assert _run(home, "apply", "--quiet").exit == 0
    new = bytes_of(home / "fixed")
    assert new.keys() == old.keys()
    assert new != old
    assert _run(home, "check", "--quiet").exit == 0


@pytest.mark.parametrize("option", ["--report", "--junit", "--proof"])
def test_a_report_that_cannot_be_written_is_told(home: Path, option: str) -> None:
    closed = home / "closed"
    closed.mkdir()
    closed.chmod(0o555)
    run = _run(home, "apply", "--quiet", f"{option}={closed / 'report'}")
    assert run.exit == 3
    assert len(_lines(run)) == 1, run.said
    assert "could not be written" in run.said
    assert (home / "fixed" / "front-10.svg").is_file()


def test_what_cannot_be_read_is_told_by_those_who_look(home: Path) -> None:
    (home / "front-10.svg").chmod(0o000)
    for command in ("inspect", "start"):
        run = in_a_child([command, str(home / "front-10.svg")], home.parent, become_ordinary)
        assert run.exit == 3
        assert len(_lines(run)) == 1, run.said
        assert "ermission denied" in run.said


def test_a_full_disk_keeps_the_old_set(home: Path) -> None:
    size = sum(len(data) for data in bytes_of(home).values()) + 40_000
    small = home.parent / "small"
    small.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(small)]
    try:
        mounted = subprocess.run(mount, capture_output=True, check=False).returncode == 0
    except OSError:
        mounted = False
    if not mounted:
        pytest.skip("no small disk can be mounted here")
    try:
        design = small / "home"
        shutil.copytree(home, design)
        give_over(design)
        first = _run(design, "apply", "--quiet")
        filler = small / "filler"
        if first.exit == 3:
            assert not (design / "fixed").exists()
        while first.exit == 3:
            subprocess.run([*mount[:4], f"remount,size={size}", *mount[5:]], check=True)
            size += 20_000
            first = _run(design, "apply", "--quiet")
        old = bytes_of(design / "fixed")
        rules = design / "summer.gape.yaml"
        rules.write_text(rules.read_text().replace("removed: 20", "removed: 16"))
        with filler.open("wb") as stream:
            left = os.statvfs(small).f_bavail * os.statvfs(small).f_frsize
            stream.write(bytes(max(0, left - 30_000)))
        run = _run(design, "apply", "--quiet")
        assert run.exit == 3, run.said
        assert len(_lines(run)) == 1, run.said
        assert "No space left" in run.said
        assert bytes_of(design / "fixed") == old
        filler.unlink()
        subprocess.run([*mount[:4], "remount,size=10m", *mount[5:]], check=True)
        assert _run(design, "apply", "--quiet").exit == 0
    finally:
        subprocess.run(["umount", str(small)], check=True)
