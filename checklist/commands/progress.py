"""How far long work is, said on stderr, and Ctrl+C where stopping must leave nothing half."""

from __future__ import annotations

import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import FrameType

from checklist.plaintext import shown
from checklist.stopping import Stopped, Tell, how_far

_QUIET_S = 0.5


class SaidProgress:
    """Says on stderr how far the work is, once it has lasted longer than half a second."""

    def __init__(self) -> None:
        self._last = time.monotonic()
        self._is_shown = False

    def __call__(self, what: str, done: int, of: int) -> None:
        """Hear of a step."""
        now = time.monotonic()
        if now - self._last < _QUIET_S or sys.stderr is None:
            return
        self._last, self._is_shown = now, True
        said = f"standclear: {shown(how_far(what, done, of))}"
        with suppress(OSError):
            sys.stderr.write(f"{said:<60}\r" if sys.stderr.isatty() else f"{said}\n")
            sys.stderr.flush()

    def end(self) -> None:
        """Leave a clean line behind."""
        if self._is_shown and sys.stderr is not None and sys.stderr.isatty():
            with suppress(OSError):
                sys.stderr.write(f"{' ' * 60}\r")
                sys.stderr.flush()


@contextmanager
def to_the_next_word() -> Iterator[Tell]:
    """Give what says progress, and keep Ctrl+C until then: the work is stopped between two words.

    What has begun to be written is so written whole. A second Ctrl+C does not wait; one that
    comes after the last word changes nothing, and what was done is said.
    """
    said = SaidProgress()
    pressed: list[int] = []

    def heard(number: int, frame: FrameType | None) -> None:
        if pressed:
            signal.default_int_handler(number, frame)
        pressed.append(number)

    def tell(what: str, done: int, of: int) -> None:
        if pressed:
            raise Stopped("it was stopped")
        said(what, done, of)

    try:
        with _on_ctrl_c(heard):
            yield tell
    except Stopped:
        raise KeyboardInterrupt from None
    finally:
        said.end()


@contextmanager
def _on_ctrl_c(heard: Callable[[int, FrameType | None], None]) -> Iterator[None]:
    """Let `heard` have Ctrl+C meanwhile, where Python itself would have had it."""
    is_main = threading.current_thread() is threading.main_thread()
    if not is_main or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield
        return
    signal.signal(signal.SIGINT, heard)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)
