"""The JSON Schema of a rules file, made from the forms that read it."""

from __future__ import annotations

from typing import Any

from rules.reading import RULES


def schema() -> dict[str, Any]:
    """The schema, JSON Schema draft 2020-12.

    It describes a file as YAML 1.2 reads it, with every key as text. What it cannot say (shares that add up,
    darts that one removal opens and another names) the reader says.
    """
    definitions: dict[str, Any] = {}
    root = {key: _referring(value, definitions) for key, value in RULES.schema().items()}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "rules of one design",
        **root,
        "$defs": dict(sorted(definitions.items())),
    }


def _referring(part: Any, definitions: dict[str, Any]) -> Any:
    """The part with references to ``definitions`` where it uses a schema that has a title."""
    if isinstance(part, list):
        return [_referring(item, definitions) for item in part]
    if not isinstance(part, dict):
        return part
    about = {"description": part["about"]} if isinstance(part.get("about"), str) else {}
    inner = {key: value for key, value in part.items() if not (about and key == "about")}
    title = inner.get("title")
    if not isinstance(title, str):
        return {**{key: _referring(value, definitions) for key, value in inner.items()}, **about}
    definition = {key: _referring(value, definitions) for key, value in inner.items() if key != "title"}
    assert definitions.setdefault(title, definition) == definition, f"two schemas are titled {title}"
    return {"$ref": f"#/$defs/{title}", **about}
