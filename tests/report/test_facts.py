"""The exit code follows from the facts alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.report.figures import ELEMENT, OFF, STALE, UNKNOWN, WIDE, design, report, size
from transform.report.facts import Report

ACCEPTED = replace(WIDE, accepted=True)


@pytest.mark.parametrize(
    ("found", "code"),
    [
        (report(), 0),
        (report(design()), 0),
        (report(design(size(seams=(OFF,)))), 1),
        (report(design(stale=(STALE,))), 1),
        (report(design(size(notices=(WIDE,)))), 0),
        (report(design(size(notices=(WIDE,))), strict=True), 1),
        (report(design(size(notices=(ACCEPTED,))), strict=True), 0),
        (report(problems=(UNKNOWN,)), 2),
        (report(design(problems=(UNKNOWN, ELEMENT))), 3),
        (report(design(problems=(ELEMENT,)), design(size(seams=(OFF,))), problems=(UNKNOWN,)), 3),
        (report(design(problems=(replace(ELEMENT, exit=4),)), design(problems=(ELEMENT,))), 4),
        (report(problems=(replace(ELEMENT, exit=130),)), 130),
    ],
)
def test_the_highest_counts(found: Report, code: int) -> None:
    assert found.exit == code
