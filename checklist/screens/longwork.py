"""Long work in a thread that a screen waits for: how far it is, and that Escape stops it."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from checklist.stopping import Stopped, Tell, how_far, stoppable

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_T = TypeVar("_T")

_SAY_EVERY_S = 0.1


class LongWork:
    """One piece of work in a thread: what hears how far it is, and whether it is still wanted."""

    def __init__(self, what: str, say: Callable[[str], None]) -> None:
        self._what, self._say = what, say
        self._loop = asyncio.get_running_loop()
        self._last = 0.0
        self._is_waited_for = True
        self.is_stopping = False
        """Whether somebody has asked to stop; then it ends soon, or has written its last."""

    def stop(self) -> None:
        """Let the thread end where it tells or asks next."""
        self.is_stopping = True

    def end(self) -> None:
        """Say nothing more: nobody waits any longer."""
        self.is_stopping, self._is_waited_for = True, False

    def tell(self, what: str, done: int, of: int) -> None:
        """Hear in the thread how far it is, and say it on the screen ten times a second."""
        if self.is_stopping:
            raise Stopped("it was stopped", right="Nothing unfinished is kept.")
        now = time.monotonic()
        if now - self._last >= _SAY_EVERY_S:
            self._last = now
            said = f"{self._what}: {how_far(what, done, of)}; Esc stops it"
            self._loop.call_soon_threadsafe(self._say_if_waited_for, said)

    def _say_if_waited_for(self, said: str) -> None:
        if self._is_waited_for and not self.is_stopping:
            self._say(said)


async def in_thread(
    app: Doors, what: str, job: Callable[[Tell], _T], say: Callable[[str], None] | None = None
) -> _T:
    """Return what `job` gives, done in a thread while the screen says how far it is.

    Escape stops it from every screen: `job` then raises Stopped where it tells or asks next. It
    is waited for until it has ended, so that what it had begun to write by then is written and
    said. Where the program ends or the screen is left, the thread ends by itself.
    """
    work = LongWork(what, say or app.say)
    app.long_work.append(work)
    try:
        with stoppable(lambda: work.is_stopping):  # the thread takes a copy of this over
            return await asyncio.to_thread(job, work.tell)
    finally:
        work.end()
        app.long_work.remove(work)
