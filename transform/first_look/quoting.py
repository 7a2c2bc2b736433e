"""Text written as YAML so that it is read as it was."""

from __future__ import annotations

import re
from collections.abc import Sequence

_UNSEEN = re.compile("[^ -~\xa1-\U0010ffff]|[\u2028-\u202e\u2066-\u2069\ufeff]")
"""Characters that YAML's quoted text does not hold as they are, or that are not seen."""


def quoted(text: str) -> str:
    """The text as a YAML scalar that is read as this text: in quotes where it has to be."""
    plain = re.fullmatch(r"[A-Za-z][\w ./()+-]*", text, re.ASCII) and not re.search(r"[ .]$| #|: ", text)
    if plain and text.lower() not in ("null", "true", "false", "yes", "no", "on", "off", "y", "n"):
        return text
    return in_quotes(text)


def in_quotes(text: str) -> str:
    """The text as a YAML scalar in double quotes."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{_UNSEEN.sub(_code, escaped)}"'


def _code(match: re.Match[str]) -> str:
    return f"\\U{ord(match[0]):08x}"


def row(texts: Sequence[str]) -> str:
    """The texts as a YAML sequence in one line."""
    return f"[{', '.join(quoted(text) for text in texts)}]"
