"""The same front however its file is drawn and labelled: gaps, selectors, sizes told by dashes."""

from __future__ import annotations

from pathlib import Path

import pytest

from rules.reading import read_rules
from tests.odd_files import (
    APEX,
    CORNERS,
    EDGES,
    HEAD,
    REMOVAL,
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
from transform.pattern.reading import read_pieces
from transform.report.facts import DesignFacts
from transform.svg.document import read_document

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


def notices(facts: DesignFacts, kind: str) -> list[str]:
    assert texts(facts) == []
    return [notice.text for _, notice in facts.notices if notice.kind == kind]


NARROW = '<rect x="-5" y="-5" width="{width}" height="410"/>'


@pytest.mark.parametrize(
    ("clip", "around", "told"),
    [
        (
            '<clipPath id="c">{narrow}</clipPath>',
            'clip-path="url(#c)"',
            "0.7 mm beyond the clip path c (line 2)",
        ),
        (
            '<g transform="rotate(40)"><clipPath id="c" transform="scale(2 1)">{half}</clipPath></g>',
            """transform="translate(9 9) rotate(4)"><g style="fill:none; clip-path: url('#c')\"""",
            "0.7 mm beyond the clip path c (line 2)",
        ),
        (
            '<clipPath id="d"><circle r="900"/></clipPath><clipPath id="c" clip-path="url(#n)">'
            '<path d="M-90-90H900V900H-90Z"/></clipPath>'
            '<clipPath id="n"><use href="#r"/></clipPath><defs>{named}</defs>',
            'clip-path="url(#d)"><g clip-path="url(#c)"',
            "0.7 mm beyond the clip path n (line 2)",
        ),
    ],
)
def test_a_line_that_leaves_its_clip_path_is_told(clip: str, around: str, told: str, tmp_path: Path) -> None:
    narrow = NARROW.format(width=245.5)
    half = NARROW.format(width=122.75).replace('x="-5"', 'x="-2.5"')
    defs = clip.format(narrow=narrow, half=half, named=narrow.replace("<rect", '<rect id="r"'))
    closing = "</g>" * (1 + around.count("<g"))
    facts = run(tmp_path, page(defs, f"<g {around}>", front(edges()), closing))
    (text,) = notices(facts, "beyond the frame")
    assert "bust dart" in text
    assert told in text


@pytest.mark.parametrize("width", [225, 260])
def test_what_was_cut_off_before_or_is_not_now_is_not_told(width: float, tmp_path: Path) -> None:
    svg = page(
        f'<clipPath id="c">{NARROW.format(width=width)}</clipPath><clipPath id="e"/>',
        f'<g clip-path="url(#c)"><g clip-path="url(#e)">{front(edges())}</g></g>',
    )
    assert notices(run(tmp_path, svg), "beyond the frame") == []


def test_a_line_that_leaves_the_page_is_told(tmp_path: Path) -> None:
    head = HEAD.replace("-50 -50 400 500", "0 0 240 400").replace("400mm", "240mm").replace("500mm", "400mm")
    (text,) = notices(run(tmp_path, page(front(edges()), head=head)), "beyond the frame")
    assert "1.2 mm beyond the viewBox" in text
    pages = "<sodipodi:namedview>{}</sodipodi:namedview>"
    small = pages.format('<inkscape:page x="0" y="0" width="240.5" height="400"/><inkscape:page x="bad"/>')
    (text,) = notices(run(tmp_path, page(small, front(edges()), head=head)), "beyond the frame")
    assert "0.7 mm beyond the pages" in text
    large = pages.format('<inkscape:page x="-9" y="-9" width="300" height="420"/>')
    assert notices(run(tmp_path, page(large, front(edges()), head=head)), "beyond the frame") == []
    nested = page(f'<svg width="240" height="400" viewBox="0 0 240 400">{front(edges())}</svg>')
    (text,) = notices(run(tmp_path, nested), "beyond the frame")
    assert "1.2 mm beyond the frame of <svg>" in text
    shown = nested.replace("<svg width", '<svg overflow="visible" width')
    assert notices(run(tmp_path, shown), "beyond the frame") == []


def test_an_editor_s_own_copies_are_dropped_and_told(tmp_path: Path) -> None:
    kept = ' sodipodi:nodetypes="cc" inkscape:original-d="M0 0H9"'
    (text,) = notices(run(tmp_path, page(front(edges(attributes=kept)))), "editor's copy dropped")
    assert "inkscape:original-d, sodipodi:nodetypes of size 12 > front > stitching line > neckline" in text
    assert "and 3 more" in text
    assert (tmp_path / "fixed" / "a.svg").read_text().count("original-d") == 2


def test_a_copy_by_reference_is_told(tmp_path: Path) -> None:
    svg = page(f'<g id="one">{front(edges())}</g>', '<use href="#one" x="9"/>', '<use href="#c4"/><use/>')
    (text,) = notices(run(tmp_path, svg), "copy altered too")
    assert text.startswith("a.svg: <use> (line ")


def test_a_style_rule_that_means_another_shape_now_is_told(tmp_path: Path) -> None:
    line = '<polyline inkscape:label="neckline" points="70,0 69,17 65,33 57,48 45,61 30,71 15,77 0,80"/>'
    style = "<style>polyline { stroke: red } path, .none { fill: none } g > line { stroke: blue }</style>"
    drawn = edges().replace(f'<path inkscape:label="neckline" d="{EDGES["neckline"]}"/>', line)
    facts = run(tmp_path, page(style, front(drawn)), removal=f"{REMOVAL}    line: fair\n")
    told = notices(facts, "style rule")
    assert [text.split(" (line")[0] for text in told] == [
        "a.svg: the style rule 'polyline' no longer applies to size 12 > front > stitching line > neckline",
        "a.svg: the style rule 'path, .none' now applies to size 12 > front > stitching line > neckline",
    ]


def test_edges_of_the_rules_that_labels_overrule_are_told(tmp_path: Path) -> None:
    facts = run(tmp_path, page(front(edges(), group("corner marks", dots()))), head=RULED)
    assert len(notices(facts, "edges not used")) == 1


def test_edges_of_the_rules_hold_in_the_altered_file_too(tmp_path: Path) -> None:
    facts = run(tmp_path, page(front(UNLABELLED, group("corner marks", dots()))), head=RULED)
    assert texts(facts) == []
    again = read_pieces(
        read_document((tmp_path / "fixed" / "a.svg").read_bytes(), "a.svg"),
        read_rules(tmp_path / "a.gape.yaml"),
    )
    assert set(again.pieces[0].stitching.edge_names) == set(EDGES)


@pytest.mark.parametrize(
    ("svg", "said"),
    [
        (page(group("front stiching line", edges())), "'front stiching line' is no role; did you mean"),
        (page(group("front grain", edges())), "'front grain' ends in 'grain': a role of one word must be"),
        (
            page(f'<defs><g id="q">{group("front stitching line", edges())}</g></defs>', '<use href="#q"/>'),
            "front stitching line (line 2) by reference: an outline that is to be altered must stand",
        ),
        (page(f'<path d="{WHOLE}"/>'), "or point at them under `find`"),
    ],
)
def test_a_file_without_a_piece_says_what_may_be_wrong(svg: str, said: str, tmp_path: Path) -> None:
    (told,) = texts(run(tmp_path, svg))
    assert told.startswith("no piece: ")
    assert said in told


def test_an_inner_line_to_a_hem_that_is_raised_is_told(tmp_path: Path) -> None:
    inner = group(
        "inner lines",
        '<path inkscape:label="pleat" d="M200 400V280"/>',
        '<path inkscape:label="panel" d="M200 390V300"/>',
        '<path inkscape:label="belt" d="M0 300H100"/>',
        '<path inkscape:label="dot" d="M0 400H9V390Z"/>',
    )
    fold = group("fold line", '<path d="M0 80V400"/>')
    finish = "    finish: {take out at: hem, to: centre front}\n"
    facts = run(tmp_path, page(front(edges(), inner, fold)), removal=REMOVAL + finish)
    (text,) = notices(facts, "inner line off the edge")
    assert text.startswith("inner line 'pleat' ended on hem and now ends 5.3 mm beyond it at (250.0, 450.0)")


def test_titles_that_are_added_are_no_elements_of_the_file_before(
    plain: tuple[float, ...], tmp_path: Path
) -> None:
    rows = "".join(f'<path d="{d}"><title>{name}</title></path>' for name, d in EDGES.items())
    layers = f"<g><title>stitching line</title>{rows}</g><g><title>apex mark</title>{APEX}</g>"
    facts = run(tmp_path, page(f"<g><title>front</title>{layers}</g>"))
    assert texts(facts) == []
    assert figures(facts) == plain
