"""A rules file to fill in, for files that are there: names are guessed, amounts are left to the person."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from rules.labels import fold
from rules.model import Rules
from rules.problems import Problem, UngapeError
from transform.files.patterns import PatternFile
from transform.first_look.inspecting import examine
from transform.first_look.naming import GuessedName, guess_names
from transform.first_look.proposing import linked, removal, seams
from transform.first_look.quoting import in_quotes, quoted, row
from transform.first_look.suggesting import Suggestion, dashes, outlines, unknown_words, words_for_roles
from transform.pattern.model import Piece
from transform.pattern.reading import Reading
from transform.sizes import natural_order

_NAMELESS = "piece without a name"
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
    names_of_files = [path.name for path in paths]
    guesses = guess_names(names_of_files)
    files = _without_pieces(paths, guesses)
    readings, problems = _examined(files, Rules(file=""))
    numbered = {problem.file for problem in problems if problem.kind == "names disagree"}
    plain = {path.name for path in paths if str(path) in numbered}
    if plain:
        # The number in the name is no size: the labels say others.
        files = _without_pieces(paths, guess_names(names_of_files, plain))
        readings, problems = _examined(files, Rules(file=""))
    names = words_for_roles(readings)
    rules = Rules(file="", names={role: tuple(words) for role, words in names.items()})
    if names:
        readings, problems = _examined(files, rules)
    guesses = guess_names(names_of_files, plain, _held(paths, readings, problems))
    if any(problem.kind == _NAMELESS for problem in problems):
        files = [replace(file, piece=guess.piece) for file, guess in zip(files, guesses, strict=True)]
        readings, problems = _examined(files, rules)
    if not readings:
        raise UngapeError(problems)
    pieces: dict[str, Piece] = {}
    for reading in readings:
        for piece in reading.pieces:
            pieces.setdefault(fold(piece.name), piece)
    sizes = natural_order(size for reading in readings for size in reading.sizes)
    patterns = tuple(dict.fromkeys(guess.pattern for guess in guesses))
    found = Beginning(_title(patterns), patterns, tuple(sizes), tuple(pieces.values()), names)
    if not pieces:
        found = replace(
            found,
            unknown=unknown_words(readings),
            outlines=tuple(outlines(readings[0])),
            dashes=tuple(dashes(readings[0])),
        )
    return found, tuple(problems)


def _without_pieces(paths: Sequence[Path], guesses: Sequence[GuessedName]) -> list[PatternFile]:
    """The files with the sizes that their names say: what pieces they say is not known yet."""
    return [PatternFile(p, p.name, p.name, guess.size) for p, guess in zip(paths, guesses, strict=True)]


def _held(
    paths: Sequence[Path], readings: Sequence[Reading], problems: Sequence[Problem]
) -> dict[str, tuple[str, ...]]:
    """By file name the pieces that the file names; none where it has a piece without a name."""
    nameless = {problem.file for problem in problems if problem.kind == _NAMELESS}
    found: dict[str, tuple[str, ...]] = {path.name: () for path in paths if str(path) in nameless}
    for reading in readings:
        for piece in reading.pieces:
            name = Path(piece.file).name
            found[name] = (*found.get(name, ()), piece.name)
    return found


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
