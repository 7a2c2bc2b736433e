"""Files in the output folder that are not what would be written now: stale, missing, or left over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rules.model import Rules
from rules.plain_files import POINTER, is_pointer
from rules.problems import Problem, UngapeError
from transform.checks.comparing import differences, same_but_for_digits
from transform.files.ledger import LEDGER
from transform.files.output import NewFile, Output, left_over, unfinished


def stale_files(
    output: Output, rules: Rules, files: Sequence[NewFile], names: Sequence[str]
) -> Iterator[Problem]:
    """What is not as it would be written; each leads to exit 1.

    ``names`` are all that the design writes, ``files`` those of them that were looked at.
    """
    if unfinished(output):
        text = f"a run was killed while it wrote into {output.shown()}; run `ungape apply`"
        yield Problem("unfinished run", text, output.shown(), exit=1)
    for file in files:
        path = output.out / file.name
        if not path.is_file():
            yield _stale(output, "missing file", file.name, "is missing; run `ungape apply`")
        elif not same_but_for_digits(found := path.read_bytes(), file.content, rules.user_unit):
            what = "is not what would be written now; run `ungape apply`"
            yield _stale(output, "stale file", file.name, POINTER if is_pointer(found) else what)
    yield from left_over_files(output, rules, names)


def left_over_files(output: Output, rules: Rules, names: Sequence[str]) -> Iterator[Problem]:
    """What this design wrote once and would not write now, by the ledger or by the note in the file."""
    try:
        for name in left_over(output, rules.design, names):
            what = "was written by this design and is not part of it any more; delete it"
            yield _stale(output, "left-over file", name, what)
    except UngapeError:
        yield _stale(output, "broken ledger", LEDGER, "cannot be read; run `ungape apply --replace`")


def differing(output: Output, rules: Rules, files: Sequence[NewFile]) -> Iterator[str]:
    """Line by line, which commands of which path in the output folder differ, and by how much."""
    for file in files:
        path = output.out / file.name
        if path.is_file() and (found := path.read_bytes()) != file.content:
            for difference in differences(found, file.content, rules.user_unit):
                yield f"{path}: {difference}"


def _stale(output: Output, kind: str, name: str, what: str) -> Problem:
    shown = output.shown(name)
    return Problem(kind, f"{shown} {what}", shown, exit=1)
