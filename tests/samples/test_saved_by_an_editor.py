"""Each sample style, opened and saved by a vector editor, is altered with the same result.

The files in ``saved`` are sample files as Inkscape 1.2.2 saved them; they are drawn anew with
``inkscape samples/NAME --export-type=svg --export-filename=tests/samples/saved/NAME``.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.small_designs import run_design
from transform.designs.orders import Options
from transform.report.facts import DesignFacts
from transform.svg.document import read_document
from transform.svg.labels import label_of
from transform.svg.note import read_note

SAVED = Path(__file__).parent / "saved"
SAMPLES = Path(__file__).parents[2] / "samples"
CASES = [
    ("wrap-blouse", "wrap-blouse-12.svg", ("12",)),
    ("shell", "shell.svg", ()),
    ("choir-bodice", "choir-bodice-centre-front-panel.svg", ()),
]


def figures(facts: DesignFacts) -> dict[tuple[str, str | None, str], tuple[float, ...]]:
    return {
        (size.size, fact.name, fact.piece): (
            fact.angle,
            fact.edge_before,
            fact.edge_after,
            fact.stagger,
            *(one.intake_after for one in fact.opened),
        )
        for size in facts.sizes
        for fact in size.removals
    }


@pytest.mark.parametrize(("folder", "name", "sizes"), CASES)
def test_saved_by_an_editor(folder: str, name: str, sizes: tuple[str, ...], tmp_path: Path) -> None:
    results = []
    for saved in (False, True):
        place = tmp_path / str(saved)
        shutil.copytree(SAMPLES / folder, place, ignore=shutil.ignore_patterns("fixed"))
        if saved:
            shutil.copy(SAVED / name, place / name)
        (rules,) = place.glob("*.gape.yaml")
        facts = run_design(rules, Options(writes=True, sizes=sizes))
        assert facts.problems == ()
        results.append(figures(facts))
    plain, edited = results
    assert plain.keys() == edited.keys()
    for key, values in plain.items():
        assert edited[key] == pytest.approx(values, abs=2e-3), key


@pytest.mark.skipif(shutil.which("inkscape") is None, reason="no vector editor on this machine")
def test_an_altered_file_opens_in_the_editor_again_with_its_layers(tmp_path: Path) -> None:
    place = tmp_path / "design"
    shutil.copytree(SAMPLES / "wrap-blouse", place, ignore=shutil.ignore_patterns("fixed"))
    (rules,) = place.glob("*.gape.yaml")
    assert run_design(rules, Options(writes=True, sizes=("12",))).problems == ()
    altered = place / "fixed" / "wrap-blouse-12.svg"
    again = tmp_path / "again.svg"
    command = ["inkscape", str(altered), "--export-type=svg", f"--export-filename={again}"]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    before, after = (read_document(file.read_bytes(), file.name) for file in (altered, again))
    labels = [[label_of(d, i) for i in d.elements if label_of(d, i)] for d in (before, after)]
    assert set(labels[0]) <= set(labels[1])
    assert read_note(after) == read_note(before)
