"""Jobs done on other machines: by a cluster of dask.distributed that somebody keeps running.

A job is a size with the bytes of its files, and what comes back are bytes: nothing of the run's own disk is
asked for. All workers must have the versions that this machine has, for the digits of a result hang on them.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from typing import Any, TypeVar

from rules.problems import Problem, UngapeError
from transform.versions import versions_within

_Job = TypeVar("_Job")
_Result = TypeVar("_Result")
_PATIENCE = "10s"


class Cluster:
    """A cluster to which jobs can be given; see `transform.designs.pool.Pool`."""

    def __init__(self, client: Any) -> None:
        """``client`` is the connection to the cluster."""
        # Not pure: two jobs that are equal are still two jobs, and nothing is kept for the next run.
        self._executor = client.get_executor(pure=False)
        self.hands = sum(client.nthreads().values())

    def submit(self, work: Callable[[_Job], _Result], job: _Job) -> Future[_Result]:
        """The result of ``work(job)``, to come."""
        found: Future[_Result] = self._executor.submit(work, job)
        return found


@contextlib.contextmanager
def cluster(address: str) -> Iterator[Cluster]:
    """The cluster with its scheduler at ``address``, for as long as this runs.

    Raises:
        UngapeError: where there is none, or it works with other versions (exit 2).
    """
    try:
        import distributed
    except ImportError:
        text = "--scheduler needs the library dask.distributed: install `ungape[cluster]`"
        raise UngapeError((Problem("no cluster", text),)) from None
    connect: Any = distributed.Client
    try:
        client = connect(address, timeout=_PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        text = f"--scheduler: no scheduler answers at {address}: {str(error).splitlines()[0]}"
        raise UngapeError((Problem("no cluster", text),)) from None
    try:
        _check(client, address)
        yield Cluster(client)
    finally:
        # Whatever is not done yet is given up with the connection.
        client.close()


def _check(client: Any, address: str) -> None:
    """Refuse a cluster that would not give this machine's results."""
    own = versions_within()
    try:
        versions: dict[str, str] = client.run(versions_within)
    except Exception as error:
        text = f"--scheduler: a worker of {address} cannot load ungape: {str(error).splitlines()[0]}"
        raise UngapeError((Problem("no cluster", text),)) from None
    if not versions:
        raise UngapeError((Problem("no cluster", f"--scheduler: {address} has no workers; start some"),))
    for worker, found in sorted(versions.items()):
        if found != own:
            text = (
                f"--scheduler: {worker} has {_line(found)}, and this machine has {_line(own)}; "
                "install the same versions, so that the results are the same to the byte"
            )
            raise UngapeError((Problem("no cluster", text),))


def _line(versions: str) -> str:
    return ", ".join(versions.splitlines())
