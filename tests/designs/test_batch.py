"""Several designs in one run: in their order, the next ones begun already, the same whoever does the jobs."""

from __future__ import annotations

import pickle
import re
from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path
from typing import TypeVar

import pytest

from tests.builders import front
from tests.drawing import group, labelled_piece, page
from tests.small_designs import back, bytes_of, make_design, rules_text
from transform.designs.batch import prepare, run
from transform.designs.orders import Listener, Options
from transform.designs.workers import workers
from transform.report.facts import DesignFacts

WRITE = Options(writes=True)
_Job = TypeVar("_Job")
_Result = TypeVar("_Result")


class Hands:
    """A pool that does each job at once in this process, as others would see it: pickled both ways."""

    def __init__(self, hands: int) -> None:
        self.hands = hands
        self.given = 0

    def submit(self, work: Callable[[_Job], _Result], job: _Job) -> Future[_Result]:
        self.given += 1
        found: Future[_Result] = Future()
        try:
            found.set_result(pickle.loads(pickle.dumps(work(pickle.loads(pickle.dumps(job))))))
        except Exception as error:
            found.set_exception(pickle.loads(pickle.dumps(error)))
        return found


def nested(folder: Path, sizes: tuple[str, ...] = ("10", "12"), removed: str = "20") -> Path:
    """A design with all its sizes in one file."""
    folder.mkdir()
    rows = [
        group(f"size {s}", labelled_piece(front(size=s)), group("", labelled_piece(back(s)))) for s in sizes
    ]
    (folder / "all.svg").write_text(page(*rows), encoding="utf-8")
    rules = folder / "nested.gape.yaml"
    rules.write_text(rules_text(patterns="all.svg", removed=removed), encoding="utf-8")
    return rules


def shelf(folder: Path) -> list[Path]:
    """Designs of each kind: by size, nested, nothing but mistakes, unreadable, of one file, nested again."""
    folder.mkdir()
    wrong = folder / "wrong.gape.yaml"
    wrong.write_text("ungape: 1\nremvals: []\n", encoding="utf-8")
    torn = make_design(folder / "torn")
    (torn.parent / "front-12.svg").write_text("<svg", encoding="utf-8")
    lost = nested(folder / "lost")
    (lost.parent / "all.svg").write_text(page(), encoding="utf-8")
    one = nested(folder / "one", ("12",))
    return [make_design(folder / "sized"), nested(folder / "nested"), wrong, torn, lost, one]


def test_whoever_does_the_jobs_the_result_is_the_same(tmp_path: Path) -> None:
    here = shelf(tmp_path / "here")
    alone = list(run(prepare(here, WRITE), WRITE))
    assert [facts.exit for facts in alone] == [0, 0, 2, 3, 3, 0]
    for name, count in (("two", 2), ("many", 50)):
        there = shelf(tmp_path / name)
        pool = Hands(count)
        found = list(run(prepare(there, WRITE), WRITE, pool))
        assert _told(found, there) == _told(alone, here)
        assert bytes_of(tmp_path / name) == bytes_of(tmp_path / "here")
        # A design whose files are named by size has a job for each; the others are known to who reads them.
        assert pool.given == 2 + 1 + 2 + 1 + 1
    there = shelf(tmp_path / "processes")
    with workers(2) as processes:
        assert _told(list(run(prepare(there, WRITE), WRITE, processes)), there) == _told(alone, here)
    assert bytes_of(tmp_path / "processes") == bytes_of(tmp_path / "here")


def _told(facts: list[DesignFacts], rules: list[Path]) -> list[str]:
    folder = str(rules[0].parents[1])
    return [str(each).replace(folder, "") for each in facts]


def test_a_design_by_itself_of_one_job_is_done_by_the_run(tmp_path: Path) -> None:
    pool = Hands(2)
    (facts,) = run(prepare([nested(tmp_path / "a")], WRITE), WRITE, pool)
    assert (facts.exit, pool.given) == (0, 0)


@pytest.mark.parametrize("hands", [1, 2])
def test_only_as_many_designs_are_begun_as_keep_the_pool_busy(tmp_path: Path, hands: int) -> None:
    designs = prepare([nested(tmp_path / str(number), ("12",)) for number in range(9)], WRITE)
    pool = Hands(hands)
    given = [pool.given for _ in run(designs, WRITE, pool)]
    ahead = 2 * hands
    assert given == [min(9, number + 1 + ahead) for number in range(9)]


def test_while_one_is_finished_the_next_is_with_the_pool_however_many_jobs_it_has(tmp_path: Path) -> None:
    sizes = [str(size) for size in range(6, 18, 2)]
    designs = prepare([make_design(tmp_path / str(number), sizes) for number in range(3)], WRITE)
    pool = Hands(2)
    assert [pool.given for _ in run(designs, WRITE, pool)] == [12, 18, 18]


def test_the_names_are_told_in_order_with_the_parts_of_each(tmp_path: Path) -> None:
    told: list[str] = []
    designs = prepare(shelf(tmp_path / "shelf"), WRITE)
    listener = Listener(begun=told.append, done=lambda: told.append("part"))
    list(run(designs, WRITE, Hands(3), listener))
    bodice = "summer bodice"
    assert told == [bodice, "part", "part", bodice, "part", bodice, "part", "part", bodice, bodice, "part"]


def test_a_design_that_reads_what_another_writes_waits_for_it(tmp_path: Path) -> None:
    def pair(folder: Path, removed: str) -> list[Path]:
        folder.mkdir(exist_ok=True)
        first = make_design(folder / "a", ("12",), removed=removed)
        text = rules_text(patterns="a/fixed/front-{size}.svg", removed="8").replace("60\n", "100\n", 1)
        second = folder / "b.gape.yaml"
        second.write_text(re.sub("opens: .*", "opens: {dart: bust dart}", text), encoding="utf-8")
        return [first, second]

    for name in ("alone", "pool"):
        (first, _) = pair(tmp_path / name, "20")
        list(run(prepare([first], WRITE), WRITE))
        again = prepare(pair(tmp_path / name, "12"), WRITE)
        found = list(run(again, WRITE, Hands(2) if name == "pool" else None))
        assert [facts.exit for facts in found] == [0, 0], found
    assert bytes_of(tmp_path / "alone") == bytes_of(tmp_path / "pool")
