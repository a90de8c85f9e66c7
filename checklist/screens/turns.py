"""Lets keys go first while something is computed: how threads take turns, and what is collected.

Python looks for garbage with the interpreter held. What the program itself is made of, some
70,000 objects, is none, and looking through it takes 40 ms or more on a small machine, at a moment
that nobody chooses. So it is set aside once it is loaded.
"""

from __future__ import annotations

import asyncio
import gc
import sys
from importlib import import_module

TURN_S = 0.001
"""Seconds for which a thread that computes may keep the interpreter from a key; Python's own five
add up, since a key takes several turns from the terminal to the screen."""


def keys_first() -> float:
    """Set how threads take turns, pass over what is loaded, and return the turn there was before.

    Changes the whole interpreter; `sys.setswitchinterval` with what is returned gives it back.
    """
    before = sys.getswitchinterval()
    sys.setswitchinterval(TURN_S)
    if not gc.get_freeze_count():  # once: what is set aside later might be garbage of a screen
        gc.freeze()
    return before


async def loaded(*modules: str) -> None:
    """Import what is slow to load in a thread; the collector passes over what it brought."""
    new = [module for module in modules if module not in sys.modules]
    if new:
        await asyncio.to_thread(_load, new)


def _load(modules: list[str]) -> None:
    for module in modules:
        import_module(module)
    gc.freeze()
