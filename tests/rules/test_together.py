"""What contradicts among removals, or among links, that are right by themselves."""

from __future__ import annotations

import pytest

from rules.lengths import Fixed
from rules.model import Removal, SewnDart, TakenOut
from rules.problems import Problem, RulesError
from rules.reading import read_rules_text

HEAD = "ungape: 1\npatterns: a.svg\nout: fixed\n"


def removals(*rows: str, head: str = "") -> tuple[Removal, ...]:
    lines = "".join(
        f"  - {{piece: front, edge: neckline, from: a, distance: 1, removed: 1, {row}}}\n" for row in rows
    )
    return read_rules_text(f"{HEAD}{head}removals:\n{lines}", "x").removals


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(RulesError) as caught:
        read_rules_text(HEAD + text, "x")
    return caught.value.problems


def refusal(*rows: str) -> Problem:
    with pytest.raises(RulesError) as caught:
        removals(*rows)
    (problem,) = caught.value.problems
    assert problem.kind == "clash"
    assert problem.line == 4 + len(rows)
    return problem


NEW = "pivot: apex, opens: {new dart: Bust Dart, edge: side seam, from: hem, distance: 5}"
KNOWN = "pivot: apex, opens: {dart: bust_dart}"


def test_names_are_made_up_where_none_is_given() -> None:
    found = removals(
        "pivot: {dart: d}", "name: Front_Neckline 2, pivot: {dart: d}", *["pivot: {dart: d}"] * 2
    )
    assert [r.name for r in found] == [
        "front neckline",
        "Front_Neckline 2",
        "front neckline 3",
        "front neckline 4",
    ]


def test_a_name_given_twice() -> None:
    problem = refusal("name: neck gape, pivot: {dart: d}", "name: Neck_gape, pivot: {dart: d}")
    assert problem.text == "the name 'Neck_gape' is that of the removal in line 5 already"


def test_a_dart_is_opened_new_once() -> None:
    assert len(removals(NEW, KNOWN)) == 2
    problem = refusal(NEW, NEW.replace("Bust Dart", "bust dart"))
    assert "here it is `opens: {dart: bust dart}`" in problem.text


def test_one_dart_has_one_finish() -> None:
    problem = refusal(NEW + ", finish: {press: down}", KNOWN + ", finish: {press: up}")
    assert "the removal in line 5 finishes 'bust_dart' differently" in problem.text
    one, other = removals(NEW + ", finish: {draw back: 25}", KNOWN + ", finish: {draw back: 2.5 cm}")
    assert one.finish == other.finish == SewnDart(Fixed(25))


def test_the_finish_that_counts() -> None:
    head = "finish: {take out at: hem, to: side}\n"
    usual = TakenOut("hem", "side")
    own = SewnDart(press="down")
    found = removals(
        KNOWN,
        NEW + ", finish: {press: down}",
        "pivot: {dart: other}",
        "pivot: {edge: e, from: f, distance: 1}",
        "pivot: apex, opens: [{dart: other, share: 50%}, {dart: bust dart, share: 50%}]",
        head=head,
    )
    assert [r.finish for r in found] == [own, own, usual, None, None]


def test_what_a_finish_leaves_open_is_as_usual_in_the_file() -> None:
    head = "finish: {draw back: 30 mm, press: up}\n"
    found = removals(
        NEW + ", finish: {press: down}",
        KNOWN,
        "pivot: {dart: other}, finish: {draw back: 0, trim: 12}",
        "pivot: {dart: third}, finish: {take out at: hem, to: side}",
        "pivot: {dart: fourth}",
        head=head,
    )
    own = SewnDart(Fixed(30), "down")
    other = SewnDart(Fixed(0), "up", Fixed(12))
    usual = SewnDart(Fixed(30), "up")
    assert [r.finish for r in found] == [own, own, other, TakenOut("hem", "side"), usual]


def test_nothing_to_finish() -> None:
    problem = refusal("pivot: {edge: e, from: f, distance: 1}, finish: {press: up}")
    assert "nothing to finish" in problem.text


def test_shares() -> None:
    found = removals("pivot: apex, opens: [{dart: a, share: 33.3%}, {dart: b, share: 66.7 %}]")
    assert [o.share for o in found[0].opens] == pytest.approx([0.333, 0.667])
    assert (
        "here they add up to 90%"
        in refusal("pivot: apex, opens: [{dart: a, share: 30%}, {dart: b, share: 60%}]").text
    )
    assert "each mouth needs a `share`" in refusal("pivot: apex, opens: [{dart: a}, {dart: b}]").text
    assert (
        "one dart stands here twice"
        in refusal("pivot: apex, opens: [{dart: a, share: 30%}, {dart: A, share: 70%}]").text
    )


def test_contradictions_are_told_with_the_other_mistakes() -> None:
    row = "{name: a, piece: p, edge: e, from: f, distance: 1, removed: 1, pivot: {dart: d}}"
    found = problems(
        f"removals: [{row}, {row}, {{}}]\nlinked: "
        "[{piece: a, follows: b, along: e}, {piece: b, follows: a, along: e}]\n"
    )
    assert [(p.kind, p.line) for p in found if p.kind == "clash"] == [
        ("clash", 4),
        ("clash", 4),
        ("clash", 5),
    ]
    assert sum(p.kind == "missing value" for p in found) == 5


def test_links_in_a_circle() -> None:
    row = "{{piece: {}, follows: {}, along: e}}".format
    good = ", ".join([row("facing", "front"), row("lining", "front"), row("lining", "facing")])
    strip = "{strip: s, follows: [front/e + back/e, back/e x 2]}"
    rules = read_rules_text(f"{HEAD}linked: [{good}, {strip}]\n", "x")
    assert len(rules.linked) == 3
    assert [(t.piece, t.times) for t in rules.strips[0].follows] == [("front", 1), ("back", 1), ("back", 2)]
    (problem,) = problems(f"linked: [{row('a', 'b')}, {row('B', 'c')}, {row('C', 'a')}]\n")
    assert problem.text == "'a' follows 'C' already; leave one of the two out"
    # A facing grown on: the piece follows itself across its fold.
    assert (
        read_rules_text(f"{HEAD}linked: [{row('a', 'A')}, {row('b', 'a')}]\n", "x").linked[0].follows == "A"
    )
