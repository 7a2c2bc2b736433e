"""The sizes of the designs that a command line names so far, for the shell to complete."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from rules.model import Rules
from rules.problems import UngapeError
from rules.reading import read_rules
from transform.files.patterns import find_patterns, find_rules
from transform.first_look.inspecting import inspect_files
from transform.sizes import natural_order


def known_sizes(places: Sequence[Path]) -> list[str]:
    """The sizes in natural order; whatever cannot be read has none."""
    paths, _ = find_rules(places or [Path()])
    return natural_order(size for path in paths for size in _sizes(path))


def _sizes(path: Path) -> Iterator[str]:
    try:
        rules = read_rules(path)
        yield from rules.sizes or _in_files(rules)
    except (OSError, UngapeError):
        return


def _in_files(rules: Rules) -> Iterator[str]:
    """From the names of the files; those that no size names are looked into."""
    files = find_patterns(rules)
    yield from (file.size for file in files if file.size is not None)
    for contents in inspect_files([file.path for file in files if file.size is None], rules):
        yield from contents.sizes
