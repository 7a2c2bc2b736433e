"""The JSON Schema of the report."""

from __future__ import annotations

from typing import Any

from transform.checks.kinds import ERRORS, NOTICES

_TEXT = {"type": "string"}
_LENGTH = {"type": "number", "description": "mm"}
_COUNT = {"type": ["integer", "null"], "minimum": 1}


def schema() -> dict[str, Any]:
    """The schema, JSON Schema draft 2020-12."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "report of a run",
        **_record(
            ungape_report={"const": 1},
            ok={"type": "boolean", "description": "whether the exit code is 0"},
            errors=_list("error"),
            designs=_list("design"),
        ),
        "$defs": {
            "error": _record(file=_TEXT, line=_COUNT, column=_COUNT, kind=_kinds(ERRORS), text=_TEXT),
            "design": _record(rules=_TEXT, design=_TEXT, sizes=_list("size")),
            "size": _record(
                size=_TEXT,
                files=_list("file"),
                removals=_list("removal"),
                seams=_list("seam"),
                strips=_list("strip"),
                notices=_list("notice"),
            ),
            "file": _record(
                **{"from": _TEXT, "to": _TEXT, "sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"}}
            ),
            "removal": _record(
                name=_TEXT,
                piece=_TEXT,
                edge=_TEXT,
                followed={"type": "boolean", "description": "whether it was made on a linked piece"},
                removed=_LENGTH,
                angle_deg={"type": "number"},
                pivot=_pair("x and y in the file that came in, mm"),
                legs={**_pair(""), "items": _pair("x and y, mm"), "description": "first leg B, then A"},
                stagger=_LENGTH,
                edge_before=_LENGTH,
                edge_after=_LENGTH,
                shortened=_LENGTH,
                line={"enum": ["fair", "straight"]},
                reach=_pair("how far the line was drawn anew on either side, mm"),
                moved=_LENGTH,
                opened={
                    "anyOf": [{"type": "null"}, _of("opened"), {**_list("opened"), "minItems": 2}],
                },
            ),
            "opened": _record(
                dart=_TEXT,
                intake_before=_LENGTH,
                intake_after=_LENGTH,
                leg_lengths=_pair("mm"),
            ),
            "seam": _record(
                join={**_pair(""), "items": _TEXT, "description": "the two sides"},
                before=_pair("mm"),
                after=_pair("mm"),
                ease=_pair("what second minus first may be, mm"),
                tolerance=_LENGTH,
                holds={"type": "boolean"},
            ),
            "strip": _record(piece=_TEXT, before=_LENGTH, after=_LENGTH),
            "notice": _record(
                kind=_kinds(NOTICES),
                piece={"type": ["string", "null"]},
                accepted={"type": "boolean"},
                text=_TEXT,
            ),
        },
    }


def _record(**properties: Any) -> dict[str, Any]:
    """An object that has all these properties and no others."""
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _of(name: str) -> dict[str, Any]:
    return {"$ref": f"#/$defs/{name}"}


def _list(name: str) -> dict[str, Any]:
    return {"type": "array", "items": _of(name)}


def _pair(what: str) -> dict[str, Any]:
    pair: dict[str, Any] = {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}
    return {**pair, "description": what} if what else pair


def _kinds(kinds: Any) -> dict[str, Any]:
    return {"oneOf": [{"const": kind, "description": meaning} for kind, meaning in kinds.items()]}
