"""Lets keys go first while something is computed: how threads take turns, and what is collected.

Python looks for garbage with the interpreter held. What the program itself is made of, some
70,000 objects, is none, and looking through it takes 40 ms or more on a small machine, at a moment
that nobody chooses. So it is set aside once it is loaded. What is left, a screen and its results,
takes 20 ms, and Python would do it while objects are made: in the middle of drawing. So it is done
between two turns of the event loop instead.
"""

from __future__ import annotations

import asyncio
import gc
import sys
from collections.abc import Callable
from importlib import import_module

TURN_S = 0.001
"""Seconds for which a thread that computes may keep the interpreter from a key; Python's own five
add up, since a key takes several turns from the terminal to the screen."""


TIDY_EVERY_S = 2.0
"""Seconds between two looks whether all garbage should be looked for."""

_DUE = 10
"""So many times the young objects were looked through since all were: Python's own measure."""

_NEVER = 1_000_000


def keys_first() -> Callable[[], None]:
    """Set how threads take turns and when garbage is looked for; pass over what is loaded.

    Changes the whole interpreter; what is returned gives back what there was before.
    """
    turn, thresholds = sys.getswitchinterval(), gc.get_threshold()
    sys.setswitchinterval(TURN_S)
    gc.set_threshold(*thresholds[:2], _NEVER)
    if not gc.get_freeze_count():  # once: what is set aside later might be garbage of a screen
        gc.freeze()

    def give_back() -> None:
        sys.setswitchinterval(turn)
        gc.set_threshold(*thresholds)

    return give_back


def tidy() -> None:
    """Look for all garbage where Python would have done so by now; between turns of the loop."""
    if gc.get_count()[2] >= _DUE:
        gc.collect()


async def loaded(*modules: str) -> None:
    """Import what is slow to load in a thread; the collector passes over what it brought."""
    new = [module for module in modules if module not in sys.modules]
    if new:
        await asyncio.to_thread(_load, new)


def _load(modules: list[str]) -> None:
    for module in modules:
        import_module(module)
    gc.freeze()
