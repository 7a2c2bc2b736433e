"""Interrupts wait where something must not be left half done, and are answered from the first moment."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.files.test_staging import NEW
from tests.small_designs import bytes_of, make_design
from transform import interrupts
from transform.files import output as output_module
from transform.files.ledger import LEDGER
from transform.files.output import NewFile, Output, write_files
from transform.interrupts import held_back, hold_back, let_through

ROOT = Path(__file__).parents[1]
pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals differ")


def test_an_interrupt_waits_and_comes() -> None:
    with held_back():
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.01)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
    with pytest.raises(KeyboardInterrupt):
        let_through()
    let_through()


def test_from_the_beginning_of_the_command_it_waits() -> None:
    hold_back()
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(0.01)
    with pytest.raises(KeyboardInterrupt):
        let_through()
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_where_interrupts_are_ignored_they_stay_ignored() -> None:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with held_back():
            assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
        assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, before)


def test_a_set_that_is_being_put_in_place_is_told_as_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = output_module.write_set

    def interrupted(*args: object) -> None:
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.01)
        real(*args)

    monkeypatch.setattr(output_module, "write_set", interrupted)
    files = [NewFile(name, data, copied=False) for name, data in NEW.items()]
    assert write_files(Output(tmp_path / "fixed", tmp_path / "x"), files, replace=False) == len(NEW)
    assert bytes_of(tmp_path / "fixed").keys() == {*NEW, LEDGER}
    with pytest.raises(KeyboardInterrupt):
        let_through()


def test_an_interrupt_before_anything_can_make_it_wait_is_no_trace() -> None:
    script = (
        "import os, signal, sys, importlib.abc\n"
        "class Interrupting(importlib.abc.MetaPathFinder):\n"
        "    def find_spec(self, name, path, target=None):\n"
        "        if name == 'transform.interrupts':\n"
        "            os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.meta_path.insert(0, Interrupting())\n"
        "from transform.command.program import main\n"
        "main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, timeout=120
    )
    assert done.returncode == 130
    assert done.stderr == "interrupted: the run was interrupted; nothing was written\n"


def test_an_interrupt_while_it_starts_is_no_trace(tmp_path: Path) -> None:
    design = make_design(tmp_path)
    loaded = "import os, signal\nfrom transform.command import program\n"
    for module in ("transform.command.cli", "numpy", "shapely", "transform.designs.batch"):
        script = loaded + (
            "import sys, importlib.abc\n"
            "class Interrupting(importlib.abc.MetaPathFinder):\n"
            "    def find_spec(self, name, path, target=None):\n"
            f"        if name == {module!r}:\n"
            "            os.kill(os.getpid(), signal.SIGINT)\n"
            "sys.meta_path.insert(0, Interrupting())\n"
            f"sys.argv = ['ungape', 'apply', {str(design)!r}]\n"
            "program.main()\n"
        )
        done = subprocess.run(
            [sys.executable, "-c", script], capture_output=True, text=True, cwd=ROOT, timeout=120
        )
        assert done.returncode == 130, (module, done.stderr)
        assert done.stderr.startswith("interrupted: the run was interrupted")
        assert "Traceback" not in done.stderr
        assert not (tmp_path / "fixed").exists()
    assert interrupts._State.came is False
