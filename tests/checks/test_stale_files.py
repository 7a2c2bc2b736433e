"""What `check` finds in the output folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from rules.model import Rules
from rules.problems import UngapeError
from transform.checks.stale import differing, stale_files
from transform.files.ledger import LEDGER
from transform.files.output import NewFile, Output, write_files
from transform.files.staging import STAGE

SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
    b'<path id="hem" d="M 0,0 L 1,1"/></svg>'
)
POINTER = b"version https://git-lfs.github.com/spec/v1\noid sha256:0\nsize 1\n"
FILES = [NewFile("a.svg", SVG, copied=False), NewFile("b.svg", SVG, copied=True)]
NAMES = ["a.svg", "b.svg"]


@pytest.fixture
def output(tmp_path: Path) -> Output:
    found = Output(tmp_path / "fixed", tmp_path / "x.gape.yaml")
    write_files(found, FILES, replace=False)
    return found


def kinds(output: Output, names: list[str] | None = None) -> list[str]:
    found = list(stale_files(output, Rules(file="x", design="summer"), FILES, names or NAMES))
    assert all(problem.exit == 1 for problem in found)
    return [problem.kind for problem in found]


def test_what_was_written_is_not_stale(output: Output) -> None:
    assert kinds(output) == []


def test_a_changed_file_is_stale_and_tells_where(output: Output) -> None:
    (output.out / "a.svg").write_bytes(SVG.replace(b"1,1", b"1,1.5"))
    assert kinds(output) == ["stale file"]
    (line,) = differing(output, Rules(file="x"), FILES)
    assert line == f"{output.out / 'a.svg'}: hem (line 1): command 2 (L): 0.500 mm"


def test_other_digits_are_not_stale(output: Output) -> None:
    (output.out / "a.svg").write_bytes(SVG.replace(b"1,1", b"1,1.001"))
    assert kinds(output) == []
    assert list(differing(output, Rules(file="x"), FILES)) == []


def test_a_pointer_in_the_place_of_a_file_is_called_so(output: Output) -> None:
    (output.out / "a.svg").write_bytes(POINTER)
    (problem,) = stale_files(output, Rules(file="x"), FILES, NAMES)
    assert (problem.kind, problem.file) == ("stale file", "fixed/a.svg")
    assert problem.text.startswith("fixed/a.svg is a Git LFS pointer")
    with pytest.raises(UngapeError, match=r"a.svg is a Git LFS pointer.*--replace") as caught:
        write_files(output, FILES, replace=False)
    assert [p.kind for p in caught.value.problems] == ["edited file"]
    (output.out / LEDGER).write_bytes(POINTER)
    with pytest.raises(UngapeError, match="wrote into the folder, and is a Git LFS"):
        write_files(output, FILES, replace=False)
    write_files(output, FILES, replace=True)
    assert kinds(output) == []


def test_a_missing_file_is_told(output: Output) -> None:
    (output.out / "b.svg").unlink()
    assert kinds(output) == ["missing file"]
    assert list(differing(output, Rules(file="x"), FILES)) == []


def test_a_folder_that_is_missing_has_no_file(tmp_path: Path) -> None:
    assert kinds(Output(tmp_path / "nowhere", tmp_path / "x")) == ["missing file", "missing file"]


def test_a_file_that_is_no_more_written_is_left_over(output: Output) -> None:
    write_files(output, [NewFile("old.svg", SVG, copied=False)], replace=False)
    assert kinds(output) == ["left-over file"]
    assert kinds(output, [*NAMES, "old.svg"]) == []


def test_a_broken_ledger_and_an_unfinished_run_are_told(output: Output) -> None:
    (output.out / LEDGER).write_bytes(b"{")
    (output.out / STAGE).mkdir()
    (output.out / STAGE / "journal.json").write_bytes(b"{}")
    assert kinds(output) == ["unfinished run", "broken ledger"]
