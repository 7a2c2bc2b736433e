"""Hostile texts inside sound XML: read or refused in bounded time."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress

import pytest

from tests.svg.making import document, drawn, first
from transform.geometry.chain import Chain
from transform.geometry.segments import Line
from transform.svg.edits import insert_after
from transform.svg.labels import fold, label_of
from transform.svg.problems import PatternError
from transform.svg.redraw import redraw
from transform.svg.viewport import matrix_of

MANY = 200_000


@contextmanager
def in_time(seconds: float = 5.0) -> Iterator[None]:
    started = time.perf_counter()
    yield
    assert time.perf_counter() - started < seconds


@pytest.mark.parametrize(
    "shape",
    [
        f'<path d="M0 0{" " * MANY}x"/>',
        f'<path d="M0 0 L{" " * MANY},{" " * MANY},"/>',
        f'<polyline points="0 0{" " * MANY};"/>',
        f'<path d="M0 0" transform="scale(1{" " * MANY}x)"/>',
        f'<path d="M0 0" transform="scale(1){" ," * MANY}x"/>',
        f'<path d="M0 0" transform="{"a" * MANY}"/>',
        f'<rect width="1{" " * MANY}x"/>',
        f'<circle r="{"1" * MANY}x"/>',
    ],
)
def test_bad_numbers(shape: str) -> None:
    with in_time(), pytest.raises(PatternError):
        drawn(shape)


@pytest.mark.parametrize(
    "sheet",
    [
        "/*" * MANY + "d:",
        "a{" * MANY + "d:x" + "}" * MANY,
        "{" * MANY + "d:" + "}" * MANY,
        ".a{transform:x}" * 20_000,
        ("a " * 240 + "{d:x}") * 90,
        ";" * MANY + "{d:x}",
        'd:"' * MANY,
        "d:(" * MANY,
    ],
)
def test_style_sheets(sheet: str) -> None:
    doc = document(
        f"<style>{sheet}</style><path d='M0 0' style='{sheet.replace(chr(39), '')[:MANY]}'/>" + "<g/>" * 5000
    )
    with in_time(20), suppress(PatternError):
        matrix_of(doc, first(doc, "path"), None)


def test_labels() -> None:
    doc = document(
        f'<g id="a{"-1" * MANY}"/><g id="a{"_" * MANY}"/><g id="{"_x20" * MANY}"/><g id="{"g1-" * MANY}"/>'
    )
    with in_time():
        assert all(label_of(doc, element) for element in range(1, 5))
        assert fold(" _-" * MANY + "a") == "a"


def test_indentation_of_any_length() -> None:
    doc = document(" " * MANY + "<a/>\n" + " " * MANY + "<g/>" + "\n" * MANY + "<g/>")
    with in_time():
        for element in (1, 2, 3):
            assert insert_after(doc, element, "<x/>")


def test_a_line_drawn_over_and_over() -> None:
    doc, drawing = drawn(f'<path d="M0 0{"H10H0" * 5_000}"/>')
    segments = drawing.chains[0].segments
    with in_time():
        (edit,) = redraw(doc, drawing, [[Chain((*segments, Line(0j, 1j)))]])
    assert edit.replacement == f"M0 0{'H10H0' * 5_000} L 0 1"
