"""An interrupt waits while something is done that must not be left half done, and is answered then."""

from __future__ import annotations

import contextlib
import signal
from collections.abc import Iterator


class _State:
    """Whether an interrupt came while it had to wait."""

    came = False


def _remember(*_: object) -> None:
    _State.came = True


def hold_back() -> None:
    """Let interrupts wait from now on, unless they are ignored, or answered by somebody else."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        with contextlib.suppress(ValueError):  # Not the main thread, which alone is interrupted.
            signal.signal(signal.SIGINT, _remember)


def let_through() -> None:
    """Answer interrupts again, the one that waited first.

    Raises:
        KeyboardInterrupt: where one came.
    """
    _answer_again()
    if _State.came:
        _State.came = False
        raise KeyboardInterrupt


@contextlib.contextmanager
def held_back() -> Iterator[None]:
    """While this runs interrupts wait; one that came is answered where `let_through` is called next."""
    hold_back()
    try:
        yield
    finally:
        _answer_again()


def _answer_again() -> None:
    if signal.getsignal(signal.SIGINT) is _remember:
        signal.signal(signal.SIGINT, signal.default_int_handler)
