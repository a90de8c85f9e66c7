"""Stops a long evaluation at once, from another thread, wherever it is at work.

The question is kept for the thread that computes, not passed through every formula: results
stay a function of what went in, and there is either a whole one or none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from checklist.errors import StandclearError

Stop = Callable[[], bool]
"""Says whether somebody has asked to stop; cheap, as it is asked many times a second."""

_asked: ContextVar[Stop | None] = ContextVar("asked", default=None)


class Stopped(StandclearError):
    """Somebody asked to stop before there was a result."""


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
