"""Deliberate faults in the geometry: each is caught by a law before anything would be written."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from rules.model import SewnDart, TakenOut
from tests.builders import altered, front, removal, result_piece
from transform.alter import assembling, cutting, mouths, new_outline, piece, regions, resolving, taken_out
from transform.checks import laws
from transform.checks.postconditions import verify
from transform.geometry import folding
from transform.geometry.chain import Chain
from transform.geometry.motion import Motion
from transform.geometry.segments import Line

Patch = Callable[[pytest.MonkeyPatch], None]


def _swap(target: Any, name: str, make: Callable[[Any], Any]) -> Patch:
    def apply(patch: pytest.MonkeyPatch) -> None:
        patch.setattr(target, name, make(getattr(target, name)))

    return apply


def _wrong_sign(real: Any) -> Any:
    return lambda pivot, low, high: -real(pivot, low, high)


def _half_the_angle(real: Any) -> Any:
    return lambda pivot, low, high: real(pivot, low, high) / 2


def _pivot_off(real: Any) -> Any:
    return staticmethod(
        lambda centre, angle: Motion(cmath.exp(1j * angle), (centre + 0.5) * (1 - cmath.exp(1j * angle)))
    )


def _degrees_for_radians(real: Any) -> Any:
    return lambda pivot, low, high: math.degrees(real(pivot, low, high))


def _wedge_kept(real: Any) -> Any:
    return lambda outline, closings, divisions, held: _ungone(real(outline, closings, divisions, held))


def _ungone(made: cutting.Cut) -> cutting.Cut:
    from dataclasses import replace

    return replace(made, arcs=tuple(replace(arc, gone=False) for arc in made.arcs))


def _one_part_forgotten(real: Any) -> Any:
    def run(*args: Any) -> Any:
        found = real(*args)
        return tuple(s for s in found if s.edge != "shoulder")

    return run


def _point_not_drawn(real: Any) -> Any:
    return lambda opened, distance, asked: real(opened, distance, asked) + 0.4


def _legs_untrued(real: Any) -> Any:
    return lambda opened: replace(opened, legs=(opened.legs[0], opened.legs[1] + 0.3j))


def _other_side(real: Any) -> Any:
    return lambda seam, leg, other, point: real(seam.moved(Motion.rotation(leg, 0.05)), leg, other, point)


def _moved_twice(real: Any) -> Any:
    return lambda self, motion: real(real(self, motion), motion)


def _mirrored(real: Any) -> Any:
    def run(old: Any, stretches: Any, motion_of: Any) -> Any:
        from dataclasses import replace

        outline = real(old, stretches, motion_of)
        flip = Motion.reflection(0j, 1j)
        rows = tuple(replace(s, chain=s.chain.moved(flip)) for s in outline.stretches)
        return replace(outline, stretches=rows)

    return run


def _leg_swapped(real: Any) -> Any:
    def run(*args: Any, **kwargs: Any) -> Any:
        from dataclasses import replace

        found = real(*args, **kwargs)
        return replace(found, high=found.high + 4.0)

    return run


def _cap_too_long(real: Any) -> Any:
    return lambda *args: real(*args).moved(Motion(shift=0.2 + 0j))


def _hem_too_high(real: Any) -> Any:
    return lambda hem, corner, turn, reach: real(hem, corner - 1j, turn, reach)


FAULTS: dict[str, Patch] = {
    "the wrong sign": _swap(cutting, "wedge_angle", _wrong_sign),
    "half the angle": _swap(cutting, "wedge_angle", _half_the_angle),
    "degrees for radians": _swap(cutting, "wedge_angle", _degrees_for_radians),
    "the pivot off by half a millimetre": _swap(Motion, "rotation", _pivot_off),
    "the wedge not taken out": _swap(piece, "cut", _wedge_kept),
    "an edge forgotten": _swap(piece, "assemble", _one_part_forgotten),
    "the dart's point beside its middle": _swap(mouths, "draw_point_back", _point_not_drawn),
    "legs of two lengths": _swap(mouths, "true_legs", _legs_untrued),
    "the cap of another seam": _swap(mouths, "cap", _other_side),
    "a line moved twice": _swap(Chain, "moved", _moved_twice),
    "the result mirrored": _swap(piece, "new_outline", _mirrored),
    "a leg in the wrong place": _swap(resolving, "Closing", _leg_swapped),
    "the cap shifted": _swap(mouths, "cap", _cap_too_long),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_caught_before_anything_is_written(fault: str, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = removal(finish=SewnDart(press="down"))
    good = altered(front(), asked)
    assert verify(good.workings, {"front": result_piece(good)}) == ()
    FAULTS[fault](monkeypatch)
    try:
        result = altered(front(), asked)
        after = result_piece(result)
        monkeypatch.undo()
        found = verify(result.workings, {"front": after})
    except (ValueError, ArithmeticError, KeyError, IndexError):
        return
    assert found
    assert all(problem.exit == 4 for problem in found)


def test_a_piece_or_a_dart_that_was_not_written_is_caught() -> None:
    from dataclasses import replace

    result = altered(front(), removal())
    (problem,) = verify(result.workings, {})
    assert "not in the file" in problem.text
    found = verify(result.workings, {"front": replace(result_piece(result), darts=())})
    assert any("bust dart is not in the file" in p.text for p in found)


def test_a_hem_raised_too_far_changes_the_area(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = removal(finish=TakenOut("hem", "centre front"))
    good = altered(front(), asked)
    assert verify(good.workings, {"front": result_piece(good)}) == ()
    _swap(taken_out, "raised", _hem_too_high)(monkeypatch)
    bad = altered(front(), asked)
    assert result_piece(bad).stitching.edge("hem").length != result_piece(good).stitching.edge("hem").length
    assert list(laws.uncrossed(bad.workings[0], result_piece(bad))) == []


def test_a_rounded_end_is_no_crossing_and_a_loop_is_one() -> None:
    # Off by less than a number in a file is rounded: the way back to the start then crosses the first line.
    corners = (0j, 100 + 0j, 100 + 100j, 100j)
    for off, valid in ((2e-8 - 1e-8j, True), (2e-2 - 1e-2j, False)):
        lines = [Line(a, b) for a, b in pairwise((*corners, off))]
        assert laws.polygon(Chain(tuple(lines))).is_valid is valid
    loop = (0j, 100 + 0j, 40 + 60j, 40 - 20j, 0j)
    assert not laws.polygon(Chain(tuple(Line(a, b) for a, b in pairwise(loop)))).is_valid


def test_the_modules_that_are_patched_are_those_that_work() -> None:
    assert piece.assemble is assembling.assemble
    assert piece.new_outline is new_outline.new_outline
    assert mouths.cap is folding.cap
    assert cutting.within is regions.within
