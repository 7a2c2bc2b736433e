"""Forms for what a design reads and writes: names of pattern files, and the folder for the altered ones."""

from __future__ import annotations

import re
from pathlib import PurePosixPath

from rules.forms import TEXT_TYPES, Json, Reading, Text
from rules.yaml_text import Node

_OUTSIDE: Json = {"type": "string", "pattern": r"^\s*[/\\]|^\s*[A-Za-z]:|(^\s*|[/\\])\.\.([/\\]|\s*$)"}
"""Paths that lead out of the rules' folder, as a schema."""


class Folder:
    """A folder beside the rules file, or below; never above."""

    def read(self, node: Node, reading: Reading) -> str:
        """The folder's path, with `/`."""
        text = Text("a folder below the one of this file").read(node, reading)
        path = _beside(text)
        if path is None or path == PurePosixPath() or "{" in text or "}" in text:
            allowed = "a folder below the one of this file, without placeholders"
            raise reading.misfit(node, f"allowed: {allowed}; the files in it keep their names")
        return str(path)

    def schema(self) -> Json:
        """Text."""
        return {
            "type": TEXT_TYPES,
            "minLength": 1,
            "pattern": "^[^{}]*$",
            "not": _OUTSIDE,
        }


class PatternName:
    """A file name beside the rules file, with {size} and {piece} for parts of it."""

    def read(self, node: Node, reading: Reading) -> str:
        """The name, with `/`."""
        text = Text("a file name, such as `bodice-{size}.svg`").read(node, reading)
        rest = re.sub(r"\{(size|piece)\}", "", text)
        if "{" in rest or "}" in rest:
            raise reading.misfit(node, "allowed in braces: {size}, {piece}")
        if "}{" in text:
            raise reading.misfit(node, "something has to stand between two placeholders, to tell them apart")
        path = _beside(text)
        if path is None or not path.name:
            raise reading.misfit(node, "allowed: files beside this one, or in a folder below")
        return str(path)

    def schema(self) -> Json:
        """Text."""
        return {
            "title": "pattern-name",
            "type": TEXT_TYPES,
            "minLength": 1,
            "pattern": r"^([^{}]|\{(size|piece)\}(?!\{))*$",
            "not": _OUTSIDE,
        }


def _beside(text: str) -> PurePosixPath | None:
    """The path below the rules' folder; None where it leads out of it, on any system."""
    path = PurePosixPath(text.replace("\\", "/"))
    if path.is_absolute() or ".." in path.parts or re.match(r"[A-Za-z]:", text):
        return None
    return path
