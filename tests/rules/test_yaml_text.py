"""Text becomes nodes with their places; what YAML should not do is refused, with either parser."""

from __future__ import annotations

from unittest.mock import patch

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from rules import yaml_text
from rules.model import Position
from rules.problems import Problem, RulesError
from rules.reading import RULES
from rules.yaml_source import LARGEST, OUTERMOST, decode, mended
from rules.yaml_text import Scalar, Table
from tests.rules.loading import load


@pytest.fixture(params=["CSafeLoader", "SafeLoader"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr(yaml_text, "_LOADER", getattr(yaml, request.param))
    return str(request.param)


def problem_of(text: str | bytes) -> Problem:
    with pytest.raises(RulesError) as caught:
        load(decode(text, "f.yaml") if isinstance(text, bytes) else text, "f.yaml")
    return caught.value.problems[0]


def value(text: str) -> Scalar:
    node = load(f"a: {text}\n", "f.yaml")
    assert isinstance(node, Table)
    found = node.get("a")
    assert isinstance(found, Scalar)
    return found


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(
    ("text", "is_null", "is_number", "truth"),
    [
        ("", True, False, None),
        ("~", True, False, None),
        ("null", True, False, None),
        ("''", False, False, None),
        ("'null'", False, False, None),
        ("true", False, False, True),
        ("FALSE", False, False, False),
        ("'true'", False, False, None),
        ("yes", False, False, None),
        ("on", False, False, None),
        ("12", False, True, None),
        ("'12'", False, False, None),
        ("010", False, True, None),
        ("0o14", False, True, None),
        ("0xC", False, True, None),
        ("-1.5e3", False, True, None),
        (".inf", False, True, None),
        (".NaN", False, True, None),
        ("12:30", False, False, None),
        ("1_000", False, False, None),
        ("2026-11-25", False, False, None),
        ("0b11", False, False, None),
    ],
)
def test_types_are_those_of_yaml_1_2(text: str, is_null: bool, is_number: bool, truth: bool | None) -> None:
    found = value(text)
    assert (found.is_null, found.is_number, found.truth) == (is_null, is_number, truth)


def test_numbers_of_other_bases() -> None:
    assert [value(text).decimal for text in ("0o14", "0xC", "010", "'0xC'", "0x" + "f" * 5000)] == [
        "12",
        "12",
        "010",
        "0xC",
        "0x" + "f" * 5000,
    ]


@pytest.mark.usefixtures("parser")
def test_places_of_keys_and_values() -> None:
    node = load("\ufeffgröße: {ü: 'x', b b: \"12\"}\nlist:\n  - 1\n  - a: 2\n", "f.yaml")
    assert isinstance(node, Table)
    (size, inner), (row, _) = node.entries
    assert isinstance(inner, Table)
    assert (size.where.line, size.where.column) == (1, 1)
    assert [(k.where.column, v.where.column) for k, v in inner.entries] == [(9, 12), (17, 22)]
    assert (row.where.line, row.where.column) == (2, 1)


WRONG = [
    ("a: b: c\n", 1, 5, "put text that holds `: ` in quotes"),
    ("a: 1\n b: 2\n", 2, 3, "begin in one column"),
    ("a:\n  b: 1\n\tc: 2\n  \td: 2\n", 3, 1, "a tab stands before the text"),
    ("patterns: {size}.svg\n", 1, 17, "begins with a bracket"),
    ("find: {a: #p}\n", 2, 1, "` #` begins a comment"),
    ("a: [1, 2\n", 2, 1, "bracket opened in line 1 is not closed"),
    ("b: 1\na: 'it''s\n", 3, 1, "quotation mark opened in line 2"),
    ("- a\nb: 1\n", 2, 1, "mind the columns"),
    ("a: @x\n", 1, 4, "text cannot begin with '@'; put it in quotes"),
    ("a: %x\n", 1, 4, "text cannot begin with '%'"),
    ("a: |x\n", 1, 5, "text behind `|` or `>`"),
    ("{a: 1}}\n", 1, 7, "brackets that close too early"),
    ("a: 'x' y\n", 1, 8, "quotes"),
    ("%YAML 2.0\n---\na: 1\n", 1, 1, "leave the `%YAML` line out"),
    ("a: *x\n", 1, 4, "anchors and aliases"),
    ("a: &x 1\nb: *x\n", 1, 4, "anchors and aliases"),
    ("a: !!python/object/apply:os.system [x]\n", 1, 4, "tags"),
    ("a: !x\n", 1, 4, "tags"),
    ("a: 1\n---\nb: 2\n", 2, 1, "a second one"),
    ("? [a]\n: b\n", 1, 3, "a key here is a word, not a list or a mapping"),
    ("a: {null: b}\n", 1, 5, "a key here is a word, not nothing"),
    ("a: 1\nb: 2\na: 3\n", 3, 1, "'a' stands here twice, first in line 1"),
    ("a: x\u2028y\n", 1, 5, "the character U+2028 is not allowed"),
    ("b: 1\r\na: \x00\r\n", 2, 4, "the character U+0000 is not allowed"),
    ("a: \ud800\n", 1, 4, "the character U+D800 is not allowed"),
    ("b: 1\na: \ufeff\n", 2, 4, "the character U+FEFF is not allowed"),
    ("[" * 50 + "]" * 50, 1, 22, "nested too deeply"),
]


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(("text", "line", "column", "words"), WRONG)
def test_what_is_no_yaml_is_told_with_its_place(text: str, line: int, column: int, words: str) -> None:
    problem = problem_of(text)
    assert words in problem.text
    assert (problem.file, problem.line, problem.column) == ("f.yaml", line, column)


def test_what_the_parsers_complain_of_in_other_words() -> None:
    assert mended("a\n", 1, 1, 1, "while scanning a simple key", "could not find expected ':'") == (
        "a key needs a `:` behind it"
    )
    assert "nested too deeply" in problem_of("[" * 50_000).text
    assert mended("a\n", 1, 1, 1, "", "something new") == "something new"


def test_a_backslash_in_double_quotes() -> None:
    assert "use single quotes" in problem_of('a: "\\q"\n').text
    assert "names no character" in problem_of('a: "\\ud800"\n').text


@pytest.mark.usefixtures("parser")
def test_a_tab_between_is_told_or_taken() -> None:
    try:
        assert value("x\t# y").text == "x"
    except RulesError as error:
        (problem,) = error.problems
        assert "a tab stands here; use spaces" in problem.text


def test_all_tabs_and_all_duplicates_are_told() -> None:
    with pytest.raises(RulesError) as caught:
        load("a:\n\tb: 1\n\tc: 2\n\t# no matter\n\t\n", "f")
    assert [(p.line, p.column) for p in caught.value.problems] == [(2, 1), (3, 1)]
    with pytest.raises(RulesError) as caught:
        load("a: {b: 1, b: 2}\nc: 1\nc: 2\na: 1\n? *x\n", "f")
    assert [(p.kind, p.line) for p in caught.value.problems] == [
        ("duplicate key", 1),
        ("duplicate key", 3),
        ("duplicate key", 4),
        ("yaml", 5),
    ]


def test_encodings() -> None:
    text = "größe: 12\n"
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"):
        mark = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}.get(encoding, b"")
        assert decode(mark + text.encode(encoding), "f") == text
    problem = problem_of("a: 1\r\ngröße: 12\n".encode("latin-1"))
    assert (problem.line, problem.column) == (2, 3)
    assert problem.text == "this is not text in UTF-8; save the file as UTF-8"
    assert "not text in UTF-16" in problem_of(b"\xff\xfea").text


def test_files_that_are_too_large() -> None:
    assert "too large" in problem_of(b"#" * (LARGEST + 1)).text
    assert "too large" in problem_of("#" * (LARGEST + 1)).text
    assert load("#" * LARGEST, "f") == Scalar("", False, Position(1, 1))


MARKS = "ab01:-?[]{},#&*!|>'\"%@` \n\t\r\\~.<=\u00e4\u2028\ufeff\ud800\0"


@settings(max_examples=300, deadline=None)
@given(st.text(st.sampled_from(MARKS), max_size=40), st.sampled_from([yaml.CSafeLoader, yaml.SafeLoader]))
@example("? ", yaml.CSafeLoader)
@example("!<x", yaml.SafeLoader)
@example("a: |\n b\n\tc", yaml.CSafeLoader)
def test_no_text_leads_to_anything_but_told_problems(text: str, parser: type) -> None:
    found: tuple[Problem, ...] = ()
    with patch.object(yaml_text, "_LOADER", parser):
        try:
            load(text, "f")
        except RulesError as error:
            found = error.problems
    assert all(p.line and p.column and p.kind in ("yaml", "duplicate key") for p in found)


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("a: 1\nremovals:\n  - x: 1\n seams:\n  - y: 1\n", 4, "this line begins with 1 space; `seams:`"),
        ("a: 1\n# b\n  user unit: 1\n", 3, "this line begins with 2 spaces; `user unit:`"),
        ("a: 1\nremovals: []   # none\n# more\n  - x: 1\n", 4, "take away the `[]`"),
        ("a: 1\nremovals: []\n- x: 1\n", 3, "take away the `[]`"),
    ],
)
def test_a_line_that_stands_astray_is_told_so(text: str, line: int, said: str) -> None:
    with pytest.raises(RulesError) as caught:
        load(text, "x")
    (problem,) = caught.value.problems
    assert problem.line == line
    assert said in problem.text


def test_the_keys_at_the_margin_are_those_of_the_rules() -> None:
    assert set(RULES.keys) == OUTERMOST


def test_an_escape_that_stands_for_no_character_is_refused(parser: str) -> None:
    found = problem_of('design: "a\\ufffeb"')
    assert "U+FFFE" in found.text
    assert (found.line, found.column) == (1, 9)
