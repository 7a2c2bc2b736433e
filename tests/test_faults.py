"""Deliberate faults all through the code: each is caught by the laws, or by a test that is named beside it.

`tests/alter/test_faults.py` has those that the laws catch in one piece.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rules.problems import UngapeError
from tests.alter import test_carrying, test_following, test_strips
from tests.checks import test_walking
from tests.files import test_output, test_staging
from tests.pattern import test_writing_pieces
from tests.small_designs import bytes_of, make_design, run_design
from transform.alter import carrying, design, placing, resolving, strips
from transform.alter import piece as piece_module
from transform.checks import seams
from transform.designs import job
from transform.designs.orders import Options
from transform.files import output as output_module
from transform.files import staging
from transform.files.ledger import LEDGER
from transform.files.output import Output
from transform.geometry.motion import Motion
from transform.pattern import items, writing
from transform.pattern.model import Way
from transform.svg import pen

Patch = tuple[Any, str, Callable[[Any], Any]]


def _always(value: Any) -> Callable[[Any], Any]:
    return lambda real: lambda *args, **named: value


def _first(change: Callable[[Any], Any]) -> Callable[[Any], Any]:
    """The same function with its first argument changed."""
    return lambda real: lambda first, *rest, **named: real(change(first), *rest, **named)


def _then(change: Callable[[Any], Any]) -> Callable[[Any], Any]:
    """The same function with its result changed."""
    return lambda real: lambda *args, **named: change(real(*args, **named))


def _without(name: str) -> Callable[[Any], Any]:
    """`write_set` that forgets one file."""

    def forgetful(real: Any) -> Any:
        return lambda out, files, *rest: real(out, {n: d for n, d in files.items() if n != name}, *rest)

    return forgetful


# in the bytes that are about to be written: the laws refuse them -----------------------------------

WRITTEN: dict[str, Patch] = {
    "coordinates rounded to a tenth": (pen, "decimals_for", _always(1)),
    "everything a hair aside": (
        pen,
        "format_point",
        lambda real: lambda p, decimals: real(p + 0.001, decimals),
    ),
    "x and y exchanged": (
        pen,
        "format_point",
        lambda real: lambda p, decimals: real(complex(p.imag, p.real), decimals),
    ),
    "an altered shape not written": (writing, "redraw", _always([])),
    "an altered piece forgotten": (job, "edits_for", _always([])),
    "a new dart written aside": (writing, "new_dart_chain", _then(lambda dart: dart.moved(Motion(shift=3)))),
    "the wrong piece altered": (
        design,
        "alter_piece",
        lambda real: lambda piece, *rest, **named: real(
            replace(piece, stitching=_turned(piece.stitching)), *rest, **named
        ),
    ),
}  # fmt: skip


def _turned(outline: Any) -> Any:
    turned = Motion.rotation(0j, 0.001)
    return replace(
        outline, stretches=tuple(replace(s, chain=s.chain.moved(turned)) for s in outline.stretches)
    )


@pytest.mark.parametrize("fault", WRITTEN)
def test_a_fault_in_what_is_written_stops_the_set(
    fault: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rules = make_design(tmp_path, ("10",), tail="")
    before = bytes_of(tmp_path)
    target, name, make = WRITTEN[fault]
    monkeypatch.setattr(target, name, make(getattr(target, name)))
    facts = run_design(rules, Options(writes=True))
    assert {problem.exit for problem in facts.problems} == {4}
    assert bytes_of(tmp_path) == before


# elsewhere: a test catches them --------------------------------------------------------------------


def _in_a_folder(test: Callable[[Output], None]) -> Callable[[Path], None]:
    def run(folder: Path) -> None:
        rules = folder / "x.gape.yaml"
        rules.write_text("rules")
        test(Output(folder / "fixed", rules))

    return run


DRAWN_BACK = 25.0


def _whole(folder: Path) -> None:
    """The design is written, with its note, and its neckline is as much shorter as it should be."""
    rules = make_design(folder, ("10",))
    facts = run_design(rules, Options(writes=True))
    assert facts.problems == ()
    (done,) = facts.sizes[0].removals
    assert done.edge_before - done.edge_after == pytest.approx(3.8, abs=0.1)
    leg = done.opened[0].leg_lengths[0]
    assert done.opened[0].intake_after == pytest.approx(
        2 * (leg + DRAWN_BACK) * math.sin(done.angle / 2), abs=0.3
    )
    assert facts.sizes[0].seams[0].holds
    again = run_design(rules, Options(writes=False))
    assert again.stale == ()
    assert [name for name in bytes_of(folder / "fixed") if name == LEDGER]
    for name in ("front-10.svg", "back-10.svg"):
        (folder / name).write_bytes((folder / "fixed" / name).read_bytes())
    (refused,) = run_design(rules, Options(writes=True, out=folder / "twice")).problems
    assert refused.kind == "removed already"


def _set(folder: Path) -> None:
    out = folder / "out"
    out.mkdir()
    staging.write_set(out, test_staging.OLD)
    assert bytes_of(out) == test_staging.OLD
    staging.write_set(out, test_staging.NEW)
    assert bytes_of(out) == test_staging.NEW


ELSEWHERE: dict[str, tuple[Patch, Callable[[Path], None]]] = {
    "text turned with its part": (
        (items, "_way", _then(lambda way: Way.TRANSFORM if way is Way.UPRIGHT else way)),
        lambda _: test_writing_pieces.test_text_stays_upright_and_marks_that_are_no_paths_turn_by_transform(),
    ),
    "marks left behind": (
        (carrying, "_moved", _always(None)),
        lambda _: test_carrying.test_marks_go_with_their_part_and_stay_on_the_held_one(),
    ),
    "a notch left in the wedge": (
        (carrying, "_on_new_line", lambda real: lambda piece, item, motion, *rest: motion),
        lambda _: test_carrying.test_a_notch_in_the_wedge_goes_to_the_closure_with_a_notice(),
    ),
    "an inner line not cut at the wedge": (
        (carrying, "_cut_line", _always(None)),
        lambda _: test_carrying.test_an_inner_line_across_the_wedge_is_cut_at_both_legs_and_rejoined(),
    ),
    "an inner line not joined again": (
        (carrying, "_rejoined", lambda real: lambda row, closed: iter([f.chain for f in row])),
        lambda _: test_carrying.test_an_inner_line_across_the_wedge_is_cut_at_both_legs_and_rejoined(),
    ),
    "the allowance turned, not drawn anew": (
        (piece_module, "redraw_cut", lambda real: lambda old, cut, *rest: cut),
        lambda _: test_following.test_a_cut_line_is_redrawn_at_its_allowance(),
    ),
    "a strip shortened by half": (
        (strips, "shortened", lambda real: lambda asked, band, loss: real(asked, band, loss / 2)),
        lambda _: test_strips.test_one_end_stays_where_it_is(),
    ),
    "every seam said to hold": (
        (seams, "_NO_WORSE", lambda real: 1e9),
        lambda _: test_walking.test_a_seam_holds_within_ease_by_tolerance_or_if_no_worse(
            (0, 0), (190, 190), (190, 191.1), False, False
        ),
    ),
    "the wedge measured from the other end": (
        (resolving, "measured_from", _then(lambda forward: not forward)),
        _whole,
    ),
    "half of what was asked for": ((placing.Grade, "mm", _then(lambda width: width / 2)), _whole),
    "a note without what was done": (
        (job, "note_text", lambda real: lambda numbers, before, facts, sha: real(numbers, before, (), sha)),
        _whole,
    ),
    "a removal made twice unasked": (
        (job, "refuse_twice", _always(None)),
        _whole,
    ),
    "the ledger not written": (
        (output_module, "write_set", _without(LEDGER)),
        _whole,
    ),
    "a file of the set not written": (
        (output_module, "write_set", _without("front-10.svg")),
        _whole,
    ),
    "the set written with other bytes": (
        (staging, "_staged", lambda real: lambda file, content: real(file, content + b"\n")),
        _set,
    ),
    "files of others overwritten": (
        (output_module, "_foreign", _always(())),
        _in_a_folder(lambda output: test_output.test_a_foreign_file_stops_the_whole_set(output, dry=False)),
    ),
    "edited files overwritten": (
        (output_module, "_foreign", _always(())),
        _in_a_folder(test_output.test_an_edited_file_stops_the_whole_set),
    ),
    "sources overwritten": (
        (output_module, "_identity", _always(None)),
        test_output.test_a_link_to_a_source_in_the_folder_is_refused,
    ),
    "links out of the folder followed": (
        (output_module, "leads_out", _always(False)),
        lambda folder: _in_a_folder(
            lambda output: test_output.test_a_folder_that_leads_out_is_not_written_to(output, False, folder)
        )(folder),
    ),
}  # fmt: skip


@pytest.mark.parametrize("fault", ELSEWHERE)
def test_a_fault_is_caught_by_its_test(fault: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (target, name, make), catches = ELSEWHERE[fault]
    (tmp_path / "sound").mkdir()
    catches(tmp_path / "sound")
    monkeypatch.setattr(target, name, make(getattr(target, name)))
    (tmp_path / "faulty").mkdir()
    with pytest.raises((AssertionError, pytest.fail.Exception, UngapeError, ValueError, LookupError)):
        catches(tmp_path / "faulty")
