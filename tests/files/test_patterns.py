"""Which files a run is about."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

import pytest

from rules.model import Rules
from transform.files.patterns import (
    MissingPatternError,
    PatternFile,
    find_patterns,
    find_rules,
    pattern_file,
)


def touch(folder: Path, *names: str) -> None:
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(name)


def rules(folder: Path, *patterns: str, sizes: Iterable[str] | None = None) -> Rules:
    return Rules(
        file=str(folder / "x.gape.yaml"), patterns=patterns, sizes=tuple(sizes) if sizes is not None else None
    )


def said(found: Iterable[PatternFile]) -> list[tuple[str, str | None, str | None]]:
    return [(file.name, file.size, file.piece) for file in found]


def test_rules_are_found_in_folders_each_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    touch(tmp_path, "a.gape.yaml", "b/c.gape.yaml", "b/d.yaml", ".hidden/e.gape.yaml", "named.yml")
    monkeypatch.chdir(tmp_path)
    found, problems = find_rules([Path()])
    assert [path.as_posix() for path in found] == ["a.gape.yaml", "b/c.gape.yaml"]
    assert problems == ()
    found, _ = find_rules([Path("b"), Path("named.yml"), Path("b/../b/c.gape.yaml")])
    assert [path.as_posix() for path in found] == ["b/c.gape.yaml", "named.yml"]


def test_rules_that_are_not_there_are_told_and_the_others_found(tmp_path: Path) -> None:
    touch(tmp_path, "summer.gape.yaml", "empty/readme.txt")
    found, problems = find_rules(
        [tmp_path / "sumer.gape.yaml", tmp_path / "empty", tmp_path / "no/x.yaml", tmp_path]
    )
    assert [path.name for path in found] == ["summer.gape.yaml"]
    assert [problem.exit for problem in problems] == [2, 2, 2]
    assert "did you mean summer.gape.yaml?" in problems[0].text
    assert "ungape start" in problems[1].text


def test_placeholders_say_size_and_piece(tmp_path: Path) -> None:
    touch(tmp_path, "front-facing-12.svg", "back-12.svg", "back-8.svg", ".back-9.svg", "back-12.txt")
    found = find_patterns(rules(tmp_path, "{piece}-{size}.svg"))
    assert said(found) == [
        ("back-12.svg", "12", "back"),
        ("back-8.svg", "8", "back"),
        ("front-facing-12.svg", "12", "front-facing"),
    ]


def test_listed_sizes_are_the_only_ones_and_spelled_so(tmp_path: Path) -> None:
    touch(tmp_path, "b-xs.svg", "b-XS-old.svg", "b-S.svg", "b-XXS.svg")
    found = find_patterns(rules(tmp_path, "b-{size}.svg", sizes=["XS", "S"]))
    assert said(found) == [("b-S.svg", "S", None), ("b-xs.svg", "XS", None)]


def test_a_placeholder_twice_stands_for_one_text(tmp_path: Path) -> None:
    touch(tmp_path, "10/b-10.svg", "10/b-12.svg", "12/b-12.svg")
    found = find_patterns(rules(tmp_path, "{size}/b-{size}.svg"))
    assert said(found) == [("10/b-10.svg", "10", None), ("12/b-12.svg", "12", None)]
    assert [file.target for file in found] == ["10/b-10.svg", "12/b-12.svg"]


def test_a_file_is_written_under_its_name_below_the_first_placeholder(tmp_path: Path) -> None:
    touch(tmp_path, "in/b-10.svg", "in/all.svg")
    found = find_patterns(rules(tmp_path, "in/b-{size}.svg", "in/all.svg"))
    assert [(file.name, file.target) for file in found] == [
        ("in/b-10.svg", "b-10.svg"),
        ("in/all.svg", "all.svg"),
    ]


def test_what_was_written_is_not_read_again(tmp_path: Path) -> None:
    touch(tmp_path, "10/b.svg", "fixed/b.svg")
    found = find_patterns(rules(tmp_path, "{size}/b.svg"), out=tmp_path / "fixed")
    assert said(found) == [("10/b.svg", "10", None)]


def test_one_file_by_two_patterns_is_one_file(tmp_path: Path) -> None:
    touch(tmp_path, "b-10.svg")
    assert said(find_patterns(rules(tmp_path, "b-10.svg", "b-{size}.svg"))) == [("b-10.svg", None, None)]


def test_every_missing_pattern_is_told_with_what_there_is(tmp_path: Path) -> None:
    touch(tmp_path, "bodice.svg", "b/x.svg", *(f"c/{k:02}.svg" for k in range(14)))
    with pytest.raises(MissingPatternError) as caught:
        find_patterns(
            rules(tmp_path, "bodise.svg", "skirt-{size}.svg", "no/{size}.svg", "c/s{size}.svg", "e.svg")
        )
    texts = [problem.text for problem in caught.value.problems]
    assert [problem.exit for problem in caught.value.problems] == [3] * 5
    assert "did you mean bodice.svg?" in texts[0]
    assert "there is: bodice.svg" in texts[1]
    assert "no folder" in texts[2]
    assert "11.svg and 2 more" in texts[3]


def test_a_folder_without_drawings_is_told(tmp_path: Path) -> None:
    with pytest.raises(MissingPatternError, match="no SVG file"):
        find_patterns(rules(tmp_path, "b.svg"))


def test_a_size_that_one_pattern_lacks_is_an_error(tmp_path: Path) -> None:
    touch(tmp_path, "f-10.svg", "f-12.svg", "b-10.svg", "sleeve.svg")
    with pytest.raises(MissingPatternError, match=r"'b-\{size\}.svg' for size 12"):
        find_patterns(rules(tmp_path, "f-{size}.svg", "b-{size}.svg", "sleeve.svg"))
    with pytest.raises(MissingPatternError, match="for size 14"):
        find_patterns(rules(tmp_path, "f-{size}.svg", sizes=["10", "12", "14"]))
    assert len(find_patterns(rules(tmp_path, "f-{size}.svg", "b-{size}.svg", sizes=["10"]))) == 2


def test_two_files_of_one_name_are_refused(tmp_path: Path) -> None:
    touch(tmp_path, "a/x.svg", "b/x.svg")
    with pytest.raises(MissingPatternError) as caught:
        find_patterns(rules(tmp_path, "a/x.svg", "b/x.svg"))
    assert [problem.kind for problem in caught.value.problems] == ["two files, one name"]


def test_special_characters_stand_for_themselves(tmp_path: Path) -> None:
    touch(tmp_path, "b[1]+(x)-10.svg", "b1-10.svg")
    assert said(find_patterns(rules(tmp_path, "b[1]+(x)-{size}.svg"))) == [("b[1]+(x)-10.svg", "10", None)]


def test_a_file_named_by_itself_is_what_the_rules_say_of_it(tmp_path: Path) -> None:
    touch(tmp_path, "b-10.svg", "other.svg")
    found = rules(tmp_path, "b-{size}.svg")
    assert pattern_file(found, tmp_path / "b-10.svg").size == "10"
    assert pattern_file(found, tmp_path / "other.svg").size is None
    assert pattern_file(rules(tmp_path, "no.svg"), tmp_path / "b-10.svg").size is None


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no links here")
def test_a_link_to_rules_is_the_rules(tmp_path: Path) -> None:
    touch(tmp_path, "a.gape.yaml")
    (tmp_path / "z.gape.yaml").symlink_to(tmp_path / "a.gape.yaml")
    found, _ = find_rules([tmp_path])
    assert len(found) == 1
