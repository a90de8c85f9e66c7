"""An exposure screen's one view of the station and its variants: found as needed, then shown."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING

from textual import work
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from checklist.calculations.kinds import Outcome
from checklist.pictures.maps import first_view
from checklist.pictures.maptext import FRAME
from checklist.pictures.maptext import SIDE as MAP_SIDE
from checklist.plaintext import shown
from checklist.screens.past.session import broken
from checklist.screens.stations.exposurefinding import (
    FINDING,
    Finder,
    map_around,
    plots_of,
    stamp_of,
)
from checklist.screens.stations.exposurelines import (
    DRAWN,
    MAP,
    PLOTS,
    REMEDIES,
    SIDE,
    STOPPED,
    TITLES,
    Looked,
    keys_said,
    lines_of,
)
from checklist.sessions.stations.exposing import expose, remedies_for
from checklist.sessions.stations.exposuretext import limits_line
from checklist.sessions.variants.kept import VariantSet, taken_again
from checklist.sessions.variants.variant import AS_IT_IS, Variant, source_of

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_TITLE = "RF exposure"
_MARGIN = 3
_LEAST_COLUMNS, _LEAST_ROWS, _MOST_ROWS = 20, 6, 60


class Showing(Finder):
    """Finds what the tab at hand needs of the variant that is shown, and shows it."""

    app: Doors

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self.kept: VariantSet | None = None
        """None while the file is read, and where it cannot be used."""

        self.looked = Looked()
        self.stamp: tuple[int, int] | None = None
        self._said = ""

    @work(exclusive=True, group=FINDING)
    async def read_file(self) -> None:
        """Evaluate the file as it stands now; an error leaves nothing of an older result."""
        if self.kept is not None:  # what stands there is of the file as it was
            self.title_line.say(_TITLE, "CHANGED: being evaluated again", urgent=True)
        self.looked.stopped = False
        self.stamp = await asyncio.to_thread(stamp_of, self.path)
        desk, path, kept = self.app.desk, self.path, self.kept
        source = await self.found(lambda: source_of(desk, path))
        if source is None:
            self.kept = None
            self.show()
            return
        if kept is None:
            self.kept = VariantSet(source)
        else:
            before = tuple(kept.variants)
            again, dropped = await asyncio.to_thread(taken_again, source, before)
            kept.renew(source, again)
            self._said = " ".join(dropped)
        self.looked.view = self.looked.view or first_view(source.origin.described.scene)
        await self.complete()

    @work(exclusive=True, group=FINDING)
    async def fill(self) -> None:
        """Find what the tab at hand lacks, in place of whatever was being found."""
        self.looked.stopped = False
        await self.complete()

    async def complete(self) -> None:
        """Find what the tab at hand needs and lacks; then show it."""
        kept = self.kept
        if kept is None:
            return
        variant = kept.shown
        self.looked.begin(variant)
        if await self._evaluated(kept, variant):
            if self.looked.tab == SIDE:
                for one in kept.every:
                    await self._evaluated(kept, one)
            else:
                await self._draw(kept, variant)
        if self.is_whole:
            self.show()

    async def _evaluated(self, kept: VariantSet, variant: Variant) -> bool:
        if kept.found(variant) is None:
            self._say_being_found(variant)
            progress = self.progress()
            exposed = await self.found(lambda: expose(variant.described, progress))
            if exposed is not None:
                kept.keep(variant, exposed)
        return kept.found(variant) is not None

    async def _draw(self, kept: VariantSet, variant: Variant) -> None:
        """Find what the tab draws beside the evaluation."""
        exposed, looked, progress = kept.found(variant), self.looked, self.progress()
        if exposed is None:
            return
        if looked.tab == REMEDIES and kept.remedies(variant) is None:
            found = await self.found(lambda: remedies_for(exposed, None, progress))
            if found is not None:
                kept.keep_remedies(variant, found)
        elif looked.tab == PLOTS and not looked.plots:
            looked.plots = await self.found(lambda: plots_of(exposed, progress)) or ()
            looked.plot = min(looked.plot, max(0, len(looked.plots) - 1))
        elif looked.tab == MAP and looked.view is not None:
            view, (columns, rows) = looked.view, self._map_size()
            looked.map = await self.found(
                lambda: map_around(variant, view, columns, rows, progress)
            )

    def show(self) -> None:
        """Show the tab at hand from what has been found."""
        if not self.is_whole:
            return
        kept, width = self.kept, self.size.width - _MARGIN
        self._say_title()
        lines = lines_of(kept, self.looked, width, self.size.height) if kept else []
        rows: list[str] = []
        for number, line in enumerate(lines):
            if number == self.looked.marked_line:
                self._keep_in_sight(len(rows))
            rows += self._rows(shown(line), width)
        self.query_one("#lines", Static).update(Content("\n").join(map(Content, rows)))
        limits = limits_line(kept.source.origin.described) if kept else ""
        said, self._said = self._said, ""
        self.notice(self.wrong or said or keys_said(self.looked, limits), wrong=bool(self.wrong))
        self.refresh_bindings()

    def say_once(self, text: str) -> None:
        """Say something in the line below when it is shown next."""
        self._said = text

    def look_stopped(self) -> None:
        """Stop what is being found, and say so: nothing of it is shown."""
        self.stop_finding()
        self.looked.stopped = True
        self.say_once(f"{STOPPED}; g begins again")
        self.show()

    def _say_title(self) -> None:
        kept = self.kept
        if kept is None:
            self.title_line.say(_TITLE, "cannot be evaluated", urgent=True)
            return
        exposed = kept.found(kept.shown)
        if exposed is None:
            right = STOPPED if self.looked.stopped else "being evaluated"
            self.title_line.say(self._left(kept.shown), right, urgent=True)
            return
        outcome = exposed.evaluation.outcome
        urgent = outcome is not Outcome.WITHIN
        self.title_line.say(self._left(kept.shown), TITLES[outcome], urgent=urgent)

    def _left(self, variant: Variant) -> str:
        name, tab = variant.described.station.name, self.looked.tab
        if variant.name == AS_IT_IS:
            return f"{_TITLE}: {name}, {tab}"
        return f"{_TITLE}, {variant.name}: {tab} ({name})"

    def _say_being_found(self, variant: Variant) -> None:
        """Say that what stands below is older, until the evaluation is there."""
        if self.is_whole:
            self.title_line.say(self._left(variant), "being evaluated", urgent=True)

    def _rows(self, line: str, width: int) -> list[str]:
        is_drawn = self.looked.tab in DRAWN
        return [line] if is_drawn and len(line) <= width else broken(line, width)

    def _keep_in_sight(self, row: int) -> None:
        area = self.query_one("#exposure", VerticalScroll)
        if not area.scroll_y <= row < area.scroll_y + max(1, area.size.height - 1):
            area.scroll_to(y=max(0, row - 2), animate=False)

    def _map_size(self) -> tuple[int, int]:
        """Return columns and rows of cells that fit without scrolling."""
        area = self.query_one("#exposure").size
        rows = min(_MOST_ROWS, max(_LEAST_ROWS, area.height - FRAME))
        return max(_LEAST_COLUMNS, area.width - MAP_SIDE - _MARGIN), rows
