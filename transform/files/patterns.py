"""Which files there are: rules files in folders, and the pattern files that a rules file names."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from rules.labels import fold, like_a_size
from rules.model import Rules
from rules.problems import Problem, UngapeError, nearest

ENDING = ".gape.yaml"
_PLACEHOLDER = re.compile(r"\{(size|piece)\}")
_MOST_NAMED = 12


@dataclass(frozen=True, slots=True)
class PatternFile:
    """A pattern file: its path, its name relative to the rules file with ``/``, what its name says.

    ``target`` is the name that it is written under, below ``out``: that below the folder in which the
    first placeholder of the pattern stands.
    """

    path: Path
    name: str
    target: str
    size: str | None = None
    piece: str | None = None


class MissingPatternError(UngapeError):
    """A pattern file that the rules name is not there (exit 3)."""


def find_rules(places: Sequence[Path]) -> tuple[list[Path], tuple[Problem, ...]]:
    """The rules files named, and those in the folders named, each once; and what was not found (exit 2).

    Hidden folders are not searched.
    """
    found: dict[Path, Path] = {}
    problems: list[Problem] = []
    for place in places:
        files = _rules_below(place) if place.is_dir() else [place] if place.is_file() else []
        if not files:
            problems.append(_no_rules(place))
        for file in files:
            found.setdefault(file.resolve(), file)
    return list(found.values()), tuple(problems)


def find_patterns(rules: Rules, *, out: Path | None = None) -> list[PatternFile]:
    """The pattern files of a design, in order of the rules and then of their names.

    Hidden files are left out, and so is what lies in ``out``. ``{piece}`` takes as much of a name as it can
    and ``{size}`` as little: ``front-facing-12`` is size 12 of the front facing.

    Raises:
        MissingPatternError: with every name of the rules that matches no file, every size that one of them
            lacks, and every two files that would be written under one name.
    """
    folder = Path(rules.file).parent
    found: dict[Path, PatternFile] = {}
    problems: list[Problem] = []
    by_pattern: dict[str, list[PatternFile]] = {}
    for pattern in rules.patterns:
        by_pattern[pattern] = matches = list(_matching(folder, pattern, rules, out))
        if not matches:
            problems.append(_missing(rules, folder, pattern))
        for match in matches:
            found.setdefault(match.path.resolve(), match)
    problems.extend(_lacking(rules, by_pattern))
    problems.extend(_colliding(rules, found.values()))
    if problems:
        raise MissingPatternError(problems)
    return list(found.values())


def unlisted(rules: Rules, *, out: Path | None = None) -> list[PatternFile]:
    """Files that fit the rules' ``patterns`` with a size that is not among their ``sizes``."""
    if not rules.sizes:
        return []
    folder, anything = Path(rules.file).parent, replace(rules, sizes=None)
    listed = {fold(size) for size in rules.sizes}
    known = {match.path for pattern in rules.patterns for match in _matching(folder, pattern, rules, out)}
    return [
        match
        for pattern in rules.patterns
        for match in _matching(folder, pattern, anything, out)
        if match.path not in known and match.size and like_a_size(match.size)
        if fold(match.size) not in listed
    ]


def pattern_file(rules: Rules, path: Path) -> PatternFile:
    """A file that was named by itself, with what its name says where it is one of the rules' patterns."""
    try:
        known = find_patterns(rules)
    except MissingPatternError:
        known = []
    for file in known:
        if path.exists() and file.path.samefile(path):
            return file
    return PatternFile(path, path.name, path.name)


def _rules_below(folder: Path) -> list[Path]:
    found: list[Path] = []
    for place, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        found += [Path(place) / name for name in sorted(files) if name.endswith(ENDING)]
    return found


def _no_rules(place: Path) -> Problem:
    if place.is_dir() and not os.access(place, os.R_OK | os.X_OK):
        text = "this folder cannot be read: permission denied"
    elif place.is_dir():
        text = f"no file here is named *{ENDING}; name a rules file, or begin one with `ungape start SVG…`"
    else:
        there = [path.name for path in place.parent.glob(f"*{ENDING}")] if place.parent.is_dir() else []
        near = nearest(place.name, there)
        text = "there is no such file or folder" + (f"; did you mean {near}?" if near else "")
    return Problem("no rules", text, str(place))


def _matching(folder: Path, pattern: str, rules: Rules, out: Path | None) -> Iterable[PatternFile]:
    fixed, varied = _parts(pattern)
    if not varied:
        if (folder / fixed).is_file():
            yield PatternFile(folder / fixed, fixed, PurePosixPath(fixed).name)
        return
    form = _form(varied, rules.sizes or ())
    spelled = {fold(size): size for size in rules.sizes or ()}
    for below in sorted(_names_below(folder / fixed, varied.count("/"), out)):
        match = form.fullmatch(below)
        if match is not None:
            said = match.groupdict()
            size = said.get("size")
            name = below if fixed == "." else f"{fixed}/{below}"
            yield PatternFile(
                folder / name, name, below, spelled.get(fold(size), size) if size else None, said.get("piece")
            )


def _parts(pattern: str) -> tuple[str, str]:
    """The folders before the first placeholder (``.``: none), and the rest; without one all, and nothing."""
    names = PurePosixPath(pattern).parts
    for number, name in enumerate(names):
        if _PLACEHOLDER.search(name):
            return str(PurePosixPath(*names[:number])), "/".join(names[number:])
    return pattern, ""


def _form(pattern: str, sizes: Sequence[str]) -> re.Pattern[str]:
    listed = "|".join(re.escape(size) for size in sorted(sizes, key=len, reverse=True))
    groups = {"size": f"(?i:{listed})" if sizes else "[^/]+?", "piece": "[^/]+"}
    seen: set[str] = set()
    expression = ""
    for index, part in enumerate(_PLACEHOLDER.split(pattern)):
        if index % 2 == 0:
            expression += re.escape(part)
        elif part in seen:
            expression += f"(?P={part})"
        else:
            seen.add(part)
            expression += f"(?P<{part}>{groups[part]})"
    return re.compile(expression)


def _names_below(folder: Path, depth: int, out: Path | None) -> Iterable[str]:
    """Files ``depth`` folders below ``folder``, with ``/``."""
    if not folder.is_dir():
        return
    for entry in folder.iterdir():
        if entry.name.startswith("."):
            continue
        if depth == 0:
            if entry.is_file():
                yield entry.name
        elif entry.is_dir() and not (out is not None and out.is_dir() and entry.samefile(out)):
            for rest in _names_below(entry, depth - 1, out):
                yield f"{entry.name}/{rest}"


def _missing(rules: Rules, folder: Path, pattern: str) -> Problem:
    fixed, varied = _parts(pattern)
    place = folder / fixed if varied else (folder / fixed).parent
    if not place.is_dir():
        text = f"no file is named {pattern!r}; there is no folder {place}"
        return Problem("missing pattern", text, rules.file, exit=3)
    names = sorted(path.name for path in place.glob("*.[sS][vV][gG]*"))
    shown = ", ".join(names[:_MOST_NAMED])
    if len(names) > _MOST_NAMED:
        shown += f" and {len(names) - _MOST_NAMED} more"
    there = f"in the folder there is: {shown}" if names else "there is no SVG file in the folder"
    near = nearest(PurePosixPath(varied or fixed).name, names) if not varied else None
    hint = f"; did you mean {near}?" if near else ""
    return Problem("missing pattern", f"no file is named {pattern!r}; {there}{hint}", rules.file, exit=3)


def _lacking(rules: Rules, by_pattern: dict[str, list[PatternFile]]) -> Iterable[Problem]:
    """Sizes that one name of the rules has files for, or that the rules list, and another has not."""
    sized = {pattern: files for pattern, files in by_pattern.items() if files and files[0].size is not None}
    every = dict.fromkeys(rules.sizes or (file.size for files in sized.values() for file in files))
    for pattern, files in sized.items():
        there = {file.size for file in files}
        lacking = [size for size in every if size not in there]
        if lacking:
            text = f"no file is named {pattern!r} for size {', '.join(str(size) for size in lacking)}"
            has = ", ".join(file.name for file in files[:_MOST_NAMED])
            yield Problem("missing pattern", f"{text}; there is: {has}", rules.file, exit=3)


def _colliding(rules: Rules, files: Iterable[PatternFile]) -> Iterable[Problem]:
    taken: dict[str, PatternFile] = {}
    for file in files:
        other = taken.setdefault(file.target, file)
        if other is not file:
            text = f"{other.name} and {file.name} would both be written as {file.target}; rename one"
            yield Problem("two files, one name", text, rules.file, exit=3)
