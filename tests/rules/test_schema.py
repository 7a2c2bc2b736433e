"""The schema takes what the reader takes, and refuses what it refuses."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.problems import RulesError
from rules.reading import read_rules_text
from rules.schema import schema
from rules.yaml_text import Node, Row, Scalar
from tests.rules.examples import FULL, GRADED, SMALL
from tests.rules.loading import load

VALIDATOR = jsonschema.Draft202012Validator(schema())


def plain(node: Node) -> Any:
    """What the nodes are as JSON, by the core schema of YAML 1.2, every key as text."""
    if isinstance(node, Row):
        return [plain(item) for item in node.items]
    if not isinstance(node, Scalar):
        return {key.text: plain(value) for key, value in node.entries}
    if node.is_null:
        return None
    if node.truth is not None:
        return node.truth
    if node.is_number:
        return float(node.decimal) if any(c in node.text for c in ".eE") else int(node.decimal)
    return node.text


def takes(document: Any) -> bool:
    try:
        read_rules_text(json.dumps(document, ensure_ascii=False), "x")
    except RulesError:
        return False
    return True


def test_it_is_a_schema_with_no_reference_astray() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())
    text = json.dumps(schema())
    for name in schema()["$defs"]:
        assert f'"#/$defs/{name}"' in text
    assert text.count("$ref") == sum(text.count(f'"#/$defs/{name}"') for name in schema()["$defs"])
    assert '"about"' not in text


@pytest.mark.parametrize("text", [FULL, SMALL, GRADED])
def test_it_takes_whole_files(text: str) -> None:
    assert list(VALIDATOR.iter_errors(plain(load(text, "x")))) == []


def places(document: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    if isinstance(document, dict | list):
        for key in document if isinstance(document, dict) else range(len(document)):
            yield from places(document[key], (*path, key))


def at(document: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        document = document[key]
    return document


# As numbers, 00 and 0 are the same; so that a document can be written anew, the size is text.
FULL_DOCUMENT = plain(load(FULL.replace("12, 00]", '"12", "00"]'), "x"))
EVERYWHERE = [path for path in places(FULL_DOCUMENT) if path]


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from([path for path in places(FULL_DOCUMENT) if isinstance(at(FULL_DOCUMENT, path), dict)]),
    st.from_regex(r"[a-z]{2,8}", fullmatch=True),
)
def test_both_judge_a_further_key_alike(path: tuple[Any, ...], word: str) -> None:
    document = copy.deepcopy(FULL_DOCUMENT)
    table = at(document, path)
    if word in table:
        return
    table[word] = copy.deepcopy(next(iter(table.values())))
    assert takes(document) == VALIDATOR.is_valid(document), list(VALIDATOR.iter_errors(document))


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(EVERYWHERE),
    st.sampled_from(
        [None, [], {}, [[]], {"x": 1}, "", "x", -5, 0, 3, True, "40%", "12 mm", "-3 mm", "a/b", "../a"]
    ),
)
def test_what_the_reader_takes_the_schema_takes(path: tuple[Any, ...], value: Any) -> None:
    document = copy.deepcopy(FULL_DOCUMENT)
    at(document, path[:-1])[path[-1]] = value
    if takes(document):
        assert list(VALIDATOR.iter_errors(document)) == []


@settings(max_examples=100, deadline=None)
@given(st.sampled_from([path for path in EVERYWHERE if isinstance(path[-1], str)]))
def test_what_is_left_out(path: tuple[Any, ...]) -> None:
    document = copy.deepcopy(FULL_DOCUMENT)
    del at(document, path[:-1])[path[-1]]
    if takes(document):
        assert list(VALIDATOR.iter_errors(document)) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("ungape: 1", "ungape: 2"),
        ("out: fixed", ""),
        ("out: fixed", "out: ../fixed"),
        ("out: fixed", "out: C:/fixed"),
        ("[a.svg]", "['{x}.svg']"),
        ("[a.svg]", "['../a.svg']"),
        ("[a.svg]", "[]"),
        ("edge: neckline", "ege: neckline"),
        ("edge: neckline, ", ""),
        ("distance: 50", "distance: -50"),
        ("distance: 50", "distance: 50 ft"),
        ("distance: 50", "distance: 50 %%"),
        ("removed: 10", "removed: 0"),
        ("removed: 10", "removed: 10, pinched: 5"),
        ("removed: 10", "removed: {at: 12, amount: 1}"),
        ("removed: 10", "removed: {}"),
        (", removed: 10", ""),
        ("{dart: bust dart}", "bust dart"),
        ("{dart: bust dart}", "{dart: a, apex: b}"),
        ("{dart: bust dart}", "{dart: a}, finish: {press: sideways}"),
        ("{dart: bust dart}", "{dart: a}, finish: {press: up, take out at: hem, to: x}"),
        ("{dart: bust dart}", "{dart: a}, finish: {}"),
        ("{dart: bust dart}", "{dart: a}, again: maybe"),
        ("out: fixed", "out: fixed\nseams: [{join: [a/b]}]"),
        ("out: fixed", "out: fixed\nseams: [{join: [a/b, c]}]"),
        ("out: fixed", "out: fixed\nlinked: [{strip: s, follows: a/b, ratio: 0}]"),
        ("out: fixed", "out: fixed\nedges: {front: {neckline: [a]}}"),
        ("out: fixed", "out: fixed\nunits: ft"),
    ],
)
def test_both_refuse_what_is_typically_wrong(old: str, new: str) -> None:
    assert old in SMALL
    document = plain(load(SMALL.replace(old, new, 1), "x"))
    assert not takes(document)
    assert not VALIDATOR.is_valid(document)
