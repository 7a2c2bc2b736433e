"""Files in the output folder that are not what would be written now: stale, missing, or left over."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from rules.problems import Problem
from transform.files.ledger import read_ledger
from transform.files.output import NewFile

TOLERANCE_MM = 0.002
_NUMBER = re.compile(rb"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")


def stale_files(out: Path, design: str, files: Sequence[NewFile], *, partial: bool) -> Iterator[Problem]:
    """What is not as it would be written; ``partial`` where only some sizes were looked at."""
    for file in files:
        path = out / file.name
        try:
            found = path.read_bytes()
        except FileNotFoundError:
            yield Problem("missing file", f"{path} is missing; run `ungape apply`", design, exit=1)
            continue
        if not same_but_for_numbers(found, file.content):
            yield Problem(
                "stale file", f"{path} is not what would be written now; run `ungape apply`", design, exit=1
            )
    if partial:
        return
    names = {file.name for file in files}
    for name, entry in read_ledger(out).items():
        if entry.design == design and name not in names and (out / name).exists():
            text = f"{out / name} was written by this design and is not part of it any more; delete it"
            yield Problem("left-over file", text, design, exit=1)


def same_but_for_numbers(one: bytes, other: bytes) -> bool:
    """Whether two files differ in nothing but numbers, and in those by no more than 0.002.

    The last digits of a number may differ from machine to machine.
    """
    if one == other:
        return True
    if _NUMBER.sub(b"0", one) != _NUMBER.sub(b"0", other):
        return False
    pairs = zip(_NUMBER.findall(one), _NUMBER.findall(other), strict=True)
    return all(abs(float(a) - float(b)) <= TOLERANCE_MM for a, b in pairs if a != b)
