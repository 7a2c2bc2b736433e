"""Whether every selector under ``find`` points at the same elements in the altered file as before.

What was added is not counted. But a rectangle that is redrawn becomes a path, and what a wedge swallows goes:
a selector by element name or by place among siblings can then mean something else, and the rules would
no longer read the file that they wrote.
"""

from __future__ import annotations

from collections.abc import Iterator

from rules.model import Find, Rules
from rules.problems import Problem
from transform.svg.document import Document
from transform.svg.note import added_elements
from transform.svg.partners import Partners
from transform.svg.problems import PatternError
from transform.svg.select import select


def refuse_lost_selectors(rules: Rules, pairs: Partners) -> None:
    """Refuse rules whose selectors would match other elements in the altered file.

    Raises:
        PatternError: naming every such selector (exit 3).
    """
    problems = [problem for entry in rules.find for problem in _lost(entry, rules, pairs)]
    if problems:
        raise PatternError(problems)


def _lost(entry: Find, rules: Rules, pairs: Partners) -> Iterator[Problem]:
    now = {old: new for new, old in pairs.of.items()}
    wanted = _selected(entry, pairs.before) & now.keys()
    found = {pairs.of[element] for element in _selected(entry, pairs.after)}
    for element in sorted(wanted ^ found):
        tag = pairs.after.tag(now[element])
        if tag != pairs.before.tag(element):
            why = f"is drawn anew as a <{tag}>"
        else:
            why = "would no longer be matched" if element in wanted else "would be matched too"
        text = (
            f"find: {entry.label}: {entry.selector!r} would mean other elements in the altered file: "
            f"{pairs.before.path_of_labels(element)} {why}; point at it by an id or a class"
        )
        yield Problem("selector lost", text, rules.file, entry.where.line, entry.where.column, exit=3)


def _selected(entry: Find, document: Document) -> set[int]:
    return set(select(document, entry.selector, added_elements(document)))
