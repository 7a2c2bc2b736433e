"""Style rules that mean another shape now: where a rectangle, a line, … is drawn anew as a path."""

from __future__ import annotations

from collections.abc import Iterator

from transform.alter.facts import Notice
from transform.svg.css import style_rules
from transform.svg.document import Document
from transform.svg.partners import Partners
from transform.svg.select import SelectorError, select


def looks(pairs: Partners) -> Iterator[Notice]:
    """A notice for every style rule that such a shape lost or gained."""
    renamed = [e for e in pairs.changed if pairs.after.tag(e) != pairs.before.tag(pairs.of[e])]
    for selector in dict.fromkeys(style_rules(pairs.after)) if renamed else ():
        before, after = _matched(pairs.before, selector), _matched(pairs.after, selector)
        for element in renamed:
            had, has = pairs.of[element] in before, element in after
            if had != has:
                what = "no longer applies to" if had else "now applies to"
                text = (
                    f"{pairs.after.name}: the style rule {selector!r} {what} "
                    f"{pairs.after.path_of_labels(element)}, since that is drawn anew as a <path>; give the "
                    "rule a class, and the shape too"
                )
                yield Notice("style rule", None, text)


def _matched(document: Document, selector: str) -> frozenset[int]:
    try:
        return frozenset(select(document, selector))
    except SelectorError:
        return frozenset()
