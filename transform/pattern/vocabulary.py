"""The words of the trade, and those that the rules add: what a label means, in which spelling.

front stitching line size 12
words role           size      size, piece and role may share one label, in any order
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain

from rules.labels import fold
from rules.model import DartPivot, EdgePivot, KnownDart, NewDart, Removal, Rules, TakenOut
from transform.pattern.model import Role
from transform.svg.labels import words_in_ids

ROLE_WORDS: Mapping[Role, tuple[str, ...]] = {
    Role.CUT_LINE: ("cut line", "cutting line"),
    Role.STITCHING_LINE: ("stitching line", "stitch line", "seam line", "seamline", "sewing line"),
    Role.APEX_MARK: ("apex mark", "apex", "bust point", "pivot mark"),
    Role.CORNER_MARKS: ("corner marks", "corners"),
    Role.DARTS: ("darts", "dart"),
    Role.NOTCHES: ("notches", "notch"),
    Role.GRAINLINE: ("grainline", "grain line", "grain"),
    Role.FOLD_LINE: ("fold line", "fold"),
}
"""What a role's layer may be called without any rules."""

_MOST_WORDS = 100
"""A label of more words than this is no size and no role."""
_SEPARATOR = re.compile(r"[\s_-]+")
_COUNTRY = re.compile(r"(?!x*[sml] )[^\W\d_]{2,3} \d+")
"""``EU 38``, ``UK 10``: a size that is told with the country whose it is; ``XL 2`` is none."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one label says; ``words`` is what is left when size and role are taken out of it.

    ``instead`` is another way to read it. Where this one has a size (``size 32 B``: size 32, piece B), the
    other holds if the piece is named elsewhere; where this one has none (``pocket M``, with a size M), it
    holds if nothing else says the size.
    """

    size: str | None = None
    role: Role | None = None
    words: str | None = None
    instead: Meaning | None = None


@dataclass(frozen=True)
class Vocabulary:
    """Folded phrases to roles, sizes and names, as the rules extend them.

    ``names`` gives by folded word the name that the rules use; ``pieces`` and ``darts`` are folded names
    that the rules use for pieces and for darts; ``sizes`` gives the rules' spelling of a size.
    """

    roles: Mapping[str, Role]
    size_words: tuple[tuple[str, ...], ...]
    names: Mapping[str, str]
    pieces: frozenset[str]
    darts: frozenset[str]
    dart_words: frozenset[str]
    sizes: Mapping[str, str]

    def name(self, words: str) -> str:
        """The one spelling of a name: the rules' where they use it, else the label's, ``_`` as a space."""
        return self.names.get(fold(words)) or " ".join(words.replace("_", " ").split())

    def is_dart(self, name: str) -> bool:
        """Whether an edge of this name may be a dart drawn into the outline."""
        folded = fold(name)
        return folded in self.darts or not self.dart_words.isdisjoint(folded.split())

    def is_piece(self, name: str | None) -> bool:
        """Whether the rules speak of a piece of this name."""
        return name is not None and fold(self.name(name)) in self.pieces

    def ends_in_a_role(self, words: str) -> str | None:
        """The role of one word, which can only stand alone, in which ``words`` end; None where they do not.

        A dart's name ends so of right, and an edge on the fold.
        """
        last = words.split()[-1]
        role = self.roles.get(fold(last))
        if len(words.split()) < 2 or role in (None, Role.DARTS, Role.FOLD_LINE):
            return None
        return last

    def size(self, name: str) -> str:
        """The one spelling of a size."""
        return self.sizes.get(fold(name), name)

    def without_roles(self) -> Vocabulary:
        """The same words where no role is sought: inside a role's layer."""
        return replace(self, roles={})

    def meaning(self, label: str) -> Meaning:
        """What a label says."""
        tokens = _tokens(label)
        if len(tokens) > _MOST_WORDS:
            return Meaning(None, None, _text(tokens))
        folded = [fold(token) for token, _ in tokens]
        whole = self.sizes.get(" ".join(folded))
        if whole is not None:
            return Meaning(size=whole)
        found = self._said_size(tokens, folded)
        if found is not None:
            first, last, size = found
            return self._with_size(tokens, folded, first, last, size)
        role, words = self._role(tokens, folded)
        plain = Meaning(None, role, words)
        if words is not None:
            for first, last, size in self._loose_sizes(folded):
                kept = tokens[:first] + tokens[last:]
                other, rest = self._role(kept, folded[:first] + folded[last:])
                if other is not None and (rest is None or role is None):
                    return Meaning(size, other, rest)
                return Meaning(None, role, words, Meaning(size, other, rest))
        return plain

    @cached_property
    def telling(self) -> re.Pattern[bytes]:
        """The words of sizes and roles, for ids that hold none of them."""
        phrases = (*self.roles, *self.sizes, *(" ".join(words) for words in self.size_words))
        return words_in_ids(word for phrase in phrases for word in phrase.split())

    def _said_size(self, tokens: list[tuple[str, str]], folded: list[str]) -> tuple[int, int, str] | None:
        """Where ``size NAME`` stands: first and last token, and the name.

        A name is one word, or as many as the rules list it with. Behind a role it is all that follows, and
        a country stands before its number: ``size EU 38``.
        """
        for at in range(len(folded)):
            for word in self.size_words:
                begin = at + len(word)
                if tuple(folded[at:begin]) != word or begin == len(folded):
                    continue
                last = begin + 1
                if "-" not in tokens[begin][1]:
                    while last < len(tokens) and tokens[last][1] == "-":
                        last += 1
                for longest in range(len(folded), last - 1, -1):
                    listed = self.sizes.get(" ".join(folded[begin:longest]))
                    if listed is not None:
                        return at, longest, listed
                if self._role(tokens[:at], folded[:at])[0] is not None:
                    last = len(folded)
                elif last < len(folded) and _COUNTRY.fullmatch(f"{folded[begin]} {folded[last]}"):
                    last += 1
                return at, last, _text(tokens[begin:last])
        return None

    def _with_size(
        self, tokens: list[tuple[str, str]], folded: list[str], first: int, last: int, size: str
    ) -> Meaning:
        kept = tokens[:first] + tokens[last:]
        role, words = self._role(kept, folded[:first] + folded[last:])
        instead = None
        if first == 0 and role is None and words is not None and fold(size) not in self.sizes:
            begin = next(len(word) for word in self.size_words if tuple(folded[: len(word)]) == word)
            instead = Meaning(size=_text(tokens[begin:]))
        return Meaning(size, role, words, instead)

    def _loose_sizes(self, folded: list[str]) -> Iterator[tuple[int, int, str]]:
        """Listed sizes that stand at the end or the start of a label with other words."""
        count = len(folded)
        for width in range(count - 1, 0, -1):
            for first in (count - width, 0):
                size = self.sizes.get(" ".join(folded[first : first + width]))
                if size is not None:
                    yield first, first + width, size

    def _role(self, tokens: list[tuple[str, str]], folded: list[str]) -> tuple[Role | None, str | None]:
        """The role that these words are or end in, and the words before it."""
        if not tokens:
            return None, None
        role = self.roles.get(" ".join(folded))
        if role is not None:
            return role, None
        for first in range(1, len(folded) - 1):
            role = self.roles.get(" ".join(folded[first:]))
            if role is not None:
                return role, _text(tokens[:first])
        return None, _text(tokens)


def _tokens(label: str) -> list[tuple[str, str]]:
    """Words of a label as written, each with the separator before it."""
    found: list[tuple[str, str]] = []
    separator, at = "", 0
    for match in _SEPARATOR.finditer(label):
        if label[at : match.start()]:
            found.append((label[at : match.start()], separator))
        separator, at = match.group(), match.end()
    if label[at:]:
        found.append((label[at:], separator))
    return found


def _text(tokens: list[tuple[str, str]]) -> str:
    """The words as one text again, ``_`` as a space."""
    parts = [
        ("" if k == 0 else separator.replace("_", " ")) + token for k, (token, separator) in enumerate(tokens)
    ]
    return " ".join("".join(parts).split())


def vocabulary_of(rules: Rules, file_size: str | None = None) -> Vocabulary:
    """The words that count under these rules; ``file_size`` is the size that the file's name gives."""
    roles = {fold(word): role for role, words in ROLE_WORDS.items() for word in words}
    size_words = ["size"]
    names = _spelling(rules)
    for key, words in rules.names.items():
        role = roles.get(fold(key))
        if role is not None:
            roles.update((fold(word), role) for word in words)
        elif fold(key) == "size":
            size_words.extend(words)
        else:
            name = names.setdefault(fold(key), key)
            names.update((fold(word), name) for word in words)
    listed = [*(rules.sizes or ()), *([file_size] if file_size else [])]
    darts = {names.get(fold(name), name) for name in _darts(rules.removals)}
    return Vocabulary(
        roles=roles,
        size_words=tuple(sorted((tuple(fold(word).split()) for word in size_words), key=len, reverse=True)),
        names=names,
        pieces=frozenset(fold(names.get(fold(name), name)) for name in dict.fromkeys(_pieces(rules))),
        darts=frozenset(fold(name) for name in darts),
        dart_words=frozenset(word for word, role in roles.items() if role is Role.DARTS),
        sizes={fold(size): size for size in reversed(listed)},
    )


def _spelling(rules: Rules) -> dict[str, str]:
    """By folded name, the spelling in which the rules first use it."""
    found: dict[str, str] = {}
    in_removals = (_names_in_removal(removal) for removal in rules.removals)
    for name in dict.fromkeys(chain(_names_in_edges(rules), *in_removals, _names_in_seams(rules))):
        if name is not None:
            found.setdefault(fold(name), name)
    return found


def _names_in_edges(rules: Rules) -> Iterator[str]:
    for piece, paths in rules.edges.items():
        yield piece
        for path in paths:
            yield path.name
            yield from chain.from_iterable(path.stretches)


def _names_in_removal(removal: Removal) -> Iterator[str | None]:
    yield from (removal.piece, removal.edge, removal.start, removal.hold)
    if isinstance(removal.pivot, EdgePivot):
        yield from (removal.pivot.edge, removal.pivot.start)
    for opening in removal.opens:
        if isinstance(opening, NewDart):
            yield from (opening.edge, opening.start)
    if isinstance(removal.finish, TakenOut):
        yield from (removal.finish.at, removal.finish.to)
    yield from _darts((removal,))


def _names_in_seams(rules: Rules) -> Iterator[str]:
    for linked in rules.linked:
        yield from (linked.piece, linked.follows, *linked.along)
    for strip in rules.strips:
        yield strip.strip
    sides = chain((s.follows for s in rules.strips), *(seam.join for seam in rules.seams))
    for term in chain.from_iterable(sides):
        yield from (term.piece, term.edge)


def _darts(removals: Iterable[Removal]) -> Iterator[str]:
    """Names that the rules use for darts."""
    for removal in removals:
        if isinstance(removal.pivot, DartPivot):
            yield removal.pivot.dart
        for opening in removal.opens:
            if isinstance(opening, NewDart | KnownDart):
                yield opening.name


def _pieces(rules: Rules) -> Iterator[str]:
    """Names that the rules use for pieces."""
    yield from rules.edges
    yield from (removal.piece for removal in rules.removals)
    for linked in rules.linked:
        yield from (linked.piece, linked.follows)
    for strip in rules.strips:
        yield from (strip.strip, *(term.piece for term in strip.follows))
    for seam in rules.seams:
        yield from (term.piece for side in seam.join for term in side)
