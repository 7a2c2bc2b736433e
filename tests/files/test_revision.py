"""The revision, written where the sheet tells it."""

from __future__ import annotations

import pytest

from rules.model import Find, Revision, Rules
from transform.files.revision import renewed, revision_text, stale_revision
from transform.svg.document import Document, read_document
from transform.svg.splice import Edit, splice

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9">'
B = Revision("B", "2026-11-25")


def document(body: str) -> Document:
    return read_document(f"{HEAD}{body}</svg>".encode(), "x.svg")


def rewritten(body: str, rules: Rules | None = None) -> str:
    read = document(body)
    edits = renewed(read, rules or Rules(file="", revision=B), [])
    return splice(read, edits).decode().removeprefix(HEAD).removesuffix("</svg>")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('<text id="revision">A</text>', '<text id="revision">B 2026-11-25</text>'),
        (
            '<g data-name="Revision"><text x="1">A</text><text>C</text></g>',
            '<g data-name="Revision"><text x="1">B 2026-11-25</text><text>B 2026-11-25</text></g>',
        ),
        (
            '<text id="revision">Rev <tspan x="1"><tspan y="2">A</tspan>!</tspan><tspan>Z</tspan></text>',
            '<text id="revision"><tspan x="1"><tspan y="2">B 2026-11-25</tspan></tspan></text>',
        ),
        (
            '<text><tspan id="revision">A</tspan></text>',
            '<text><tspan id="revision">B 2026-11-25</tspan></text>',
        ),
        (
            '<text>Front <tspan id="revision">A</tspan>, cut two</text>',
            '<text>Front <tspan id="revision">B 2026-11-25</tspan>, cut two</text>',
        ),
        (
            '<text id="revision" x="3 9" textLength="20"><tspan dx=\'1,2\' textLength = "9">A</tspan></text>',
            '<text id="revision" x="3"><tspan dx=\'1\'>B 2026-11-25</tspan></text>',
        ),
        (
            '<text id="revision"><textPath href="#p">A</textPath></text>',
            '<text id="revision"><textPath href="#p">B 2026-11-25</textPath></text>',
        ),
        (
            '<g data-name="revision"><text id="revision">A</text></g>',
            '<g data-name="revision"><text id="revision">B 2026-11-25</text></g>',
        ),
        ('<text id="revision"/>', '<text id="revision"/>'),
        ('<text id="revision"> </text><text>A</text>', '<text id="revision"> </text><text>A</text>'),
        ('<rect id="revision" width="1" height="1"/>', '<rect id="revision" width="1" height="1"/>'),
    ],
)
def test_the_texts_labelled_so_are_rewritten(before: str, after: str) -> None:
    assert rewritten(before) == after


def test_a_text_can_be_found_by_a_selector() -> None:
    rules = Rules(file="", revision=B, find=(Find("title block/revision", "#t7"),))
    assert rewritten('<text id="t7">A</text>', rules) == '<text id="t7">B 2026-11-25</text>'


def test_what_is_written_is_escaped() -> None:
    rules = Rules(file="", revision=Revision("<&", ""))
    assert rewritten('<text id="revision">A</text>', rules) == '<text id="revision">&lt;&amp;</text>'
    assert revision_text(Revision("B", "")) == "B"


def test_without_a_revision_nothing_is_written_and_the_old_one_is_told() -> None:
    read = document('<text id="revision">A <tspan>1999</tspan></text>')
    rules = Rules(file="")
    assert renewed(read, rules, []) == []
    (notice,) = stale_revision(read, rules)
    assert notice.kind == "old revision"
    assert "'A 1999'" in notice.text
    assert stale_revision(read, Rules(file="", revision=B)) == ()
    assert stale_revision(document("<text>A</text>"), rules) == ()


def test_a_size_that_stays_as_it_came_keeps_its_revision() -> None:
    read = document(
        '<g data-name="size 10"><text data-name="revision">A</text></g>'
        '<g data-name="front"><g data-name="size 12"><text data-name="revision">A</text></g></g>'
        '<text data-name="revision">A</text>'
    )
    rules = Rules(file="", revision=B)
    told = [splice(read, renewed(read, rules, [], sizes)).count(b"B 2026") for sizes in (["12"], ["9"], None)]
    assert told == [2, 1, 3]
    only = document('<g data-name="size 10"><text data-name="revision">A</text></g>')
    assert [len(stale_revision(only, Rules(file=""), [size])) for size in ("10", "12")] == [1, 0]


def test_a_text_that_is_taken_away_is_left_to_that() -> None:
    read = document('<text id="revision">A</text>')
    gone = Edit(read.start_tag(1).start, read.end_tag(1)[1], "")
    assert renewed(read, Rules(file="", revision=B), [gone]) == []
