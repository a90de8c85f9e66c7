"""The search for cyclic waste rests while much is made that lasts, and never for longer."""

from __future__ import annotations

import gc
from contextlib import suppress

from checklist.record.lookup.lasting import all_of_it_lasts


def test_it_goes_on_afterwards_whatever_happens() -> None:
    """After the block, left in order or by an error, the search is as it was before."""
    seen = []
    with suppress(ValueError), all_of_it_lasts():
        seen.append(gc.isenabled())
        raise ValueError
    after_error = gc.isenabled()
    gc.disable()
    try:
        with all_of_it_lasts():
            pass
        stays_off = not gc.isenabled()
    finally:
        gc.enable()

    assert (seen, after_error, stays_off) == ([False], True, True)
