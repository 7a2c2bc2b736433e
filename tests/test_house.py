"""The house as DEVELOPERS.md draws it: a room knows only itself and the rooms above it in the table."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
_ROW = re.compile(r"^\| `(?:transform/)?(\w+)` \|", re.MULTILINE)
ROOMS = _ROW.findall((ROOT / "DEVELOPERS.md").read_text("utf-8"))
# What all rooms may need stands beside them and needs none of them.
BESIDE = {path.stem for path in (ROOT / "transform").glob("*.py")} - {"__main__"}


def imported(path: Path) -> Iterator[str]:
    """The modules that a file imports, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, path
            assert node.module is not None, path
            yield from (f"{node.module}.{name.name}" for name in node.names)
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)


def room_of(module: str) -> str | None:
    """The room of a module of ours."""
    parts = module.split(".")
    if parts[0] == "transform":
        return parts[1]
    return "rules" if parts[0] == "rules" else None


def test_the_table_has_every_room() -> None:
    rooms = {path.parent.name for path in (ROOT / "transform").glob("*/__init__.py")} | {"rules"}
    assert sorted(ROOMS) == sorted(rooms)


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_knows_only_the_rooms_above_it(room: str) -> None:
    known = {None, *ROOMS[: ROOMS.index(room) + 1], *BESIDE}
    if room in ("rules", "geometry"):
        known = {None, room}
    folder = ROOT / room if room == "rules" else ROOT / "transform" / room
    strangers = {
        f"{path.relative_to(ROOT)}: {module}"
        for path in folder.rglob("*.py")
        for module in imported(path)
        if room_of(module) not in known
    }
    assert not strangers


def test_what_stands_beside_the_rooms_needs_none_of_them() -> None:
    for name in BESIDE:
        rooms = {room_of(module) for module in imported(ROOT / "transform" / f"{name}.py")}
        assert rooms <= {None, "rules", *BESIDE}, name


def test_altering_never_sees_xml() -> None:
    for path in (ROOT / "transform" / "alter").rglob("*.py"):
        assert not {m for m in imported(path) if m.startswith(("lxml", "xml", "transform.svg"))}, path
