"""How long work says how far it is, and how it is stopped, from another thread or by Ctrl+C.

Work that goes through files or entries tells how far it is, and what hears of it may end it
there. An engine that computes asks instead, wherever it is at work: the question is kept for its
thread, not passed through every formula. Either way there is a whole result or none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar

from checklist.errors import StandclearError

Tell = Callable[[str, int, int], None]
"""Hears what is gone through, how many of it are done, and of how many (0: it is not counted).
Called for each, so it is cheap. What it raises ends the work, which leaves everything as it was."""

Stop = Callable[[], bool]
"""Says whether somebody has asked to stop; cheap, as it is asked many times a second."""

_asked: ContextVar[Stop | None] = ContextVar("asked", default=None)


class Stopped(StandclearError):
    """Somebody asked to stop before there was a result."""


def unheard(what: str, done: int, of: int) -> None:
    """Hear of progress that nobody wants to know, and let the work go on."""


def unstoppable(tell: Tell) -> Tell:
    """Return what tells as before and no longer stops: for the part that writes.

    Work that writes more than one thing reads and checks first, and is stopped there; what it
    has begun to write it finishes.
    """

    def told(what: str, done: int, of: int) -> None:
        with suppress(Stopped):
            tell(what, done, of)

    return told


def how_far(what: str, done: int, of: int) -> str:
    """Return what a `Tell` hears in words."""
    return f"{what} {done} of {of}" if of else what


@contextmanager
def stoppable(stop: Stop | None) -> Iterator[None]:
    """Let what is computed within raise Stopped soon after `stop` returns true."""
    if stop is None:
        yield
        return
    before = _asked.set(stop)
    try:
        yield
    finally:
        _asked.reset(before)


def go_on() -> None:
    """Raise Stopped if that was asked for; does nothing otherwise."""
    stop = _asked.get()
    if stop is not None and stop():
        raise Stopped("it was stopped before there was a result")
