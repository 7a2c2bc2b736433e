"""Every notice comes with what to do."""

from __future__ import annotations

from transform.checks.kinds import NOTICES
from transform.report.remedies import REMEDIES


def test_every_kind_of_notice_has_a_remedy_and_nothing_else_has() -> None:
    assert set(REMEDIES) == set(NOTICES)


def test_remedies_are_sentences() -> None:
    for remedy in REMEDIES.values():
        assert remedy[0].isupper()
        assert remedy.endswith(".")
