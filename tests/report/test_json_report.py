"""The JSON report, as the contract gives it."""

from __future__ import annotations

import json
import tracemalloc
from dataclasses import replace

from tests.report.figures import ELEMENT, OFF, OPENED, REMOVAL, STALE, UNKNOWN, WIDE, design, report, size
from transform.report.json_report import as_json, report_text


def test_a_whole_report() -> None:
    found = json.loads(report_text(report(design(size(notices=(WIDE,))))))
    assert found == {
        "ungape_report": 1,
        "ok": True,
        "errors": [],
        "designs": [
            {
                "rules": "summer.gape.yaml",
                "design": "summer bodice",
                "sizes": [
                    {
                        "size": "12",
                        "files": [{"from": "b-12.svg", "to": "fixed/b-12.svg", "sha256": "ab" * 32}],
                        "removals": [
                            {
                                "name": "neck gape",
                                "piece": "front",
                                "edge": "neckline",
                                "followed": False,
                                "removed": 20.0,
                                "angle_deg": 9.26,
                                "pivot": [95.0, 260.0],
                                "legs": [[70.0, 0.0], [60.0, 20.0]],
                                "stagger": 6.0,
                                "edge_before": 214.3,
                                "edge_after": 196.1,
                                "shortened": 18.2,
                                "line": "fair",
                                "reach": [60.0, 55.0],
                                "moved": 1.4,
                                "opened": {
                                    "dart": "bust dart",
                                    "intake_before": 0.0,
                                    "intake_after": 25.1,
                                    "leg_lengths": [130.6, 130.6],
                                },
                            }
                        ],
                        "seams": [
                            {
                                "join": ["front/side seam", "back/side seam"],
                                "before": [190.0, 190.0],
                                "after": [190.0, 190.0],
                                "ease": [0.0, 0.0],
                                "tolerance": 1.0,
                                "holds": True,
                            }
                        ],
                        "strips": [{"piece": "neck binding", "before": 400.0, "after": 363.6}],
                        "notices": [
                            {
                                "kind": "wide dart",
                                "piece": "front",
                                "accepted": False,
                                "text": "bust dart of front takes in 45.0 mm",
                            }
                        ],
                    }
                ],
            }
        ],
    }


def test_the_text_is_that_of_the_value_as_a_whole() -> None:
    odd = replace(WIDE, text='two\nlines, a\u2028break, "quotes"')
    for found in (
        report(),
        report(design(size(notices=(odd,)))),
        report(design(size()), design(stale=(STALE,)), problems=(UNKNOWN,)),
    ):
        assert report_text(found) == json.dumps(as_json(found), ensure_ascii=False, indent=1) + "\n"


def test_the_text_of_many_designs_takes_little_more_than_itself() -> None:
    found = report(*(design(*(size(notices=(WIDE, WIDE)) for _ in range(8))) for _ in range(60)))
    tracemalloc.start()
    text = report_text(found)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 5 * len(text)


def test_every_problem_is_an_error() -> None:
    found = as_json(report(design(problems=(ELEMENT,)), design(stale=(STALE,)), problems=(UNKNOWN,)))
    assert found["ok"] is False
    assert [error["kind"] for error in found["errors"]] == ["unknown word", "gap", "stale file"]
    assert found["errors"][0] == {
        "file": "summer.gape.yaml",
        "line": 7,
        "column": 3,
        "kind": "unknown word",
        "text": "found 'remvals'; did you mean removals?",
    }
    assert found["errors"][1]["text"] == "size 12 > front (line 40): the line has a gap of 3.0 mm"
    assert found["errors"][2]["line"] is None


def test_a_seam_that_does_not_hold_is_not_ok() -> None:
    found = as_json(report(design(size(seams=(OFF,)))))
    assert found["ok"] is False
    assert found["errors"] == []
    assert found["designs"][0]["sizes"][0]["seams"][0]["holds"] is False


def test_none_one_or_several_mouths() -> None:
    other = replace(OPENED, dart="waist dart")
    removals = tuple(replace(REMOVAL, opened=opened) for opened in ((), (OPENED,), (OPENED, other)))
    found = as_json(report(design(size(removals=removals))))
    none, one, several = (r["opened"] for r in found["designs"][0]["sizes"][0]["removals"])
    assert none is None
    assert one["dart"] == "bust dart"
    assert [each["dart"] for each in several] == ["bust dart", "waist dart"]


def test_nought_has_no_sign() -> None:
    text = report_text(report(design(size(removals=(replace(REMOVAL, moved=-0.00001, angle=-1e-12),)))))
    assert "-0.0" not in text
