"""What labels say, alone and with the words of the rules."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.lengths import Fixed
from rules.model import (
    DartPivot,
    EdgePath,
    EdgePivot,
    Find,
    KnownDart,
    Linked,
    NewDart,
    Position,
    Removal,
    Rules,
    Seam,
    Strip,
    TakenOut,
    Term,
)
from rules.problems import UngapeError
from tests.pattern.sketches import Frame
from transform.pattern.labelled import Named, found_labels, named, parts_of
from transform.pattern.model import Role
from transform.pattern.sizes_and_roles import leaves_of
from transform.pattern.vocabulary import ROLE_WORDS, Meaning, vocabulary_of
from transform.svg.document import read_document

PLAIN = vocabulary_of(Rules("r"))
SIZED = vocabulary_of(Rules("r", sizes=("XS", "M", "12", "32 B")))


@pytest.mark.parametrize(
    ("role", "word"), [(role, word) for role, words in ROLE_WORDS.items() for word in words]
)
def test_every_role_word_is_its_role_however_it_is_written(role: Role, word: str) -> None:
    for label in (word, word.upper(), word.replace(" ", "_"), word.replace(" ", "-"), f" {word} "):
        assert PLAIN.meaning(label) == Meaning(role=role)


@pytest.mark.parametrize(
    ("label", "said"),
    [
        ("size 12", Meaning(size="12")),
        ("Size_12", Meaning(size="12")),
        ("size 10-12", Meaning(size="10-12")),
        ("front", Meaning(words="front")),
        ("front facing", Meaning(words="front facing")),
        ("front stitching line", Meaning(role=Role.STITCHING_LINE, words="front")),
        ("front_facing cut-line", Meaning(role=Role.CUT_LINE, words="front facing")),
        ("front stitching line size 12", Meaning("12", Role.STITCHING_LINE, "front")),
        ("size 12 front stitching line", Meaning("12", Role.STITCHING_LINE, "front")),
        ("front size 12 stitching line", Meaning("12", Role.STITCHING_LINE, "front")),
        ("stitching line size 12", Meaning("12", Role.STITCHING_LINE)),
        ("front stitching line size EU 38", Meaning("EU 38", Role.STITCHING_LINE, "front")),
        ("front stitching line size 32 B", Meaning("32 B", Role.STITCHING_LINE, "front")),
        ("size UK 10 front stitching line", Meaning("UK 10", Role.STITCHING_LINE, "front")),
        ("front size EU 38", Meaning("EU 38", None, "front")),
        ("size XL 2", Meaning("XL", None, "2", Meaning(size="XL 2"))),
        # A role of one word ends no label: this is a dart's name, that an edge's.
        ("bust dart", Meaning(words="bust dart")),
        ("centre fold", Meaning(words="centre fold")),
        ("size", Meaning(words="size")),
        ("size 12 front", Meaning("12", None, "front", Meaning(size="12 front"))),
        ("size-12-front", Meaning("12", None, "front", Meaning(size="12-front"))),
    ],
)
def test_what_a_label_says(label: str, said: Meaning) -> None:
    assert PLAIN.meaning(label) == said


@pytest.mark.parametrize(
    ("label", "said"),
    [
        ("xs", Meaning(size="XS")),
        ("12", Meaning(size="12")),
        ("32_B", Meaning(size="32 B")),
        ("size 32 B", Meaning(size="32 B")),
        ("size 32 B front", Meaning("32 B", None, "front")),
        ("M stitching line", Meaning("M", Role.STITCHING_LINE)),
        ("front stitching line M", Meaning("M", Role.STITCHING_LINE, "front")),
        ("M front cut line", Meaning(None, Role.CUT_LINE, "M front", Meaning("M", Role.CUT_LINE, "front"))),
        ("pocket M", Meaning(None, None, "pocket M", Meaning("M", None, "pocket"))),
        ("M pocket", Meaning(None, None, "M pocket", Meaning("M", None, "pocket"))),
    ],
)
def test_sizes_that_the_rules_list(label: str, said: Meaning) -> None:
    assert SIZED.meaning(label) == said


def test_the_rules_add_words_for_roles_names_and_the_word_size() -> None:
    words = vocabulary_of(
        Rules(
            "r",
            names={
                "size": ("Größe", "taille unique"),
                "stitch line": ("Nahtlinie", "net line"),
                "neckline": ("Halsausschnitt", "neck_edge"),
                "darts": ("Abnäher",),
            },
        )
    )
    assert words.meaning("GRÖSSE 10") == Meaning(size="10")
    assert words.meaning("taille unique 3") == Meaning(size="3")
    assert words.meaning("front net line") == Meaning(role=Role.STITCHING_LINE, words="front")
    assert words.meaning("Nahtlinie").role is Role.STITCHING_LINE
    assert words.name("halsausschnitt") == words.name("Neck-Edge") == "neckline"
    assert words.is_dart("Abnäher oben")
    assert not words.is_dart("Halsausschnitt")


def test_names_are_spelled_as_the_rules_spell_them() -> None:
    removal = Removal(
        "gape",
        "Front",
        "Neck-line",
        "Shoulder",
        Fixed(10),
        Fixed(10),
        EdgePivot("Arm-hole", "Underarm", Fixed(1)),
        (NewDart("Nip", "Side-Seam", "Armhole", Fixed(60)), KnownDart("Tuck")),
        finish=TakenOut("The-Hem", "Centre-Front"),
        hold="Held-Edge",
    )
    rules = Rules(
        "r",
        removals=(removal, Removal("b", "Back", "E", "F", Fixed(1), Fixed(1), DartPivot("Pleat"))),
        linked=(Linked("Front-Facing", "Front", ("Neck-line",)),),
        strips=(Strip("Binding", (Term("Front", "Neck-line"),)),),
        seams=(Seam(((Term("Sleeve", "Cap-Edge"),), (Term("Front", "Arm-hole"),))),),
        edges={"Yoke": (EdgePath("Top-Edge", (("A-Corner", "B"),)),)},
    )
    words = vocabulary_of(rules)
    for name in (
        "Neck-line",
        "Arm-hole",
        "Side-Seam",
        "The-Hem",
        "Centre-Front",
        "Held-Edge",
        "Front-Facing",
    ):
        assert words.name(name.lower().replace("-", "_")) == name
    for name in ("Cap-Edge", "Top-Edge", "A-Corner", "Yoke", "Binding"):
        assert words.name(name.upper()) == name
    assert words.name("other_edge") == "other edge"
    assert all(words.is_dart(name) for name in ("nip", "tuck", "pleat", "waist dart"))
    assert words.size("7") == "7"


def test_the_file_s_size_is_a_size() -> None:
    assert vocabulary_of(Rules("r"), "38 tall").meaning("size 38 tall front") == Meaning(
        "38 tall", None, "front"
    )


def test_parts_of_a_found_path() -> None:
    assert parts_of("front/cut line") == ("front", "cut line")
    assert parts_of('"a/b"/cut line') == ("a/b", "cut line")
    assert parts_of("size 10") == ("size 10",)
    assert parts_of("/") == ("/",)


def names_of(find: dict[str, str], body: str) -> dict[str, Named | None]:
    document = read_document(f"{Frame().head}{body}</svg>".encode(), "x.svg")
    rules = Rules("r", find=tuple(Find(label, css) for label, css in find.items()))
    found, _ = found_labels(document, rules)
    words = vocabulary_of(rules)
    return {
        document.get(element, "class") or "": named(document, element, words, found)
        for element in document.elements
        if document.tag(element) == "path"
    }


def test_found_labels_name_what_has_none_and_go_before_what_it_has() -> None:
    body = '<path class="a"/><path class="b" id="front"/><path class="c" id="neckline"/><path class="d"/>'
    find = {
        "front/cut line": ".a",
        "size 10": ".a, .b",
        "back": ".b",
        "front/stitching line": ".c",
        "front/stitching line/hem": ".d",
    }
    assert names_of(find, body) == {
        "a": Named("10", Role.CUT_LINE, "front"),
        "b": Named("10", None, None, "back"),
        "c": Named(None, Role.STITCHING_LINE, "front", "neckline"),
        "d": Named(None, Role.STITCHING_LINE, "front", "hem"),
    }


def test_a_found_path_without_a_role_is_a_piece_and_a_name_on_it() -> None:
    assert names_of({"front/neckline": "path"}, '<path class="a"/>') == {
        "a": Named(None, None, "front", "neckline")
    }
    assert names_of({"size 10/front": "path"}, '<path class="a"/>') == {"a": Named("10", None, None, "front")}
    both = names_of({"front stitching line": "path"}, '<path class="a" id="seam_line"/>')
    assert both == {"a": Named(None, Role.STITCHING_LINE, "front")}


def test_selectors_that_cannot_be_read_are_all_said_with_their_place_in_the_rules() -> None:
    document = read_document(f"{Frame().head}</svg>".encode(), "x.svg")
    rules = Rules(
        "r.yaml", find=(Find("a", "[", Position(7, 5)), Find("b", "g:hover", Position(8, 5)), Find("c", "g"))
    )
    with pytest.raises(UngapeError) as error:
        found_labels(document, rules)
    assert [(p.kind, p.file, p.line, p.column) for p in error.value.problems] == [
        ("selector", "r.yaml", 7, 5),
        ("selector", "r.yaml", 8, 5),
    ]
    _, idle = found_labels(document, Rules("r", find=(Find("c", "g"),)))
    assert [entry.label for entry in idle] == ["c"]


def test_a_label_of_very_many_words_is_only_words() -> None:
    label = "cut line " * 100
    assert PLAIN.meaning(label) == Meaning(words=label.strip())


WORDS = (
    "front",
    "Size",
    "12",
    "32",
    "B",
    "b12",
    "cut",
    "line",
    "XS",
    "seam",
    "notch",
    "dart",
    "tall",
    "petite",
)


@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=4), st.sampled_from(("-", "_", " ", "--")))
def test_an_id_without_any_word_of_theirs_says_no_size_and_no_role(words: list[str], between: str) -> None:
    vocabulary = vocabulary_of(Rules("r", sizes=("XS", "32 B"), names={"size": ("tall petite",)}))
    label = between.join(words)
    doc = read_document(f'<svg><path id="{label}"/></svg>'.encode(), "x.svg")
    without = doc.without_words(vocabulary.telling)[1]
    assert without == {"front", "12", "b12"}.issuperset(words)
    if without:
        said = vocabulary.meaning(label)
        assert said == Meaning(words=said.words)


def test_shapes_with_names_of_no_account_are_told_apart_only_when_asked() -> None:
    rows = (
        '<path id="bow-1"/><path id="front_cut_line"/><path data-name="bow"/>'
        '<g id="front"><path id="bow-2"/></g>'
    )
    doc = read_document(f"<svg>{rows}</svg>".encode(), "x.svg")
    drawn = leaves_of(doc, PLAIN, {})
    assert [leaf.element for leaf in drawn.leaves] == [2, 3]
    assert [crowd.elements.tolist() for crowd in drawn.crowds] == [[1], [5]]
    assert drawn.crowds[0].leaf(doc, 1).label == "bow-1"
    assert drawn.crowds[1].leaf(doc, 5).around[0].name == Named(words="front")
