"""The folder of SVG files that nobody here wrote, beside the checkout; tests that need it skip without it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parents[2].parent / "shared" / "realfiles"
needs_realfiles = pytest.mark.skipif(not FOLDER.is_dir(), reason=f"no folder of real files at {FOLDER}")


def files() -> list[Path]:
    """Every SVG file of the folder; empty without it."""
    return sorted(FOLDER.rglob("*.svg"))


def name_of(path: Path) -> str:
    """How a file is called in a test's name."""
    return path.relative_to(FOLDER).as_posix()


def table(name: str) -> list[dict[str, str]]:
    """The rows of a tab-separated table; empty without the folder."""
    path = FOLDER / name
    if not path.is_file():
        return []
    with path.open(newline="", encoding="utf-8") as stream:
        csv.field_size_limit(10**7)
        return list(csv.DictReader(stream, delimiter="\t"))
