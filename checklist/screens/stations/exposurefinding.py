"""Finding in threads what a screen shows: it is said how far it is, and it can be stopped."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from textual.content import Content
from textual.widgets import Static
from textual.worker import get_current_worker

from checklist.errors import StandclearError
from checklist.pictures.exposureplots import limits_over_frequency, share_over_distance
from checklist.pictures.maps import Map, View, map_of
from checklist.pictures.plots import Plot
from checklist.plaintext import shown
from checklist.screens.frame import Framed
from checklist.sessions.stations.exposing import Exposed, Progress
from checklist.sessions.variants.variant import Variant
from checklist.stopping import Stopped, stoppable

FINDING = "find"
"""The group of workers of which only the last goes on."""

_BAR = 20

_Found = TypeVar("_Found")


class Finder(Framed):
    """A framed screen that finds things off the event loop, one after the other."""

    wrong = ""
    """Why the last thing could not be found, in one sentence."""

    async def found(self, find: Callable[[], _Found]) -> _Found | None:
        """Return what is found in a thread, or None with the reason kept to be shown.

        Once nobody waits for it, the engine ends by itself wherever it is, within a fraction
        of a second, and leaves the processor to what is asked for next.
        """
        self.wrong = ""
        worker = get_current_worker()

        def within() -> _Found:
            with stoppable(lambda: worker.is_cancelled):
                return find()

        try:
            return await asyncio.to_thread(within)
        except StandclearError as error:
            self.wrong = error.sentence()
            return None

    def progress(self) -> Progress:
        """Return what hears of progress in the thread, and ends it once it is not wanted."""
        worker, loop = get_current_worker(), asyncio.get_running_loop()

        def tell(what: str, done: int, of: int) -> None:
            if worker.is_cancelled:
                raise Stopped("nobody waits for this any more")
            full = _BAR * done // max(1, of)
            bar = "#" * full + "-" * (_BAR - full)
            loop.call_soon_threadsafe(
                self._say_working, worker, f"{what} [{bar}] {done} of {of}; Esc stops"
            )

        return tell

    @property
    def is_finding(self) -> bool:
        """Whether something is being found."""
        return any(self._of_mine(worker) for worker in self.workers)

    def stop_finding(self) -> None:
        """Stop what is being found; its thread ends soon after."""
        for worker in list(self.workers):
            if self._of_mine(worker):
                worker.cancel()

    @property
    def is_whole(self) -> bool:
        """Whether the screen still has its parts: a thread may come back after it was left."""
        return bool(self.query("#lines"))

    def notice(self, text: str, *, wrong: bool = False) -> None:
        """Say something in the line below."""
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text, lines=True)))
        notice.set_class(wrong, "-wrong")

    def _of_mine(self, worker: object) -> bool:
        return (
            getattr(worker, "group", "") == FINDING
            and getattr(worker, "node", None) is self
            and not getattr(worker, "is_finished", True)
            and not getattr(worker, "is_cancelled", True)
        )

    def _say_working(self, worker: object, text: str) -> None:
        if self.is_whole and self._of_mine(worker):
            self.notice(text)


def plots_of(exposed: Exposed, progress: Progress) -> tuple[Plot, ...]:
    """Return a plot over distance for each place, then the one over frequency."""
    d, found = exposed.described, exposed.evaluation
    plots = []
    for done, result in enumerate(found.places, 1):
        plot = share_over_distance(d.scene, result, d.limits, d.figures)
        plots += [plot] if plot else []
        progress("plots", done, len(found.places) + 1)
    return (*plots, limits_over_frequency(d.scene, found, d.figures))


def map_around(variant: Variant, view: View, columns: int, rows: int, progress: Progress) -> Map:
    """Return the map around a variant of the station."""
    d = variant.described

    def tell(done: int, of: int) -> None:
        progress("rows of the map", done, of)

    return map_of(d.scene, view, columns, rows, d.limits, d.figures, tell)


def stamp_of(path: Path) -> tuple[int, int] | None:
    """Return when the file was written and how long it is; None where it is gone."""
    try:
        facts = path.stat()
    except (OSError, ValueError):
        return None
    return facts.st_mtime_ns, facts.st_size
