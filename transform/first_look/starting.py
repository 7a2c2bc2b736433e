"""A rules file to fill in, for files that are there: names are guessed, amounts are left to the person."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath

from rules.labels import fold
from rules.model import Rules
from rules.problems import Problem, UngapeError
from transform.files.patterns import PatternFile
from transform.first_look.inspecting import examine
from transform.first_look.proposing import linked, removal, seams
from transform.first_look.quoting import in_quotes, quoted, row
from transform.first_look.suggesting import Suggestion, dashes, outlines, unknown_words, words_for_roles
from transform.pattern.model import Piece
from transform.pattern.reading import Reading
from transform.sizes import natural_order

_SIZE = r"\d+(?:[.,]\d+)?[A-Za-z]?|\d*[xX]*[sSlL]|[mM]|\d+[xX]"
_NAMED_BY_SIZE = re.compile(rf"(?:(?P<piece>.*?)(?P<between>[-_ ]+))?(?P<size>{_SIZE})")
_USUAL_EDGES = (
    ({"neck point", "centre front neck"}, "neckline"),
    ({"neck point", "centre back neck"}, "neckline"),
    ({"neck point", "shoulder point"}, "shoulder"),
    ({"shoulder point", "underarm point"}, "armhole"),
    ({"underarm point", "side hem"}, "side seam"),
)
"""What the edge between two corners of a bodice is called."""


@dataclass(frozen=True)
class Beginning:
    """What a rules file begins with: the guessed pattern names, the sizes, and one of each piece.

    ``names`` are words that the files use for roles; ``unknown`` are labels that may be such words, and
    ``outlines`` and ``dashes`` what a selector could point at, where the labels name no piece.
    """

    design: str
    patterns: tuple[str, ...]
    sizes: tuple[str, ...]
    pieces: tuple[Piece, ...]
    names: Mapping[str, Sequence[str]]
    unknown: tuple[str, ...] = ()
    outlines: tuple[Suggestion, ...] = ()
    dashes: tuple[Suggestion, ...] = ()


def begin(paths: Sequence[Path]) -> tuple[Beginning, tuple[Problem, ...]]:
    """What to write for these files, and what is wrong with them.

    Raises:
        UngapeError: where none of them can be read.
    """
    patterns, files = _guessed(paths)
    readings, problems = _examined(files, Rules(file=""))
    numbered = {problem.file for problem in problems if problem.kind == "names disagree"}
    if numbered:
        # The number in the name is no size: the labels say others.
        patterns, files = _guessed(paths, {path.name for path in paths if str(path) in numbered})
        readings, problems = _examined(files, Rules(file=""))
    names = words_for_roles(readings)
    if names:
        readings, problems = _examined(
            files, Rules(file="", names={role: tuple(words) for role, words in names.items()})
        )
    if not readings:
        raise UngapeError(problems)
    pieces: dict[str, Piece] = {}
    for reading in readings:
        for piece in reading.pieces:
            pieces.setdefault(fold(piece.name), piece)
    sizes = natural_order(size for reading in readings for size in reading.sizes)
    found = Beginning(_title(patterns), tuple(patterns), tuple(sizes), tuple(pieces.values()), names)
    if not pieces:
        found = replace(
            found,
            unknown=unknown_words(readings),
            outlines=tuple(outlines(readings[0])),
            dashes=tuple(dashes(readings[0])),
        )
    return found, tuple(problems)


def _guessed(paths: Sequence[Path], plain: Collection[str] = ()) -> tuple[list[str], list[PatternFile]]:
    patterns, said = guess_patterns([path.name for path in paths], plain)
    return patterns, [PatternFile(p, p.name, p.name, size) for p, size in zip(paths, said, strict=True)]


def _examined(files: Sequence[PatternFile], rules: Rules) -> tuple[list[Reading], list[Problem]]:
    readings: list[Reading] = []
    problems: list[Problem] = []
    for file in files:
        try:
            reading, wrong = examine(file, rules)
        except UngapeError as error:
            problems.extend(error.problems)
            continue
        readings.append(reading)
        problems.extend(wrong)
    return readings, problems


def guess_patterns(names: Sequence[str], plain: Collection[str] = ()) -> tuple[list[str], list[str | None]]:
    """Names with ``{size}`` and ``{piece}`` that stand for these file names, and the size of each.

    Names that are ``plain`` stand for themselves.

    >>> guess_patterns(["bodice-10.svg", "bodice-12.svg"])[0]
    ['bodice-{size}.svg']
    >>> guess_patterns(["front-S.svg", "front-M.svg", "back-S.svg", "back-M.svg"])[0]
    ['{piece}-{size}.svg']
    >>> guess_patterns(["all.svg"])[0]
    ['all.svg']
    """
    found = [
        (name, _NAMED_BY_SIZE.fullmatch(PurePath(name).stem) if name not in plain else None) for name in names
    ]
    sizes = [match["size"] if match else None for _, match in found]
    patterns: dict[str, set[str]] = {}
    for name, match in found:
        piece, between, ending = "", "", PurePath(name).suffix
        if match is None:
            patterns.setdefault(name, set())
            continue
        piece, between = match["piece"] or "", match["between"] or ""
        patterns.setdefault(f"{between}{{size}}{ending}", set()).add(piece)
    listed: list[str] = []
    for pattern, pieces in patterns.items():
        if not pieces:
            listed.append(pattern)
        elif len(pieces) == 1:
            listed.append(next(iter(pieces)) + pattern)
        else:
            listed.append("{piece}" + pattern)
    return listed, sizes


def _title(patterns: Sequence[str]) -> str:
    words = re.sub(r"\{\w+\}|\.svgz?$", " ", patterns[0], flags=re.IGNORECASE)
    return " ".join(re.split(r"[\W_]+", words)).strip() or "my design"


def rules_text(beginning: Beginning) -> str:
    """The rules file, ending with a line end. It can be read as it stands, and alters nothing yet.

    Rules that are commented out have the `#` before the first letter or the indentation, so that they
    are right once it is taken away; remarks have a space behind it.
    """
    return "\n".join(_lines(beginning)) + "\n"


def _lines(b: Beginning) -> Iterator[str]:
    yield "# yaml-language-server: $schema=ungape.schema.json"
    yield "# These three lines may stay or be deleted. An editor that knows the first one checks the file"
    yield "# while you write; `ungape schema > ungape.schema.json` makes the schema for it."
    yield ""
    yield "ungape: 1"
    yield f"design: {quoted(b.design)}"
    yield f"patterns: {row(b.patterns) if len(b.patterns) > 1 else quoted(b.patterns[0])}"
    yield "out: fixed                 # folder for the altered files, beside this file"
    if b.sizes:
        yield f"sizes: {row(b.sizes)}   # the order; a size that is not listed is left as it is"
    yield "units: mm                  # for bare numbers: mm, cm or in"
    if any(piece.cut is None or not piece.stitching_drawn for piece in b.pieces):
        yield "#allowance: 15 mm          # where only one of cut line and stitching line is drawn"
    yield from _names(b)
    yield from _find(b)
    yield from _edges(b.pieces)
    yield from removal(b.pieces)
    yield from linked(b.pieces)
    yield from seams(b.pieces)


def _names(b: Beginning) -> Iterator[str]:
    """The files' own words for roles: those that are clear, and in comments those that may be some."""
    if b.names:
        yield ""
        yield "names:                     # words that these files use for the roles of layers"
        yield from (f"  {quoted(role)}: {row(words)}" for role, words in b.names.items())
    unknown = [word for word in b.unknown if not any(word in words for words in b.names.values())]
    if unknown:
        yield ""
        yield "# No piece was found. Are these labels words for a role, a piece, or `size`? Say which:"
        yield "#names:"
        for number, word in enumerate(unknown):
            role = ("stitching line", "cut line")[number] if number < 2 else f"name {number - 1}"
            yield f"#  {role}: {row([word])}"


def _find(b: Beginning) -> Iterator[str]:
    """What a selector could point at, in comments: labels are for the person to give."""
    if b.outlines or b.dashes:
        yield ""
        yield "# No piece was found. These closed lines could be outlines; say before each `:` what it is"
        yield "#find:"
    for number, one in enumerate(b.outlines, 1):
        label = "front/stitching line" if number == 1 else f"piece {number}/stitching line"
        yield f"#  {label}: {in_quotes(one.selector)}   # {one.what}"
    for number, one in enumerate(b.dashes, 1):
        yield f"#  size {number}: {in_quotes(one.selector)}   # {one.what}"


def _edges(pieces: Sequence[Piece]) -> Iterator[str]:
    """The edges of outlines that are one shape, between the corners that are marked."""
    marked = [piece for piece in pieces if piece.stitching.corners and not piece.stitching.edge_names]
    if not marked:
        return
    yield ""
    yield "edges:                     # give each edge its name; join those that are one edge"
    for piece in marked:
        yield f"  {quoted(piece.name)}:"
        names = [name for name, _ in sorted(piece.stitching.corners.items(), key=lambda pair: pair[1])]
        taken: set[str] = set()
        for number, (one, other) in enumerate(zip(names, [*names[1:], names[0]], strict=True), 1):
            usual = next((e for ends, e in _USUAL_EDGES if ends == {fold(one), fold(other)}), None)
            name = usual if usual is not None and usual not in taken else f"edge {number}"
            taken.add(name)
            yield f"    {name}: {row([one, other])}"
