"""Removals and links seen together: names that are taken, darts opened twice, finishes that contradict."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rules.forms import Reading, quoted
from rules.labels import fold
from rules.model import EdgePivot, Finish, Linked, NewDart, Removal, SewnDart, Strip

DartOfPiece = tuple[str, str]
"""Folded names of a piece and of a dart on it."""


def check_removals(removals: Sequence[Removal], reading: Reading) -> None:
    """Note what contradicts among removals that are right by themselves."""
    named: dict[str, Removal] = {}
    opened: dict[DartOfPiece, Removal] = {}
    finished: dict[DartOfPiece, Removal] = {}
    for removal in removals:
        if removal.name:
            first = named.setdefault(fold(removal.name), removal)
            if first is not removal:
                line = first.where.line
                text = f"the name {quoted(removal.name)} is that of the removal in line {line} already"
                reading.wrong(removal.where, "clash", text)
        for opening in removal.opens:
            dart = fold(removal.piece), fold(opening.name)
            if isinstance(opening, NewDart):
                first = opened.setdefault(dart, removal)
                if first is not removal:
                    text = (
                        f"the removal in line {first.where.line} opens {quoted(opening.name)} as a new dart "
                        f"already; here it is `opens: {{dart: {opening.name}}}`"
                    )
                    reading.wrong(removal.where, "clash", text)
            if removal.finish is not None:
                first = finished.setdefault(dart, removal)
                if first.finish != removal.finish:
                    text = (
                        f"the removal in line {first.where.line} finishes {quoted(opening.name)} "
                        "differently; say once how a dart is finished"
                    )
                    reading.wrong(removal.where, "clash", text)


def completed(removals: Sequence[Removal], finish: Finish | None) -> tuple[Removal, ...]:
    """The removals, each with a name of its own and with the finish that counts for it.

    ``finish`` is the file's: it counts for what no removal says of a dart.
    """
    said = {
        dart: removal.finish for removal in removals for dart in _darts(removal) if removal.finish is not None
    }
    taken = {fold(removal.name) for removal in removals if removal.name}
    counts: dict[str, int] = {}
    found = []
    for removal in removals:
        name = removal.name or _free_name(f"{removal.piece} {removal.edge}", taken, counts)
        taken.add(fold(name))
        own = removal.finish or _finish(removal, said, finish)
        found.append(replace(removal, name=name, finish=_filled(own, finish)))
    return tuple(found)


def _darts(removal: Removal) -> Iterator[DartOfPiece]:
    return ((fold(removal.piece), fold(opening.name)) for opening in removal.opens)


def _finish(removal: Removal, said: dict[DartOfPiece, Finish], usual: Finish | None) -> Finish | None:
    """The finish of a removal that does not say one itself: that of all its darts, where it is the same."""
    if isinstance(removal.pivot, EdgePivot):
        return None
    finishes = [said.get(dart, usual) for dart in _darts(removal)]
    return finishes[0] if all(finish == finishes[0] for finish in finishes) else None


def _filled(own: Finish | None, usual: Finish | None) -> Finish | None:
    """A finish as a dart, with what it leaves open as is usual in the file."""
    if not isinstance(own, SewnDart) or not isinstance(usual, SewnDart):
        return own
    return SewnDart(
        usual.draw_back if own.draw_back is None else own.draw_back,
        own.press or usual.press,
        usual.trim if own.trim is None else own.trim,
    )


def _free_name(wish: str, taken: set[str], counts: dict[str, int]) -> str:
    """The wish, or with the next number behind it that is free; ``counts`` holds the last ones by wish."""
    count, name = counts.get(wish, 1), wish
    while fold(name) in taken:
        count += 1
        name = f"{wish} {count}"
    counts[wish] = count
    return name


def check_links(links: Sequence[Linked | Strip], reading: Reading) -> None:
    """Note links that lead in a circle: then no piece is the first to be altered."""
    followed: dict[str, set[str]] = {}
    for link in links:
        if not isinstance(link, Linked):
            continue
        piece, follows = fold(link.piece), fold(link.follows)
        if piece == follows:
            # A facing grown on: the piece follows itself across its fold.
            continue
        if piece in _reached(follows, followed):
            text = f"{quoted(link.follows)} follows {quoted(link.piece)} already; leave one of the two out"
            reading.wrong(link.where, "clash", text)
        else:
            followed.setdefault(piece, set()).add(follows)


def _reached(start: str, followed: dict[str, set[str]]) -> set[str]:
    """Every piece that ``start`` follows, itself included, directly or by way of others."""
    found, waiting = {start}, [start]
    while waiting:
        new = followed.get(waiting.pop(), set()) - found
        found |= new
        waiting.extend(new)
    return found
