"""Whether every selector under ``find`` points at the same elements in the altered file as before.

What was added is not counted. But a rectangle that is redrawn becomes a path, and what a wedge swallows goes:
a selector by element name or by place among siblings can then mean something else, and the rules would
no longer read the file that they wrote.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rules.model import Find, Rules
from rules.problems import Problem
from transform.svg.document import Document, read_document
from transform.svg.note import added_elements
from transform.svg.problems import PatternError
from transform.svg.select import select
from transform.svg.splice import Edit


def refuse_lost_selectors(rules: Rules, before: Document, edits: Sequence[Edit], content: bytes) -> None:
    """Refuse rules whose selectors would match other elements in the altered file.

    ``content`` is the file after ``edits``.

    Raises:
        PatternError: naming every such selector (exit 3).
    """
    if not rules.find:
        return
    after = read_document(content, before.name)
    gone = [(e.start, e.end) for e in edits if b"<" in before.data[e.start : e.end]]
    old = [element for element in _counted(before) if not _is_removed(before, element, gone)]
    partner = dict(zip(_counted(after), old, strict=True))
    problems = [problem for entry in rules.find for problem in _lost(entry, rules, before, after, partner)]
    if problems:
        raise PatternError(problems)


def _counted(document: Document) -> list[int]:
    added = added_elements(document)
    return [element for element in document.elements if element not in added]


def _is_removed(document: Document, element: int, gone: Sequence[tuple[int, int]]) -> bool:
    if not gone or document.from_entity(element):
        return False
    tag = document.start_tag(element)
    return any(start <= tag.start and end >= tag.end for start, end in gone)


def _lost(
    entry: Find, rules: Rules, before: Document, after: Document, partner: dict[int, int]
) -> Iterator[Problem]:
    kept = set(partner.values())
    wanted = {e for e in select(before, entry.selector, added_elements(before)) if e in kept}
    found = {partner[e] for e in select(after, entry.selector, added_elements(after))}
    now = {partner[e]: after.tag(e) for e in partner}
    for element in sorted(wanted ^ found):
        if now[element] != before.tag(element):
            why = f"is drawn anew as a <{now[element]}>"
        else:
            why = "would no longer be matched" if element in wanted else "would be matched too"
        text = (
            f"find: {entry.label}: {entry.selector!r} would mean other elements in the altered file: "
            f"{before.path_of_labels(element)} {why}; point at it by an id or a class"
        )
        yield Problem("selector lost", text, rules.file, entry.where.line, entry.where.column, exit=3)
