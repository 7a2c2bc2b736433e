"""Whole sets: however the sizes and pieces are spread over files, the result is the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.drawing import group, labelled_piece, page
from tests.repository import grade
from tests.small_designs import bytes_of, run_design
from transform.designs.batch import prepare, run
from transform.designs.orders import Options
from transform.designs.workers import workers
from transform.pattern.model import Piece
from transform.report.facts import DesignFacts

SIZES = ("00", "0", "2")
PIECES = {size: grade(rank) for rank, size in enumerate(SIZES)}
RULES = """\
ungape: 1
patterns: {patterns}
out: fixed
{head}removals:
  - piece: front
    edge: neckline
    from: shoulder
    distance: 65%
    removed: {{"00": 9, "0": 10, "2": 10.5}}
    pivot: apex
    opens: {{new dart: bust dart, edge: side seam, from: armhole, distance: 60}}
linked: [{{piece: front facing, follows: front, along: neckline}}]
seams: [{{join: [front/side seam, back/side seam]}}]
"""


def sized(size: str, *pieces: Piece) -> str:
    return group(f"size {size}", *(labelled_piece(piece) for piece in pieces))


def every(number: int) -> list[str]:
    return [sized(size, PIECES[size][number]) for size in SIZES]


SPREAD: dict[str, tuple[dict[str, str], str]] = {
    "a file a size": ({f"b-{s}.svg": page(sized(s, *PIECES[s])) for s in SIZES}, "b-{size}.svg"),
    "a file a piece and size": (
        {f"{p.name}-{s}.svg": page(sized(s, p)) for s in SIZES for p in PIECES[s]},
        "'{piece}-{size}.svg'",
    ),
    "size and piece by the file's name alone": (
        {f"{s}_{p.name}.svg": page(group("sheet", labelled_piece(p))) for s in SIZES for p in PIECES[s]},
        "'{size}_{piece}.svg'",
    ),
    "folders": (
        {f"s{s}/{p.name}.svg": page(sized(s, p)) for s in SIZES for p in PIECES[s]},
        "s{size}/{piece}.svg",
    ),
    "all in one file": ({"all.svg": page(*(sized(s, *PIECES[s]) for s in reversed(SIZES)))}, "all.svg"),
    "a file a piece, sizes nested": (
        {f"{PIECES['0'][k].name}.svg": page(*every(k)) for k in range(3)},
        "'{piece}.svg'",
    ),
    "one piece by size, the others nested": (
        {
            **{f"front-{s}.svg": page(sized(s, PIECES[s][0])) for s in SIZES},
            "rest.svg": page(*every(1), *every(2)),
        },
        "['front-{size}.svg', rest.svg]",
    ),
    "some sizes by file, others nested": (
        {
            "b-00.svg": page(sized("00", *PIECES["00"])),
            "big.svg": page(*(sized(s, *PIECES[s]) for s in ("2", "0"))),
        },
        "['b-{size}.svg', big.svg]",
    ),
}
Figures = dict[str, list[tuple[object, ...]]]


def made(folder: Path, files: dict[str, str], patterns: str, head: str = "", jobs: int = 1) -> Figures:
    """The set written as its rules say; per size what was done, to 0.01 mm."""
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    rules = folder / "x.gape.yaml"
    rules.write_text(RULES.format(patterns=patterns, head=head), encoding="utf-8")
    options = Options(writes=True)
    (design,) = prepare([rules], options)
    assert not isinstance(design, DesignFacts), design.problems
    with workers(jobs) as pool:
        (facts,) = run([design], options, pool)
    assert facts.problems == ()
    assert all((folder / "fixed" / name).exists() for name in files)
    return {
        size.size: [
            *(
                (r.piece, r.removed, round(r.angle, 6), round(r.edge_after, 2), round(r.stagger, 2))
                for r in size.removals
            ),
            *((seam.join, round(seam.after[0], 2), round(seam.after[1], 2)) for seam in size.seams),
        ]
        for size in facts.sizes
    }


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Figures:
    return made(tmp_path_factory.mktemp("plain"), *SPREAD["a file a size"])


@pytest.mark.parametrize("spread", [name for name in SPREAD if name != "a file a size"])
def test_a_set_may_be_spread_over_files_in_any_way(spread: str, plain: Figures, tmp_path: Path) -> None:
    found = made(tmp_path, *SPREAD[spread], jobs=1 + len(spread) % 2)
    assert list(found) == list(plain) == list(SIZES)
    for size in SIZES:
        assert sorted(map(str, found[size])) == sorted(map(str, plain[size]))
    assert [row[1] for row in found["00"] if row[0] == "front"] == [9.0]


def test_listed_sizes_are_done_in_the_order_listed(plain: Figures, tmp_path: Path) -> None:
    found = made(tmp_path, *SPREAD["all in one file"], head='sizes: [2, "00", 0]\n')
    assert list(found) == ["2", "00", "0"]
    assert found["00"] == plain["00"]


def test_sizes_may_be_named_by_a_bare_label(plain: Figures, tmp_path: Path) -> None:
    body = [group(size, *(labelled_piece(piece) for piece in PIECES[size])) for size in SIZES]
    found = made(tmp_path, {"all.svg": page(*body)}, "all.svg", head="sizes: [00, 0, 2]\n")
    assert found == plain


@pytest.mark.parametrize(
    ("spread", "written"),
    [
        ("one piece by size, the others nested", {"front-00.svg", "rest.svg"}),
        ("some sizes by file, others nested", {"b-00.svg"}),
    ],
)
def test_one_size_of_a_mixed_set_leaves_the_files_of_the_others(
    spread: str, written: set[str], tmp_path: Path
) -> None:
    made(tmp_path, *SPREAD[spread])
    before = bytes_of(tmp_path / "fixed")
    facts = run_design(tmp_path / "x.gape.yaml", Options(writes=True, sizes=("00",)))
    assert facts.problems == ()
    after = bytes_of(tmp_path / "fixed")
    assert {name for name in before if before[name] != after[name]} <= {"rest.svg", ".ungape.json"}
    assert {file.target for size in facts.sizes for file in size.files} == {f"fixed/{n}" for n in written}
    again = run_design(tmp_path / "x.gape.yaml", Options(writes=False, sizes=("00",)))
    assert (again.problems, again.stale) == ((), ())
