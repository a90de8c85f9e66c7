"""What is typed into an entry is on disk at the next breath: nothing waits for typing to rest."""

from __future__ import annotations

import asyncio
import time
from typing import Any, cast

from checklist.screens.stations.stationdraft import Draft
from checklist.sessions.stations.stationsitting import Sitting
from checklist.station.unfinished import Unfinished

FLUSH_S = 0.05


class SlowSitting:
    """Takes a while for each write, and keeps what was written."""

    def __init__(self) -> None:
        self.kept: list[str] = []
        self.unfinished: tuple[Unfinished, ...] = ()

    def keep_unfinished(self, entry: Unfinished, instead_of: Unfinished | None = None) -> None:
        time.sleep(FLUSH_S)
        self.kept.append(str(entry.typed["power"]))
        self.unfinished = (entry,)

    def drop_unfinished(self, entry: Unfinished) -> None:
        self.unfinished = tuple(one for one in self.unfinished if one != entry)


def drafting() -> tuple[SlowSitting, Draft, asyncio.Lock]:
    sitting, lock = SlowSitting(), asyncio.Lock()
    begun = Unfinished(("transmitters",), "", {})
    return sitting, Draft(cast(Sitting, cast(Any, sitting)), begun, None, lock), lock


async def test_the_first_key_is_written_at_once_and_the_newest_next() -> None:
    """Of keys typed while the disk is busy only the newest is written, right after it."""
    sitting, draft, _ = drafting()
    for typed in ("1", "10", "100", "100 ", "100 W"):
        draft.keep({"name": "rig", "power": typed})
        await asyncio.sleep(FLUSH_S / 20)
    await draft.settled()

    assert sitting.kept == ["1", "100 W"]
    assert draft.is_kept


async def test_an_entry_that_is_given_leaves_no_draft() -> None:
    """A write that is under way while the entry is given does not leave it unfinished."""
    sitting, draft, lock = drafting()
    draft.keep({"name": "rig", "power": "100 W"})
    await asyncio.sleep(FLUSH_S / 5)
    draft.keep({"name": "rig", "power": "100 W."})
    async with lock:
        draft.finish()
    await draft.settled()

    assert sitting.kept == ["100 W"]
    assert sitting.unfinished == ()
    assert not draft.is_kept
