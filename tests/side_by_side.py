"""Work for all cores, in processes that hold nothing but what the work needs."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import TypeVar

T = TypeVar("T")
U = TypeVar("U")


def side_by_side(work: Callable[[T], U], items: Iterable[T], at_once: int = 1) -> list[U]:
    """What ``work`` makes of each item, in order; ``at_once`` items are handed over together."""
    with ProcessPoolExecutor(os.cpu_count(), get_context("spawn")) as pool:
        return list(pool.map(work, items, chunksize=at_once))
