"""Each call to the disk refused in its turn: the old set stays where that is told, and only there."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.files.test_staging import NEW, OLD
from tests.small_designs import bytes_of
from transform.files import staging
from transform.files.staging import recover, write_set

CALLS: tuple[tuple[Any, str], ...] = (
    (Path, "mkdir"),
    (Path, "open"),
    (Path, "replace"),
    (os, "link"),
    (os, "fsync"),
)
"""What writing asks of the disk."""


class _Counted:
    """The calls so far; the one with the number ``last`` is refused."""

    def __init__(self, last: int, code: int) -> None:
        self.count, self.last, self.code = 0, last, code

    def around(self, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **named: Any) -> Any:
            self.count += 1
            if self.count == self.last:
                raise OSError(self.code, os.strerror(self.code))
            return real(*args, **named)

        return call


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EACCES, errno.EIO])
@pytest.mark.parametrize("by_renames", [False, True])
def test_whichever_call_the_disk_refuses_no_part_of_a_set_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, by_renames: bool
) -> None:
    refused = 0
    for last in range(1, 200):
        out = tmp_path / str(last) / "out"
        out.mkdir(parents=True)
        for name, data in OLD.items():
            (out / name).parent.mkdir(parents=True, exist_ok=True)
            (out / name).write_bytes(data)
        counted = _Counted(last, code)
        with monkeypatch.context() as patch:
            if by_renames:
                patch.setattr(staging, "swap_in", lambda *args: False)
            for target, name in CALLS:
                patch.setattr(target, name, counted.around(getattr(target, name)))
            told = None
            try:
                write_set(out, NEW)
            except OSError as error:
                told = error.errno
        left = {n: data for n, data in bytes_of(out).items() if not n.startswith(staging.STAGE)}
        assert told in (None, code), f"call {last}"
        assert left == (NEW if told is None else OLD), f"call {last}"
        recover(out)
        assert bytes_of(out) == left, f"call {last}"
        assert [path.name for path in out.parent.iterdir()] == ["out"], f"call {last}"
        if counted.count < last:
            break
        refused += 1
    assert refused > 5
    assert counted.count < last
