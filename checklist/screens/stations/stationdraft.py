"""An entry that is typed and not finished: kept on disk while it is typed."""

from __future__ import annotations

import asyncio
from contextlib import suppress

from checklist.errors import StandclearError
from checklist.screens.stations.stationform import Values
from checklist.sessions.stations.stationsitting import Sitting
from checklist.station.unfinished import Unfinished


class Draft:
    """An unfinished entry that is kept on disk while it is typed, one write after the other."""

    def __init__(
        self, sitting: Sitting, begun: Unfinished, kept: Unfinished | None, lock: asyncio.Lock
    ) -> None:
        self._sitting, self._begun, self._kept = sitting, begun, kept
        self._lock, self._jobs = lock, set[asyncio.Task[None]]()
        self._newest: Values = {}

    @property
    def is_kept(self) -> bool:
        """Whether something of it is on disk."""
        return self._kept is not None

    @property
    def called(self) -> str:
        """How it is called."""
        return (self._kept or self._begun).called

    def keep(self, values: Values) -> None:
        """Keep what was typed, in a thread; while that writes, only what is typed last waits."""
        self._newest = values
        task = asyncio.get_running_loop().create_task(self._keep(values))
        self._jobs.add(task)
        task.add_done_callback(self._jobs.discard)

    async def settled(self) -> None:
        """Wait until everything that was typed is on disk."""
        while self._jobs:
            await asyncio.gather(*self._jobs, return_exceptions=True)

    def finish(self) -> None:
        """Take it away, since it stands in the station file."""
        if self._kept is not None:
            with suppress(StandclearError):  # it then stands there twice, and says so itself
                self._sitting.drop_unfinished(self._kept)
        self._kept, self._begun = None, Unfinished((), "", {})

    async def _keep(self, values: Values) -> None:
        typed = {key: held for key, held in values.items() if held and key != "name"}
        name = str(values.get("name", ""))
        if not self._begun.section or not (name or set(typed) - {"kind"}):
            return
        entry = Unfinished(self._begun.section, name, typed)
        async with self._lock:
            is_older = values is not self._newest
            if is_older or not self._begun.section or entry == self._kept:
                return
            await asyncio.to_thread(self._sitting.keep_unfinished, entry, self._kept)
            self._kept = entry
