"""Edges of pieces in a line of text."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.model import Term
from rules.terms import read_terms


@pytest.mark.parametrize(
    ("text", "terms"),
    [
        ("front/neckline", [Term("front", "neckline")]),
        (" front / side seam ", [Term("front", "side seam")]),
        ("front/neckline x 2", [Term("front", "neckline", 2)]),
        ("front/a x b", [Term("front", "a x b")]),
        ("front/a x2", [Term("front", "a x2")]),
        ("a+b/c", [Term("a+b", "c")]),
        ("a/b + c/d x 3 + e/f", [Term("a", "b"), Term("c", "d", 3), Term("e", "f")]),
        ('"a/b"/"c + d" x 2 + e/"f x 2"', [Term("a/b", "c + d", 2), Term("e", "f x 2")]),
    ],
)
def test_edges_of_pieces(text: str, terms: list[Term]) -> None:
    assert read_terms(text) == tuple(terms)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("front", "'front' has no `/` outside double quotes"),
        ("a/b + c", "'c' has no `/`"),
        ("a/b/c", "'a/b/c' has 2 `/` outside double quotes, and needs one"),
        ("a/", "lacks a name"),
        ("/b", "lacks a name"),
        ('""/b', "lacks a name"),
        ("a/b x 0", "counts an edge 0 times"),
        ('a"b/c', "around a whole name"),
        ('"a/b" c/d', "around a whole name"),
    ],
)
def test_what_is_no_edge(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)):
        read_terms(text)


NAMES = st.from_regex(r"[a-z/+x2]([a-z/+x2 ]{0,8}[a-z/+x2])?", fullmatch=True)


@given(st.lists(st.tuples(NAMES, NAMES, st.integers(1, 99)), min_size=1, max_size=4))
def test_quoted_names_may_hold_anything(rows: list[tuple[str, str, int]]) -> None:
    text = " + ".join(f'"{piece}"/"{edge}" x {times}' for piece, edge, times in rows)
    assert read_terms(text) == tuple(Term(*row) for row in rows)
