"""How names compare: labels in the files, and the words of the rules that speak of them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache

_RUNS = re.compile(r"[\s_-]+")
_SIZE = re.compile(r"[0-9]+([.,/][0-9]+)?[a-z]{0,2}|[0-9]*x*[sml]|[0-9]*x+", re.IGNORECASE)


@lru_cache(maxsize=8192)
def fold(text: str) -> str:
    """The form in which names compare: case-folded NFC, runs of spaces, ``_`` and ``-`` one space.

    >>> fold("Side_Seam") == fold(" side - seam")
    True
    """
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", text).casefold())
    return _RUNS.sub(" ", folded).strip()


def like_a_size(word: str) -> bool:
    """Whether a word looks like the name of a size, though nothing says that it is one.

    >>> [like_a_size(word) for word in ("12", "XXL", "32B", "front")]
    [True, True, True, False]
    """
    return _SIZE.fullmatch(word) is not None


def spelled(name: str, known: Iterable[str]) -> str | None:
    """The one of ``known`` that is the same name, as it is spelled there; None where there is none."""
    wanted = fold(name)
    return next((word for word in known if fold(word) == wanted), None)
