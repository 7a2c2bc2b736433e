"""The proof sheet, written by the real command's parts and opened in a real browser."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from unicodedata import normalize

import pytest
from pypdf import PageObject, PdfReader

from tests.browser import Page, browser, needs_chromium
from tests.builders import front
from tests.drawing import group, labelled_piece, page
from tests.report.figures import ELEMENT, OFF, STALE, WIDE, design, report, size
from tests.small_designs import back_file, run_design
from transform.designs.orders import Options
from transform.report.facts import DesignFacts, Report, SizeFacts
from transform.report.proof import proof_text
from transform.report.remedies import REMEDIES

SAMPLES = Path(__file__).parents[2] / "samples"
RULES = """\
ungape: 1
design: "wardrobe <b>& co</b>"
patterns: ["front-{size}.svg", "back-{size}.svg"]
out: fixed
removals:
  - {piece: front, edge: neckline, from: shoulder, distance: 60, removed: 18, pivot: apex,
     opens: {new dart: bust dart, edge: side seam, from: armhole, distance: 60}}
seams:
  - join: [front/side seam, back/side seam]
"""
WIDTHS = (360, 820, 1440)
A4, LETTER = (210.0, 297.0), (215.9, 279.4)
SHOWN = """(kind => [...document.querySelectorAll(`figure svg.piece ${kind}`)]
  .filter(each => getComputedStyle(each).display !== "none" && !each.closest("[hidden]")).length)"""


def facts_of(folder: Path) -> DesignFacts:
    for each in ("10", "12"):
        (folder / f"front-{each}.svg").write_text(
            page(group(f"size {each}", labelled_piece(front(size=each)))), "utf-8"
        )
        (folder / f"back-{each}.svg").write_text(back_file(each), "utf-8")
    rules = folder / "design.gape.yaml"
    rules.write_text(RULES, "utf-8")
    facts = run_design(rules, Options(writes=True, proof=True))
    assert facts.problems == ()
    return facts


@pytest.fixture(scope="module")
def facts(tmp_path_factory: pytest.TempPathFactory) -> DesignFacts:
    return facts_of(tmp_path_factory.mktemp("design"))


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with browser(tmp_path_factory.mktemp("profile")) as found:
        yield found


@pytest.fixture
def sheet(facts: DesignFacts, tmp_path: Path) -> Path:
    """A sheet with two designs, one of which has something wrong with it."""
    off = design(size(seams=(OFF,), notices=(WIDE,)), stale=(STALE,))
    file = tmp_path / "proof.html"
    file.write_text(proof_text(Report((facts, off))), "utf-8")
    return file


def press(opened: Page, *keys: str) -> None:
    for key in keys:
        codes = {"Tab": 9, "Enter": 13}
        opened.press(key, code=codes.get(key, 0), text="\r" if key == "Enter" else "")


def focused(opened: Page) -> str:
    found = opened.evaluate(
        "document.activeElement.getAttribute('aria-label') || document.activeElement.textContent"
    )
    return str(found)


def tab_to(opened: Page, name: str) -> None:
    """Go to a control as one who has a keyboard only."""
    opened.evaluate("document.activeElement.blur()")
    for _ in range(60):
        press(opened, "Tab")
        if focused(opened).startswith(name):
            return
    raise AssertionError(f"the Tab key leads nowhere to {name!r}")


def test_the_sheet_says_what_was_done_and_is_by_itself(facts: DesignFacts) -> None:
    text = proof_text(Report((facts,)))
    assert "wardrobe &lt;b&gt;&amp; co&lt;/b&gt;" in text
    assert "18.0 mm at the neckline of the front, in sizes 10, 12" in text
    assert "every seam still fits" in text
    assert "edge lost less" in text
    assert REMEDIES["edge lost less"] in text
    assert "bust dart opens by" in text
    assert not re.search(r"(src|href)=\"(?!#)|url\((?!#)|@import", text)
    assert "default-src 'none'" in text
    assert text.count('class="before"') == 2 + 1 + 1, "each size, the legend, the key of the nest"
    assert text.count('class="wedge"') == 2 + 1


def test_the_same_run_writes_the_same_sheet(facts: DesignFacts, tmp_path: Path) -> None:
    assert proof_text(Report((facts_of(tmp_path),))) == proof_text(Report((facts,)))


def test_designs_of_one_title_are_told_apart_and_a_stopped_one_is_told_at_the_top() -> None:
    stopped = design(sizes=(), problems=(ELEMENT,), folder=Path("autumn"), written=None)
    text = proof_text(report(design(), stopped))
    contents = text[text.index("<nav") : text.index("</nav>")]
    assert "wardrobe/summer.gape.yaml</a></li>" in contents
    assert "autumn/summer.gape.yaml</a> (stopped)</li>" in contents


def test_what_does_not_fit_is_said_with_its_figures() -> None:
    text = proof_text(report(design(size(seams=(OFF,), notices=(WIDE,)), stale=(STALE,))))
    assert "1 of 1 do NOT fit: front/side seam is 190.0 mm and back/side seam 193.0 mm" in text
    assert "What needs you" in text
    unsewn = proof_text(report(design(size(seams=(), removals=()))))
    assert "Nothing was taken out." in unsewn
    assert "none were named to be walked" in proof_text(report(design(size(seams=()))))
    assert "stale file" in text
    assert "Trim or slit it before pressing" in text
    assert "neck binding, from 400.0 mm down to 363.6 mm" in text


def test_a_design_that_failed_is_told(tmp_path: Path) -> None:
    rules = tmp_path / "design.gape.yaml"
    rules.write_text(RULES, "utf-8")
    found = run_design(rules, Options(writes=True, proof=True))
    text = proof_text(Report((found,), found.problems))
    assert "What stopped" in text
    assert "Nothing was taken out." in text


@pytest.mark.parametrize("design", ["choir-bodice", "shell"])
def test_the_samples_are_laid_together(design: str) -> None:
    """The choir bodice's sizes stand in a row on their sheets; the shell's lie over one another as drawn."""
    rules = SAMPLES / design / f"{design}.gape.yaml"
    found = run_design(rules, Options(writes=True, dry_run=True, proof=True))
    text = proof_text(Report((found,)))
    places = set(
        re.findall(r'<g class="size [^>]*transform="translate\(([^)]*)\)"', text.partition("</figure>")[0])
    )
    assert (len(places) > 1) == (design == "choir-bodice")
    assert "Altered with it" in text
    if design == "shell":
        assert re.search(r"bust dart, \d[^<]* in wide before, is ", text)


def test_what_a_label_holds_never_acts(facts: DesignFacts) -> None:
    bad = '"><script>alert(1)</script>\x1b'
    sizes = tuple(
        replace(each, size=bad, pictures=tuple(replace(p, piece=bad, size=bad) for p in each.pictures))
        for each in facts.sizes
    )
    text = proof_text(Report((replace(facts, design=bad, sizes=sizes),)))
    assert text.count("<script>") == 1
    assert "\x1b" not in text


@needs_chromium
def test_the_switches_work_from_the_keyboard(sheet: Path, opened: Page) -> None:
    opened.look(1200, 900)
    opened.open(sheet)
    assert opened.evaluate(f"{SHOWN}('.before') * {SHOWN}('.after') * {SHOWN}('.wedge')") == 1
    tab_to(opened, "Before")
    press(opened, "Tab", "Enter")
    assert focused(opened) == "Before"
    assert opened.evaluate(f"[{SHOWN}('.before'), {SHOWN}('.after'), {SHOWN}('.wedge')]") == [1, 0, 1]
    press(opened, "Tab", "Enter")
    assert opened.evaluate(f"[{SHOWN}('.before'), {SHOWN}('.after'), {SHOWN}('.wedge')]") == [0, 1, 0]
    tab_to(opened, "All sizes together")
    press(opened, "Enter")
    shown = "[...document.querySelectorAll('figure .after')].filter(e => e.getClientRects().length).length"
    assert opened.evaluate(shown) == 2 + 2, "both sizes, and their lines in the key"
    assert opened.evaluate("document.querySelectorAll('.sizes [aria-pressed=true]').length") == 0
    tab_to(opened, "12")
    press(opened, "Enter")
    assert opened.evaluate(shown) == 1
    assert opened.evaluate("document.querySelector('.told').innerText").startswith("Size 12 18.0 mm")
    assert opened.complaints == []


@needs_chromium
def test_a_drawing_moves_and_zooms_from_the_keyboard(sheet: Path, opened: Page) -> None:
    opened.look(1200, 900)
    opened.open(sheet)
    where = "document.querySelector('svg.piece').getAttribute('viewBox').split(' ').map(Number)"
    x, y, width, height = opened.evaluate(where)
    tab_to(opened, "Drawing of the front")
    press(opened, "+")
    near = opened.evaluate(where)
    assert near[2] == pytest.approx(width / 1.4)
    press(opened, "ArrowRight", "ArrowDown")
    moved = opened.evaluate(where)
    assert moved[:2] == pytest.approx([near[0] + near[2] / 10, near[1] + near[3] / 10])
    press(opened, "-", "0")
    assert opened.evaluate(where) == [x, y, width, height]
    press(opened, ".")
    assert opened.evaluate("document.querySelector('.told').innerText").startswith("Size 12")
    press(opened, ".", ",", ",")
    assert opened.evaluate("document.querySelector('.told').innerText").startswith("Size 10")


@needs_chromium
def test_a_drawing_follows_the_pointer(sheet: Path, opened: Page) -> None:
    opened.look(1200, 900)
    opened.open(sheet)
    opened.evaluate("document.querySelector('.board').scrollIntoView({block: 'center'})")
    begun = opened.evaluate("document.querySelector('svg.piece').getScreenCTM().e")
    for kind, x in (("mousePressed", 500), ("mouseMoved", 560), ("mouseReleased", 560)):
        opened.call("Input.dispatchMouseEvent", type=kind, x=x, y=450, button="left", buttons=1, clickCount=1)
    now = opened.evaluate("document.querySelector('svg.piece').getScreenCTM().e")
    assert now - begun == pytest.approx(60, abs=1)


@needs_chromium
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_is_in_the_way_of_anybody(width: int, scheme: str, sheet: Path, opened: Page) -> None:
    """What axe-core finds of serious faults of access: nothing; and nothing runs over the page's side."""
    opened.look(width, 900, prefers_color_scheme=scheme)
    opened.complaints.clear()
    opened.requests.clear()
    opened.open(sheet)
    opened.evaluate((files("axe_core_python") / "axe.min.js").read_text("utf-8") + ";0")
    found = json.loads(opened.evaluate("axe.run().then(done => JSON.stringify(done.violations))"))
    assert [f"{fault['id']}: {fault['nodes'][0]['html']}" for fault in found] == []
    assert opened.evaluate("document.documentElement.scrollWidth") <= width
    assert opened.complaints == []
    assert opened.requests == [sheet.resolve().as_uri()]


def rectangles(page: PageObject) -> list[tuple[float, float]]:
    """Width and height (mm) of every rectangle that a printed page draws."""
    found: list[tuple[float, float]] = []

    def see(operator: bytes, operands: list[float], matrix: list[float], _: list[float]) -> None:
        if operator == b"re":
            wide, high = float(operands[2]), float(operands[3])
            a, b, c, d = (float(value) for value in matrix[:4])
            found.append(
                tuple(abs(complex(x, y)) * 25.4 / 72 for x, y in ((a * wide, b * wide), (c * high, d * high)))
            )  # type: ignore[arg-type]

    page.extract_text(visitor_operand_before=see)
    return found


@needs_chromium
@pytest.mark.parametrize("paper", [A4, LETTER])
def test_the_printed_test_square_is_true(paper: tuple[float, float], sheet: Path, opened: Page) -> None:
    opened.look(1200, 900, prefers_color_scheme="dark")
    opened.open(sheet)
    pdf = PdfReader(io.BytesIO(opened.printed(*paper)))
    box = pdf.pages[0].mediabox
    assert (float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) == pytest.approx(paper, abs=0.3)
    squares = [each for page in pdf.pages for each in rectangles(page)]
    for side in (50.0, 100.0):
        assert any(each == pytest.approx((side, side), abs=0.02) for each in squares), squares
    printed = normalize("NFKC", " ".join(page.extract_text() for page in pdf.pages))
    assert "every seam still fits" in printed
    assert "Whole piece" not in printed, "what can only be pressed is not printed"


@needs_chromium
def test_a_large_set_is_small_and_opens_at_once(opened: Page, tmp_path: Path) -> None:
    """Twelve sizes of six pieces, each as rich as the wrap blouse's: under 3 MB, shown within a second."""
    found = run_design(
        SAMPLES / "wrap-blouse/wrap-blouse.gape.yaml", Options(writes=True, dry_run=True, proof=True)
    )
    first = found.sizes[0]
    richest = max(
        first.pictures, key=lambda p: sum(len(value) for value in (p.before, p.after, p.marks_after))
    )
    sizes = tuple(
        SizeFacts(
            str(name),
            removals=tuple(replace(first.removals[0], piece=f"piece {k}") for k in range(6)),
            seams=first.seams,
            pictures=tuple(replace(richest, piece=f"piece {k}", size=str(name)) for k in range(6)),
        )
        for name in range(12)
    )
    file = tmp_path / "large.html"
    file.write_text(proof_text(Report((replace(found, sizes=sizes),))), "utf-8")
    assert file.stat().st_size < 3_000_000
    opened.look(1200, 900)
    assert min(opened.open(file) for _ in range(3)) < 1.0
    assert opened.evaluate("document.querySelectorAll('g.size').length") == 72 + 72
