"""Edges of several shapes of one label, whose joints lie where a removal cuts."""

from __future__ import annotations

from pathlib import Path

import pytest

from rules.reading import read_rules
from tests.odd_files import EDGES, REMOVAL, edges, figures, front, labels, page, run, texts
from transform.geometry.chain import Chain, chain_of
from transform.geometry.motion import Affine
from transform.geometry.segments import Cubic, Line
from transform.pattern.reading import read_pieces
from transform.svg.document import read_document
from transform.svg.pen import path_text


def drawn(edge: str, parts: list[str]) -> str:
    row = "\n".join(f'<path inkscape:label="{edge}" d="{d}"/>' for d in parts)
    return page(front(edges().replace(f'<path inkscape:label="{edge}" d="{EDGES[edge]}"/>', row)))


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> tuple[float, ...]:
    return figures(run(tmp_path_factory.mktemp("plain"), page(front(edges()))))


@pytest.mark.parametrize("at", [230, 259, 260, 261, 300])
@pytest.mark.parametrize("upwards", [False, True])
def test_a_new_dart_may_open_at_the_joint_of_two_shapes(
    at: float, upwards: bool, plain: tuple[float, ...], tmp_path: Path
) -> None:
    parts = [f"M240 400V{at}", f"M240 {at}V200"]
    facts = run(tmp_path, drawn("side seam", parts[::-1] if upwards else parts))
    assert texts(facts) == []
    assert figures(facts) == plain
    found = labels((tmp_path / "fixed" / "a.svg").read_text(encoding="utf-8"))
    # At the joint itself both shapes stay what they are; beside it one of them is opened.
    assert found.count("side seam") == (2 if at == 260 else 3)
    assert found.count("bust dart") == 2


def test_a_shape_that_lies_wholly_in_the_wedge_goes_with_it(tmp_path: Path) -> None:
    side = {
        name: drawn("shoulder", parts)
        for name, parts in {
            "plain": ["M195 35L70 0"],
            "three": ["M195 35L130 16.8", "M130 16.8L125 15.4", "M125 15.4L70 0"],
        }.items()
    }
    removal = REMOVAL.replace("neckline", "shoulder").replace("from: shoulder", "from: neckline")
    removal = removal.replace("40 mm", "55 mm")
    found = []
    for name, svg in side.items():
        (tmp_path / name).mkdir()
        facts = run(tmp_path / name, svg, removal=removal)
        assert texts(facts) == []
        found.append(figures(facts))
    assert found[0] == found[1]
    after = labels((tmp_path / "three" / "fixed" / "a.svg").read_text(encoding="utf-8"))
    assert after.count("shoulder") == 2


@pytest.mark.parametrize("at", [257, 258.5, 259.97, 260, 261.5, 262.5])
@pytest.mark.parametrize("gap", [0, 3])
def test_a_notch_drawn_where_a_dart_opens_goes_to_one_side(
    at: float, gap: float, plain: tuple[float, ...], tmp_path: Path
) -> None:
    notched = f"M240 400V{at + gap / 2}L243 {at}L240 {at - gap / 2}V200"
    facts = run(tmp_path, page(front(edges({"side seam": notched}))))
    assert texts(facts) == []
    assert figures(facts) == plain
    after = read_document((tmp_path / "fixed" / "a.svg").read_bytes(), "a.svg")
    (piece,) = read_pieces(after, read_rules(tmp_path / "a.gape.yaml")).pieces
    (notch,) = piece.stitching.detours
    assert notch.gap == pytest.approx(gap, abs=1e-5)
    assert piece.stitching.edge("side seam").length == pytest.approx(200, abs=1e-4)
    mouth = piece.stitching.mouth_of("bust dart")
    assert mouth is not None
    assert notch.place + notch.gap < mouth[0] or notch.place > mouth[1]


@pytest.mark.parametrize("at", [70.0, 80.0])
def test_a_wide_notch_drawn_into_an_edge_stays_where_the_edge_is_drawn_anew(
    at: float, tmp_path: Path
) -> None:
    """Across its mouth the file runs straight, 7 mm wide: a little beside the line that was drawn."""
    neckline = Chain((Cubic(70 + 0j, 70 + 45j, 45 + 80j, 80j),))
    one, two = neckline.point(at - 3.5), neckline.point(at + 3.5)
    tip = (one + two) / 2 + 3j * (two - one) / abs(two - one)
    notch = Chain((Line(one, tip), Line(tip, two)))
    before, behind = neckline.cut(0.0, at - 3.5), neckline.cut(at + 3.5, neckline.length)
    d = path_text([chain_of([before, notch, behind])], Affine())
    facts = run(tmp_path, page(front(edges({"neckline": d}))))
    assert texts(facts) == []
    (removal,) = facts.sizes[0].removals
    assert removal.reach[1] == pytest.approx(60)
    after = read_document((tmp_path / "fixed" / "a.svg").read_bytes(), "a.svg")
    (piece,) = read_pieces(after, read_rules(tmp_path / "a.gape.yaml")).pieces
    assert [round(detour.gap, 1) for detour in piece.stitching.detours] == [7.0]
