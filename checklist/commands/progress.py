"""How far long work is, said on stderr."""

from __future__ import annotations

import sys
import time
from contextlib import suppress

from checklist.plaintext import shown

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
        end = "\r" if sys.stderr.isatty() else "\n"
        with suppress(OSError):
            sys.stderr.write(f"standclear: {shown(what)} {done} of {of}{end}")
            sys.stderr.flush()

    def end(self) -> None:
        """Leave a clean line behind."""
        if self._is_shown and sys.stderr is not None and sys.stderr.isatty():
            with suppress(OSError):
                sys.stderr.write(f"{' ' * 60}\r")
                sys.stderr.flush()
