"""The revision of a pattern, where it is written on the sheet: text that is labelled ``revision``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rules.model import Revision, Rules
from transform.alter.facts import Notice
from transform.pattern.labelled import found_labels
from transform.svg.document import Document
from transform.svg.edits import escape
from transform.svg.labels import fold, label_of
from transform.svg.splice import Edit

_LABEL = "revision"


def revision_text(revision: Revision) -> str:
    """What is written: the mark, and the date where there is one."""
    return f"{revision.mark} {revision.date}".strip()


def renewed(document: Document, rules: Rules, others: Sequence[Edit]) -> list[Edit]:
    """The edits that write the rules' revision into the texts labelled so.

    A text that ``others`` replace or take away is left to them.

    Raises:
        PatternError: where such a text comes out of an entity.
    """
    if rules.revision is None:
        return []
    new = revision_text(rules.revision)
    edits = [_rewritten(document, text, new) for text in _texts(document, rules)]
    gone = [(edit.start, edit.end) for edit in others]
    return [e for e in edits if not any(start < e.end and e.start < end for start, end in gone)]


def stale_revision(document: Document, rules: Rules) -> tuple[Notice, ...]:
    """A notice where the sheet tells a revision and the rules give none: what it says is no more so."""
    texts = [] if rules.revision is not None else list(_texts(document, rules))
    if not texts:
        return ()
    told = " ".join(document.text(texts[0]).split())
    text = f"{document.name} is altered and still says {told!r}; give the rules a `revision`"
    return (Notice("old revision", None, text),)


def _texts(document: Document, rules: Rules) -> Iterator[int]:
    """The texts that are labelled ``revision`` or stand in what is."""
    found, _ = found_labels(document, rules)
    labelled = {
        element
        for element in document.called.union(found)
        if fold(label_of(document, element) or "") == _LABEL
        or any(fold(part) == _LABEL for path in found.get(element, ()) for part in path[-1:])
    }
    inside = {each for element in labelled for each in document.descendants(element)}
    around = {each for element in labelled for each in document.ancestors(element)}
    for element in sorted(labelled | inside | around):
        if document.tag(element) == "text" and document.text(element).strip():
            yield element


def _rewritten(document: Document, text: int, new: str) -> Edit:
    """The text's content with ``new`` alone, in the manner of its first part."""
    inner = [part for part in document.descendants(text) if document.tag(part) == "tspan"]
    kept: list[int] = []
    if inner:
        leaf = next(part for part in inner if not any(p in document.descendants(part) for p in inner))
        kept = [part for part in reversed([leaf, *document.ancestors(leaf)]) if part in inner]
    codec = document.encoding.codec
    opening, closing = "", ""
    for part in kept:
        tag = document.start_tag(part)
        opening += document.data[tag.start : tag.end].decode(codec)
        closing = f"</{tag.name}>{closing}"
    tag = document.start_tag(text)
    return Edit(tag.end, document.end_tag(text)[0], opening + escape(new) + closing)
