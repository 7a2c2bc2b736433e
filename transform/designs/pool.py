"""Somebody to whom a run can give jobs: processes of its own, or a cluster."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from typing import Protocol, TypeVar

_Job = TypeVar("_Job")
_Result = TypeVar("_Result")


class Pool(Protocol):
    """Takes jobs and does several at once; jobs and results are pickled on the way, files as their bytes."""

    @property
    def hands(self) -> int:
        """How many jobs it does at once."""
        ...

    def submit(self, work: Callable[[_Job], _Result], job: _Job) -> Future[_Result]:
        """The result of ``work(job)``, to come."""
        ...
