"""A rules file becomes a model; what is wrong in it is told all at once, with its place."""

from __future__ import annotations

import json
import pickle
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.lengths import Fixed, KeptAngle, PerSize, Share, Stepped
from rules.model import (
    ApexPivot,
    DartPivot,
    EdgePivot,
    KnownDart,
    NewDart,
    SewnDart,
    TakenOut,
    Term,
)
from rules.problems import KINDS, MOST_TOLD, Problem, RulesError, nearest
from rules.reading import read_rules, read_rules_text
from tests.rules.examples import FULL, SMALL


def problems(text: str | bytes) -> tuple[Problem, ...]:
    with pytest.raises(RulesError) as caught:
        read_rules_text(text, "x.gape.yaml")
    return caught.value.problems


def test_the_whole_format() -> None:
    rules = read_rules_text(FULL, "x.gape.yaml")
    assert rules.sizes == ("10", "12", "00")
    assert rules.names == {"front": ("Vorderteil", "devant"), "size": ("Größe",)}
    assert rules.user_unit == 1.0
    assert [(f.label, f.selector) for f in rules.find][1] == ("front/cut line", "#path22")
    assert rules.allowance is not None
    assert rules.allowance.default == Fixed(15)
    assert rules.allowance.by_edge == {"neckline": Fixed(6)}
    assert [e.name for e in rules.edges["front"]] == ["neckline", "side seam", "bust dart"]
    assert rules.edges["front"][1].stretches == (("underarm point", "upper leg"), ("lower leg", "side hem"))
    neck, arm, across, back = rules.removals
    assert (neck.name, neck.start, neck.distance, neck.amount) == (
        "neck gape",
        "shoulder",
        Fixed(110),
        Fixed(20),
    )
    assert neck.pinched
    assert neck.across
    assert neck.again
    assert (neck.hold, neck.line) == ("centre front", "straight")
    assert neck.pivot == ApexPivot()
    assert neck.opens == (NewDart("bust dart", "side seam", "armhole", Fixed(60)),)
    assert neck.finish == SewnDart(Fixed(25), "down", Fixed(15))
    assert arm.name == "front armhole"
    assert arm.distance == Share(0.4)
    assert isinstance(arm.amount, Stepped)
    assert (arm.amount.at_size, arm.amount.mm, arm.amount.step) == ("12", 15.875, -0.5)
    assert arm.pivot == DartPivot("bust dart")
    assert arm.opens == (KnownDart("bust dart"),)
    assert arm.finish == neck.finish  # It opens the dart that the first one finishes.
    assert across.name == "front armhole 2"
    assert isinstance(across.distance, PerSize)
    assert across.distance.by_size == {"10": 9, "12": 10, "00": 11}
    assert across.amount == KeptAngle("12", 10.0)
    assert across.pivot == EdgePivot("neckline", "shoulder", Fixed(34.925))
    assert across.opens == ()
    assert back.pivot == ApexPivot("shoulder blade")
    assert [o.share for o in back.opens] == [0.6, 0.4]
    assert back.finish == TakenOut("hem", "centre back")
    facing, lining = rules.linked
    assert (facing.along, facing.dart, facing.tolerance) == (("neckline",), "closed", Fixed(0.5))
    assert (lining.along, lining.dart, lining.tolerance) == (("neckline", "armhole"), "sewn", Fixed(1))
    assert rules.strips[0].follows == (Term("front", "neckline", 2), Term("back", "neckline", 2))
    assert rules.strips[0].ratio == 0.95
    assert rules.seams[0].ease == (0, 0)
    assert rules.seams[1].join[1] == (Term("a/b x 2", "cap"),)
    assert rules.seams[1].join[0] == (Term("front", "armhole"), Term("back", "armhole"))
    assert rules.seams[1].ease == (10, 25)
    assert (rules.accept[0].kind, rules.accept[0].piece) == ("wide dart", "front")
    assert rules.revision is not None
    assert (rules.revision.mark, rules.revision.date) == ("B", "2026-11-25")


CASES = [
    ("removals:", "removls:", "unknown word", 4, 1, "did you mean `removals`?"),
    ("ungape: 1", "ungape: 2", "wrong version", 1, 9, "version 1"),
    ("edge: neckline", "ege: neckline", "unknown word", 5, 20, "did you mean `edge`?"),
    ("distance: 50", "distance: far", "wrong value", 5, 62, "a length is a number"),
    ("distance: 50", "distance: 140%", "wrong value", 5, 62, "0% to 100%"),
    ("distance: 50", "distance: -50", "wrong value", 5, 62, "not negative"),
    ("distance: 50", "distance: [50]", "wrong value", 5, 62, "a list"),
    ("distance: 50", "distance: 5 furlongs", "wrong value", 5, 62, "is no unit here"),
    ("distance: 50", "distance: 5 ft", "wrong value", 5, 62, "mm, cm and in"),
    ("distance: 50", "distance: 1/0 in", "wrong value", 5, 62, "divided by 0"),
    ("distance: 50", "distance: 999999999", "wrong value", 5, 62, "100 m"),
    ("removed: 10", "removed: 0", "removal of nothing", 5, 75, "more than 0"),
    ("removed: 10", "pinched: {'10': 0 mm}", "removal of nothing", 5, 82, "more than 0"),
    ("removed: 10", "removed: 10, pinched: 5", "clash", 5, 79, "both are given"),
    (", removed: 10", "", "clash", 5, 5, "neither is given"),
    (
        "removed: 10",
        "removed: {at: 12, amount: 1, step: 1, keep: angle}",
        "clash",
        5,
        104,
        "`step` or `keep`; both are",
    ),
    ("removed: 10", "removed: {at: 12, step: 1}", "missing value", 5, 75, "`amount` is missing"),
    ("removed: 10", "removed: {}", "missing value", 5, 75, "no size"),
    ("removed: 10", "removed: {'10': x}", "wrong value", 5, 82, "a length is a number"),
    ("{dart: bust dart}", "{drt: bust dart}", "unknown word", 5, 87, "did you mean `dart`?"),
    ("{dart: bust dart}", "bust dart", "wrong value", 5, 86, "allowed: `apex` or `{apex: …}`"),
    ("{dart: bust dart}", "apex", "missing value", 5, 5, "say what `opens`"),
    ("{dart: bust dart}", "{dart: d}, opens: {dart: d, share: 50%}", "clash", 5, 104, "add up to 100%"),
    ("{dart: bust dart}", "{dart: d}, opens: {dart: d, share: 0%}", "wrong value", 5, 121, "such as `60%`"),
    ("{dart: bust dart}", "{dart: d}, opens: {dart: d, share: x%}", "wrong value", 5, 121, "such as `60%`"),
    (
        "{dart: bust dart}",
        "{edge: e, from: f, distance: 1}, opens: {dart: d}",
        "clash",
        5,
        126,
        "nothing opens",
    ),
    ("{dart: bust dart}", "{dart: d}, finish: {press: dwn}", "unknown word", 5, 113, "did you mean `down`?"),
    ("{dart: bust dart}", "{dart: d}, finish: {press: }", "wrong value", 5, 113, "found nothing"),
    ("{dart: bust dart}", "{dart: d}, finish: {to: x}", "missing value", 5, 105, "`take out at` is missing"),
    (
        "{dart: bust dart}",
        "{dart: d}, finish: {take out at: hem, to: x, press: up}",
        "clash",
        5,
        131,
        "exclude each other",
    ),
    ("{dart: bust dart}", "{dart: d}, again: 1", "wrong value", 5, 104, "allowed: yes, no"),
    ("out: fixed", "out: ../fixed", "wrong value", 3, 6, "a folder below"),
    ("out: fixed\n", "", "missing value", 1, 1, "`out` is missing"),
    ("[a.svg]", "[/a.svg]", "wrong value", 2, 12, "beside this one"),
    ("[a.svg]", "['{sz}.svg']", "wrong value", 2, 12, "{size}, {piece}"),
    ("[a.svg]", "[]", "missing value", 2, 11, "at least 1"),
    ("out: fixed", "out: fixed\nout: other", "duplicate key", 4, 1, "stands here twice, first in line 3"),
    ("out: fixed", "out: fixed\nunits: m", "unknown word", 4, 8, "allowed: mm, cm, in"),
    ("out: fixed", "out: fixed\nunits: [mm]", "wrong value", 4, 8, "a list"),
    ("out: fixed", "out: fixed\nsizes: 10", "wrong value", 4, 8, "allowed: a list"),
    ("out: fixed", "out: fixed\nedges: {front: {neckline: [a]}}", "missing value", 4, 27, "at least 2"),
    ("out: fixed", "out: fixed\nedges: front", "wrong value", 4, 8, "allowed: a mapping"),
    (
        "out: fixed",
        "out: fixed\nseams: [{join: [a/b]}]",
        "missing value",
        4,
        16,
        "exactly 2 entries; found 1",
    ),
    ("out: fixed", "out: fixed\nseams: [{join: [a/b, c]}]", "wrong value", 4, 22, "PIECE/EDGE"),
    ("out: fixed", "out: fixed\nseams: [{join: [a/b, [c]]}]", "wrong value", 4, 22, "PIECE/EDGE"),
    ("out: fixed", "out: fixed\nseams: [a]", "wrong value", 4, 9, "a mapping of join"),
    (
        "out: fixed",
        "out: fixed\nseams: [{join: [a/b, c/d], ease: 5 .. 2}]",
        "wrong value",
        4,
        34,
        "smaller first",
    ),
    (
        "out: fixed",
        "out: fixed\nseams: [{join: [a/b, c/d], ease: x}]",
        "wrong value",
        4,
        34,
        "10 mm .. 25 mm",
    ),
    ("out: fixed", "out: fixed\nseams: [{join: [a/b, c/d], ease: [1]}]", "wrong value", 4, 34, "such as"),
    (
        "out: fixed",
        "out: fixed\nlinked: [{strip: s, follows: a/b, ratio: 0}]",
        "wrong value",
        4,
        42,
        "more than 0",
    ),
    (
        "out: fixed",
        "out: fixed\nlinked: [{follows: s}]",
        "missing value",
        4,
        10,
        "`{piece: …, follows: …, along: …}`",
    ),
    ("out: fixed", "out: *a", "yaml", 3, 6, "anchors"),
    ("out: fixed", "out: &a fixed", "yaml", 3, 6, "anchors"),
    ("out: fixed", "out: !!str fixed", "yaml", 3, 6, "tags"),
    ("out: fixed", "out: [", "yaml", 5, 3, "this is not YAML"),
    ("out: fixed", "out: a\x07b", "yaml", 3, 7, "this is not YAML"),
    ("out: fixed", "? [a]\n: b\nout: fixed", "yaml", 3, 3, "a key here is a word"),
    (
        "out: fixed",
        "out: fixed\nnames: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]",
        "yaml",
        4,
        28,
        "too deeply",
    ),
]


CASES += [
    ("out: fixed", f"out: fixed\n{line}", kind, 4, column, words)
    for line, kind, column, words in [
        ("find: {a: [b]}", "wrong value", 11, "one that begins with `#`, `[` or `*` stands in quotes"),
        ("find: {a: }", "wrong value", 11, "a CSS selector"),
        ("names: {a: b, A: c}", "duplicate key", 15, "'A' and 'a' in line 4 are one name"),
        ("names: {'': b}", "wrong value", 9, "cannot be empty"),
        ("names: {a: []}", "missing value", 12, "at least 1 entry; found 0"),
        ("sizes: [10, '10']", "duplicate key", 13, "'10' stands here twice"),
        ("sizes: [10, [11]]", "wrong value", 13, "a size"),
        ('design: "a\\0b"', "wrong value", 9, "U+0000 is no part of the design's name"),
        ("design: ' '", "wrong value", 9, "the design's name"),
        ("edges: {f: {e: [a, A]}}", "wrong value", 16, "cannot run from 'a' to itself"),
        ("edges: {f: {e: [[a, b], c]}}", "wrong value", 25, "allowed: a list"),
        ("linked: [{piece: a, strip: b}]", "clash", 21, "`strip` and `piece` exclude each other"),
        ("linked: [{piece: a, follows: b, along: [e, E]}]", "duplicate key", 44, "are one name"),
        ("linked: [{strip: s, follows: a/b, ratio: 0x0}]", "wrong value", 42, "more than 0"),
        ("linked: [{strip: s, follows: a/b, ratio: .nan}]", "wrong value", 42, "more than 0"),
        ("linked: [{strip: s, follows: a/b, ratio: .inf}]", "wrong value", 42, "more than 0"),
        ("linked: [{strip: s, follows: a/b, ratio: 1e99}]", "wrong value", 42, "more than 0"),
        ("linked: [{strip: s, follows: a/b, ratio: '1'}]", "wrong value", 42, "more than 0"),
        ("linked: [{}]", "wrong value", 10, "allowed: `{piece: …, follows: …, along: …}`"),
        ("finish: {}", "wrong value", 9, "`{take out at: …, to: …}` or `{draw back: …, press: …, trim: …}`"),
        ("finish: {x: 1, y: 2}", "unknown word", 10, "allowed: take out at, to, draw back, press, trim"),
        ("finish: {trim: 0}", "wrong value", 16, "more than 0"),
        ("allowance: 1_0", "wrong value", 12, "a length is a number"),
        ("user unit: {at: a, amount: 1, step: 1}", "wrong value", 12, "allowed: a length"),
        ("revision: B", "wrong value", 11, "a mapping of mark, date"),
        ("seams: [{join: [a/b, c/d, e/f]}]", "wrong value", 16, "exactly 2 entries; found 3"),
        ("seams: [{join: a/b}]", "wrong value", 16, "allowed: a list"),
    ]
]
CASES += [
    ("out: fixed", f"out: {folder}", "wrong value", 3, 6, "a folder below the one of this file")
    for folder in ("/fixed", "..", "a/../../b", "'C:\\fixed'", "'\\\\host\\a'", ".", "'fixed-{size}'")
]
CASES += [
    ("[a.svg]", f"['{name}']", "wrong value", 2, 12, words)
    for name, words in [
        ("../a.svg", "files beside this one"),
        ("C:a.svg", "files beside this one"),
        (".", "files beside this one"),
        ("{size}{piece}.svg", "between two placeholders"),
        ("{size.svg", "{size}, {piece}"),
    ]
]


@pytest.mark.parametrize(("old", "new", "kind", "line", "column", "words"), CASES)
def test_what_is_wrong_is_told_with_its_place(
    old: str, new: str, kind: str, line: int, column: int, words: str
) -> None:
    assert old in SMALL
    found = problems(SMALL.replace(old, new, 1))
    matching = [p for p in found if p.kind == kind and words in p.text]
    assert matching, found
    assert (matching[0].line, matching[0].column) == (line, column), matching[0]
    assert matching[0].exit == 2
    assert str(matching[0]).startswith(f"x.gape.yaml:{line}:{column}: {kind}: ")


def test_all_mistakes_are_told_at_once_in_order() -> None:
    text = (
        SMALL.replace("out: fixed", "ot: fixed").replace("edge:", "ege:").replace("removed: 10", "removed: x")
    )
    found = problems(text)
    assert [(p.line, p.kind) for p in found] == [
        (3, "unknown word"),
        (5, "unknown word"),
        (5, "wrong value"),
    ]


def test_a_key_that_stands_twice_hides_no_other_mistake() -> None:
    found = problems(SMALL.replace("edge:", "ege:") + "out: other\nunits: m\n")
    assert [p.kind for p in found] == ["unknown word", "duplicate key", "unknown word"]
    (problem,) = problems(SMALL + "out: other\n")
    assert problem.kind == "duplicate key"


@pytest.mark.parametrize("begin", ["", '<?xml version="1.0"?>\n', "\ufeff", "<!-- a bodice -->"])
def test_a_drawing_named_in_place_of_the_rules_is_told_so(begin: str) -> None:
    (problem,) = problems(begin + "<svg xmlns='http://www.w3.org/2000/svg'/>")
    assert (problem.kind, problem.exit, problem.line, problem.column) == ("no rules", 2, 1, 1)
    assert "ungape start" in problem.text


def test_words_that_other_yaml_would_turn_into_something_else() -> None:
    text = SMALL.replace("edge: neckline", "edge: no").replace("from: shoulder", "from: 12:30")
    (removal,) = read_rules_text(text, "x").removals
    assert (removal.edge, removal.start) == ("no", "12:30")
    sizes = read_rules_text(SMALL + "sizes: [00, 010, on, 1.0, 0x1]\n", "x").sizes
    assert sizes == ("00", "010", "on", "1.0", "0x1")


def test_two_removals_of_one_name_and_a_second_document() -> None:
    row = "  - {name: a, piece: p, edge: e, from: f, distance: 1, removed: 1, pivot: {dart: d}}\n"
    head = "ungape: 1\npatterns: a.svg\nout: fixed\nremovals:\n"
    (problem,) = problems(head + row + row)
    assert problem.kind == "clash"
    assert "line 5" in problem.text
    (problem,) = problems(SMALL + "---\na: 1\n")
    assert "one document" in problem.text


def test_no_mapping_nothing_and_too_much() -> None:
    assert "a mapping of ungape" in problems("- a\n")[0].text
    assert "found nothing" in problems("")[0].text
    assert "too large" in problems(b" " * 1_000_001)[0].text
    (problem,) = problems(b"ungape: 1\ndesign: caf\xe9\n")
    assert (problem.line, problem.column, problem.text) == (
        2,
        12,
        "this is not text in UTF-8; save the file as UTF-8",
    )


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_encodings(encoding: str, tmp_path: Path) -> None:
    path = tmp_path / "x.gape.yaml"
    path.write_bytes(FULL.encode(encoding))
    assert read_rules(path).names["size"] == ("Größe",)


def test_allowance_in_its_three_ways() -> None:
    by_size = read_rules_text(SMALL + "sizes: [a, b]\nallowance: {a: 1 cm, b: 2 cm}\n", "x").allowance
    assert by_size is not None
    assert isinstance(by_size.default, PerSize)
    stepped = read_rules_text(SMALL + "allowance: {at: a, amount: 1 cm, step: 1 mm}\n", "x").allowance
    assert stepped is not None
    assert isinstance(stepped.default, Stepped)
    plain = read_rules_text(SMALL + "units: in\nallowance: 5/8\n", "x").allowance
    assert plain is not None
    assert plain.default == Fixed(15.875)


def test_what_may_be_left_out_or_empty() -> None:
    head = 'ungape: "1"\npatterns: ./a/{size}.svg\nout: fixed/\n'
    rules = read_rules_text(
        head + "removals:\nedges:\nnames:\nfind:\nlinked:\nseams:\naccept:\n", "b/coat.gape.yaml"
    )
    assert (rules.design, rules.patterns, rules.out) == ("coat", ("a/{size}.svg",), "fixed")
    assert rules == read_rules_text(head, "b/coat.gape.yaml")
    assert read_rules_text(head, ".yaml").design == ".yaml"


def test_yes_and_no() -> None:
    for word, again in [("yes", True), ("true", True), ("TRUE", True), ("no", False), ("false", False)]:
        text = SMALL.replace("removed: 10", f"removed: 10, again: {word}")
        assert read_rules_text(text, "x").removals[0].again is again


def test_a_pointer_in_the_place_of_the_rules_is_called_so(tmp_path: Path) -> None:
    (tmp_path / "x.gape.yaml").write_bytes(b"version https://git-lfs.github.com/spec/v1\noid sha256:0\n")
    with pytest.raises(RulesError) as caught:
        read_rules(tmp_path / "x.gape.yaml")
    (problem,) = caught.value.problems
    assert (problem.kind, problem.exit) == ("no rules", 2)
    assert "Git LFS pointer" in problem.text


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(RulesError) as caught:
        read_rules(tmp_path / "none.gape.yaml")
    (problem,) = caught.value.problems
    assert problem.kind == "no rules"
    assert str(problem).startswith(
        f"{tmp_path / 'none.gape.yaml'}: no rules: the file cannot be read: No such file"
    )


def test_problems_survive_the_way_between_processes() -> None:
    with pytest.raises(RulesError) as caught:
        read_rules_text("a: 1\n", "x")
    again = pickle.loads(pickle.dumps(caught.value))
    assert type(again) is RulesError
    assert again.problems == caught.value.problems
    assert pickle.loads(pickle.dumps(read_rules_text(FULL, "x"))) == read_rules_text(FULL, "x")


def test_every_kind_is_in_the_list_and_every_one_of_the_list_occurs() -> None:
    kinds = {case[2] for case in CASES}
    assert kinds | {"no rules", "missing size", "unknown size", "more problems"} == set(KINDS)


ROW = "- {piece: front, edge: neckline, from: a, distance: 5, removed: 1, pivot: {dart: d}}\n"


@pytest.mark.parametrize(
    ("rows", "count"),
    [
        ("".join(f"removal{k}: 1\n" for k in range(5000)), MOST_TOLD + 1),
        ("removals:\n" + ROW * 2500, 0),
        ("seams: [{join: ['a/b" + " " * 200_000 + "x', '" + "x/y + " * 30_000 + "x/y']}]\n", 0),
        ("sizes: [" + ", ".join(map(str, range(5000))) + "]\nallowance: {at: 5, amount: 1, step: 0}\n", 0),
        ("x" * 1000 + ": 1\n", 1),
    ],
    ids=["mistakes", "removals", "terms", "sizes", "long"],
)
def test_a_long_file_is_read_in_time_that_grows_with_its_length(rows: str, count: int) -> None:
    begin = time.perf_counter()
    found = told("ungape: 1\npatterns: a.svg\nout: fixed\n" + rows)
    assert time.perf_counter() - begin < 20
    assert len(found) == count
    assert all(len(problem.text) < 500 for problem in found)


def test_of_very_many_problems_the_first_are_told_and_that_there_are_more() -> None:
    found = told("ungape: 1\npatterns: a.svg\nout: fixed\n" + "".join(f"k{n}: 1\n" for n in range(1000)))
    assert [p.line for p in found] == list(range(4, 1004))
    assert {p.kind for p in found} == {"unknown word"}
    twice = told("ungape: 1\npatterns: a.svg\nout: fixed\n" + "out: fixed\n" * 1001)
    assert [p.kind for p in twice] == ["duplicate key"] * MOST_TOLD + ["more problems"]
    assert twice[-1].line == 1004


def test_of_very_many_words_the_first_are_listed() -> None:
    sizes = ", ".join(map(str, range(50_000)))
    wanted = ", ".join(f"s{n}: 1" for n in range(20_000))
    row = ROW.replace("removed: 1", f"removed: {{{wanted}}}")
    found = told(f"ungape: 1\npatterns: a.svg\nout: fixed\nsizes: [{sizes}]\nremovals:\n{row}")
    assert found
    assert all(len(problem.text) < 2000 for problem in found)


def test_the_nearest_word() -> None:
    assert nearest("necline", ["neckline", "hem"]) == "neckline"
    assert nearest("xyz", ["neckline", "hem"]) is None


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**40), 10**40) | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=300, deadline=None)
@given(st.text(st.characters(codec="utf-8"), max_size=60), st.integers(0, len(FULL)))
def test_no_text_at_all_gives_anything_but_told_problems(junk: str, place: int) -> None:
    told(FULL[:place] + junk + FULL[place:])


@settings(max_examples=300, deadline=None)
@given(st.sampled_from([line for line in FULL.splitlines() if ": " in line]), VALUES)
def test_no_value_at_all_gives_anything_but_told_problems(line: str, value: object) -> None:
    told(FULL.replace(line, f"{line.split(': ')[0]}: {json.dumps(value)}"))


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=60))
def test_no_bytes_at_all_give_anything_but_told_problems(data: bytes) -> None:
    told(data)
    told(SMALL.encode() + data)


def told(text: str | bytes) -> tuple[Problem, ...]:
    found: tuple[Problem, ...] = ()
    try:
        read_rules_text(text, "x")
    except RulesError as error:
        found = error.problems
        assert found
    assert all(p.file == "x" and p.line and p.column and p.kind in KINDS for p in found)
    return found


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("{join: [front/side, back/side]}", "an entry with `join` belongs under `seams:`, not here"),
        (
            "{piece: facing, follows: front, along: neckline}",
            "an entry with `follows` belongs under `linked:`",
        ),
        ("{strip: binding, follows: [front/neckline], ratio: 1}", "belongs under `linked:`, not here"),
    ],
)
def test_an_entry_under_the_wrong_key_is_told_its_place(entry: str, said: str) -> None:
    text = f"ungape: 1\ndesign: a\npatterns: a.svg\nout: b\nremovals:\n  - {entry}\n"
    with pytest.raises(RulesError) as caught:
        read_rules_text(text, "x")
    (problem,) = caught.value.problems
    assert problem.kind == "unknown word"
    assert said in problem.text
