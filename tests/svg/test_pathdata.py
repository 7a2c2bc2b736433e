"""Path data against the table of published cases, and the reader's own promises."""

from __future__ import annotations

import itertools
import json
import math
import sys
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.svg.realfiles import needs_realfiles, table
from transform.geometry.measure import length
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment
from transform.svg.bounds import box_of_points, extremes
from transform.svg.numbers import format_number
from transform.svg.pathdata import Command, PathDataError, read_path, read_points

CASES = table("paths.tsv")


def data_of(row: dict[str, str]) -> str:
    return str(json.loads('"' + row["d_json"].replace('"', '\\"') + '"'))


def words(command: Command) -> str:
    """A command in the table's normal form, an arc as it is drawn."""
    if command.kind in "MZ":
        point = f" {command.end.real:.9g} {command.end.imag:.9g}" if command.kind == "M" else ""
        return command.kind + point
    segment = command.segment()
    if segment is None:
        return ""
    if isinstance(segment, Arc):
        e = segment.ellipse()
        # Radii of the ellipse that is drawn: scaled up where they are too small.
        numbers = [e.rx, e.ry, math.degrees(segment.rotation), int(segment.large), int(segment.sweep)]
        return f"A {' '.join(f'{v:.9g}' for v in [*numbers, segment.end.real, segment.end.imag])}"
    letter = {Line: "L", Quadratic: "Q", Cubic: "C"}[type(segment)]
    points = segment.controls()[1:]
    return f"{letter} {' '.join(f'{v:.9g}' for p in points for v in (p.real, p.imag))}"


def normal_form(text: str) -> str:
    return " ".join(filter(None, (words(command) for command in read_path(text))))


@needs_realfiles
@pytest.mark.parametrize("row", CASES, ids=lambda row: row["id"])
def test_the_table_of_paths_decides(row: dict[str, str]) -> None:
    text = data_of(row)
    if row["outcome"].startswith("error"):
        with pytest.raises(PathDataError) as caught:
            read_path(text)
        assert 0 <= caught.value.offset <= len(text)
        assert caught.value.allowed in str(caught.value)
        return
    if row["normalized"]:
        assert normal_form(text) == normal_form(row["normalized"])
    if row["equivalent_d_json"] and "#" not in row["equivalent_d_json"]:
        assert normal_form(text) == normal_form(str(json.loads(f'"{row["equivalent_d_json"]}"')))
    segments = [s for command in read_path(text) if (s := command.segment()) is not None]
    if row["length"]:
        assert sum(map(length, segments)) == pytest.approx(float(row["length"]), rel=1e-8)
    if row["bbox_xmin_ymin_xmax_ymax"]:
        box = box_of_points(point for segment in segments for point in extremes(segment))
        assert box is not None
        assert tuple(box) == pytest.approx(
            tuple(map(float, row["bbox_xmin_ymin_xmax_ymax"].split())), rel=1e-8, abs=1e-8
        )


@pytest.mark.parametrize(
    ("text", "offset", "allowed"),
    [
        ("M 0 0 L 1 x", 10, "a number (2 of 2 of L)"),
        ("M 0 0 L 1 2 3", 13, "a number (2 of 2 of L)"),
        ("M 0 0 A 1 1 0 2 0 3 3", 14, "a flag, 0 or 1"),
        ("M 0 0 L 1_0 2", 9, "a number"),
        ("M 0 0 L １ 2", 8, "a number"),
        ("M 0 0 L 1\u00a02", 9, "a number"),
        ("M 0 0 X", 6, "a command"),
        ("L 0 0", 0, "only M or m"),
        ("M 0 0 L 1e999 0", 8, "below 1e308"),
        ("M 1e308 0 l 1e308 0", 10, "below 1e308"),
        ("M 0 0 H", 7, "a number (1 of 1 of H)"),
        ("M 0 0 L 1 2,", 12, "a number (1 of 2 of L) or a command"),
    ],
)
def test_errors_say_where_and_what_is_allowed(text: str, offset: int, allowed: str) -> None:
    with pytest.raises(PathDataError) as caught:
        read_path(text)
    assert caught.value.offset == offset
    assert allowed in caught.value.allowed


def test_spans_cover_letter_and_numbers_and_implied_commands_their_numbers() -> None:
    text = " m1,2 3-4\t.5.5z\nH7 8 a1 1 0 00.5.5 2 2 0 112 2"
    commands = read_path(text)
    assert [text[slice(*command.span)] for command in commands] == [
        "m1,2", "3-4", ".5.5", "z", "H7", "8", "a1 1 0 00.5.5", "2 2 0 112 2",
    ]  # fmt: skip
    assert [command.letter for command in commands] == list("mllzHHaa")
    assert [command.implied for command in commands] == [False, True, True, False, False, True, False, True]
    assert commands[3].end == 1 + 2j
    assert commands[4].end == 7 + 2j


def test_nothing_is_drawn_by_none_and_by_nothing() -> None:
    assert read_path("") == read_path(" \n") == read_path(" none ") == ()


def test_shorthands_reflect_only_their_own_kind() -> None:
    commands = read_path("M0 0 C1 1 2 2 3 0 S5 5 6 0 Q7 7 8 0 T 10 0 S 11 1 12 0 t 1 1")
    assert commands[2].controls == (4 - 2j, 5 + 5j)
    assert commands[4].controls == (9 - 7j,)
    assert commands[5].controls == (10 + 0j, 11 + 1j)
    assert commands[6].controls == (12 + 0j,)


numbers = st.floats(-1e6, 1e6).map(lambda x: format_number(x, 5))


@given(st.lists(st.tuples(st.sampled_from("LlHhVvCcSsQqTtMmZz"), st.lists(numbers, min_size=6, max_size=6))))
def test_what_is_read_is_what_is_written(parts: list[tuple[str, list[str]]]) -> None:
    arity = {"l": 2, "m": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "t": 2, "z": 0}
    pieces = ["M0 0", *(letter + " ".join(values[: arity[letter.lower()]]) for letter, values in parts)]
    commands = read_path("".join(pieces))
    assert len(commands) == len(pieces)
    assert ["".join(pieces)[slice(*command.span)] for command in commands] == pieces
    for before, after in itertools.pairwise(commands):
        assert before.end == after.start


@given(st.text(alphabet="MLCAZmlz0123.,-e \n\u00a0", max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    left = text
    try:
        commands = read_path(text)
    except PathDataError as error:
        # What stands before the fault is sound, or breaks off in the middle of a command.
        commands = ()
        left = "" if 0 <= error.offset <= len(text) else text
    for command in reversed(commands):
        left = left[: command.span[0]] + left[command.span[1] :]
    assert not left.strip(" \n,") or text.strip(" \n") == "none"


def test_points() -> None:
    assert [point for point, _ in read_points(" 1,2 3-4\n5 , 6")] == [1 + 2j, 3 - 4j, 5 + 6j]
    assert read_points(" ") == ()
    for text, offset in (("1,2 3", 5), (",1 2", 0), ("1 2;3 4", 3), ("1 2 3 4,", 8)):
        with pytest.raises(PathDataError) as caught:
            read_points(text)
        assert caught.value.offset == offset


def test_a_segment_costs_microseconds() -> None:
    text = "M0 0" + "c1.25,2.5 3.125,4.5 5.5-6.5" * 5000
    times = []
    for _ in range(3):
        started = time.perf_counter()
        commands = read_path(text)
        times.append(time.perf_counter() - started)
    assert len(commands) == 5001
    # Traced for coverage, every call costs many times as much.
    assert min(times) / 5000 < (50e-6 if sys.gettrace() is None else 500e-6)


@pytest.mark.parametrize(
    "text", ["M0 0" + "L1 1" * 40_000 + "x", "M" + "1" * 500_000, "M0 0L" + "1." * 100_000]
)
def test_long_bad_data_is_refused_in_time(text: str) -> None:
    started = time.perf_counter()
    with pytest.raises(PathDataError):
        read_path(text)
    assert time.perf_counter() - started < 5


def test_a_command_without_radius_is_a_line_and_one_without_length_nothing() -> None:
    line, nothing, arc = read_path("M0 0 A 0 5 0 0 0 3 0 A 5 5 0 0 1 3 0 a 5 5 0 0 1 3 3")[1:]
    assert isinstance(line.segment(), Line)
    assert nothing.segment() is None
    drawn: Segment | None = arc.segment()
    assert isinstance(drawn, Arc)
