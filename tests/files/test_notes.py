"""The note in an altered file, and what it is for: a removal is not made twice."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from rules.lengths import Fixed, KeptAngle, PerSize, Share
from rules.model import Linked, Revision, Rules, Strip, Term
from rules.problems import Problem, UngapeError
from tests.builders import front, removal
from transform.alter.facts import RemovalFacts
from transform.files.notes import (
    Numbers,
    earlier_removals,
    made_for,
    note_text,
    noted_design,
    refuse_twice,
)
from transform.pattern.model import Piece
from transform.svg.document import Document, read_document
from transform.svg.note import write_note
from transform.svg.splice import splice

FACTS = RemovalFacts(
    index=0,
    name="neck gape",
    piece="front",
    edge="neckline",
    followed=False,
    removed=20.0,
    angle=0.12345678,
    pivot=95 + 260j,
    legs=(1.00049 + 2j, -0.0001 + 4j),
    stagger=6.0,
    edge_before=214.3,
    edge_after=196.1,
    shortened=18.2,
    line="fair",
    reach=(60.0, 55.0),
    moved=1.4,
)
SIZES = ["10", "12"]


def numbers(**changes: object) -> Numbers:
    return Numbers(Rules(file="x.gape.yaml", design="summer", removals=(removal(**changes),)), SIZES)


def cornered() -> Piece:
    piece = front()
    neckline = piece.stitching.edge("neckline")
    corners = {"centre neck": neckline.begin, "neck point": neckline.end}
    return replace(piece, stitching=replace(piece.stitching, corners=corners))


def document(*notes: str) -> Document:
    found = read_document(b'<svg xmlns="http://www.w3.org/2000/svg"/>', "front.svg")
    for note in notes:
        found = read_document(splice(found, write_note(found, note)), "front.svg")
    return found


def noted(asked: Numbers, size: str = "12", facts: RemovalFacts = FACTS) -> Document:
    """A file in which the removal was made in one size."""
    return document(note_text(asked, [], [(size, facts)], "ab" * 32))


def refusals(asked: Numbers, file: Document, *pieces: Piece, sizes: list[str] | None = None) -> list[str]:
    problems: tuple[Problem, ...] = ()
    try:
        refuse_twice(asked, [(file, pieces or (front(),))], sizes or SIZES)
    except UngapeError as error:
        problems = error.problems
    assert all((problem.kind, problem.exit) == ("removed already", 3) for problem in problems)
    return [problem.text for problem in problems]


def test_the_note_has_what_was_asked_and_what_was_done() -> None:
    rules = replace(numbers().rules, revision=Revision("B", "2026-11-25"))
    text = note_text(Numbers(rules, SIZES), [{"earlier": 1}], [("12", FACTS)], "ab" * 32)
    assert json.loads(text) == {
        "ungape_note": 1,
        "design": "summer",
        "source": "ab" * 32,
        "revision": {"mark": "B", "date": "2026-11-25"},
        "removals": [
            {"earlier": 1},
            {
                "size": "12",
                "piece": "front",
                "edge": "neckline",
                "from": "shoulder",
                "distance": 60.0,
                "amount": 20.0,
                "edge length": 214.3,
                "followed": False,
                "removed": 20.0,
                "angle": 0.123457,
                "pivot": [95.0, 260.0],
                "legs": [[1.0, 2.0], [0.0, 4.0]],
            },
        ],
    }
    assert "-0.0" not in text


def test_a_file_that_carries_the_removal_is_refused() -> None:
    asked = numbers()
    (text,) = refusals(asked, noted(asked))
    assert "front.svg carries this removal in size 12 already" in text
    assert "again: yes" in text


@pytest.mark.parametrize(
    "other",
    [
        {"again": True},
        {"edge": "armhole"},
        {"start": "centre front"},
        {"distance": Fixed(61)},
        {"distance": Share(0.4)},
        {"amount": Fixed(21)},
        {"piece": "back"},
    ],
)
def test_another_removal_is_not_refused(other: dict[str, object]) -> None:
    assert refusals(numbers(**other), noted(numbers())) == []


@pytest.mark.parametrize(
    "same",
    [
        {"edge": "Neck_Line".replace("_L", "l")},
        {"amount": PerSize({"10": 9.0, "12": 20.004})},
        {"name": "another name"},
        {"amount": KeptAngle("12", 20.0)},
        {"line": "straight"},
        {"amount": Fixed(21.3)},
        {"distance": Share(60 / 214.3)},
        {"start": "centre front", "distance": Fixed(214.3 - 60 - 21.3)},
        {"start": "centre front", "distance": Fixed(133.04)},
        {"start": "centre front", "distance": Share(133 / 214.3)},
        {"start": "neck point"},
        {"start": "centre neck", "distance": Fixed(133)},
    ],
)
def test_the_same_removal_in_other_words_is_refused(same: dict[str, object]) -> None:
    """The angle was kept from another size (20 mm there, 21.3 here); or from the other end; or as a share."""
    kept = noted(numbers(), facts=replace(FACTS, removed=21.3))
    assert len(refusals(numbers(**same), kept, cornered())) == 1


@pytest.mark.parametrize(
    "other", [{"start": "centre front"}, {"start": "neck point", "distance": Fixed(133)}, {"start": "hem"}]
)
def test_another_place_is_another_removal(other: dict[str, object]) -> None:
    kept = noted(numbers(), facts=replace(FACTS, removed=21.3))
    assert refusals(numbers(**other), kept, cornered()) == []


def test_of_a_share_the_same_place_in_mm_is_refused() -> None:
    kept = noted(numbers(distance=Share(0.4)))
    assert len(refusals(numbers(distance=Fixed(85.72)), kept)) == 1
    assert refusals(numbers(distance=Fixed(85.5)), kept) == []


@pytest.mark.parametrize(
    "row",
    [
        {},
        {"amount": "much"},
        {"distance": "far"},
        {"distance": None, "edge length": []},
        {"amount": None, "removed": True},
        {"size": 12},
        {"edge": 3},
    ],
)
def test_a_row_that_tells_too_little_refuses_nothing(row: dict[str, object]) -> None:
    text = json.loads(note_text(numbers(), [], [("12", FACTS)], "ab" * 32))
    text["removals"] = [{**text["removals"][0], **row}] if row else [row]
    told = len(refusals(numbers(), document(json.dumps(text))))
    assert told == (1 if row in ({"amount": "much"}, {"size": 12}) else 0)


def test_a_share_is_the_same_share() -> None:
    asked = numbers(distance=Share(0.4))
    assert len(refusals(asked, noted(asked))) == 1
    assert refusals(numbers(distance=Share(0.41)), noted(asked)) == []


def test_only_the_sizes_that_are_done_count() -> None:
    asked = numbers()
    assert refusals(asked, noted(asked), sizes=["10"]) == []
    both = (front(size="10"), front())
    assert len(refusals(asked, noted(asked, "10"), *both)) == 1
    assert refusals(asked, noted(asked, "10"), *both, sizes=["12"]) == []
    assert refusals(asked, document()) == []


@pytest.mark.parametrize("size", ["M", "", None])
def test_a_size_that_is_called_otherwise_now_is_known_by_its_place(size: str | None) -> None:
    file = noted(numbers())
    assert len(refusals(numbers(), file, replace(front(), size=size), sizes=[size or ""])) == 1


def test_a_piece_that_follows_is_refused_too() -> None:
    rules = replace(
        numbers().rules,
        linked=(
            Linked("interfacing", "facing", ("neckline",)),
            Linked("facing", "front", ("neckline",)),
            Linked("pocket", "back", ("hem",)),
        ),
    )
    asked = Numbers(rules, SIZES)
    facts = replace(FACTS, piece="interfacing", followed=True)
    piece = replace(front(), name="interfacing")
    assert len(refusals(asked, noted(asked, facts=facts), piece)) == 1
    pocket = replace(front(), name="pocket")
    assert refusals(asked, noted(asked, facts=replace(facts, piece="pocket")), pocket) == []


def test_without_sizes_nothing_is_said_of_one() -> None:
    asked = Numbers(numbers().rules, [""])
    piece = replace(front(), size=None)
    (text,) = refusals(asked, noted(asked, ""), piece, sizes=[""])
    assert "in size" not in text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"ungape_note": 2, "removals": []}',
        '{"ungape_note": 1}',
        '{"ungape_note": 1, "removals": [1]}',
        '{"ungape_note": 1, "removals": ' + "[" * 100_000 + "}",
    ],
)
def test_a_note_that_cannot_be_read_is_an_error(text: str) -> None:
    with pytest.raises(UngapeError) as caught:
        earlier_removals(document(text))
    assert [(p.kind, p.exit) for p in caught.value.problems] == [("broken note", 3)]


def test_the_design_is_known_by_the_note() -> None:
    assert noted_design(document()) is None
    assert noted_design(noted(numbers())) == "summer"
    assert earlier_removals(document()) == []


def test_a_strip_is_not_cut_twice_for_one_removal() -> None:
    binding = Strip("binding", (Term("back", "neckline"), Term("front", "neckline", 2)))
    tape = Strip("tape", (Term("binding", "seam"),))
    strips = Numbers(replace(numbers().rules, strips=(binding, tape)), SIZES)
    armhole = replace(FACTS, edge="armhole")
    for name in ("binding", "tape"):
        made = list(made_for(strips.rules, name, [FACTS, armhole]))
        assert [(fact.piece, fact.edge, fact.followed) for fact in made] == [(name, "neckline", True)]
        text = note_text(strips, [], [("12", fact) for fact in made], "ab" * 32)
        assert "pivot" not in json.loads(text)["removals"][0]
        band = replace(front(), name=name)
        (refused,) = refusals(strips, document(text), band)
        assert "carries this removal in size 12 already" in refused
        assert refusals(strips, document(text), replace(front(), name="skirt")) == []
        more = Numbers(replace(strips.rules, removals=(removal(distance=Fixed(61.0)),)), SIZES)
        assert refusals(more, document(text), band) == []
    assert list(made_for(strips.rules, "front", [FACTS, armhole])) == [FACTS, armhole]
    assert list(made_for(strips.rules, "back", [FACTS])) == []
