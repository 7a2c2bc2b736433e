"""What a person sees."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from tests.report.figures import (
    ELEMENT,
    OFF,
    OPENED,
    REMOVAL,
    SEAM,
    STALE,
    UNKNOWN,
    WIDE,
    design,
    report,
    size,
)
from transform.report.facts import Report
from transform.report.terminal import console_for, plain, show


def shown(found: Report, *, quiet: bool = False, width: int = 200) -> str:
    stream = io.StringIO()
    show(found, Console(file=stream, width=width, highlight=False, emoji=False), quiet=quiet)
    return stream.getvalue()


def test_the_tables_have_the_figures() -> None:
    text = shown(report(design()))
    for part in ("neckline", "20.0 mm", "9.26°", "18.2 mm", "fair", "bust dart: 25.1 mm", "yes"):
        assert part in text
    assert "summer bodice: 1 file in wardrobe/fixed\n" in text
    assert "1, 1 new or changed" in text


def test_sizes_are_told_in_one_row_from_the_least_to_the_greatest() -> None:
    wider = replace(REMOVAL, removed=22.0, opened=(replace(OPENED, intake_before=4.0),))
    text = shown(report(design(size(), size(size="14", removals=(wider,)), size(size="16", removals=()))))
    assert "summer bodice, sizes 12, 14: taken out" in text
    assert "20.0 to 22.0 mm" in text
    assert "bust dart: 0.0 to 4.0 mm, now 25.1 mm" in text
    assert text.count("neckline") == 1
    some = shown(report(design(size(), size(size="14", removals=(replace(REMOVAL, index=1),)))))
    assert "front (size 12)" in some
    assert "front (size 14)" in some


def test_the_closing_table_has_a_row_for_each_design() -> None:
    off = design(size(seams=(OFF, SEAM), notices=(WIDE, replace(WIDE, accepted=True))), design="shell")
    stopped = design(sizes=(), problems=(ELEMENT,), design="cape", written=None)
    unsewn = design(size(seams=()), design="shawl", written=None)
    text = shown(report(design(), off, stopped, unsewn)).rpartition("In all")[2]
    assert "holds" in text
    assert "1 of 2 do not hold" in text
    assert "1, 1 accepted" in text
    assert "stopped, see above" in text
    assert "none named" in text
    assert "none written" in text
    assert "up to date" in shown(report(replace(design(written=None), compared=True)))
    assert "1 not as they would be" in shown(report(design(written=None, stale=(STALE,))))


def test_the_closing_table_tells_designs_of_one_title_or_none_by_their_files() -> None:
    found = [design(folder=Path(name)) for name in ("spring", "autumn")]
    unread = design(sizes=(), problems=(ELEMENT,), design="", folder=Path("winter"), written=None)
    text = shown(report(*found, unread)).rpartition("In all")[2]
    rows = [line.split("  ")[0] for line in text.splitlines()[3:6]]
    assert rows == [f"{name}/summer.gape.yaml" for name in ("spring", "autumn", "winter")]


def test_what_the_rules_name_is_counted_once_for_all_sizes_and_pieces() -> None:
    facing = replace(REMOVAL, piece="front facing", followed=True)
    both = size(removals=(REMOVAL, facing))
    text = shown(report(design(both, replace(both, size="14")))).rpartition("In all")[2]
    assert "1 in 2 sizes, all hold" in text
    assert text.splitlines()[3].split()[:4] == ["summer", "bodice", "2", "1"]
    empty = shown(report(design(size(removals=())))).rpartition("In all")[2]
    assert "none: fill in `removals`" in empty


@pytest.mark.parametrize("width", [30, 60, 80, 120])
def test_no_cell_is_cut_short_and_the_width_is_kept(width: int) -> None:
    text = shown(
        report(design(size(removals=(replace(REMOVAL, piece="extraordinarily long name"),)), written=None)),
        width=width,
    )
    rows = text.splitlines()
    assert "…" not in text
    assert max(len(row) for row in rows) <= width


def test_in_eighty_columns_no_figure_is_torn_from_its_unit() -> None:
    low = replace(REMOVAL, opened=(replace(OPENED, intake_before=12.0),), piece="side front panel")
    high = replace(low, removed=22.0, shortened=19.7, angle=0.2)
    joined = replace(SEAM, join=("centre front panel/princess seam", "side front panel/princess seam"))
    wide = replace(joined, before=(190.0, 210.0), after=(190.0, 221.9), ease=(20.0, 38.0))
    for units in ("mm", "in"):
        found = design(
            size(removals=(low,), seams=(joined,)),
            size(size="14", removals=(high,), seams=(wide,)),
            units=units,
        )
        text = shown(report(found), width=80)
        assert max(map(len, text.splitlines())) <= 80
        assert not re.search(rf"(?m)(?:^|  ){units}(?= |$)", text)
    roomy = shown(report(design(size(removals=(low,)), size(size="14", removals=(high,)))), width=140)
    assert "20.0 to 22.0 mm" in roomy


def test_a_seam_that_does_not_hold_says_in_which_sizes() -> None:
    text = shown(report(design(size(), size(size="14", seams=(OFF,)))))
    assert "NO, size 14" in text
    assert "0.0 to +3.0 mm" in text


def test_lengths_are_in_the_units_of_the_rules() -> None:
    text = shown(report(design(units="in")))
    assert "0.787 in" in text
    stopped = replace(ELEMENT, text="the line has a gap of 6.35 mm from (10.00, 6 mm)")
    found = design(size(seams=(OFF,), notices=(WIDE,)), problems=(stopped,), units="in")
    text = shown(report(found), width=400)
    assert "the line has a gap of 1/4 in from" in text
    assert "bust dart of front takes in 1.772 in" in text
    assert "front/side seam is 7.480 in and back/side seam 7.598 in" in text


def test_what_opens_nothing_and_what_follows_says_so() -> None:
    text = shown(report(design(size(removals=(replace(REMOVAL, followed=True, opened=()),)))))
    assert "front (follows)" in text
    assert "nothing" in text


def test_quiet_leaves_problems_only() -> None:
    found = report(design(size(notices=(WIDE,))))
    assert shown(found, quiet=True) == ""
    off = report(design(size(seams=(OFF,)), stale=(STALE,)), problems=(UNKNOWN,))
    assert len(shown(off, quiet=True).splitlines()) == 3


def test_quiet_and_strict_tell_the_notices_that_count() -> None:
    accepted = replace(WIDE, accepted=True)
    found = report(design(size(notices=(WIDE, accepted))), strict=True)
    assert "wide dart" in shown(found, quiet=True)
    assert shown(report(design(size(notices=(accepted,))), strict=True), quiet=True) == ""


def test_a_seam_that_does_not_hold_tells_its_figures() -> None:
    text = shown(report(design(size(seams=(OFF,)))))
    assert "wardrobe/summer.gape.yaml: seam does not hold: front/side seam is 190.0 mm and" in text
    assert "size 12" in text


def test_a_seam_that_holds_in_no_size_is_told_once() -> None:
    more = replace(OFF, after=(190.0, 194.5))
    text = shown(report(design(size(seams=(OFF,)), size(size="14", seams=(more,)))), quiet=True, width=400)
    (line,) = text.splitlines()
    assert "second minus first is 3.0 to 4.5 mm" in line
    assert line.endswith("(sizes 12, 14)")


def test_a_notice_is_told_once_with_its_sizes_and_accepted_ones_are_counted() -> None:
    seen = replace(WIDE, text="seen", accepted=True)
    other = size(size="14", notices=(WIDE, seen))
    text = shown(report(design(size(notices=(WIDE, seen)), other)))
    assert text.count("takes in 45.0 mm") == 1
    assert "(sizes 12, 14)" in text
    assert "1 notice more, accepted by the rules" in text
    assert "seen" not in text
    over = shown(
        report(design(size(notices=(replace(WIDE, kind="left-over file", text="old.svg is left"),))))
    )
    assert "left-over file: old.svg is left\n" in over
    one = shown(report(design(size(size="", notices=(WIDE,)))))
    assert "(size" not in one


def test_notices_that_differ_in_their_figures_only_are_told_once() -> None:
    wider = replace(WIDE, text="bust dart of front takes in 47.5 mm")
    text = shown(report(design(size(notices=(WIDE,)), size(size="14", notices=(wider,)))))
    assert "takes in 45.0 to 47.5 mm (sizes 12, 14)" in text
    named = [replace(WIDE, text=f"panel {number} takes in 45.0 mm") for number in (2, 3)]
    apart = shown(report(design(size(notices=tuple(named)))))
    assert "panel 2 takes" in apart
    assert "panel 3 takes" in apart


def test_a_problem_in_the_rules_shows_the_line_with_a_caret(tmp_path: Path) -> None:
    (tmp_path / "summer.gape.yaml").write_text("\n" * 6 + "  remvals: []\n", encoding="utf-8")
    text = shown(report(design(sizes=(), problems=(UNKNOWN,), folder=tmp_path, written=None)))
    first, line, caret = text.splitlines()
    assert first == (
        f"{tmp_path.as_posix()}/summer.gape.yaml:7:3: unknown word: found 'remvals'; did you mean removals?"
    )
    assert line == "      remvals: []"
    assert caret.index("^") == line.index("r")


def test_what_the_rules_have_wrong_in_every_size_is_told_once() -> None:
    wrong = replace(UNKNOWN, kind="unknown edge", file="a.gape.yaml")
    texts = [
        f"front in size {s} (f-{s}.svg): there is no edge named 'nek'; there is: hem" for s in (8, 10, 12)
    ]
    other = replace(wrong, text="front in size 14 (f-14.svg): there is no edge named 'nek'; there is: waist")
    drawn = [replace(ELEMENT, line=None, column=None, element="", text=f"in size {s}: gap") for s in (8, 10)]
    found = (*(replace(wrong, text=text) for text in texts), other, *drawn)
    lines = shown(report(design(sizes=(), problems=found, written=None)), width=400).splitlines()
    assert [line.partition("unknown edge: ")[2] for line in lines[:2]] == [
        f"{texts[0]} (likewise in sizes 10, 12)",
        other.text,
    ]
    assert len(lines) == 4


def test_a_removal_that_every_file_carries_is_told_once() -> None:
    told = [replace(UNKNOWN, text=f"gape: f-{s}.svg carries this in size {s} already; begin") for s in "SML"]
    lines = shown(report(design(sizes=(), problems=tuple(told), written=None)), width=400).splitlines()
    assert [line.partition("word: ")[2] for line in lines] == [f"{told[0].text} (likewise in sizes M, L)"]


def test_a_long_line_is_shown_around_the_caret(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_text("ä" * 300 + "\tHERE" + "b" * 300, encoding="utf-8")
    problem = replace(UNKNOWN, file="x.yaml", line=1, column=302)
    _, line, caret = shown(report(design(sizes=(), problems=(problem,), folder=tmp_path))).splitlines()[:3]
    assert line[caret.index("^") :].startswith("HERE")
    assert len(line) < 130


@pytest.mark.parametrize("content", [None, b"", b"\xff\xfe\xff"])
def test_a_line_that_cannot_be_shown_is_left_out(content: bytes | None, tmp_path: Path) -> None:
    if content is not None:
        (tmp_path / "summer.gape.yaml").write_bytes(content)
    text = shown(report(design(sizes=(), problems=(UNKNOWN,), folder=tmp_path, written=None)))
    assert len(text.splitlines()) == 1


def test_a_problem_in_a_drawing_tells_the_element_and_no_caret() -> None:
    text = shown(report(design(sizes=(), problems=(ELEMENT,), written=None)))
    assert text.splitlines() == [
        "wardrobe/b-12.svg:40:7: gap: the line has a gap of 3.0 mm",
        "    in size 12 > front (line 40)",
    ]


def test_a_problem_without_a_file_has_no_place() -> None:
    text = shown(report(problems=(replace(UNKNOWN, file="", line=None, column=None),)))
    assert text.startswith("unknown word: ")


@given(st.text())
def test_nothing_a_label_holds_acts_in_the_terminal(label: str) -> None:
    assert all(c.isprintable() for c in plain(label))
    assert plain(plain(label)) == plain(label)


def test_labels_are_escaped_everywhere() -> None:
    bad = "\x1b[2J[red]"
    removal = replace(REMOVAL, piece=bad, edge=bad, opened=(replace(OPENED, dart=bad),))
    seam = replace(OFF, join=(bad, bad))
    notice = replace(WIDE, text=bad)
    problem = replace(ELEMENT, text=bad, element=bad, file=bad)
    found = design(
        size(size=bad, removals=(removal,), seams=(seam,), notices=(notice,)),
        design=bad,
        problems=(problem,),
        out=bad,
    )
    text = shown(report(found), width=400)
    assert "\x1b" not in text
    assert text.count("\\x1b[2J[red]") > 8


def test_colour_is_left_out_where_it_is_not_wanted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert console_for(no_color=False).no_color is False
    assert console_for(no_color=True).no_color is True
    monkeypatch.setenv("NO_COLOR", "1")
    assert console_for(no_color=False).no_color is True
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert console_for(no_color=False).color_system is None
