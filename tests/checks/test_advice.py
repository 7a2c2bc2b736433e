"""What is said of a wedge that runs slantwise to its edge: only what the person can do about it."""

from __future__ import annotations

import re
from dataclasses import replace

from rules.lengths import Fixed
from rules.model import EdgePivot
from tests.builders import altered, front, removal
from transform.alter.facts import SizeResult
from transform.checks.advice import advice


def said(result: SizeResult) -> list[str]:
    return [n.text for n in advice(result.removals, result.workings) if n.kind == "edge lost less"]


def test_a_slantwise_wedge_is_told_where_it_would_stand_square() -> None:
    asked = removal(distance=Fixed(40), amount=Fixed(10))
    (text,) = said(altered(front("scooped"), asked))
    assert "10.0 mm were removed" in text
    assert "move the pivot" not in text
    assert "measured: across" in text
    place = re.search(r"distance of about (\d+) mm from shoulder", text)
    assert place is not None
    there = replace(asked, distance=Fixed(float(place[1])))
    assert said(altered(front("scooped"), there)) == []


def test_what_was_done_already_is_not_advised() -> None:
    asked = removal(distance=Fixed(40), amount=Fixed(10), across=True)
    (text,) = said(altered(front("scooped"), asked))
    assert "measured: across" not in text


def test_a_pivot_on_an_edge_may_be_moved() -> None:
    pivot = EdgePivot("armhole", "shoulder", Fixed(180))
    (text,) = said(altered(front("scooped"), removal(opens=(), pivot=pivot, distance=Fixed(30))))
    assert "move the pivot" in text
