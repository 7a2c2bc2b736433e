"""A set of files is put in place as a whole or not at all, whenever the run is killed."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest

from rules.problems import UngapeError
from tests.small_designs import bytes_of
from transform.files import staging, swapping
from transform.files.exchange import exchange
from transform.files.staging import digest_of, is_unfinished, recover, write_set
from transform.files.swapping import STAGE

OLD = {"a.svg": b"old a", "b.svg": b"old b"}
NEW = {"a.svg": b"new a", "b.svg": b"new b", "c/d.svg": b"new d"}


@pytest.fixture(params=["in one step", "by renames"])
def way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """How the set is put in place: in one step where this system can, or by renames from a journal."""
    if request.param == "by renames":
        _by_renames(monkeypatch)
    elif not can_exchange():
        pytest.skip("two folders cannot change names here")
    return str(request.param)


def _by_renames(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(staging, "swap_in", lambda *args: False)


@pytest.fixture
def out(tmp_path: Path) -> Path:
    write_set(tmp_path, OLD)
    return tmp_path


def test_all_files_are_written_and_nothing_else_is_left(out: Path, way: str) -> None:
    assert bytes_of(out) == OLD
    write_set(out, NEW)
    assert bytes_of(out) == NEW
    assert not (out / STAGE).exists()


def can_exchange() -> bool:
    """Whether two folders can change names on this system."""
    with tempfile.TemporaryDirectory() as folder:
        one, other = Path(folder, "one"), Path(folder, "other")
        one.mkdir()
        other.mkdir()
        return exchange(one, other)


def _killed_at(step: int, work: Callable[[], object]) -> bool:
    """Run ``work`` in a process of its own that dies before its ``step``-th change to the disk.

    Whether it died.
    """
    child = os.fork()
    if child == 0:
        left = [step]

        def dying(function: Callable[..., object]) -> Callable[..., object]:
            def counted(*args: object, **kwargs: object) -> object:
                left[0] -= 1
                if left[0] < 0:
                    os._exit(9)
                return function(*args, **kwargs)

            return counted

        for name in ("mkdir", "rename", "replace", "unlink", "link", "fsync", "rmdir", "open", "scandir"):
            setattr(os, name, dying(getattr(os, name)))
        swapping.exchange = dying(swapping.exchange)
        for name in ("replace", "mkdir", "unlink"):
            setattr(Path, name, dying(getattr(Path, name)))
        try:
            work()
        finally:
            os._exit(0)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status) == 9


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be split here")
def test_killed_at_any_step_the_folder_holds_the_old_set_or_the_new_one(tmp_path: Path, way: str) -> None:
    seen = set()
    for step in range(200):
        out = tmp_path / str(step)
        out.mkdir()
        write_set(out, OLD, OLD)
        died = _killed_at(step, lambda out=out: write_set(out, NEW, NEW))
        if way == "in one step" or not is_unfinished(out):
            files = {name: data for name, data in bytes_of(out).items() if not name.startswith(STAGE)}
            assert files in (OLD, NEW)
        assert not (way == "in one step" and is_unfinished(out))
        recover(out)
        found = bytes_of(out)
        assert found in (OLD, NEW)
        assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []
        seen.add(found == NEW)
        if not died:
            break
    else:
        pytest.fail("it never came to an end")
    assert step > 20
    assert seen == {False, True}


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be split here")
def test_recovery_that_is_killed_too_can_be_done_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _by_renames(monkeypatch)
    for step in range(60):
        out = tmp_path / str(step)
        out.mkdir()
        write_set(out, OLD)
        _stop_before_renames(out)
        died = _killed_at(step, lambda out=out: recover(out))
        recover(out)
        assert bytes_of(out) == NEW
        if not died:
            return
    pytest.fail("it never came to an end")


def _stop_before_renames(out: Path) -> None:
    """Leave the folder as a run does that is killed when its journal stands."""
    child = os.fork()
    if child == 0:
        staging.swap_in = lambda *args: False
        staging._make = lambda renames: os._exit(9)
        write_set(out, NEW)
    os.waitpid(child, 0)
    assert is_unfinished(out)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be split here")
def test_a_file_edited_after_the_kill_is_not_overwritten(out: Path) -> None:
    _stop_before_renames(out)
    (out / "b.svg").write_bytes(b"edited")
    with pytest.raises(UngapeError, match="edited since") as caught:
        recover(out)
    assert caught.value.problems[0].exit == 3
    assert (out / "b.svg").read_bytes() == b"edited"
    assert (out / "a.svg").read_bytes() == b"old a"
    assert recover(out, replace=True)
    assert bytes_of(out) == NEW


def test_what_was_staged_without_a_journal_is_cleared_away(out: Path) -> None:
    (out / STAGE).mkdir()
    (out / STAGE / "0").write_bytes(b"half")
    assert recover(out)
    assert bytes_of(out) == OLD
    assert not recover(out)


def test_a_stage_that_is_a_link_is_left_alone(out: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (elsewhere / "precious").write_bytes(b"x")
    (out / STAGE).symlink_to(elsewhere)
    assert not recover(out)
    with pytest.raises(OSError, match="exists"):
        write_set(out, NEW)
    assert bytes_of(elsewhere) == {"precious": b"x"}


@pytest.mark.parametrize("links", [True, False])
def test_a_rename_that_fails_undoes_those_before_it(
    out: Path, monkeypatch: pytest.MonkeyPatch, links: bool
) -> None:
    _by_renames(monkeypatch)
    real = Path.replace

    def failing(self: Path, target: Path) -> Path:
        if target.name == "d.svg":
            raise PermissionError(13, "in use")
        return real(self, target)

    def no_links(*args: object, **named: object) -> None:
        raise OSError(1, "no links here")

    monkeypatch.setattr(Path, "replace", failing)
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    with pytest.raises(PermissionError):
        write_set(out, {"z.svg": b"z", **NEW})
    assert bytes_of(out) == OLD
    assert not is_unfinished(out)


def test_a_disk_that_is_full_changes_nothing(out: Path, way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "no space left")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="space"):
        write_set(out, NEW)
    assert bytes_of(out) == OLD
    assert not (out / STAGE).exists()


def test_the_digest_is_that_of_the_bytes(tmp_path: Path) -> None:
    assert digest_of(tmp_path / "nothing") is None
    (tmp_path / "abc").write_bytes(b"abc")
    # The one-block example of FIPS 180-4.
    known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert digest_of(tmp_path / "abc") == known


@pytest.mark.parametrize(
    "journal",
    [
        "",
        "[]",
        "[" * 100_000,
        '{"renames": [{"staged": "0", "to": "../escaped.svg", "was": null}]}',
        '{"renames": [{"staged": "0", "to": "/tmp/escaped.svg", "was": null}]}',
        '{"renames": [{"staged": "0", "to": "elsewhere/escaped.svg", "was": null}]}',
        '{"renames": [{"staged": "../a.svg", "to": "z.svg", "was": null}]}',
        '{"renames": [{"staged": "0"}]}',
    ],
)
def test_a_journal_that_somebody_else_made_moves_nothing_out_of_the_folder(
    out: Path, tmp_path_factory: pytest.TempPathFactory, journal: str
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (out / "elsewhere").symlink_to(elsewhere)
    (out / STAGE).mkdir()
    (out / STAGE / "0").write_bytes(b"planted")
    (out / STAGE / "journal.json").write_text(journal)
    with pytest.raises(UngapeError) as caught:
        recover(out, replace=True)
    assert [(p.kind, p.exit) for p in caught.value.problems] == [("broken ledger", 3)]
    assert list(elsewhere.iterdir()) == []
    assert not (out.parent / "escaped.svg").exists()
    assert (out / "a.svg").read_bytes() == OLD["a.svg"]


def test_what_is_no_file_has_no_digest(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "nothing")
    (tmp_path / "file").write_bytes(b"x")
    assert digest_of(tmp_path / "pipe") == digest_of(tmp_path / "link") == "no file"
    assert digest_of(tmp_path / "file" / "below") is None
