"""What `inspect` tells: what was taken for what and why, and the allowance edge by edge."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from rules.model import Find, Rules
from tests.odd_files import APEX, WHOLE, edges, front, group, page
from transform.first_look.inspecting import FileContents, inspect_files
from transform.report.inspection import as_json, as_text

CUT = (
    '<path d="M80 -10C80 50 50 90 0 90L0 410L255 410L255 190C208 181 200 100 206 26Z" '
    'transform="translate(0 0)"/>'
)


def contents(folder: Path, svg: str, rules: Rules | None = None) -> FileContents:
    path = folder / "a.svg"
    path.write_text(svg, encoding="utf-8")
    (found,) = inspect_files([path], rules or Rules(""))
    return found


def test_the_allowance_is_told_edge_by_edge(tmp_path: Path) -> None:
    found = contents(tmp_path, page(front(edges(), group("cut line", CUT))))
    told = {edge.name: edge.allowance for edge in found.pieces[0].edges}
    assert told["side seam"] == (pytest.approx(15), pytest.approx(15))
    assert told["hem"] == (pytest.approx(10), pytest.approx(10))
    assert told["centre front"] == (pytest.approx(0), pytest.approx(0))
    text = as_text([found], "mm")
    assert "side seam     200.0 mm, allowance 15.0 mm\n" in text
    rows = json.loads(as_json([found]))["files"][0]["pieces"][0]["edges"]
    assert {"edge": "hem", "length": 240, "allowance": [10, 10]} in rows


def test_without_a_cut_line_no_allowance_is_told(tmp_path: Path) -> None:
    found = contents(tmp_path, page(front(edges())))
    assert {edge.allowance for edge in found.pieces[0].edges} == {None}
    assert json.loads(as_json([found]))["files"][0]["pieces"][0]["edges"][0]["allowance"] is None


def test_what_was_taken_for_what_and_why(tmp_path: Path) -> None:
    rules = Rules("r", find=(Find("back/stitching line", "#b"),))
    found = contents(
        tmp_path,
        page(
            group(
                "size 12",
                group("front", group("stitching line", edges()), group("notches", "<path d='M240 300h4'/>")),
            ),
            APEX.replace('id="c4"', 'inkscape:label="apex"'),
            group("size 12", f'<path id="b" transform="translate(400)" d="{WHOLE}"/>'),
            group("size 12", '<path d="M450 300h40"/>'),
        ),
        rules,
    )
    told = {one.what: one.why for one in found.placed}
    assert told["stitching line of front, size 12: neckline"] == "drawn in the layer 'stitching line'"
    assert told["notches of front, size 12"] == "stands in the piece's group"
    assert told["apex mark of front, size 12"].startswith("stands outside all sizes")
    assert told["stitching line of back, size 12"] == "carries the role itself, by find: back/stitching line"
    assert told["inner line or note of back, size 12"] == "lies on the piece"
    assert "taken for:\n" in as_text([found], "mm")
    placed = json.loads(as_json([found]))["files"][0]["placed"]
    assert placed[0]["what"].startswith("stitching line of front, size 12: ")
