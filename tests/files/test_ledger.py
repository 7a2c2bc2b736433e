"""The ledger of an output folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.problems import UngapeError
from transform.files.ledger import LEDGER, Entry, ledger_bytes, read_ledger

names = st.text(st.characters(codec="utf-8", exclude_characters="/\\\0"), min_size=1).filter(
    lambda name: name not in (".", "..")
)
entries = st.builds(Entry, st.text("0123456789abcdef", min_size=64, max_size=64), names, st.booleans())


@given(st.dictionaries(names, entries))
def test_what_is_written_is_read(found: dict[str, Entry]) -> None:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / LEDGER).write_bytes(ledger_bytes(found))
        assert read_ledger(Path(folder)) == found


def test_the_order_of_files_does_not_matter() -> None:
    one, other = Entry("a" * 64, "x.gape.yaml"), Entry("b" * 64, "x.gape.yaml", copied=True)
    assert ledger_bytes({"a": one, "b": other}) == ledger_bytes({"b": other, "a": one})


def test_a_folder_without_one_has_no_entries(tmp_path: Path) -> None:
    assert read_ledger(tmp_path) == {}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{",
        '{"ungape_ledger": 2, "files": {}}',
        '{"ungape_ledger": 1, "files": []}',
        '{"ungape_ledger": 1, "files": {"a": 1}}',
        '{"ungape_ledger": 1, "files": {"a": {"sha256": 1, "design": "x"}}}',
        '{"ungape_ledger": 1, "files": {"a": {"sha256": "1"}}}',
        '{"ungape_ledger": 1, "files": {"../a": {"sha256": "1", "design": "x"}}}',
        '{"ungape_ledger": 1, "files": {"/a": {"sha256": "1", "design": "x"}}}',
        '{"ungape_ledger": 1, "files": {"": {"sha256": "1", "design": "x"}}}',
        '{"ungape_ledger": 1, "files": {"a\\u0000b": {"sha256": "1", "design": "x"}}}',
        "[" * 100_000,
        b"\xff\xfe",
    ],
)
def test_a_broken_one_is_an_error(text: str | bytes, tmp_path: Path) -> None:
    (tmp_path / LEDGER).write_bytes(text.encode() if isinstance(text, str) else text)
    with pytest.raises(UngapeError) as caught:
        read_ledger(tmp_path)
    assert [(p.kind, p.exit) for p in caught.value.problems] == [("broken ledger", 3)]
