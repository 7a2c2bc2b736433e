"""What an editor kept beside the geometry of an altered shape and the alteration drops.

Such copies (the line before a path effect, the kinds of its nodes) would undo the new line or contradict it
when the file is opened there again.
"""

from __future__ import annotations

from collections.abc import Iterator

from transform.alter.facts import Notice
from transform.svg.partners import Partners
from transform.svg.redraw import contradicting


def editor_copies(pairs: Partners) -> Iterator[Notice]:
    """One notice for the file: which attributes are gone, and from how many shapes."""
    names: dict[str, None] = {}
    shapes: list[int] = []
    for element in pairs.changed:
        left = contradicting(pairs.after, element)
        gone = [name for name in contradicting(pairs.before, pairs.of[element]) if name not in left]
        if gone:
            shapes.append(element)
            names.update(dict.fromkeys(gone))
    if shapes:
        where = pairs.after.path_of_labels(shapes[0])
        count = f" and {len(shapes) - 1} more" if len(shapes) > 1 else ""
        text = (
            f"{pairs.after.name}: {', '.join(names)} of {where}{count} are dropped: an editor's own copies "
            "of the old line, which would undo the new one; path effects and stars are plain paths now"
        )
        yield Notice("editor's copy dropped", None, text)
