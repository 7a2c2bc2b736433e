"""YAML text that has to be sound."""

from __future__ import annotations

from rules.problems import RulesError
from rules.yaml_text import Node, parse


def load(text: str, file: str) -> Node:
    """The one document of the text; all that is wrong in it is raised."""
    node, problems = parse(text, file)
    if problems:
        raise RulesError(problems)
    return node
