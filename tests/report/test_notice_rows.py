"""Notices over several sizes."""

from __future__ import annotations

import pytest

from transform.report.notice_rows import over_sizes


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        (("9.0 mm off", "15.7 mm off", "11.0 mm off"), "9.0 to 15.7 mm off"),
        (("1 3/4 in wide", "1 5/8 in wide"), "1 5/8 to 1 3/4 in wide"),
        (("it is -1.5 mm", "it is -6.1 mm"), "it is -6.1 to -1.5 mm"),
        (("from 9.0 to 9.5 mm", "from 8.0 to 9.0 mm"), "from 8.0 to 9.5 mm"),
        (("5° apart", "5° apart"), "5° apart"),
        (("panel 2 lost 1.0 mm", "panel 2 lost 2.0 mm"), "panel 2 lost 1.0 to 2.0 mm"),
        (("1.0 mm", "none"), "1.0 mm"),
        (("alone",), "alone"),
    ],
)
def test_figures_are_told_from_the_least_to_the_greatest(texts: tuple[str, ...], said: str) -> None:
    assert over_sizes(texts) == said
