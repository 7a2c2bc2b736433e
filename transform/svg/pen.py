"""The writer of path data: keeps the characters of what did not change, draws the rest absolute.

It follows what a reader of its own text would know: the current point, where the subpath began, what a
shorthand would reflect and which command an implied repeat would repeat.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from transform.geometry.chain import Chain
from transform.geometry.motion import Affine
from transform.geometry.segments import Arc, Cubic, Line, Quadratic, Segment
from transform.svg.arcs import arc_words
from transform.svg.matching import Close, Drawn, Kept, Move, Step
from transform.svg.numbers import CLOSE, decimals_for, format_point, stretch_of
from transform.svg.pathdata import Command
from transform.svg.shapes import Subpath
from transform.svg.tags import Attribute

_SPACE = " \t\r\n\f,"
_FINER = 6
"""Further decimals for a point that must meet another one to the last."""


class Pen:
    """Path data being written; ``attribute`` holds the characters of the old commands."""

    def __init__(self, matrix: Affine, attribute: Attribute | None = None) -> None:
        """``matrix`` leads from the drawing's own units to mm."""
        self.inverse = matrix.inverse()
        self.decimals = decimals_for(matrix)
        self.near = CLOSE / stretch_of(matrix)
        self.attribute = attribute or Attribute("d", "")
        self.parts: list[str] = []
        self.point = 0j
        self.begin = 0j
        self.closed = True
        self.cubic: complex | None = None
        self.quadratic: complex | None = None
        self.in_force = ""
        self.copied: int | None = None

    def text(self) -> str:
        """What was written."""
        return "".join(self.parts)

    def follow(self, subpath: Subpath, steps: Sequence[Step]) -> None:
        """Write one chain."""
        closes = isinstance(steps[-1], Close)
        for place, step in enumerate(steps):
            if isinstance(step, Move):
                self._start(subpath, step)
            elif isinstance(step, Kept):
                if not self._keep(subpath.commands[step.index].command):
                    for segment in step.segments:
                        self.draw(segment)
            elif isinstance(step, Drawn):
                last = closes and place == len(steps) - 2
                self.draw(step.segment, to_begin=last and self._is_begin(step.segment.end))
            elif step.kept:
                self._keep(subpath.commands[-1].command)
            else:
                self.close()

    def chain(self, chain: Chain) -> None:
        """Write a chain that is new as a whole."""
        self.move(chain.start)
        segments: Sequence[Segment] = chain.segments
        if chain.closed and len(segments) > 1 and isinstance(segments[-1], Line):
            segments = segments[:-1]
        for place, segment in enumerate(segments):
            last = chain.closed and place == len(chain.segments) - 1
            self.draw(segment, to_begin=last and self._is_begin(segment.end))
        if chain.closed:
            self.close()

    def move(self, point: complex) -> None:
        """Begin a subpath at a point in mm."""
        words = format_point(self.inverse(point), self.decimals)
        self._write("M", words)
        self._stand(_point(words), None, None, "L")
        self.begin, self.closed = self.point, False

    def close(self) -> None:
        """Close the subpath."""
        self._write("Z", "")
        self._stand(self.begin, None, None, "")
        self.closed = True

    def draw(self, segment: Segment, *, to_begin: bool = False) -> None:
        """Write a new segment (mm); ``to_begin``: its end is just where the subpath began."""
        parts = segment.mapped(self.inverse)
        for place, part in enumerate(parts):
            self._draw(part, to_begin=to_begin and place == len(parts) - 1)

    def _is_begin(self, point: complex) -> bool:
        return abs(self.inverse(point) - self.begin) <= 2 * self.near

    def _draw(self, part: Segment, *, to_begin: bool) -> None:
        if isinstance(part, Arc):
            meets = format_point(self.begin, self.decimals + _FINER) if to_begin else None
            for numbers in arc_words(part, self.point, meets, self.decimals + 2, self.near):
                self._write("A", numbers)
                self._stand(_point(numbers), None, None, "A")
            return
        *controls, end = part.controls()[1:]
        words = [format_point(control, self.decimals) for control in controls]
        end, decimals = (self.begin, self.decimals + _FINER) if to_begin else (end, self.decimals)
        words.append(format_point(end, decimals))
        letter = {Line: "L", Quadratic: "Q", Cubic: "C"}[type(part)]
        self._write(letter, " ".join(words))
        last = _point(words[-2]) if controls else None
        cubic, quadratic = (last, None) if letter == "C" else (None, last)
        self._stand(_point(words[-1]), cubic, quadratic, letter)

    def _start(self, subpath: Subpath, step: Move) -> None:
        first = subpath.commands[0].command
        if step.kept and first.kind == "M":
            if self._keep(first):
                return
        elif step.kept and self.closed and self.parts and abs(self.point - first.start) <= self.near:
            self.closed = False
            return
        self.move(step.point)

    def _keep(self, command: Command) -> bool:
        """Copy the characters of an old command; False where they would mean something else here."""
        attribute = self.attribute
        letter, kind = command.letter, command.kind
        off = self.point - command.start
        relative = letter.islower() and kind != "Z"
        if relative and abs(off) > self.near:
            return False
        if (letter == "H" and abs(off.imag) > self.near) or (letter == "V" and abs(off.real) > self.near):
            return False
        begin, end = command.span
        numbers = begin if command.implied else begin + 1
        insert = self._reflection(command)
        if insert is not None:
            letter = kind if letter.isupper() else kind.lower()
            self._write(letter, insert)
            self.parts.append(" " + attribute.raw_between(numbers, end).lstrip(" \t\r\n"))
        elif self.copied is not None and self._follows(command, attribute.value[self.copied : begin]):
            self.parts.append(attribute.raw_between(self.copied, end))
        else:
            self._space()
            if command.implied and letter != self.in_force:
                self.parts.append(letter)
            self.parts.append(attribute.raw_between(begin, end))
        shift = off if relative else 0j
        self._kept(command, shift, letter)
        self.copied = end
        return True

    def _follows(self, command: Command, between: str) -> bool:
        """Whether its characters can follow those copied last; ``between`` stands between them."""
        in_force = not command.implied or command.letter == self.in_force
        return (
            in_force
            and self.copied is not None
            and self.copied <= command.span[0]
            and not between.strip(_SPACE)
        )

    def _kept(self, command: Command, shift: complex, letter: str) -> None:
        kind = command.kind
        if kind == "Z":
            self._stand(self.begin, None, None, "")
            self.closed = True
            return
        end = command.end + shift
        if letter == "H":
            end = complex(command.end.real, self.point.imag)
        elif letter == "V":
            end = complex(self.point.real, command.end.imag)
        control = command.controls[-1] + shift if command.controls else None
        following = {"M": "L", "m": "l"}.get(letter, letter)
        self._stand(end, control if kind == "C" else None, control if kind == "Q" else None, following)
        if kind == "M":
            self.begin, self.closed = self.point, False

    def _reflection(self, command: Command) -> str | None:
        """The control point to be spelled out, where the shorthand would reflect another one here."""
        if command.letter not in "sStT":
            return None
        known = self.cubic if command.kind == "C" else self.quadratic
        reflected = self.point if known is None else 2 * self.point - known
        relative = command.letter.islower()
        wanted = command.controls[0] + (self.point - command.start if relative else 0)
        if abs(reflected - wanted) <= self.near:
            return None
        return format_point(wanted - self.point if relative else wanted, self.decimals)

    def _stand(self, point: complex, cubic: complex | None, quadratic: complex | None, letter: str) -> None:
        self.point, self.cubic, self.quadratic, self.in_force = point, cubic, quadratic, letter

    def _write(self, letter: str, words: str) -> None:
        self._space()
        self.parts.append(f"{letter} {words}" if words else letter)
        self.copied = None

    def _space(self) -> None:
        if self.parts:
            self.parts.append(" ")


def path_text(chains: Iterable[Chain], matrix: Affine) -> str:
    """Path data of new chains (mm); ``matrix`` leads from the new element's own units to mm."""
    pen = Pen(matrix)
    for chain in chains:
        pen.chain(chain)
    return pen.text()


def _point(words: str) -> complex:
    x, y = words.split()[-2:]
    return complex(float(x), float(y))
