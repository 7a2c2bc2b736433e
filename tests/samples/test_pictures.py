"""The pictures of the README are what the command draws now."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from samples.drafting.rules_in_pictures import pictures

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "samples" / "pictures"
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@pytest.fixture(scope="module")
def drawn() -> dict[str, str]:
    return dict(pictures())


def test_every_picture_is_there_and_is_shown(drawn: dict[str, str]) -> None:
    assert {file.name for file in FOLDER.iterdir()} == set(drawn)
    page = (ROOT / "README.md").read_text("utf-8")
    assert all(f"samples/pictures/{name}" in page for name in drawn)


def test_pictures_are_drawn_as_they_would_be_now(drawn: dict[str, str]) -> None:
    for name, text in drawn.items():
        kept = (FOLDER / name).read_text("utf-8")
        assert _NUMBER.sub("0", kept) == _NUMBER.sub("0", text), name
        ElementTree.fromstring(kept)
        for old, new in zip(_NUMBER.findall(kept), _NUMBER.findall(text), strict=True):
            assert float(old) == pytest.approx(float(new), abs=0.5), name
