"""The schema of the report allows what is reported, and nothing else."""

from __future__ import annotations

import copy
import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tests.report.figures import ELEMENT, OFF, OPENED, REMOVAL, STALE, UNKNOWN, WIDE, design, report, size
from transform.report.json_report import as_json
from transform.report.json_schema import schema

ROOT = Path(__file__).parents[2]
VALIDATOR = Draft202012Validator(schema())


def full() -> dict[str, Any]:
    several = replace(REMOVAL, opened=(OPENED, replace(OPENED, dart="waist dart")))
    none = replace(REMOVAL, opened=())
    one = design(size(removals=(REMOVAL, several, none), seams=(OFF,), notices=(WIDE,)), stale=(STALE,))
    return as_json(report(one, design(sizes=(), problems=(ELEMENT,)), problems=(UNKNOWN,)))


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(schema())


def test_what_is_reported_is_allowed() -> None:
    VALIDATOR.validate(full())


@pytest.mark.parametrize(
    "path",
    [
        ["ok"],
        ["errors", 0, "line"],
        ["designs", 0, "sizes"],
        ["designs", 0, "sizes", 0, "files", 0, "sha256"],
        ["designs", 0, "sizes", 0, "removals", 0, "opened"],
        ["designs", 0, "sizes", 0, "removals", 0, "opened", "leg_lengths"],
        ["designs", 0, "sizes", 0, "seams", 0, "holds"],
        ["designs", 0, "sizes", 0, "notices", 0, "kind"],
    ],
)
def test_what_is_left_out_or_another_thing_is_not(path: list[Any]) -> None:
    for change in ("left out", "another thing", "one more"):
        value = copy.deepcopy(full())
        place: Any = value
        for step in path[:-1]:
            place = place[step]
        if change == "left out":
            del place[path[-1]]
        elif change == "another thing":
            place[path[-1]] = {"strange": 1}
        else:
            place["strange"] = 1
        assert not VALIDATOR.is_valid(value), change


def test_a_real_run_is_allowed(tmp_path: Path) -> None:
    run = [sys.executable, "-m", "transform"]
    out = tmp_path / "report.json"
    asked = [*run, "apply", "samples/wrap-blouse", "--dry-run", "--quiet", "--report", str(out)]
    subprocess.run(asked, cwd=ROOT, check=True, timeout=120)
    printed = subprocess.run(
        [*run, "schema", "--report"], cwd=ROOT, check=True, capture_output=True, timeout=60
    )
    Draft202012Validator(json.loads(printed.stdout)).validate(json.loads(out.read_text("utf-8")))
