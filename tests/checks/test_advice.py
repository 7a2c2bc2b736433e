"""What is said of a wedge that runs slantwise to its edge, and of a fold that was bent."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from rules.lengths import Fixed
from rules.model import EdgePivot, NewDart
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


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({}, False),
        ({"pivot": EdgePivot("centre front", "hem", Fixed(200)), "opens": ()}, True),
        ({"pivot": EdgePivot("hem", "centre front", Fixed(0)), "opens": ()}, False),
        ({"opens": (NewDart("d", "centre front", "hem", Fixed(300)),)}, True),
        ({"hold": "shoulder"}, False),
    ],
)
def test_a_fold_is_told_of_that_runs_straight_no_more(changes: dict[str, object], told: bool) -> None:
    result = altered(front(), removal(amount=Fixed(10), **changes))
    kinds = [notice.kind for notice in advice(result.removals, result.workings)]
    assert ("fold bent" in kinds) is told
    seam = replace(front(), fold=None)
    result = altered(seam, removal(amount=Fixed(10), **changes))
    assert "fold bent" not in [notice.kind for notice in advice(result.removals, result.workings)]
