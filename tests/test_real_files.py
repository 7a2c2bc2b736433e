"""A front put into real SVG files that nobody here wrote: it is altered, and all else stays byte for byte."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rules.problems import UngapeError
from rules.reading import read_rules_text
from tests.small_designs import run_design
from transform.designs.orders import Options
from transform.svg.document import Document, read_document
from transform.svg.viewport import matrix_of

REAL = Path(__file__).resolve().parents[2] / "shared" / "realfiles" / "svg"
FILES = sorted(REAL.rglob("*.svg")) if REAL.is_dir() else []
RULES = """\
ungape: 1
design: a front in a file of another kind
patterns: real.svg
out: fixed
{unit}removals:
  - piece: front
    edge: neckline
    from: shoulder
    distance: 60
    removed: 15
    pivot: apex
    opens: {{new dart: bust dart, edge: side seam, from: armhole, distance: 60}}
"""

FRONT = """\
<g{xmlns} id="size_x0020_12" transform="matrix({matrix})"><g id="front"><g id="stitching_x20_line">\
<path id="neckline" d="M0 120C40 120 70 60 70 0"/><path id="shoulder" d="M70 0L190 40"/>\
<path id="armhole" d="M190 40c-20 80-20 210 50 220"/><path id="side_seam" d="M240 260l-10 340"/>\
<path id="hem" d="M230 600C150 605 80 610 0 610"/><path id="centre_front" d="M0 610V120"/></g>\
<g id="apex_mark"><circle cx="95" cy="260" r="2"/></g></g></g>"""


def _with_front(data: bytes, document: Document, unit: float | None) -> tuple[bytes, int]:
    """The file with the front before the root's end tag, and where the front begins."""
    back = matrix_of(document, 0, unit).inverse()
    text = FRONT.format(
        xmlns=f' xmlns="{document.namespace}"' if document.namespace else "",
        matrix=" ".join(f"{v:.12g}" for v in (back.a, back.b, back.c, back.d, back.e, back.f)),
    )
    at = document.end_tag(0)[0]
    tag = document.start_tag(0)
    if tag.empty:
        name = data[tag.start + 1 :].split()[0].rstrip(b"/>")
        slash = data.rindex(b"/>", tag.start, tag.end)
        head = data[:slash] + b">"
        return head + text.encode(document.encoding.codec) + b"</" + name + b">" + data[tag.end :], len(head)
    return data[:at] + text.encode(document.encoding.codec) + data[at:], at


def _without_note(content: bytes, encoding: str) -> bytes:
    """The file without the note, and without the <metadata> that was made for it."""
    text = content.decode(encoding)
    text = re.sub(
        r"\s*<([\w:.-]*)metadata>\s*<ungape:note [^>]*>[^<]*</ungape:note>\s*</\1metadata>", "", text
    )
    text = re.sub(r"\s*<ungape:note [^>]*>[^<]*</ungape:note>", "", text)
    return text.encode(encoding)


def _unit(document: Document) -> float | None:
    try:
        matrix_of(document, 0, None)
    except UngapeError:
        return 1.0
    return None


@pytest.mark.skipif(not FILES, reason="the folder shared/realfiles does not stand beside this clone")
@pytest.mark.parametrize("path", FILES, ids=[str(path.relative_to(REAL)) for path in FILES])
def test_a_front_in_a_real_file(path: Path, tmp_path: Path) -> None:
    data = path.read_bytes()
    document = read_document(data, path.name)
    unit = _unit(document)
    content, at = _with_front(data, document, unit)
    (tmp_path / "real.svg").write_bytes(content)
    rules = tmp_path / "real.gape.yaml"
    rules.write_text(RULES.format(unit="" if unit is None else "user unit: 1 mm\n"))
    facts = run_design(rules, Options(writes=True))
    assert facts.problems == ()
    assert [f.name for f in facts.sizes[0].removals] == ["front neckline"]
    assert facts.sizes[0].removals[0].edge_before == pytest.approx(151.305, abs=1e-2)
    written = (tmp_path / "fixed" / "real.svg").read_bytes()
    assert (tmp_path / "real.svg").read_bytes() == content
    bare = _without_note(written, document.encoding.codec)
    assert bare.startswith(content[:at])
    assert bare.endswith(data[at:] if not document.start_tag(0).empty else b"")
    assert bare != content


def test_the_rules_of_the_real_files_are_sound() -> None:
    for unit in ("", "user unit: 1 mm\n"):
        assert len(read_rules_text(RULES.format(unit=unit), "x").removals) == 1
