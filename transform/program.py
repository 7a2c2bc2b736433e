"""Where the command begins. An interrupt waits until everything is loaded that can answer it."""

from __future__ import annotations

from transform.interrupts import hold_back


def main() -> None:
    """The command, with its exit code."""
    hold_back()
    from transform.cli import main as command

    command()
