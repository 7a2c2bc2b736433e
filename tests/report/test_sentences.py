"""Sentences that several reports share."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.report.figures import OFF
from transform.report.sentences import in_units, seam_sentence


@pytest.mark.parametrize(
    ("text", "units", "said"),
    [
        ("takes in 44.5 mm; look", "in", "takes in 1 3/4 in; look"),
        ("takes in 45.0 mm", "in", "takes in 1.772 in"),
        ("is -0.0 mm", "in", "is 0.000 in"),
        ("was -25.4 mm", "in", "was -1 in"),
        ("32 mm and 60 mm of line", "cm", "3.20 cm and 6.00 cm of line"),
        ("takes in 45.0 mm", "mm", "takes in 45.0 mm"),
        ("12x3 mm, size 8, v1.2 mm", "in", "12x3 mm, size 8, v1.2 mm"),
        ("3 mmm", "in", "3 mmm"),
    ],
)
def test_lengths_are_said_in_other_units(text: str, units: str, said: str) -> None:
    assert in_units(text, units) == said


def test_a_seam_is_told_with_what_to_do() -> None:
    assert seam_sentence(OFF, "mm") == (
        "front/side seam is 190.0 mm and back/side seam 193.0 mm: second minus first is 3.0 mm, allowed is "
        "0.0 to 1.0 mm and 1.0 mm more or less; in the files as they came it was 0.0 mm; true one of the "
        "two, or allow it with `ease` or `tolerance`"
    )
    assert "allowed is 0.10 cm more or less;" in seam_sentence(replace(OFF, ease=(0.0, 0.0)), "cm")
