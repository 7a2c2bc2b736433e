"""The JSON Schema of a rules file, made from the forms that read it."""

from __future__ import annotations

from typing import Any

from rules.reading import RULES


def schema() -> dict[str, Any]:
    """The schema, JSON Schema draft 2020-12."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "gape removals of one design",
        **RULES.schema(),
    }
