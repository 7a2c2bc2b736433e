"""Sizes done by a cluster: the same bytes, and refusals by name."""

from __future__ import annotations

import sys
import uuid
from collections.abc import Iterator
from concurrent.futures import Future
from pathlib import Path
from typing import Any

import pytest

from rules.problems import UngapeError
from tests.small_designs import bytes_of, make_design
from transform.command.running import run_designs
from transform.command.telling import outputs
from transform.designs import cluster as module
from transform.designs.cluster import cluster
from transform.designs.orders import Options

distributed = pytest.importorskip("distributed", reason="dask.distributed is not installed")


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """A cluster of one worker, in this process, that listens on this machine only."""
    with distributed.LocalCluster(
        n_workers=1,
        threads_per_worker=1,
        processes=False,
        protocol="tcp",
        host="127.0.0.1",
        dashboard_address=None,
        worker_dashboard_address=None,
    ) as local:
        yield local.scheduler_address


def ran(folder: Path, scheduler: str | None) -> int:
    told = outputs(folder / "report.json", None, None, strict=False, quiet=True, no_color=True)
    return run_designs([folder], Options(writes=True), 1, told, scheduler)


def test_a_cluster_writes_the_same_bytes(tmp_path: Path, address: str) -> None:
    for name in ("here", "there"):
        make_design(tmp_path / name, ("10", "12", "14"))
    assert ran(tmp_path / "here", None) == ran(tmp_path / "there", address) == 0
    assert bytes_of(tmp_path / "here") == bytes_of(tmp_path / "there")
    assert len(bytes_of(tmp_path / "there" / "fixed")) == 7


def _unlike_any_other(_: int) -> str:
    return uuid.uuid4().hex


def test_jobs_that_are_equal_are_each_done(address: str) -> None:
    with cluster(address) as found:
        waiting: list[Future[str]] = [found.submit(_unlike_any_other, 1) for _ in range(3)]
        assert len({future.result(30) for future in waiting}) == 3


def test_no_scheduler_is_refused_by_its_address(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_PATIENCE", "0.5s")
    make_design(tmp_path)
    assert ran(tmp_path, "tcp://127.0.0.1:9") == 2
    assert "no scheduler answers at tcp://127.0.0.1:9" in (tmp_path / "report.json").read_text("utf-8")
    assert not (tmp_path / "fixed").exists()


def test_the_library_is_named_where_it_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(UngapeError, match=r"ungape\[cluster\]"), cluster("tcp://127.0.0.1:9"):
        pass


class _Client:
    def __init__(self, *workers: str, error: Exception | None = None) -> None:
        self.workers = workers
        self.error = error

    def run(self, _: Any) -> dict[str, str]:
        if self.error is not None:
            raise self.error
        return {f"tcp://w{k}": versions for k, versions in enumerate(self.workers)}


@pytest.mark.parametrize(
    ("client", "says"),
    [
        (_Client(), "has no workers"),
        (
            _Client(module.versions_within(), "ungape 0.0\nnumpy 1\n"),
            "tcp://w1 has ungape 0.0, numpy 1, and",
        ),
        (_Client(error=ModuleNotFoundError("No module named 'transform'")), "cannot load ungape: No module"),
    ],
)
def test_workers_that_would_differ_are_refused(client: _Client, says: str) -> None:
    with pytest.raises(UngapeError, match=says):
        module._check(client, "tcp://s")
