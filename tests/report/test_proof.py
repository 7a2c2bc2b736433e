"""The proof sheet, written by the real command and opened in a real browser."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.builders import front
from tests.drawing import group, labelled_piece, page
from transform.batch import Options, run_design
from transform.report.facts import Report
from transform.report.proof import proof_text

CHROMIUM = shutil.which("chromium")
RULES = """\
ungape: 1
design: "wardrobe <b>& co</b>"
patterns: front.svg
out: fixed
removals:
  - {piece: front, edge: neckline, from: shoulder, distance: 60, removed: 18, pivot: apex,
     opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 60}}
seams:
  - join: [front/side seam, front/side seam]
"""
LOOK = """<script>
addEventListener("load", () => {
  const svg = document.querySelector("svg.piece");
  const seen = (path) => getComputedStyle(path).display !== "none";
  const shown = () => [...svg.querySelectorAll("path")].filter(seen).length;
  const before = svg.getAttribute("viewBox");
  const all = shown();
  document.querySelector("[data-show=before]").click();
  const old = shown();
  document.querySelector("[data-show=after]").click();
  const fresh = shown();
  document.querySelector("[data-zoom]").click();
  const near = svg.getAttribute("viewBox");
  svg.dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowRight", bubbles: true}));
  const right = svg.getAttribute("viewBox");
  document.querySelector('[data-zoom="0"]').click();
  document.title = JSON.stringify({all, old, fresh, near: near !== before, moved: right !== near,
    back: svg.getAttribute("viewBox") === before});
});
</script>"""


def sheet(folder: Path) -> str:
    (folder / "front.svg").write_text(page(group("size 12", labelled_piece(front()))), "utf-8")
    rules = folder / "design.gape.yaml"
    rules.write_text(RULES, "utf-8")
    facts = run_design(rules, Options(writes=True, proof=True))
    assert facts.problems == ()
    return proof_text(Report((facts,)))


def test_the_sheet_says_what_was_done_and_is_by_itself(tmp_path: Path) -> None:
    text = sheet(tmp_path)
    assert "wardrobe &lt;b&gt;&amp; co&lt;/b&gt;" in text
    assert "In one size cloth was taken out at the neckline of the front." in text
    assert "Every seam still fits." in text
    assert "18.0 mm" in text
    assert "edge lost less" in text
    assert "50 mm each way" in text
    assert not re.search(r'(src|href)="', text)
    assert text.count('class="before"') == 2
    assert text == sheet(tmp_path)


def test_a_design_that_failed_is_told(tmp_path: Path) -> None:
    rules = tmp_path / "design.gape.yaml"
    rules.write_text(RULES, "utf-8")
    facts = run_design(rules, Options(writes=True, proof=True))
    text = proof_text(Report((facts,), facts.problems))
    assert "What stopped" in text
    assert "Nothing was taken out." in text


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine")
def test_the_switches_work_in_a_browser(tmp_path: Path) -> None:
    text = sheet(tmp_path).replace("</body>", LOOK + "</body>")
    file = tmp_path / "proof.html"
    file.write_text(text, "utf-8")
    done = subprocess.run(
        [
            str(CHROMIUM),
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            f"--user-data-dir={tmp_path / 'profile'}",
            "--dump-dom",
            file.as_uri(),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    found = json.loads(re.search(r"<title>(.*?)</title>", done.stdout).group(1).replace("&quot;", '"'))  # type: ignore[union-attr]
    assert found["near"]
    assert found["moved"]
    assert found["back"]
    assert found["all"] > found["old"] > 0
    assert found["all"] > found["fresh"] > 0
