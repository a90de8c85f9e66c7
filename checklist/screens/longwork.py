"""Long work in a thread that a screen waits for: how far it is, and that Escape stops it."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Iterable

from textual.worker import Worker, get_current_worker

from checklist.errors import StandclearError

STOPPABLE = {"paper", "verify"}
"""Groups of workers that Escape stops wherever one is; other screens have their own way."""

_SAY_EVERY_S = 0.1


def heard(say: Callable[[str], None], what: str) -> Callable[[str, int, int], None]:
    """Return what hears of progress in the thread of the worker at hand, and says it.

    Once the worker is stopped it raises StandclearError there, which ends the work: a thread
    that went on would hold up the program's end.
    """
    worker, loop = get_current_worker(), asyncio.get_running_loop()
    last = [time.monotonic()]

    def tell(of_what: str, done: int, of: int) -> None:
        if worker.is_cancelled:
            raise StandclearError("nobody waits for this any more")
        now = time.monotonic()
        if now - last[0] >= _SAY_EVERY_S:
            last[0] = now
            said = f"{what}: {of_what} {done} of {of}; Esc stops it"
            loop.call_soon_threadsafe(lambda: None if worker.is_finished else say(said))

    return tell


def under_way(workers: Iterable[Worker[object]]) -> list[Worker[object]]:
    """Return the workers that Escape stops."""
    return [one for one in workers if one.group in STOPPABLE and one.is_running]
