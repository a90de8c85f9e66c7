"""Making a hundred thousand small things that last, without looking for waste among them."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def all_of_it_lasts() -> Iterator[None]:
    """Let Python's search for cyclic waste rest in the block: a sixth of a long reading.

    Meant for work of about a second that keeps what it makes. Two threads may be in such
    blocks; the first to leave wakes the search, which costs the other no more than time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
