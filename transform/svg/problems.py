"""Errors in a pattern file, told with file, line, column and the labels that lead to the element."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rules.problems import Problem, UngapeError

if TYPE_CHECKING:
    from transform.svg.document import Document

EXIT = 3
"""Exit code where a pattern is missing, cannot be read or does not fit the rules."""


class PatternError(UngapeError):
    """A pattern file that cannot be read, or an element of it that cannot be used."""


def problem_at(
    place: Document | str,
    element: int | None,
    kind: str,
    text: str,
    *,
    line: int | None = None,
    column: int | None = None,
) -> PatternError:
    """The error to raise for ``element`` of a document (None: the file as a whole).

    ``place`` is the document, or the file's name where there is no document yet. ``line`` and
    ``column`` (1-based) are those of the element's start tag unless they are given.
    """
    if isinstance(place, str):
        return PatternError([Problem(kind, text, place, line, column, "", EXIT)])
    path = ""
    if element is not None:
        path = place.path_of_labels(element)
        if line is None:
            line, column = place.position(element)
    return PatternError([Problem(kind, text, place.name, line, column, path, EXIT)])
