"""Which files there are: rules files in folders, and the pattern files that a rules file names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from rules.model import Rules
from rules.problems import Problem, UngapeError, nearest

ENDING = ".gape.yaml"
_PLACEHOLDER = re.compile(r"\{(size|piece)\}")


@dataclass(frozen=True, slots=True)
class PatternFile:
    """A pattern file: its path, its name relative to the rules file with ``/``, what its name says."""

    path: Path
    name: str
    size: str | None
    piece: str | None


class MissingPatternError(UngapeError):
    """A pattern file that the rules name is not there (exit 3)."""


def find_rules(places: Sequence[Path]) -> list[Path]:
    """The rules files named, and those in the folders named, each once, in order of their paths.

    Raises:
        UngapeError: where there is none at all, or one that was named is missing (exit 2).
    """
    found: dict[Path, Path] = {}
    problems: list[Problem] = []
    for place in places:
        if place.is_dir():
            below = sorted(p for p in place.rglob(f"*{ENDING}") if p.is_file())
            found.update((path.resolve(), path) for path in below)
        elif place.is_file():
            found[place.resolve()] = place
        else:
            problems.append(Problem("no rules", "there is no such file or folder", str(place)))
    if not found and not problems:
        where = ", ".join(str(place) for place in places)
        problems.append(Problem("no rules", f"there is no rules file (*{ENDING}) in {where}"))
    if problems:
        raise UngapeError(problems)
    return list(found.values())


def find_patterns(rules: Rules) -> list[PatternFile]:
    """The pattern files of a design, in order of the rules and then of their names.

    Raises:
        MissingPatternError: where a name of the rules matches no file.
    """
    folder = Path(rules.file).parent
    found: dict[Path, PatternFile] = {}
    problems: list[Problem] = []
    for pattern in rules.patterns:
        matches = list(_matching(folder, pattern))
        if not matches:
            problems.append(_missing(rules, folder, pattern))
        for match in matches:
            found.setdefault(match.path.resolve(), match)
    if problems:
        raise MissingPatternError(problems)
    return list(found.values())


def _matching(folder: Path, pattern: str) -> Iterable[PatternFile]:
    if not _PLACEHOLDER.search(pattern):
        path = folder / pattern
        if path.is_file():
            yield PatternFile(path, pattern, None, None)
        return
    seen: set[str] = set()
    expression = ""
    for index, part in enumerate(_PLACEHOLDER.split(pattern)):
        if index % 2 == 0:
            expression += re.escape(part)
        elif part in seen:
            expression += f"(?P={part})"
        else:
            seen.add(part)
            expression += f"(?P<{part}>[^/]+?)"
    form = re.compile(expression)
    fixed = pattern.split("{", 1)[0].rpartition("/")[0]
    start = folder / fixed if fixed else folder
    if not start.is_dir():
        return
    depth = pattern.count("/") - (fixed.count("/") + 1 if fixed else 0)
    for path in sorted(start.glob("/".join(["*"] * (depth + 1)))):
        name = path.relative_to(folder).as_posix()
        match = form.fullmatch(name)
        if match is not None and path.is_file():
            groups = match.groupdict()
            yield PatternFile(path, name, groups.get("size"), groups.get("piece"))


def _missing(rules: Rules, folder: Path, pattern: str) -> Problem:
    names = sorted(path.name for path in folder.glob("*.svg*"))
    near = nearest(pattern, names)
    there = (
        f"in the folder there is: {', '.join(names[:12])}" if names else "there is no SVG file in the folder"
    )
    hint = f"; did you mean {near}?" if near and "{" not in pattern else ""
    return Problem("missing pattern", f"no file is named {pattern!r}; {there}{hint}", rules.file, exit=3)
