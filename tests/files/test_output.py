"""What may be written into the output folder, and what stands there that should not."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

import pytest

from rules.problems import UngapeError
from tests.small_designs import bytes_of
from transform.files import output as module
from transform.files.ledger import LEDGER, read_ledger
from transform.files.output import (
    NewFile,
    Output,
    OutputError,
    left_over,
    refuse_foreign,
    refuse_sources,
    unfinished,
    write_files,
)
from transform.files.patterns import PatternFile
from transform.files.staging import STAGE

FILES = [NewFile("a.svg", b"<a/>", copied=False), NewFile("b.svg", b"<b/>", copied=True)]


@pytest.fixture
def output(tmp_path: Path) -> Output:
    rules = tmp_path / "x.gape.yaml"
    rules.write_text("rules")
    return Output(tmp_path / "fixed", rules)


def kinds(caught: pytest.ExceptionInfo[UngapeError]) -> list[tuple[str, int]]:
    return [(problem.kind, problem.exit) for problem in caught.value.problems]


def changed(name: str = "a.svg", content: bytes = b"<new/>") -> list[NewFile]:
    return [NewFile(name, content, copied=False)]


def test_a_set_is_written_with_its_ledger(output: Output) -> None:
    assert write_files(output, FILES, replace=False) == 2
    assert bytes_of(output.out).keys() == {"a.svg", "b.svg", LEDGER}
    ledger = read_ledger(output.out)
    assert ledger["b.svg"].copied
    assert not ledger["a.svg"].copied
    assert ledger["a.svg"].design == "../x.gape.yaml"
    assert ledger["a.svg"].sha256 == FILES[0].sha256


def test_written_again_nothing_is_touched(output: Output) -> None:
    write_files(output, FILES, replace=False)
    before = {path: path.stat().st_mtime_ns for path in output.out.iterdir()}
    assert write_files(output, FILES, replace=False) == 0
    assert {path: path.stat().st_mtime_ns for path in output.out.iterdir()} == before


def test_what_it_wrote_it_may_overwrite(output: Output) -> None:
    write_files(output, FILES, replace=False)
    assert write_files(output, changed(), replace=False) == 1
    assert (output.out / "a.svg").read_bytes() == b"<new/>"
    assert set(read_ledger(output.out)) == {"a.svg", "b.svg"}


def test_a_file_that_is_gone_leaves_the_ledger(output: Output) -> None:
    write_files(output, FILES, replace=False)
    (output.out / "b.svg").unlink()
    write_files(output, FILES[:1], replace=False)
    assert set(read_ledger(output.out)) == {"a.svg"}


@pytest.mark.parametrize("dry", [True, False])
def test_a_foreign_file_stops_the_whole_set(output: Output, dry: bool) -> None:
    output.out.mkdir()
    (output.out / "b.svg").write_bytes(b"mine")
    work = refuse_foreign if dry else write_files
    with pytest.raises(OutputError) as caught:
        work(output, FILES, replace=False)
    assert kinds(caught) == [("not ours", 3)]
    assert bytes_of(output.out) == {"b.svg": b"mine"}
    assert write_files(output, FILES, replace=True) == 2


def test_a_file_with_a_note_that_the_ledger_does_not_list_is_told_as_what_it_is(output: Output) -> None:
    output.out.mkdir()
    (output.out / "b.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><metadata><n:note xmlns:n="urn:ungape:note">'
        '{"ungape_note": 1, "design": "summer", "removals": []}</n:note></metadata></svg>'
    )
    with pytest.raises(OutputError, match="carries a note of ungape") as caught:
        write_files(output, FILES, replace=False)
    assert kinds(caught) == [("not ours", 3)]
    (output.out / "b.svg").write_text("<svg/>")
    with pytest.raises(OutputError, match="was not written by ungape"):
        write_files(output, FILES, replace=False)


def test_an_edited_file_stops_the_whole_set(output: Output) -> None:
    write_files(output, FILES, replace=False)
    (output.out / "a.svg").write_bytes(b"edited")
    before = bytes_of(output.out)
    with pytest.raises(OutputError, match="edited since") as caught:
        write_files(output, [*changed("c.svg"), *changed()], replace=False)
    assert kinds(caught) == [("edited file", 3)]
    assert bytes_of(output.out) == before


def test_a_file_that_is_there_already_as_it_would_be_written_stops_nothing(output: Output) -> None:
    output.out.mkdir()
    (output.out / "a.svg").write_bytes(b"<a/>")
    assert write_files(output, FILES, replace=False) == 1


def test_a_file_of_another_design_stops_it(output: Output) -> None:
    write_files(output, FILES, replace=False)
    other = Output(output.out, output.rules.with_name("y.gape.yaml"))
    with pytest.raises(OutputError, match=r"written by \.\./x\.gape\.yaml") as caught:
        write_files(other, changed(), replace=False)
    assert kinds(caught) == [("written by another design", 3)]
    assert write_files(other, changed("c.svg"), replace=False) == 1
    assert list(left_over(output, "", ["a.svg"])) == ["b.svg"]
    # The rules file was renamed: what it wrote is still its own.
    output.rules.rename(other.rules)
    assert write_files(other, changed(), replace=False) == 1


def test_a_folder_where_a_file_should_be_stops_it_even_with_replace(output: Output) -> None:
    (output.out / "a.svg").mkdir(parents=True)
    with pytest.raises(OutputError) as caught:
        write_files(output, FILES, replace=True)
    assert kinds(caught) == [("not ours", 3)]


def test_a_broken_ledger_stops_it_unless_replaced(output: Output) -> None:
    write_files(output, FILES, replace=False)
    (output.out / LEDGER).write_bytes(b"{")
    with pytest.raises(UngapeError) as caught:
        write_files(output, changed(), replace=False)
    assert kinds(caught) == [("broken ledger", 3)]
    assert write_files(output, changed(), replace=True) == 1
    assert set(read_ledger(output.out)) == {"a.svg"}


def test_a_disk_that_refuses_leaves_no_folder(output: Output, monkeypatch: pytest.MonkeyPatch) -> None:
    def refusing(*args: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(module, "write_set", refusing)
    deep = Output(output.out / "deep" / "er", output.rules)
    with pytest.raises(OutputError, match="No space") as caught:
        write_files(deep, FILES, replace=False)
    assert kinds(caught) == [("cannot write", 3)]
    assert not output.out.exists()


def test_an_interrupt_leaves_no_folder(output: Output, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*args: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(module, "write_set", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_files(output, FILES, replace=False)
    assert not output.out.exists()


def test_a_folder_that_was_there_stays(output: Output, monkeypatch: pytest.MonkeyPatch) -> None:
    output.out.mkdir()
    monkeypatch.setattr(module, "write_set", lambda *args: (_ for _ in ()).throw(OSError(5, "bad")))
    with pytest.raises(OutputError):
        write_files(output, FILES, replace=False)
    assert output.out.exists()


def source(path: Path, target: str = "a.svg") -> list[PatternFile]:
    return [PatternFile(path, path.name, target)]


def refused(output: Output, sources: Sequence[PatternFile]) -> list[tuple[str, int]]:
    try:
        refuse_sources(output, sources)
    except UngapeError as error:
        return [(problem.kind, problem.exit) for problem in error.problems]
    return []


def test_the_folder_of_the_sources_is_refused_by_any_spelling(tmp_path: Path) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    path = folder / "a.svg"
    path.write_bytes(b"<a/>")
    rules = tmp_path / "x.gape.yaml"
    (tmp_path / "link").symlink_to(folder)
    over = [("output over source", 3)]
    assert refused(Output(folder, rules), source(path)) == over
    assert refused(Output(tmp_path / "fixed" / ".." / "in", rules), source(path)) == over
    assert refused(Output(tmp_path / "link", rules), source(path)) == over
    assert refused(Output(tmp_path / "fixed", rules), source(path)) == []
    assert refused(Output(folder / "fixed", rules), source(path)) == []
    assert refused(Output(tmp_path, rules), source(path)) == []


def test_a_link_to_a_source_in_the_folder_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    path.write_bytes(b"<a/>")
    out = tmp_path / "fixed"
    out.mkdir()
    os.link(path, out / "a.svg")
    assert refused(Output(out, tmp_path / "x"), source(path)) == [("output over source", 3)]
    (out / "a.svg").unlink()
    (out / "a.svg").symlink_to(path)
    assert refused(Output(out, tmp_path / "x"), source(path)) == [("output over source", 3)]


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    path.write_bytes(b"<a/>")
    assert refused(Output(path, tmp_path / "x"), []) == [("output is no folder", 3)]


def test_left_over_files_are_known_by_ledger_or_note(output: Output) -> None:
    write_files(output, FILES, replace=False)
    note = (
        '<svg xmlns="http://www.w3.org/2000/svg"><metadata><n:note xmlns:n="urn:ungape:note">'
        '{"ungape_note": 1, "design": "summer", "removals": []}</n:note></metadata></svg>'
    )
    (output.out / "noted.svg").write_text(note)
    (output.out / "other.svg").write_text(note.replace("summer", "winter"))
    (output.out / "foreign.svg").write_text("<svg/>")
    (output.out / "broken.svg").write_text("<svg")
    assert list(left_over(output, "summer", ["a.svg"])) == ["b.svg", "noted.svg"]
    assert list(left_over(output, "", ["a.svg"])) == ["b.svg"]
    assert list(left_over(output, "summer", ["a.svg", "b.svg", "noted.svg"])) == []


def test_an_unfinished_run_is_seen(output: Output) -> None:
    (output.out / STAGE).mkdir(parents=True)
    assert not unfinished(output)
    (output.out / STAGE / "journal.json").write_text('{"renames": []}')
    assert unfinished(output)
    write_files(output, FILES, replace=False)
    assert not unfinished(output)


def test_on_another_drive_the_ledger_has_the_whole_path(
    output: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    def other_drive(*args: object) -> str:
        raise ValueError

    monkeypatch.setattr(os.path, "relpath", other_drive)
    assert Path(output.design).is_absolute()


def test_a_link_under_another_name_is_refused_too(tmp_path: Path) -> None:
    one, other = tmp_path / "a.svg", tmp_path / "b.svg"
    one.write_bytes(b"<a/>")
    other.write_bytes(b"<b/>")
    out = tmp_path / "fixed"
    out.mkdir()
    os.link(one, out / "b.svg")
    files = [*source(one), *source(other, "b.svg")]
    assert refused(Output(out, tmp_path / "x"), files) == [("output over source", 3)]


@pytest.mark.parametrize("replace", [True, False])
@pytest.mark.parametrize("what", ["dangling link", "link", "pipe"])
def test_what_is_no_file_is_not_ours_and_is_never_followed(output: Output, what: str, replace: bool) -> None:
    output.out.mkdir()
    precious = output.rules.with_name("precious")
    if what != "dangling link":
        precious.write_bytes(b"x")
    if what == "pipe":
        os.mkfifo(output.out / "a.svg")
    else:
        (output.out / "a.svg").symlink_to(precious)
    if replace:
        assert write_files(output, FILES, replace=True) == 2
        assert bytes_of(output.out)["a.svg"] == b"<a/>"
        assert not (output.out / "a.svg").is_symlink()
    else:
        with pytest.raises(OutputError) as caught:
            write_files(output, FILES, replace=False)
        assert kinds(caught) == [("not ours", 3)]
        assert (output.out / "a.svg").is_symlink() == (what != "pipe")
    assert precious.exists() == (what != "dangling link")
    assert what == "dangling link" or precious.read_bytes() == b"x"


@pytest.mark.parametrize("replace", [True, False])
def test_a_folder_that_leads_out_is_not_written_to(output: Output, replace: bool, tmp_path: Path) -> None:
    output.out.mkdir()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (output.out / "12").symlink_to(elsewhere)
    with pytest.raises(OutputError, match="leads out") as caught:
        write_files(output, changed("12/a.svg"), replace=replace)
    assert kinds(caught) == [("not ours", 3)]
    assert list(elsewhere.iterdir()) == []


def test_a_ledger_that_never_ends_is_a_broken_one(output: Output) -> None:
    output.out.mkdir()
    (output.out / LEDGER).symlink_to("/dev/zero")
    with pytest.raises(UngapeError) as caught:
        write_files(output, FILES, replace=False)
    assert kinds(caught) == [("broken ledger", 3)]
    assert write_files(output, FILES, replace=True) == 2
    assert read_ledger(output.out).keys() == {"a.svg", "b.svg"}
