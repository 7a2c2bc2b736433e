"""Path data, read strictly: every command with the span of its characters, or an error that says where.

The grammar is that of SVG 2 (chapter 9.3.9), with the one liberty of SVG 1.1 that a number may end in a
point. Nothing is cut short in silence: what the grammar does not allow is an error.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment

_WS = r"[ \t\r\n\f]*+"
_COMMA = rf"{_WS},?{_WS}"
# Atomic: a number takes all the characters that it can, and gives none back to the number after it.
_NUMBER = r"(?>[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)"
_FLAG = r"[01]"

_SHAPES = {
    "m": (_NUMBER,) * 2,
    "l": (_NUMBER,) * 2,
    "h": (_NUMBER,),
    "v": (_NUMBER,),
    "c": (_NUMBER,) * 6,
    "s": (_NUMBER,) * 4,
    "q": (_NUMBER,) * 4,
    "t": (_NUMBER,) * 2,
    "a": (_NUMBER, _NUMBER, _NUMBER, _FLAG, _FLAG, _NUMBER, _NUMBER),
}
_GROUPS = {kind: _COMMA.join(f"({part})" for part in parts) for kind, parts in _SHAPES.items()}
_FIRST = {kind: re.compile(_WS + group) for kind, group in _GROUPS.items()}
_FURTHER = {kind: re.compile(_COMMA + group) for kind, group in _GROUPS.items()}
_SPACE = re.compile(_WS)
_SEPARATOR = re.compile(_COMMA)
_TOKEN = re.compile(r"[^ \t\r\n\f,]{1,16}|(?s:.)")
MOST_COMMANDS = 20_000
"""The most commands that a path, or points that a polygon, may have."""
_LETTERS = "MmZzLlHhVvCcSsQqTtAa"
_ONE = {_NUMBER: re.compile(_NUMBER), _FLAG: re.compile(_FLAG)}
_WANTED = {_NUMBER: "a number", _FLAG: "a flag, 0 or 1"}


class PathDataError(ValueError):
    """Path data that breaks the grammar at the character ``offset``."""

    def __init__(self, offset: int, found: str, allowed: str) -> None:
        """Say what was found at ``offset`` and what is allowed there."""
        self.offset = offset
        self.found = found
        self.allowed = allowed
        super().__init__(f"character {offset + 1}: found {found}, where {allowed} is allowed")


@dataclass(frozen=True, slots=True)
class Command:
    """One command, in the drawing's own units, every point absolute.

    ``letter`` is the letter in force, as written; ``implied`` where it does not stand in the text
    itself. ``span`` are the characters from the letter (or the first number) to the end of the last
    number. ``start`` is the current point before, ``end`` after; ``controls`` are the control points,
    also those that are only implied (of ``s`` and ``t``). ``arc`` holds rx, ry (never negative),
    rotation in degrees, large, sweep.
    """

    letter: str
    implied: bool
    span: tuple[int, int]
    start: complex
    end: complex
    controls: tuple[complex, ...] = ()
    arc: tuple[float, float, float, bool, bool] | None = None

    @property
    def kind(self) -> str:
        """M, L, Q, C, A or Z: what it draws, spelled out."""
        return _SPELLED_OUT.get(self.letter.upper(), self.letter.upper())

    def segment(self) -> Segment | None:
        """What it draws, in the drawing's own units; None for a move and for an arc that vanishes.

        An arc without a radius is a line (SVG 2, 9.5.1).
        """
        kind = self.kind
        if kind == "M":
            return None
        if kind == "C":
            return Cubic(self.start, self.controls[0], self.controls[1], self.end)
        if kind == "Q":
            return Quadratic(self.start, self.controls[0], self.end)
        if self.arc is not None:
            rx, ry, rotation, large, sweep = self.arc
            if self.start == self.end:
                return None
            if rx and ry:
                return Arc(self.start, self.end, rx, ry, math.radians(rotation), large, sweep)
        return Line(self.start, self.end)


_SPELLED_OUT = {"H": "L", "V": "L", "S": "C", "T": "Q"}


def read_path(text: str) -> tuple[Command, ...]:
    """The commands of path data; ``none`` and nothing at all draw nothing.

    Raises:
        PathDataError: at the first character that the grammar does not allow there.
    """
    if text.strip(" \t\r\n\f") == "none":
        return ()
    reader = _Reader()
    at = _end(_SPACE, text, 0)
    while at < len(text):
        letter = text[at]
        if letter not in _LETTERS:
            raise PathDataError(at, _found(text, at), _next_allowed(reader))
        if not reader.commands and letter not in "Mm":
            raise PathDataError(at, _found(text, at), "only M or m (path data begins with a move)")
        at = reader.close(at, letter) if letter in "Zz" else _read_groups(reader, text, at, letter)
        at = _end(_SPACE, text, at)
    return tuple(reader.commands)


def read_points(text: str) -> tuple[tuple[complex, tuple[int, int]], ...]:
    """The points of a ``points`` attribute, each with the span of its characters.

    Raises:
        PathDataError: at the first character that the grammar does not allow there.
    """
    found: list[tuple[complex, tuple[int, int]]] = []
    at = _end(_SPACE, text, 0)
    while at < len(text):
        match = (_FURTHER if found else _FIRST)["l"].match(text, at)
        if match is None:
            raise _complaint(text, at, "l", first=not found)
        if len(found) == MOST_COMMANDS:
            raise PathDataError(at, f"point {MOST_COMMANDS + 1:,}", f"a line of {MOST_COMMANDS:,} points")
        found.append((complex(_finite(match, 1), _finite(match, 2)), (match.start(1), match.end())))
        at = _end(_SPACE, text, match.end())
    return tuple(found)


def _read_groups(reader: _Reader, text: str, at: int, letter: str) -> int:
    kind = letter.lower()
    match = _FIRST[kind].match(text, at + 1)
    if match is None:
        raise _complaint(text, at + 1, kind, first=True)
    add = reader.adders[kind]
    add(letter, False, (at, match.end()), match)
    if kind == "m":
        kind, letter = "l", "L" if letter == "M" else "l"
        add = reader.adders[kind]
    further = _FURTHER[kind]
    end = match.end()
    while (match := further.match(text, end)) is not None:
        add(letter, True, (match.start(1), match.end()), match)
        end = match.end()
    behind = _end(_SPACE, text, end)
    if behind < len(text) and text[behind] not in _LETTERS:
        raise _complaint(text, end, kind, first=False)
    return behind


class _Reader:
    """The current point, where the subpath began, and what a shorthand would reflect."""

    def __init__(self) -> None:
        self.commands: list[Command] = []
        self.point = 0j
        self.begin = 0j
        self.cubic: complex | None = None
        self.quadratic: complex | None = None
        self.adders: dict[str, Callable[[str, bool, tuple[int, int], re.Match[str]], None]] = {
            "m": self._move,
            "l": self._line,
            "h": self._across,
            "v": self._down,
            "c": self._cubic,
            "s": self._smooth_cubic,
            "q": self._quadratic,
            "t": self._smooth_quadratic,
            "a": self._arc,
        }

    def close(self, at: int, letter: str) -> int:
        self._add(letter, False, (at, at + 1), self.begin)
        return at + 1

    def _add(
        self,
        letter: str,
        implied: bool,
        span: tuple[int, int],
        end: complex,
        controls: tuple[complex, ...] = (),
        arc: tuple[float, float, float, bool, bool] | None = None,
    ) -> None:
        if not math.isfinite(end.real) or not math.isfinite(end.imag):
            raise PathDataError(span[0], "a point that is too far away", "a number below 1e308")
        if len(self.commands) == MOST_COMMANDS:
            raise PathDataError(span[0], f"command {MOST_COMMANDS + 1:,}", f"a path of {MOST_COMMANDS:,}")
        self.commands.append(Command(letter, implied, span, self.point, end, controls, arc))
        self.point = end
        self.cubic = self.quadratic = None

    def _at(self, letter: str, match: re.Match[str], x: int) -> complex:
        point = complex(_finite(match, x), _finite(match, x + 1))
        return point + self.point if letter.islower() else point

    def _move(self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]) -> None:
        self._add(letter, implied, span, self._at(letter, match, 1))
        self.begin = self.point

    def _line(self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]) -> None:
        self._add(letter, implied, span, self._at(letter, match, 1))

    def _across(self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]) -> None:
        x = _finite(match, 1) + (self.point.real if letter == "h" else 0.0)
        self._add(letter, implied, span, complex(x, self.point.imag))

    def _down(self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]) -> None:
        y = _finite(match, 1) + (self.point.imag if letter == "v" else 0.0)
        self._add(letter, implied, span, complex(self.point.real, y))

    def _cubic(self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]) -> None:
        first, second, end = (self._at(letter, match, x) for x in (1, 3, 5))
        self._add(letter, implied, span, end, (first, second))
        self.cubic = second

    def _smooth_cubic(self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]) -> None:
        first = self.point if self.cubic is None else 2 * self.point - self.cubic
        second, end = self._at(letter, match, 1), self._at(letter, match, 3)
        self._add(letter, implied, span, end, (first, second))
        self.cubic = second

    def _quadratic(self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]) -> None:
        control, end = self._at(letter, match, 1), self._at(letter, match, 3)
        self._add(letter, implied, span, end, (control,))
        self.quadratic = control

    def _smooth_quadratic(
        self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]
    ) -> None:
        control = self.point if self.quadratic is None else 2 * self.point - self.quadratic
        self._add(letter, implied, span, self._at(letter, match, 1), (control,))
        self.quadratic = control

    def _arc(self, letter: str, implied: bool, span: tuple[int, int], match: re.Match[str]) -> None:
        radii = abs(_finite(match, 1)), abs(_finite(match, 2)), _finite(match, 3)
        flags = match[4] == "1", match[5] == "1"
        self._add(letter, implied, span, self._at(letter, match, 6), (), (*radii, *flags))


def _finite(match: re.Match[str], group: int) -> float:
    value = float(match[group])
    if not math.isfinite(value):
        raise PathDataError(match.start(group), f"{match[group]!r}", "a number below 1e308")
    return value


def _end(pattern: re.Pattern[str], text: str, at: int) -> int:
    match = pattern.match(text, at)
    return match.end() if match else at


def _found(text: str, at: int) -> str:
    token = _TOKEN.match(text, at)
    return repr(token[0]) if token else "the end"


def _next_allowed(reader: _Reader) -> str:
    if not reader.commands:
        return "only M or m (path data begins with a move)"
    return f"a command ({' '.join(_LETTERS[::2])}, or small)"


def _complaint(text: str, at: int, kind: str, *, first: bool) -> PathDataError:
    """The error of a group of numbers that did not match: walked through number by number."""
    parts = _SHAPES[kind]
    count = 0
    at = _end(_SPACE if first else _SEPARATOR, text, at)
    while (match := _ONE[parts[count]].match(text, at)) is not None:
        at = _end(_SEPARATOR, text, match.end())
        count += 1
    wanted = f"{_WANTED[parts[count]]} ({count + 1} of {len(parts)} of {kind.upper()})"
    if not first and count == 0:
        wanted += " or a command"
    return PathDataError(at, _found(text, at), wanted)
