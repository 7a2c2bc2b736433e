"""The command as a person meets it: what it does, says and returns."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from importlib import metadata
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jsonschema
import pytest

from rules.reading import read_rules_text
from tests.builders import front
from tests.drawing import group, labelled_piece, page, sizes
from tests.small_designs import (
    REVISION,
    SIDE_SEAM,
    back_file,
    bytes_of,
    front_file,
    make_design,
    rules_text,
)
from transform.command.cli import app
from transform.command.entry import run_guarded
from transform.designs import job, judging, one_design
from transform.svg.document import read_document
from transform.svg.note import read_note

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def plain_terminal(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def design(tmp_path: Path) -> Path:
    return make_design(tmp_path / "wardrobe")


def run(*arguments: str | Path) -> int:
    return run_guarded(app, [str(argument) for argument in arguments])


def report_of(*arguments: str | Path) -> tuple[int, dict[str, Any]]:
    code = run(*arguments, "--report", "report.json")
    return code, json.loads(Path("report.json").read_text("utf-8"))


def kinds(report: dict[str, Any]) -> list[str]:
    return [error["kind"] for error in report["errors"]]


def notices(report: dict[str, Any]) -> list[tuple[str, str, bool]]:
    return [
        (size["size"], notice["kind"], notice["accepted"])
        for found in report["designs"]
        for size in found["sizes"]
        for notice in size["notices"]
    ]


# apply ------------------------------------------------------------------------------------------


def test_apply_writes_the_whole_set(design: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sources = bytes_of(design.parent)
    code, report = report_of("apply", design, "--junit", "junit.xml")
    assert code == 0
    assert report["ok"] is True
    (found,) = report["designs"]
    assert (found["rules"], found["design"]) == ("summer.gape.yaml", "summer bodice")
    assert [size["size"] for size in found["sizes"]] == ["10", "12"]
    assert [(f["from"], f["to"]) for f in found["sizes"][1]["files"]] == [
        ("front-12.svg", "fixed/front-12.svg"),
        ("back-12.svg", "fixed/back-12.svg"),
    ]
    assert found["sizes"][0]["removals"][0]["removed"] == 20.0
    assert found["sizes"][0]["seams"][0]["holds"] is True
    out = design.parent / "fixed"
    assert sorted(bytes_of(out)) == [
        ".ungape.json",
        *(f"{p}-{s}.svg" for p in ("back", "front") for s in (10, 12)),
    ]
    assert (out / "back-10.svg").read_bytes() == (design.parent / "back-10.svg").read_bytes()
    assert (out / "front-10.svg").read_bytes() != (design.parent / "front-10.svg").read_bytes()
    assert {n: b for n, b in bytes_of(design.parent).items() if not n.startswith("fixed/")} == sources
    assert ElementTree.parse("junit.xml").getroot().attrib["failures"] == "0"
    said = capsys.readouterr()
    assert said.out == ""
    assert "summer bodice: 4 files in" in said.err


def test_the_same_sources_give_the_same_bytes_whatever_the_jobs(design: Path) -> None:
    assert run("apply", design, "--quiet") == 0
    first = bytes_of(design.parent / "fixed")
    for jobs in ("1", "2", "3"):
        shutil.rmtree(design.parent / "fixed")
        code, _ = report_of("apply", design, "--quiet", "--jobs", jobs)
        assert code == 0
        assert bytes_of(design.parent / "fixed") == first


def test_the_report_is_the_same_whatever_the_jobs(design: Path) -> None:
    (design.parent / "front-10.svg").write_text("<svg", encoding="utf-8")
    design.write_text(design.read_text("utf-8").replace("side seam, from", "moon, from"), encoding="utf-8")
    reports = [report_of("check", design, "--quiet", "--jobs", jobs) for jobs in ("1", "2")]
    assert reports[0] == reports[1]
    assert reports[0][0] == 3
    assert kinds(reports[0][1]) == ["unreadable file", "unknown edge"]


def test_the_note_is_in_what_was_altered(design: Path) -> None:
    run("apply", design)
    document = read_document((design.parent / "fixed" / "front-12.svg").read_bytes(), "x")
    note = json.loads(read_note(document) or "")
    assert note["ungape_note"] == 1
    assert note["removals"][0]["size"] == "12"
    assert "time" not in note
    copied = read_document((design.parent / "fixed" / "back-12.svg").read_bytes(), "x")
    assert read_note(copied) is None


def test_applied_to_its_own_result_it_is_refused_unless_again(
    design: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run("apply", design)
    for name in ("front-10.svg", "front-12.svg"):
        shutil.copy(design.parent / "fixed" / name, design.parent / name)
    before = bytes_of(design.parent)
    code, report = report_of("apply", design)
    assert code == 3
    assert kinds(report) == ["removed already"] * 2
    assert bytes_of(design.parent) == before
    text = design.read_text("utf-8").replace("new dart: bust dart, edge", "new dart: second dart, edge")
    text = text.replace("distance: 60}", "distance: 100}").replace(
        "pivot: apex", "again: yes\n    pivot: apex"
    )
    design.write_text(text, encoding="utf-8")
    assert run("apply", design, "--out", "twice") in (0, 1)
    document = read_document(Path("twice/front-12.svg").read_bytes(), "x")
    assert len(json.loads(read_note(document) or "")["removals"]) == 2


def test_a_dry_run_writes_nothing_and_tells_what_would_stop_it(design: Path) -> None:
    before = bytes_of(design.parent)
    code, report = report_of("apply", design, "--dry-run")
    assert code == 0
    assert report["designs"][0]["sizes"][0]["removals"]
    assert bytes_of(design.parent) == before
    (design.parent / "fixed").mkdir()
    (design.parent / "fixed" / "front-10.svg").write_text("mine")
    code, report = report_of("apply", design, "--dry-run")
    assert (code, kinds(report)) == (3, ["not ours"])


def test_a_file_that_is_not_ours_stops_the_set_unless_replaced(design: Path) -> None:
    run("apply", design)
    edited = design.parent / "fixed" / "front-10.svg"
    edited.write_bytes(edited.read_bytes() + b"\n")
    design.write_text(design.read_text("utf-8").replace("removed: 20", "removed: 21"), encoding="utf-8")
    before = bytes_of(design.parent)
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (3, ["edited file"])
    assert bytes_of(design.parent) == before
    assert run("apply", design, "--replace") == 0
    assert run("check", design) == 0


def test_out_replaces_the_folder(design: Path, tmp_path: Path) -> None:
    code, report = report_of("apply", design, "--out", tmp_path / "elsewhere" / "deep")
    assert code == 0
    assert report["designs"][0]["sizes"][0]["files"][0]["to"] == "../elsewhere/deep/front-10.svg"
    assert not (design.parent / "fixed").exists()
    assert run("check", design, "--out", tmp_path / "elsewhere" / "deep") == 0


def test_out_over_the_sources_is_refused(design: Path) -> None:
    before = bytes_of(design.parent)
    code, report = report_of("apply", design, "--out", design.parent)
    assert code == 3
    assert set(kinds(report)) == {"output over source"}
    assert bytes_of(design.parent) == before


def test_only_the_sizes_asked_for_are_written(design: Path) -> None:
    code, report = report_of("apply", design, "--size", "12")
    assert code == 0
    assert [size["size"] for size in report["designs"][0]["sizes"]] == ["12"]
    assert sorted(bytes_of(design.parent / "fixed")) == [".ungape.json", "back-12.svg", "front-12.svg"]
    assert run("check", design, "--size", "12") == 0
    assert run("check", design) == 1
    assert run("apply", design, "--size", "10") == 0
    assert run("check", design) == 0
    code, report = report_of("apply", design, "--size", "13")
    assert (code, kinds(report)) == (2, ["unknown size"])


def test_a_size_asked_of_a_design_without_sizes_is_told_so(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_text(page(labelled_piece(front())), encoding="utf-8")
    design = tmp_path / "summer.gape.yaml"
    design.write_text(rules_text(patterns="front.svg"), encoding="utf-8")
    assert run("apply", design) == 0
    code, report = report_of("apply", design, "--size", "13")
    assert (code, kinds(report)) == (2, ["unknown size"])
    assert report["errors"][0]["text"] == "--size: there is no size '13'; the files name no sizes"


def test_a_missing_pattern_is_told_with_what_there_is(design: Path) -> None:
    (design.parent / "front-12.svg").unlink()
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (3, ["missing pattern"])
    assert "for size 12" in report["errors"][0]["text"]
    assert not (design.parent / "fixed").exists()


def test_errors_of_the_rules_are_told_at_once_and_other_designs_go_on(
    design: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = tmp_path / "wardrobe" / "bad.gape.yaml"
    bad.write_text("ungape: 1\npaterns: x.svg\nout: fixed\nremovls: []\n", encoding="utf-8")
    code, report = report_of("apply", tmp_path / "wardrobe", "--quiet")
    assert code == 2
    assert [(e["file"], e["line"], e["kind"]) for e in report["errors"]][:2] == [
        ("bad.gape.yaml", 2, "unknown word"),
        ("bad.gape.yaml", 4, "unknown word"),
    ]
    assert (design.parent / "fixed" / "front-10.svg").exists()
    said = capsys.readouterr().err
    assert "wardrobe/bad.gape.yaml:2:1: unknown word" in said
    assert "    paterns: x.svg\n    ^\n" in said


def test_two_designs_that_would_write_one_file_are_both_refused(design: Path) -> None:
    shutil.copy(design, design.with_name("winter.gape.yaml"))
    code, report = report_of("apply", design.parent)
    assert (code, kinds(report)) == (2, ["two designs, one file"] * 2)
    assert not (design.parent / "fixed").exists()


def test_one_result_that_fails_its_own_check_stops_the_set(
    design: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from rules.problems import Problem

    def failing(workings: Any, after: Any) -> tuple[Problem, ...]:
        return (Problem("failed its own check", "it broke", "front-12.svg", exit=4),) * (
            workings[0].piece.size == "12"
        )

    monkeypatch.setattr(judging, "verify", failing)
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (4, ["failed its own check"])
    assert not (design.parent / "fixed").exists()


def test_a_result_that_cannot_be_read_again_is_our_fault(
    design: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(job, "splice", lambda document, edits: b"<svg")
    code, report = report_of("apply", design, "--size", "10")
    assert (code, kinds(report)) == (4, ["failed its own check"])
    assert "fault of ungape" in report["errors"][0]["text"]


def test_a_seam_that_does_not_hold_is_exit_1_and_the_set_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tail = "seams:\n  - join: [front/neckline, back/neckline]\n    tolerance: 0.1\n"
    design = make_design(tmp_path / "wardrobe", tail=tail)
    code, report = report_of("apply", design)
    assert (code, report["ok"], report["errors"]) == (1, False, [])
    assert not report["designs"][0]["sizes"][0]["seams"][0]["holds"]
    assert (design.parent / "fixed" / "front-10.svg").exists()
    assert "seam does not hold: front/neckline is" in capsys.readouterr().err
    assert run("check", design) == 1


# sizes in files ---------------------------------------------------------------------------------


def nested(tmp_path: Path, *names: str, head: str = "", shared: str = "") -> Path:
    """One file that holds several sizes."""
    folder = tmp_path / "nested"
    folder.mkdir()
    body = sizes([(name, labelled_piece(front(size=name))) for name in names])
    (folder / "all.svg").write_text(page(body, shared), encoding="utf-8")
    rules = folder / "summer.gape.yaml"
    rules.write_text(rules_text(patterns="all.svg", head=head), encoding="utf-8")
    return rules


def test_one_file_may_hold_all_sizes(tmp_path: Path) -> None:
    design = nested(tmp_path, "12", "8", "10")
    code, report = report_of("apply", design, "--jobs", "2")
    assert code == 0
    found = report["designs"][0]["sizes"]
    assert [size["size"] for size in found] == ["8", "10", "12"]
    assert len({size["files"][0]["sha256"] for size in found}) == 1
    assert run("check", design) == 0


def test_sizes_that_are_not_listed_stay_as_they_are(tmp_path: Path) -> None:
    design = nested(tmp_path, "8", "10", "12", head='sizes: ["12", "8"]')
    code, report = report_of("apply", design)
    assert code == 0
    assert [size["size"] for size in report["designs"][0]["sizes"]] == ["12", "8"]
    code, report = report_of("apply", design, "--size", "8")
    assert code == 0
    assert ("8", "size left out", False) in notices(report)


def test_a_listed_size_that_no_file_holds_is_an_error(tmp_path: Path) -> None:
    design = nested(tmp_path, "8", head='sizes: ["8", "10"]')
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (3, ["unknown size"])
    assert "there is: 8" in report["errors"][0]["text"]


def test_a_pattern_without_sizes_is_one(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_text(page(labelled_piece(front())), encoding="utf-8")
    design = tmp_path / "summer.gape.yaml"
    design.write_text(rules_text(patterns="front.svg"), encoding="utf-8")
    code, report = report_of("apply", design)
    assert code == 0
    assert [size["size"] for size in report["designs"][0]["sizes"]] == [""]
    assert run("check", design) == 0


def test_a_piece_outside_all_sizes_serves_every_size(design: Path) -> None:
    for size in ("10", "12"):
        (design.parent / f"back-{size}.svg").unlink()
    shutil.copy(design.parent / "front-10.svg", design.parent / "spare.svg")
    back = back_file("10").replace('inkscape:label="size 10"', 'inkscape:label="sheet"')
    (design.parent / "back.svg").write_text(back, encoding="utf-8")
    (design.parent / "notes.svg").write_text(page("<text>Cut two</text>"), encoding="utf-8")
    text = rules_text(patterns='["front-{size}.svg", back.svg, notes.svg]', tail=SIDE_SEAM)
    design.write_text(text, encoding="utf-8")
    for jobs in ("1", "2"):
        code, report = report_of("apply", design, "--jobs", jobs)
        assert code == 0
        for size in report["designs"][0]["sizes"]:
            assert [file["from"] for file in size["files"]][1:] == ["back.svg", "notes.svg"]
            assert size["seams"][0]["holds"]
    assert (design.parent / "fixed" / "back.svg").read_text("utf-8") == back


def test_an_angle_is_kept_from_one_size(design: Path) -> None:
    lower = page(group("size 12", labelled_piece(front("scooped", size="12"))))
    (design.parent / "front-12.svg").write_text(lower, encoding="utf-8")
    kept = design.read_text("utf-8").replace("removed: 20", 'removed: {at: "10", amount: 20, keep: angle}')
    design.write_text(kept, encoding="utf-8")
    for jobs in ("1", "2"):
        code, report = report_of("apply", design, "--jobs", jobs, "--size", "12")
        assert code == 0
        (twelve,) = report["designs"][0]["sizes"]
    _, report = report_of("apply", design)
    ten, other = report["designs"][0]["sizes"]
    assert other == twelve
    angles = [size["removals"][0]["angle_deg"] for size in (ten, other)]
    assert angles[0] == pytest.approx(angles[1], abs=1e-5)
    design.write_text(kept.replace('at: "10"', 'at: "11"'), encoding="utf-8")
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (2, ["unknown size"])
    assert report["errors"][0]["line"] is not None


# revision, accept, strict -----------------------------------------------------------------------


def test_the_revision_is_written_into_what_is_altered(tmp_path: Path) -> None:
    design = make_design(tmp_path / "w", ("10",), tail='revision: {mark: "B", date: 2026-11-25}\n')
    (design.parent / "front-10.svg").write_text(front_file("10", REVISION), encoding="utf-8")
    code, report = report_of("apply", design)
    assert code == 0
    assert ">B 2026-11-25</text>" in (design.parent / "fixed" / "front-10.svg").read_text("utf-8")
    assert "old revision" not in [kind for _, kind, _ in notices(report)]
    design.write_text(rules_text(), encoding="utf-8")
    _, report = report_of("apply", design, "--dry-run")
    assert ("10", "old revision", False) in notices(report)


def test_strict_counts_notices_that_nobody_accepted(tmp_path: Path) -> None:
    design = make_design(tmp_path / "w", ("10",), tail="", removed="26")
    code, report = report_of("apply", design, "--strict")
    assert code == 1
    found = sorted({kind for _, kind, _ in notices(report)})
    assert "large removal" in found
    assert ("10", "forgotten piece", False) in notices(report)
    pieces = {kind: "Back" if kind == "forgotten piece" else "Front" for kind in found}
    accepts = "accept:\n" + "".join(
        f'  - {{kind: {kind}, piece: {piece}, why: "seen"}}\n' for kind, piece in pieces.items()
    )
    design.write_text(rules_text(tail=accepts, removed="26"), encoding="utf-8")
    code, report = report_of("apply", design, "--strict")
    assert code == 0
    assert all(accepted for _, _, accepted in notices(report))


def test_what_does_not_fit_is_told_of_removals_and_seams_at_once(tmp_path: Path) -> None:
    tail = "seams:\n  - join: [front/side sem, back/side seam]\n"
    design = make_design(tmp_path / "w", ("10",), tail=tail)
    design.write_text(design.read_text("utf-8").replace("edge: neckline", "edge: nekline"), encoding="utf-8")
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (3, ["unknown edge", "unknown edge"])
    assert "'side sem' on front" in report["errors"][1]["text"]


def test_a_selector_that_matches_nothing_in_any_file_is_a_notice(tmp_path: Path) -> None:
    tail = 'find: {"front/notches": "#nowhere", "front/darts": "[none]"}\n'
    design = make_design(tmp_path / "w", tail=tail)
    _, report = report_of("apply", design)
    told = [
        notice["text"].split(" matches")[0]
        for size in report["designs"][0]["sizes"]
        for notice in size["notices"]
        if notice["kind"] == "found nothing"
    ]
    assert told == ["find: front/notches: '#nowhere'", "find: front/darts: '[none]'"]
    _, report = report_of("apply", design, "--size", "12")
    assert "found nothing" not in [kind for _, kind, _ in notices(report)]


def test_an_acceptance_that_meets_nothing_is_a_notice(tmp_path: Path) -> None:
    tail = "accept:\n  - {kind: old revision, why: seen}\n"
    design = make_design(tmp_path / "w", tail=tail)
    _, report = report_of("apply", design)
    assert [n for n in notices(report) if n[1] == "accepted nothing"] == [("10", "accepted nothing", False)]
    _, report = report_of("apply", design, "--size", "12")
    assert "accepted nothing" not in [kind for _, kind, _ in notices(report)]


def test_a_kind_that_does_not_exist_cannot_be_accepted(tmp_path: Path) -> None:
    design = make_design(tmp_path / "w", tail="accept:\n  - {kind: wide drat, why: seen}\n")
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (2, ["unknown word"])
    assert "did you mean `wide dart`?" in report["errors"][0]["text"]


# check ------------------------------------------------------------------------------------------


def test_check_finds_stale_missing_and_left_over_files(
    design: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("check", design) == 1
    run("apply", design)
    assert run("check", design) == 0
    before = bytes_of(design.parent)
    capsys.readouterr()
    out = design.parent / "fixed"
    (out / "back-10.svg").unlink()
    stale = (out / "back-12.svg").read_text("utf-8").replace("240,260", "240,262")
    (out / "back-12.svg").write_text(stale, encoding="utf-8")
    (design.parent / "front-12.svg").unlink()
    (design.parent / "back-12.svg").unlink()
    code, report = report_of("check", design, "--diff")
    assert code == 1
    assert kinds(report) == ["missing file", "left-over file", "left-over file"]
    assert capsys.readouterr().out == ""
    shutil.rmtree(design.parent)
    for name, data in before.items():
        (design.parent / name).parent.mkdir(parents=True, exist_ok=True)
        (design.parent / name).write_bytes(data)
    (out / "back-12.svg").write_text(stale, encoding="utf-8")
    code, report = report_of("check", design, "--diff")
    assert (code, kinds(report)) == (1, ["stale file"])
    said = capsys.readouterr()
    assert "size 12 > back > stitching line > side seam" in said.out
    assert "command 1 (M): 2.000 mm" in said.out
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (3, ["edited file"])


def test_apply_tells_what_is_left_over(design: Path) -> None:
    run("apply", design)
    (design.parent / "front-12.svg").unlink()
    (design.parent / "back-12.svg").unlink()
    code, report = report_of("apply", design)
    assert code == 0
    assert [kind for _, kind, _ in notices(report)].count("left-over file") == 2


# faults and interrupts --------------------------------------------------------------------------


def test_an_unexpected_fault_is_one_line_and_a_file(
    design: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def failing(*args: object) -> None:
        raise RuntimeError("no\nsuch luck")

    monkeypatch.setattr(job, "edits_for", failing)
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (70, ["unexpected fault"])
    text = report["errors"][0]["text"]
    assert "while writing the altered pieces into front-10.svg: RuntimeError: no; nothing of this" in text
    trace = Path(text.rpartition(" is in ")[2])
    assert "Traceback" in trace.read_text("utf-8")
    assert trace.is_relative_to(tmp_path)
    said = capsys.readouterr()
    assert "Traceback" not in said.err + said.out
    assert not (design.parent / "fixed").exists()


def test_a_fault_in_a_worker_is_told_the_same_way(design: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(*args: object) -> None:
        raise RuntimeError("no luck")

    monkeypatch.setattr(job, "edits_for", failing)
    code, report = report_of("apply", design, "--jobs", "2")
    assert code == 70
    if sys.platform == "linux":
        assert "while writing the altered pieces into front-10.svg" in report["errors"][0]["text"]


def test_a_fault_outside_any_design_is_told_too(
    design: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def failing(*args: object) -> None:
        raise RuntimeError("no luck")

    monkeypatch.setattr("transform.command.running.prepare", failing)
    code, report = report_of("apply", design)
    assert (code, kinds(report)) == (70, ["unexpected fault"])
    assert "Traceback" not in capsys.readouterr().err


def test_a_trace_that_cannot_be_put_anywhere_is_no_further_fault(
    design: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(*args: object, **kwargs: object) -> None:
        raise OSError(28, "full")

    def broken(*args: object, **kwargs: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("tempfile.mkstemp", failing)
    monkeypatch.setattr(job, "edits_for", broken)
    code, report = report_of("apply", design)
    assert code == 70
    assert "could not be put anywhere" in report["errors"][0]["text"]


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_an_interrupt_reports_what_was_done(design: Path, monkeypatch: pytest.MonkeyPatch, jobs: str) -> None:
    make_design(design.parent / "b")
    begun: list[object] = []
    finished = one_design.carry_out

    def interrupted(*args: Any, **kwargs: Any) -> Any:
        begun.append(args)
        if len(begun) == 2:
            raise KeyboardInterrupt
        return finished(*args, **kwargs)

    monkeypatch.setattr(one_design, "carry_out", interrupted)
    code, report = report_of("apply", design.parent, "--jobs", jobs)
    assert (code, kinds(report)) == (130, ["interrupted"])
    assert len(report["designs"]) == 1
    assert len(list(design.parent.rglob(".ungape.json"))) == 1


def test_an_interrupt_outside_any_design(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*args: object, **kwargs: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("transform.command.looking.inspect_files", interrupted)
    assert run("inspect", "x.svg") == 130


@pytest.mark.skipif(os.name == "nt", reason="signals differ")
def test_a_real_interrupt_ends_the_run_and_its_workers(design: Path) -> None:
    for size in range(14, 44, 2):
        (design.parent / f"front-{size}.svg").write_text(front_file(str(size)), encoding="utf-8")
        (design.parent / f"back-{size}.svg").write_text(back_file(str(size)), encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, "-m", "transform", "apply", str(design), "--jobs", "2", "--report", "r.json"],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stderr=subprocess.PIPE,
        start_new_session=True,
    )
    # Long enough that the command has begun, so short that it has not ended.
    time.sleep(1.2)
    os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=60)
    assert b"Traceback" not in said
    assert process.returncode in (0, 1, 130)
    names = bytes_of(design.parent / "fixed") if (design.parent / "fixed").exists() else {}
    # One that comes while the set goes in waits until it is in: then the design is told, and was written.
    told = json.loads(Path("r.json").read_text("utf-8"))["designs"]
    assert bool(told) == (".ungape.json" in names)
    assert told or process.returncode == 130


# the command line -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "arguments",
    [
        ["appply"],
        ["apply", "--sizze", "12"],
        ["apply", "--jobs", "0"],
        ["apply", "--jobs", "many"],
        ["inspect"],
    ],
)
def test_a_wrong_command_line_is_exit_2_in_the_report_too(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    code, report = report_of(*arguments)
    assert (code, kinds(report)) == (2, ["command line"])
    said = capsys.readouterr()
    assert said.out == ""
    assert "--help`" in said.err


def test_the_report_option_is_found_in_either_spelling() -> None:
    assert run("apply", "--report=other.json", "--junit", "j.xml", "--nonsense") == 2
    assert json.loads(Path("other.json").read_text("utf-8"))["ok"] is False
    assert Path("j.xml").exists()
    assert run("apply", "--nonsense", "--report") == 2


def test_without_a_command_the_help_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert run() == 2
    said = capsys.readouterr()
    assert said.out == ""
    for command in ("apply", "check", "inspect", "start", "schema"):
        assert f"  {command}  " in said.err


def test_no_rules_is_exit_2(capsys: pytest.CaptureFixture[str]) -> None:
    code, report = report_of("apply")
    assert (code, kinds(report)) == (2, ["no rules"])
    assert run("check", "nowhere.gape.yaml") == 2
    assert "ungape start" in capsys.readouterr().err


def test_rules_that_cannot_be_read_are_exit_2(design: Path) -> None:
    if os.name == "nt" or os.geteuid() == 0:
        design.unlink()
        design.mkdir()
        (design / "inner.gape.yaml").mkdir()
        assert run("check", design) == 2
    else:
        design.chmod(0)
        assert run("check", design) == 2


def test_help_and_version_go_to_the_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--help") == 0
    assert run("apply", "--help") == 0
    assert run("--version") == 0
    said = capsys.readouterr()
    assert "--dry-run" in said.out
    *_, own, others = said.out.splitlines()
    assert own.startswith("ungape ")
    for name in ("Python", "numpy", "shapely", "lxml", "PyYAML"):
        assert re.search(rf"\b{name} \d+\.\d+", others), name
    assert said.err == ""


def test_where_it_is_not_installed_it_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def missing(name: str) -> str:
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(metadata, "version", missing)
    assert run("--version") == 0
    assert capsys.readouterr().out == "ungape, not installed\n"


@pytest.mark.skipif(os.name == "nt", reason="pipes differ")
@pytest.mark.parametrize("command", ["schema", "inspect", "start"])
def test_a_reader_that_has_seen_enough_is_no_fault(command: str) -> None:
    Path("x.svg").write_text(front_file("12"), encoding="utf-8")
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "transform", command, *(["x.svg"] if command != "schema" else [])],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=writing,
        stderr=subprocess.PIPE,
        timeout=60,
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.parametrize("wrong", [("out: fixed", "ot: fixed"), ("edge: neckline", "edge: nek"), ("", "")])
@pytest.mark.parametrize("name", ["front-10.svg", "summer.gape.yaml"])
def test_a_report_never_overwrites_a_drawing_though_the_run_did_not_come_to_read_it(
    design: Path, name: str, wrong: tuple[str, str]
) -> None:
    design.write_text(design.read_text("utf-8").replace(*wrong), encoding="utf-8")
    before = bytes_of(design.parent)
    assert run("apply", design, "--quiet", "--report", design.parent / name) == 2
    assert run("apply", design, "--sise", "--report", design.parent / name) == 2
    assert bytes_of(design.parent) == before


def test_two_reports_in_one_file_are_refused_before_anything_is_done(design: Path) -> None:
    code, report = report_of("apply", design, "--quiet", "--junit", "report.json")
    assert code == 2
    assert not (design.parent / "fixed").exists()
    assert report["ungape_report"] == 1


def test_a_report_never_overwrites_what_was_read(design: Path) -> None:
    before = bytes_of(design.parent)
    for path in (design, design.parent / "front-10.svg"):
        assert run("check", design, "--report", path) == 2
    assert bytes_of(design.parent) == before
    assert run("apply", design, "--report", design.parent / "fixed" / "front-10.svg") == 2
    assert run("check", design) == 0


def test_what_is_wrong_in_the_rules_for_every_size_is_told_once(design: Path) -> None:
    steps = "removed: {at: 11, amount: 20, step: 1}"
    design.write_text(design.read_text("utf-8").replace("removed: 20", steps), encoding="utf-8")
    for jobs in ("1", "2"):
        code, report = report_of("apply", design, "--jobs", jobs)
        assert (code, kinds(report)) == (2, ["unknown size"])
        assert "`at` names the size '11'" in report["errors"][0]["text"]


def test_a_report_that_cannot_be_written_is_told(design: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("apply", design, "--report", design.parent) == 3
    assert "could not be written" in capsys.readouterr().err


# inspect, start, schema -------------------------------------------------------------------------


def test_inspect_lists_what_is_there(capsys: pytest.CaptureFixture[str]) -> None:
    Path("x.svg").write_text(front_file("12"), encoding="utf-8")
    assert run("inspect", "x.svg") == 0
    said = capsys.readouterr()
    for line in ("x.svg", "  sizes: 12", "  front, size 12", "      neckline      151.3 mm"):
        assert line in said.out.splitlines()
    assert "neckline to shoulder" in said.out
    assert said.err == ""


def test_inspect_lists_nothing_of_a_file_that_cannot_be_read(capsys: pytest.CaptureFixture[str]) -> None:
    Path("x.svg").write_text(front_file("12"), encoding="utf-8")
    assert run("inspect", "none.svg") == 3
    said = capsys.readouterr()
    assert said.out == ""
    assert "none.svg: unreadable file" in said.err
    assert run("inspect", "none.svg", "x.svg") == 3
    assert capsys.readouterr().out.startswith("x.svg\n")
    assert run("inspect", "--json", "none.svg") == 3
    assert [file["file"] for file in json.loads(capsys.readouterr().out)["files"]] == ["none.svg"]


def test_inspect_prints_json(design: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run("apply", design, "--quiet")
    capsys.readouterr()
    altered = design.parent / "fixed" / "front-12.svg"
    assert run("inspect", "--json", altered, design.parent / "back-10.svg") == 0
    found = json.loads(capsys.readouterr().out)
    assert found["ungape_inspection"] == 1
    one, other = found["files"]
    assert one["sizes"] == ["12"]
    (piece,) = one["pieces"]
    assert [dart["dart"] for dart in piece["darts"]] == ["bust dart"]
    assert piece["darts"][0]["leg_lengths"][0] == pytest.approx(piece["darts"][0]["leg_lengths"][1], abs=0.02)
    assert {mark["role"] for mark in piece["marks"]} == {"apex mark", "grainline", "fold line"}
    assert other["pieces"][0]["piece"] == "back"


def test_names_that_no_text_can_hold_are_escaped(capsys: pytest.CaptureFixture[str]) -> None:
    name = os.fsdecode(b"caf\xe9.svg")
    try:
        Path(name).write_text(front_file("12"), encoding="utf-8")
    except OSError:
        pytest.skip("this file system takes no such name")
    Path("x.gape.yaml").write_text("ungape: 1\npatterns: '{piece}.svg'\nout: fixed\n", encoding="utf-8")
    assert run("inspect", name) == 0
    assert "caf\\udce9.svg" in capsys.readouterr().out
    code, report = report_of("check", "x.gape.yaml")
    assert code in (1, 3)
    assert report["ok"] is False


def test_inspect_tells_darts(design: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run("apply", design, "--quiet")
    capsys.readouterr()
    assert run("inspect", design.parent / "fixed" / "front-12.svg") == 0
    assert (
        "      bust dart  intake 8.9 mm, legs 130.3 mm and 130.3 mm" in capsys.readouterr().out.splitlines()
    )


def test_a_dry_run_after_a_killed_one_does_not_mistake_its_files(design: Path) -> None:
    run("apply", design)
    stage = design.parent / "fixed" / ".ungape-stage"
    stage.mkdir()
    (stage / "journal.json").write_text('{"renames": []}', encoding="utf-8")
    (design.parent / "fixed" / "front-10.svg").write_text("half done", encoding="utf-8")
    assert run("apply", design, "--dry-run") == 0
    code, report = report_of("check", design)
    assert (code, kinds(report)) == (1, ["unfinished run", "stale file"])


def test_inspect_says_how_edges_get_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    line = group("stitching line", '<path d="M0 0H200V300H0Z"/>')
    marks = group("corner marks", '<circle inkscape:label="neck point" cx="0" cy="0" r="3"/>')
    for inner, says in ((line, "draw each edge as a line of its own"), (line + marks, "under `edges` in")):
        (tmp_path / "b.svg").write_text(page(group("front", inner)), encoding="utf-8")
        assert run("inspect", tmp_path / "b.svg") == 0
        assert f"edges: none has a name: {'draw' if inner == line else 'say'}" in (
            said := capsys.readouterr().out
        )
        assert says in said


def test_inspect_reads_under_rules(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = page(labelled_piece(front()).replace('inkscape:label="neckline"', 'inkscape:label="hals"'))
    (tmp_path / "b-12.svg").write_text(text, encoding="utf-8")
    rules = tmp_path / "x.gape.yaml"
    rules.write_text(
        "ungape: 1\npatterns: b-{size}.svg\nout: fixed\nunits: in\nnames: {neckline: hals}\n",
        encoding="utf-8",
    )
    assert run("inspect", "--rules", rules, tmp_path / "b-12.svg") == 0
    said = capsys.readouterr().out
    assert "sizes: 12" in said
    assert "neckline      5.957 in" in said
    assert run("inspect", "--rules", tmp_path / "no.yaml", tmp_path / "b-12.svg") == 2
    rules.write_text("ungape: 1\n", encoding="utf-8")
    assert run("inspect", "--rules", rules, tmp_path / "b-12.svg") == 2


def test_inspect_tells_what_could_not_be_placed_and_what_is_wrong(capsys: pytest.CaptureFixture[str]) -> None:
    stray = group("corner markz", '<rect x="1" y="1" width="1" height="1"/>')
    Path("x.svg").write_text(front_file("12", stray), encoding="utf-8")
    open_line = front_file("12").replace("M 70,0", "M 75,0")
    Path("open.svg").write_text(open_line, encoding="utf-8")
    assert run("inspect", "x.svg", "open.svg", "nothing.svg") == 3
    said = capsys.readouterr()
    assert "could not be placed:" in said.out
    assert "open.svg:" in said.err
    assert "nothing.svg: unreadable file" in said.err
    assert run("inspect", "--json", "open.svg") == 3
    assert json.loads(capsys.readouterr().out)["files"][0]["errors"][0]["file"] == "open.svg"


def test_start_prints_rules_that_can_be_read(design: Path, capsys: pytest.CaptureFixture[str]) -> None:
    files = sorted(design.parent.glob("*.svg"))
    assert run("start", *files) == 0
    said = capsys.readouterr()
    assert said.err == ""
    rules = read_rules_text(said.out, "x")
    assert rules.patterns == ("{piece}-{size}.svg",)
    (design.parent / "new.gape.yaml").write_text(said.out, encoding="utf-8")
    assert run("apply", design.parent / "new.gape.yaml", "--out", "new", "--quiet") == 0
    assert Path("new/front-10.svg").read_bytes() == (design.parent / "front-10.svg").read_bytes()


def test_start_tells_what_cannot_be_read(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("start", "nothing.svg") == 3
    said = capsys.readouterr()
    assert said.out == ""
    assert "unreadable file" in said.err


def test_schema_prints_a_schema_that_takes_the_rules(
    design: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import yaml

    assert run("schema") == 0
    schema = json.loads(capsys.readouterr().out)
    jsonschema.validators.validator_for(schema).check_schema(schema)
    jsonschema.validate(yaml.safe_load(design.read_text("utf-8")), schema)


# start-up ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["apply", "--help"], ["schema", "--help"]])
def test_help_and_version_load_nothing_heavy(arguments: list[str]) -> None:
    code = (
        "import sys; from transform.command.entry import run_guarded; from transform.command.cli import app; "
        f"run_guarded(app, {arguments!r}); "
        "print([m for m in ('numpy', 'lxml', 'shapely', 'rich', 'yaml', 'scipy') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT, timeout=60
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_the_package_can_be_run_as_a_module() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "transform", "--version"], capture_output=True, text=True, cwd=ROOT, timeout=60
    )
    assert done.returncode == 0
    assert done.stdout.startswith("ungape ")


def test_completion_is_offered_for_shells() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "transform"],
        env={**os.environ, "_UNGAPE_COMPLETE": "complete_bash", "COMP_WORDS": "ungape in", "COMP_CWORD": "1"},
        capture_output=True,
        text=True,
        cwd=ROOT,
        timeout=60,
    )
    assert done.stdout.split() == ["inspect"]
