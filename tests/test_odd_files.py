"""The same front however its file is drawn and labelled: gaps, selectors, sizes told by dashes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.odd_files import (
    APEX,
    CORNERS,
    EDGES,
    RULED,
    WHOLE,
    dots,
    edges,
    figures,
    front,
    group,
    labels,
    page,
    run,
    texts,
)

CLASSED = "\n".join(f'<path class="e{k}" d="{d}"/>' for k, d in enumerate(EDGES.values()))
UNLABELLED = "\n".join(f'<path d="{d}"/>' for d in EDGES.values())
MARKED = "\n".join(
    f'<circle class="k{k}" cx="{x}" cy="{y}" r="2"/>' for k, (x, y) in enumerate(CORNERS.values())
)
FOUND_CORNERS = "".join(f'  front/corner marks/{name}: ".k{k}"\n' for k, name in enumerate(CORNERS))
DASHES = {"XS": "4 2", "S": "1 1", "M": "none"}


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> tuple[float, ...]:
    return figures(run(tmp_path_factory.mktemp("plain"), page(front(edges()))))


def found_edges(selector: str, also: str = "") -> str:
    rows = (
        f'  {also}front/stitching line/{name}: "{selector.format(k=k, n=k + 1)}"\n'
        for k, name in enumerate(EDGES)
    )
    return "find:\n" + "".join(rows) + '  front/apex mark: "circle:last-child"\n'


@pytest.mark.parametrize(
    ("svg", "head"),
    [
        pytest.param(
            page(CLASSED, APEX), found_edges(".e{k}"), id="edges by class, which new shapes take over"
        ),
        pytest.param(
            page(f'<g id="f">{UNLABELLED}{APEX}</g>'), found_edges("path:nth-of-type({n})"), id="by place"
        ),
        pytest.param(
            page(UNLABELLED, APEX), found_edges("path:nth-child({n})", "size 12/"), id="beside the note"
        ),
        pytest.param(
            page(f'<g id="f"><path d="{WHOLE}"/></g>', APEX, MARKED),
            f'{RULED}find:\n  front/stitching line: path\n  front/apex mark: "#c4"\n{FOUND_CORNERS}',
            id="every path",
        ),
        pytest.param(
            page(front(UNLABELLED, group("corner marks", dots()))), RULED, id="open shapes without labels"
        ),
    ],
)
def test_selectors_do_not_see_what_is_added(
    svg: str, head: str, plain: tuple[float, ...], tmp_path: Path
) -> None:
    facts = run(tmp_path, svg, head=head)
    assert texts(facts) == []
    assert figures(facts) == plain


def test_sizes_told_apart_by_their_dashes_alone(plain: tuple[float, ...], tmp_path: Path) -> None:
    lines = "\n".join(edges(attributes=f' stroke-dasharray="{dash}"') for dash in DASHES.values())
    svg = page(group("front", group("stitching line", lines), group("apex mark", APEX)))
    found = "".join(f"  size {size}: \"[stroke-dasharray='{dash}']\"\n" for size, dash in DASHES.items())
    facts = run(tmp_path, svg, head=f"find:\n{found}")
    assert texts(facts) == []
    assert [figures(facts, k) for k in range(3)] == [plain] * 3
    written = labels((tmp_path / "fixed" / "a.svg").read_text())
    at = written.index("size XS")
    assert written[at - 1 : at + 5] == [
        "side seam",
        "size XS",
        "bust dart",
        "size XS",
        "side seam",
        "armhole",
    ]


def test_a_selector_that_would_miss_is_refused_by_name(tmp_path: Path) -> None:
    rectangle = '<rect x="0" y="0" width="240" height="400"/>'
    corners = zip("abcd", ((0, 0), (240, 0), (240, 400), (0, 400)), strict=True)
    marks = group(
        "corner marks", *(f'<circle inkscape:label="{c}" cx="{x}" cy="{y}" r="2"/>' for c, (x, y) in corners)
    )
    head = (
        "edges: {front: {neckline: [a, b], side seam: [b, c], hem: [c, d], centre front: [d, a]}}\n"
        "find: {front/stitching line: rect}\n"
    )
    svg = page(group("size 12", rectangle, group("front", marks, group("apex mark", APEX))))
    facts = run(tmp_path, svg, head=head, removal=removal_from("side seam"))
    (problem,) = facts.problems
    assert (problem.kind, problem.exit, problem.line) == ("selector lost", 3, 5)
    assert "is drawn anew as a <path>" in problem.text
    assert not (tmp_path / "fixed").exists()


def removal_from(start: str) -> str:
    return (
        f"removals:\n  - {{piece: front, edge: neckline, from: {start}, distance: 40, removed: 12, "
        "pivot: apex, opens: {new dart: bust dart, edge: side seam, from: neckline, distance: 160}}\n"
    )


@pytest.mark.parametrize(
    "changed",
    [
        {"hem": "M0.15 400L239.9 400.1"},
        {
            "side seam": "M240 400L240.1 200.1",
            "shoulder": "M195 35.1L70.1 0.1",
            "hem": "M0.15 400L239.9 400.1",
        },
        {"armhole": "M239.9 200.1C200 190 190 100 195.1 35", "centre front": "M0.1 80.1L-0.1 400"},
    ],
)
def test_gaps_that_are_allowed_stay_and_spoil_nothing(
    changed: dict[str, str], plain: tuple[float, ...], tmp_path: Path
) -> None:
    facts = run(tmp_path, page(front(edges(changed))))
    assert texts(facts) == []
    assert figures(facts)[:3] == plain[:3]


def test_a_gap_in_a_path_that_is_not_closed_stays(plain: tuple[float, ...], tmp_path: Path) -> None:
    svg = page(front(f'<path d="{WHOLE.replace("Z", "L70.15 0")}"/>', group("corner marks", dots())))
    facts = run(tmp_path, svg, head=RULED)
    assert texts(facts) == []
    assert figures(facts) == plain


def test_a_gap_that_is_too_wide_is_told_with_its_width(tmp_path: Path) -> None:
    facts = run(tmp_path, page(front(edges({"hem": "M0.25 400L240 400"}))))
    (told,) = texts(facts)
    assert told.startswith("gap: the stitching line is open between centre front and hem: a gap of 0.25 mm")
