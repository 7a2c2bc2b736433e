"""A set of files put in place by letting the folder change names with a copy of itself."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from rules.problems import UngapeError
from tests.files.test_staging import NEW, OLD, can_exchange
from tests.small_designs import bytes_of
from transform.files import exchange as exchanging
from transform.files import swapping
from transform.files.exchange import exchange
from transform.files.staging import recover, write_set
from transform.files.swapping import STAGE

pytestmark = pytest.mark.skipif(not can_exchange(), reason="two folders cannot change names here")


@pytest.fixture
def out(tmp_path: Path) -> Path:
    folder = tmp_path / "fixed"
    folder.mkdir()
    write_set(folder, OLD)
    return folder


def swapped(out: Path, new: dict[str, bytes] = NEW, hold: bool = True) -> bool:
    """Write a set; whether the folder itself was replaced."""
    before = out.stat().st_ino
    write_set(out, new, new, lambda _: hold)
    assert bytes_of(out).items() >= new.items()
    assert {path.name for path in out.parent.iterdir()} <= {"fixed", "link"}
    return out.stat().st_ino != before


def test_the_folder_is_replaced_as_a_whole(out: Path) -> None:
    assert swapped(out)


def test_what_does_not_change_is_the_very_same_file(out: Path) -> None:
    (out / "mine.txt").write_text("mine")
    before = {name: (out / name).stat() for name in ("mine.txt", "b.svg")}
    out.chmod(0o2750)
    assert swapped(out, {"a.svg": b"new a"})
    for name, status in before.items():
        found = (out / name).stat()
        assert (found.st_ino, found.st_mtime_ns, found.st_nlink) == (status.st_ino, status.st_mtime_ns, 1)
    assert out.stat().st_mode & 0o7777 == 0o2750


def test_a_folder_reached_by_a_link_is_replaced_where_it_is(out: Path) -> None:
    link = out.parent / "link"
    link.symlink_to(out)
    assert swapped(link)
    assert link.is_symlink()
    assert bytes_of(out) == NEW


@pytest.mark.parametrize("what", ["folder", "link", "pipe", "many", "held", "begun in", "no link", "taken"])
def test_what_cannot_be_in_two_places_bars_the_way(
    out: Path, what: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if what == "folder":
        (out / "theirs").mkdir()
    elif what == "link":
        (out / "theirs").symlink_to(out)
    elif what == "pipe":
        os.mkfifo(out / "theirs")
    elif what == "many":
        monkeypatch.setattr(swapping, "_MOST_FILES", 1)
    elif what == "begun in":
        monkeypatch.chdir(out)
    elif what == "no link":

        def refused(*args: object, **named: object) -> None:
            raise PermissionError(1, "no links here")

        monkeypatch.setattr(os, "link", refused)
    elif what == "taken":
        (out.parent / ".fixed.ungape-swap").write_text("in the way")
        write_set(out, NEW)
        (out.parent / ".fixed.ungape-swap").unlink()
    assert not swapped(out, hold=what != "held") or what == "taken"
    if what in ("folder", "link", "pipe"):
        assert os.path.lexists(out / "theirs")


@pytest.mark.parametrize("how", ["edited", "added", "deleted", "replaced"])
def test_a_folder_that_changes_at_that_moment_is_left_alone(
    out: Path, how: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[bool] = []

    def late(one: Path, other: Path) -> bool:
        if not asked:
            if how == "edited":
                (out / "b.svg").write_bytes(b"edited by hand")
            elif how == "added":
                (out / "z.svg").write_bytes(b"added")
            elif how == "replaced":
                (out / "b.tmp").write_bytes(OLD["b.svg"])
                (out / "b.tmp").replace(out / "b.svg")
            else:
                (out / "b.svg").unlink()
        asked.append(True)
        return exchange(one, other)

    monkeypatch.setattr(swapping, "exchange", late)
    with pytest.raises(UngapeError) as caught:
        write_set(out, NEW, NEW)
    assert [(p.kind, p.exit) for p in caught.value.problems] == [("edited file", 3)]
    assert (out / "a.svg").read_bytes() == OLD["a.svg"]
    assert not (out / "c").exists()
    assert (out / "b.svg").exists() == (how != "deleted")
    assert [path.name for path in out.parent.iterdir()] == ["fixed"]


def test_what_was_added_to_the_old_folder_is_kept_by_the_next_run(out: Path) -> None:
    old = out.parent / ".fixed.ungape-swap"
    (old / STAGE).mkdir(parents=True)
    (old / "a.svg").write_bytes(b"what it was")
    (old / "sub").mkdir()
    (old / "sub" / "late.txt").write_bytes(b"just added")
    assert recover(out)
    assert bytes_of(out) == OLD | {"sub/late.txt": b"just added"}
    assert not old.exists()
    assert not recover(out)


def test_a_copy_that_was_never_used_is_cleared_away(out: Path) -> None:
    (out.parent / ".fixed.ungape-swap").mkdir()
    (out.parent / ".fixed.ungape-swap" / "z.svg").write_bytes(b"z")
    assert recover(out)
    assert bytes_of(out.parent) == {f"fixed/{name}": data for name, data in OLD.items()}


def test_a_link_in_its_place_is_left_alone(out: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (elsewhere / "precious").write_bytes(b"x")
    (out.parent / ".fixed.ungape-swap").symlink_to(elsewhere)
    assert not recover(out)
    write_set(out, NEW, NEW)
    assert bytes_of(out) == NEW
    assert bytes_of(elsewhere) == {"precious": b"x"}


def test_systems_that_cannot_exchange_say_no(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert not exchange(tmp_path / "nothing", tmp_path / "nothing either")
    monkeypatch.setattr(exchanging.ctypes, "CDLL", lambda name: object())
    assert not exchange(tmp_path, tmp_path)
    monkeypatch.setattr(sys, "platform", "darwin")
    assert not exchange(tmp_path, tmp_path)
