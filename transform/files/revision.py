"""The revision of a pattern, where it is written on the sheet: text that is labelled ``revision``."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from rules.model import Revision, Rules
from transform.alter.facts import Notice
from transform.pattern.labelled import found_labels, named
from transform.pattern.vocabulary import vocabulary_of
from transform.svg.document import Document
from transform.svg.edits import escape, remove_attribute, set_attribute
from transform.svg.labels import fold, label_of, words_in_ids
from transform.svg.splice import Edit

_LABEL = "revision"
_WORD = words_in_ids([_LABEL])
_PARTS = ("tspan", "textPath", "a")
_BY_LETTER = ("x", "y", "dx", "dy", "rotate")
"""What drawing programs write for every letter; other letters begin where the first did and run on."""


def revision_text(revision: Revision) -> str:
    """What is written: the mark, and the date where there is one."""
    return f"{revision.mark} {revision.date}".strip()


def renewed(
    document: Document, rules: Rules, others: Sequence[Edit], sizes: Sequence[str] | None = None
) -> list[Edit]:
    """The edits that write the rules' revision into the texts labelled so.

    A text that ``others`` replace or take away is left to them; one that stands in another size than those
    of ``sizes`` (None: in any) tells the revision of a size that stays as it came.

    Raises:
        PatternError: where such a text comes out of an entity.
    """
    if rules.revision is None:
        return []
    new = revision_text(rules.revision)
    edits = [edit for part in _texts(document, rules, sizes) for edit in _rewritten(document, part, new)]
    gone = [(edit.start, edit.end) for edit in others]
    return [e for e in edits if not any(start < e.end and e.start < end for start, end in gone)]


def stale_revision(
    document: Document, rules: Rules, sizes: Sequence[str] | None = None
) -> tuple[Notice, ...]:
    """A notice where the sheet tells a revision and the rules give none: what it says is no more so."""
    texts = [] if rules.revision is not None else list(_texts(document, rules, sizes))
    if not texts:
        return ()
    told = " ".join(document.text(texts[0]).split())
    text = f"{document.name} is altered and still says {told!r}; give the rules a `revision`"
    return (Notice("old revision", None, text),)


def _texts(document: Document, rules: Rules, sizes: Sequence[str] | None) -> Iterator[int]:
    """The texts, or parts of texts, that are labelled ``revision`` or stand in what is."""
    found, _ = found_labels(document, rules)
    vocabulary = vocabulary_of(rules)
    done = {fold(size) for size in sizes or ()}
    seen: set[int] = set()
    without = document.without_words(_WORD)
    for element in sorted({each for each in document.called if not without[each]}.union(found)):
        labels = [label_of(document, element) or "", *(path[-1] for path in found.get(element, ()))]
        if all(fold(label) != _LABEL for label in labels):
            continue
        around = (element, *document.ancestors(element))
        said = [name.size for e in around if (name := named(document, e, vocabulary, found)) is not None]
        if sizes is not None and any(size is not None and fold(size) not in done for size in said):
            continue
        tags = ("text", *_PARTS) if document.tag(element) in _PARTS else ("text",)
        for part in (element, *document.descendants(element)):
            if (
                document.tag(part) in tags
                and document.text(part).strip()
                and seen.isdisjoint((part, *document.ancestors(part)))
            ):
                seen.add(part)
                yield part


def _rewritten(document: Document, text: int, new: str) -> Iterator[Edit]:
    """The content of a text, or of a part of one, with ``new`` alone, in the manner of its first part."""
    inner = [part for part in document.descendants(text) if document.tag(part) in _PARTS]
    kept: list[int] = []
    if inner:
        leaf = next(part for part in inner if not any(p in document.descendants(part) for p in inner))
        kept = [part for part in reversed([leaf, *document.ancestors(leaf)]) if part in inner]
    codec = document.encoding.codec
    opening, closing = "", ""
    for part in kept:
        tag = document.start_tag(part)
        opening += _for_other_letters(document.data[tag.start : tag.end].decode(codec))
        closing = f"</{tag.name}>{closing}"
    for name in _BY_LETTER:
        places = (document.get(text, name) or "").replace(",", " ").split()
        if len(places) > 1:
            yield from set_attribute(document, text, name, places[0])
    yield from remove_attribute(document, text, "textLength")
    yield Edit(document.start_tag(text).end, document.end_tag(text)[0], opening + escape(new) + closing)


def _for_other_letters(tag: str) -> str:
    """A start tag without the places of the letters after the first, and without the length of them all.

    >>> _for_other_letters('<tspan x="3 9 14" textLength="20">')
    '<tspan x="3">'
    """
    tag = re.sub(r"""\s+textLength\s*=\s*("[^"]*"|'[^']*')""", "", tag)
    names = "|".join(_BY_LETTER)
    return re.sub(rf"""(\s(?:{names})\s*=\s*["'])\s*([^\s,"']+)[^"']*""", r"\1\2", tag)
