"""A rules file to begin with."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.problems import UngapeError
from rules.reading import read_rules_text
from rules.yaml_text import Scalar
from tests import odd_files
from tests.builders import front, front_with_dart
from tests.drawing import cornered_piece, group, labelled_piece, page
from tests.rules.loading import load
from tests.small_designs import back_file, front_file, run_design
from tests.test_whole_files import with_corners
from transform.designs.orders import Options
from transform.first_look.naming import guess_names
from transform.first_look.quoting import quoted
from transform.first_look.starting import begin, rules_text
from transform.svg.document import read_document
from transform.svg.select import select


@pytest.mark.parametrize(
    ("names", "patterns", "sizes"),
    [
        (["b-10.svg", "b-12.svg"], ["b-{size}.svg"], ["10", "12"]),
        (["b_XS.svg"], ["b_{size}.svg"], ["XS"]),
        (["f-S.svg", "f-M.svg", "b-S.svg"], ["{piece}-{size}.svg"], ["S", "M", "S"]),
        (["10.svg", "12.svg"], ["{size}.svg"], ["10", "12"]),
        (["bodice.svg", "skirt.svg"], ["bodice.svg", "skirt.svg"], [None, None]),
        (["f-10.svg", "sleeve.svg"], ["f-{size}.svg", "sleeve.svg"], ["10", None]),
        (["f 10.svg", "f-12.svg"], ["f {size}.svg", "f-{size}.svg"], ["10", "12"]),
        (["small.svg"], ["small.svg"], [None]),
    ],
)
def test_patterns_are_guessed_from_names(
    names: list[str], patterns: list[str], sizes: list[str | None]
) -> None:
    guesses = guess_names(names)
    assert list(dict.fromkeys(guess.pattern for guess in guesses)) == patterns
    assert [guess.size for guess in guesses] == sizes


FRONT_AND_BACK = ["summer-front-12.svg", "summer-back-12.svg"]


@pytest.mark.parametrize(
    ("names", "held", "patterns", "pieces"),
    [
        (FRONT_AND_BACK, {}, {"summer-{piece}-{size}.svg"}, ["front", "back"]),
        (
            FRONT_AND_BACK,
            {"summer-front-12.svg": ("Front",), "summer-back-12.svg": ("back",)},
            {"summer-{piece}-{size}.svg"},
            ["front", "back"],
        ),
        (
            ["a-front-12.svg", "b-front-12.svg"],
            {"a-front-12.svg": ("front",), "b-front-12.svg": ("sleeve",)},
            {"a-front-{size}.svg", "b-front-{size}.svg"},
            [None, None],
        ),
        (
            ["b-front-facing-12.svg", "b-front-lining-12.svg"],
            {"b-front-facing-12.svg": ("front facing",), "b-front-lining-12.svg": ("front lining",)},
            {"b-{piece}-{size}.svg"},
            ["front-facing", "front-lining"],
        ),
        (["b-front-12.svg", "b-front-14.svg"], {}, {"b-front-{size}.svg"}, [None, None]),
        (
            ["b-front-12.svg", "b-front-14.svg"],
            {"b-front-12.svg": (), "b-front-14.svg": ()},
            {"b-{piece}-{size}.svg"},
            ["front", "front"],
        ),
        (["front.svg", "back.svg"], {"front.svg": (), "back.svg": ()}, {"{piece}.svg"}, ["front", "back"]),
    ],
)
def test_what_a_name_says_of_the_piece_is_what_the_file_holds(
    names: list[str], held: dict[str, tuple[str, ...]], patterns: set[str], pieces: list[str | None]
) -> None:
    guesses = guess_names(names, (), held)
    assert {guess.pattern for guess in guesses} == patterns
    assert [guess.piece for guess in guesses] == pieces


def written(tmp_path: Path, **files: str) -> list[Path]:
    paths = []
    for name, text in files.items():
        path = tmp_path / f"{name.replace('_', '-')}.svg"
        path.write_text(text, encoding="utf-8")
        paths.append(path)
    return paths


def test_the_file_can_be_read_and_alters_nothing(tmp_path: Path) -> None:
    paths = written(
        tmp_path,
        front_10=front_file("10"),
        front_12=front_file("12"),
        back_10=back_file("10"),
        back_12=back_file("12"),
    )
    beginning, problems = begin(paths)
    assert problems == ()
    text = rules_text(beginning)
    rules = read_rules_text(text, "x")
    assert rules.patterns == ("{piece}-{size}.svg",)
    assert rules.sizes == ("10", "12")
    assert rules.removals == ()
    assert "edge: neckline           # one of: neckline, shoulder" in text
    assert "from: shoulder" in text
    assert "join: [front/side seam, back/side seam]" in text
    assert "hem, back/hem" not in text


def test_filled_in_it_is_sound(tmp_path: Path) -> None:
    for row, words in (
        (labelled_piece(front()), ("pivot: apex", "opens:")),
        (labelled_piece(front_with_dart()), ("pivot: {dart: bust dart}",)),
    ):
        beginning, _ = begin(written(tmp_path, bodice_12=page(group("size 12", row))))
        text = uncommented(rules_text(beginning))
        rules = read_rules_text(text, "x")
        assert rules.removals[0].piece == "front"
        assert all(word in text for word in words)
        assert rules.design == "bodice"


def test_the_proposed_wedge_has_room_on_a_short_edge(tmp_path: Path) -> None:
    text = page(
        "<g inkscape:label='front'><g inkscape:label='stitching line'>"
        "<path inkscape:label='neckline' d='M 0 0 L 0 70'/>"
        "<path inkscape:label='shoulder' d='M 0 70 L 90 70'/>"
        "<path inkscape:label='side seam' d='M 90 70 L 0 0'/></g></g>"
    )
    beginning, _ = begin(written(tmp_path, small_12=text))
    assert "distance: 3 cm " in rules_text(beginning)


@pytest.mark.parametrize("labelled", [True, False])
def test_files_that_are_named_by_their_pieces(labelled: bool, tmp_path: Path) -> None:
    line = (
        "<g inkscape:label='stitching line'><path inkscape:label='neckline' d='M 0 0 L 0 70'/>"
        "<path inkscape:label='shoulder' d='M 0 70 L 90 70'/>"
        "<path inkscape:label='side seam' d='M 90 70 L 0 0'/></g>"
    )
    texts = {
        f"summer_{piece}_12": page(f"<g inkscape:label='{piece}'>{line}</g>" if labelled else line)
        for piece in ("front", "back")
    }
    beginning, problems = begin(written(tmp_path, **texts))
    assert problems == ()
    assert beginning.patterns == ("summer-{piece}-{size}.svg",)
    assert [piece.name for piece in beginning.pieces] == ["front", "back"]
    (tmp_path / "a.gape.yaml").write_text(rules_text(beginning), encoding="utf-8")
    assert run_design(tmp_path / "a.gape.yaml", Options(writes=True)).problems == ()


def test_one_shape_with_corner_marks_gets_its_edges(tmp_path: Path) -> None:
    row = cornered_piece(with_corners(front()))
    beginning, _ = begin(written(tmp_path, all=page(group("size 12", row))))
    text = rules_text(beginning)
    rules = read_rules_text(text, "x")
    (edges,) = rules.edges.values()
    names = [path.name for path in edges]
    assert len(names) == 6
    assert {"neckline", "shoulder", "armhole", "side seam"} <= set(names)
    assert any(name.startswith("edge ") for name in names)
    assert "allowance" in text


def test_a_file_without_pieces_still_begins_one(tmp_path: Path) -> None:
    beginning, _ = begin(written(tmp_path, instructions=page("<text>Cut two</text>")))
    rules = read_rules_text(rules_text(beginning), "x")
    assert rules.patterns == ("instructions.svg",)
    assert rules.sizes is None


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    paths = written(tmp_path, front_10=front_file("10"), broken="<svg")
    _, problems = begin([*paths, tmp_path / "nothing.svg"])
    assert [problem.exit for problem in problems] == [3, 3]
    with pytest.raises(UngapeError):
        begin(paths[1:])


@given(st.text(st.characters(exclude_categories=("Cc", "Cs")), min_size=1))
def test_any_name_is_read_as_it_was(name: str) -> None:
    node = load(f"key: {quoted(name)}\n", "x")
    value = node.get("key")  # type: ignore[union-attr]
    assert isinstance(value, Scalar)
    assert value.text == name


def uncommented(text: str) -> str:
    """The file with every rule that is commented out taken over as it stands: its `#` taken away."""
    return re.sub(r"(?m)^#(?=[a-z]+:|  )", "", text)


def test_with_every_comment_sign_taken_away_it_is_read_and_checked(tmp_path: Path) -> None:
    facing = front_file("12").replace('"front"', '"front facing"')
    written(tmp_path, front_12=front_file("12"), front_facing_12=facing, back_12=back_file("12"))
    beginning, problems = begin(sorted(tmp_path.glob("*.svg")))
    assert problems == ()
    text = rules_text(beginning)
    assert "# seams" not in text
    assert "[]" not in text
    assert "#  - {piece: front facing, follows: front, along: neckline}\n" in text
    rules = read_rules_text(uncommented(text), "x")
    assert next(link.piece for link in rules.linked if hasattr(link, "piece")) == "front facing"
    assert len(rules.seams) >= 2
    assert rules.removals[0].finish is not None
    (tmp_path / "a.gape.yaml").write_text(uncommented(text), encoding="utf-8")
    checked = run_design(tmp_path / "a.gape.yaml", Options(writes=False))
    assert [problem for problem in checked.problems if problem.exit == 2] == []


def test_a_word_that_is_a_role_but_for_a_slip_is_a_name_of_it(tmp_path: Path) -> None:
    svg = odd_files.page(odd_files.front(odd_files.edges())).replace("stitching line", "stiching line")
    beginning, problems = begin(written(tmp_path, a=svg))
    assert problems == ()
    text = rules_text(beginning)
    assert "names:                     #" in text
    assert "  stitching line: [stiching line]\n" in text
    assert "edge: neckline" in text
    (tmp_path / "a.gape.yaml").write_text(text, encoding="utf-8")
    assert run_design(tmp_path / "a.gape.yaml", Options(writes=False)).problems == ()


def test_files_that_name_no_piece_get_words_and_selectors_to_choose_from(tmp_path: Path) -> None:
    drawn = (
        f'<path id="a1" d="{odd_files.WHOLE}" style="fill:none;stroke-dasharray:4, 2"/>',
        f'<g><path d="{odd_files.WHOLE}" stroke-dasharray="1 1" transform="scale(0.9)"/></g>',
        '<path d="M0 0H9V9Z" stroke-dasharray="3"/><path d="M0 0H90"/><rect width="60" height="bad"/>',
    )
    paths = written(
        tmp_path, a=odd_files.page(odd_files.group("Vorderteil", odd_files.group("Naht", *drawn)))
    )
    text = rules_text(begin(paths)[0])
    assert '#  front/stitching line: "#a1"   # 240 × 400 mm, line 4 of a.svg\n' in text
    second = ":root > g:nth-of-type(1) > g:nth-of-type(1) > g:nth-of-type(1) > path:nth-of-type(1)"
    assert f'#  piece 2/stitching line: "{second}"   # 216 × 360 mm' in text
    assert "#  size 1: \"[style*='stroke-dasharray:4, 2']\"   # 1 shapes\n" in text
    assert "#  stitching line: [Naht]\n#  cut line: [Vorderteil]\n" in text
    assert read_rules_text(text, "x").find == ()
    rules = read_rules_text(uncommented(text), "x")
    document = read_document(paths[0].read_bytes(), "a.svg")
    chosen = {entry.label: select(document, entry.selector) for entry in rules.find}
    shapes = [element for element in document.elements if document.tag(element) == "path"]
    assert chosen["front/stitching line"] == chosen["size 1"] == (shapes[0],)
    assert chosen["piece 2/stitching line"] == chosen["size 2"] == (shapes[1],)


def test_a_number_in_a_name_is_no_size_where_the_labels_say_others(tmp_path: Path) -> None:
    beginning, problems = begin(written(tmp_path, draft_2=odd_files.page(odd_files.front(odd_files.edges()))))
    assert problems == ()
    assert (beginning.patterns, beginning.sizes) == (("draft-2.svg",), ("12",))


def test_a_file_whose_size_is_not_listed_is_told(tmp_path: Path) -> None:
    written(tmp_path, front_10=front_file("10"), front_12=front_file("12"), front_notes=front_file("12"))
    rules = 'ungape: 1\ndesign: a\npatterns: "front-{size}.svg"\nout: fixed\nsizes: ["10"]\n'
    (tmp_path / "a.gape.yaml").write_text(rules, encoding="utf-8")
    told = [notice for _, notice in run_design(tmp_path / "a.gape.yaml", Options(writes=False)).notices]
    assert [notice.kind for notice in told] == ["size left out"]
    assert "`front-12.svg` lies here and size 12 is not among `sizes`" in told[0].text
    (tmp_path / "a.gape.yaml").write_text(rules.replace('["10"]', '["10", "12"]'), encoding="utf-8")
    assert not list(run_design(tmp_path / "a.gape.yaml", Options(writes=False)).notices)
