"""The samples through the real command: altered, every seam holding, no notice that nobody has looked at."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

SAMPLES = Path(__file__).parents[2] / "samples"


def ungape(*arguments: str, folder: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "transform", *arguments]
    root = Path(__file__).parents[2]
    return subprocess.run(
        command, cwd=folder, capture_output=True, text=True, timeout=600, env={"PYTHONPATH": str(root)}
    )


def test_apply_and_check_are_green(tmp_path: Path) -> None:
    place = tmp_path / "samples"
    shutil.copytree(SAMPLES, place, ignore=shutil.ignore_patterns("fixed", "drafting", "__pycache__"))
    report = tmp_path / "report.json"
    proof = tmp_path / "proof.html"
    done = ungape("apply", ".", "--strict", "--report", str(report), "--proof", str(proof), folder=place)
    assert (done.returncode, done.stdout) == (0, ""), done.stderr
    assert "removals" in done.stderr
    told = json.loads(report.read_text("utf-8"))
    assert told["ok"]
    sizes = [size for design in told["designs"] for size in design["sizes"]]
    assert len(told["designs"]) == 3
    assert len(sizes) == 15
    assert all(seam["holds"] for size in sizes for seam in size["seams"])
    assert {r["followed"] for size in sizes for r in size["removals"]} == {True, False}
    assert all(strip["after"] < strip["before"] for size in sizes for strip in size["strips"])
    assert sum(len(size["strips"]) for size in sizes) == 10
    assert proof.stat().st_size < 3_000_000
    checked = ungape("check", ".", "--strict", "--quiet", folder=place)
    assert checked.returncode == 0, checked.stderr
    (place / "shell" / "fixed" / "shell.svg").write_text("<svg/>")
    assert ungape("check", "shell", "--quiet", folder=place).returncode == 1
