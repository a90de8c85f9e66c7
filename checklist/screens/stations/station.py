"""A station file, looked at and edited: sections, entries, values; each change is on disk."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import ClassVar

from textual import on, work
from textual.binding import Binding, BindingType
from textual.widgets import OptionList

from checklist.errors import StandclearError
from checklist.screens.stations.stationshown import USUAL, StationList, StationShown
from checklist.screens.turns import loaded
from checklist.sessions.stations.stationsitting import Sitting
from checklist.station.outline import Does, Line
from checklist.station.placed import shape_at
from checklist.station.records import ByName
from checklist.strictyaml import Path


class StationScreen(StationShown):
    """Shows what the file holds and decides nothing: the edits and the loader do."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "add"),
        Binding("n", "rename", "rename"),
        Binding("x", "remove", "take out"),
        Binding("u", "undo", "undo"),
        Binding("U", "redo", "redo", show=False),
        Binding("R", "reread", "read again", show=False),
        Binding("f4", "paper", "page", key_display="F4", show=False),
    ]

    @work(exclusive=True, group="place")
    async def action_paper(self) -> None:
        """Write the bonding diagram and the card for the wall, from the file as it is saved."""
        await loaded("checklist.pages.making")
        from checklist.pages.making import hurt_card_for, page_of_bonding

        desk, file = self.app.desk, self._file
        self.app.put_on_paper(
            (f"bonding {file.stem}", lambda tell: page_of_bonding(desk, file)),
            (f"someone is hurt {file.stem}", lambda tell: hurt_card_for(desk, file)),
        )

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        line, paths = self._marked, self._paths
        if line is None or paths is None:
            return
        match line.does:
            case Does.OPEN:
                self._at = line.path
                self.query_one(StationList).highlighted = 0
                self._show()
            case Does.ADD:
                self._do(lambda: paths.added(line.path))
            case Does.GO_ON if line.unfinished is not None:
                begun = line.unfinished
                self._do(lambda: paths.gone_on(begun))
            case _:
                self._do(lambda: paths.changed(line.path))

    def action_back(self) -> None:
        """Go up one level, and from the top back to where one came from."""
        if self._is_busy:
            return
        if not self._at:
            self.app.pop_screen()
            return
        left = self._at[-1]
        # The two sections of the bonding network stand at the top, each by its own line.
        is_section = self._at[0] == "bonding" and len(self._at) == 2
        mark = " ".join(map(str, self._at)) if len(self._at) == 1 or is_section else str(left)
        self._at = () if is_section else self._at[:-1]
        self._show(mark)
        self._notice(USUAL)

    def action_add(self) -> None:
        """Add an entry to the section at hand, or to the one at the mark."""
        paths, section = self._paths, self._section()
        if paths is None:
            return
        if section is None:
            self.app.say("Put the mark on a section, such as antennas, then press a.")
        else:
            self._at = section
            self._do(lambda: paths.added(section))

    def action_rename(self) -> None:
        """Rename the entry at the mark; references follow."""
        line, paths = self._marked, self._paths
        if paths is None:
            return
        if line is None or line.unfinished or not self._is_entry(line.path):
            self.app.say("Put the mark on an entry that has a name, then press n.")
        else:
            self._do(lambda: paths.renamed(line.path))

    def action_remove(self) -> None:
        """Take out the entry or the key at the mark."""
        line, paths = self._marked, self._paths
        if paths is None or line is None or line.does is Does.ADD or self._is_section(line):
            self.app.say("Put the mark on an entry or a value, then press x.")
        else:
            self._do(lambda: paths.removed(line))

    def action_undo(self) -> None:
        """Take back the last change of this sitting."""
        self._step("Taken back", lambda sitting: sitting.undo())

    def action_redo(self) -> None:
        """Make again what was taken back."""
        self._step("Made again", lambda sitting: sitting.redo())

    def action_reread(self) -> None:
        """Read the file as it stands on disk now."""
        if not self._is_busy:
            self._read()

    def _step(self, said: str, step: Callable[[Sitting], str]) -> None:
        sitting = self._sitting
        if sitting is None:
            return

        async def stepped() -> str:
            return f"{said}: {await asyncio.to_thread(step, sitting)}. Saved."

        self._do(stepped)

    def _do(self, path: Callable[[], Awaitable[str]]) -> None:
        if not self._is_busy:
            self._is_busy = True
            self._follow(path)

    @work
    async def _follow(self, path: Callable[[], Awaitable[str]]) -> None:
        try:
            says, wrong = await path(), ""
        except StandclearError as error:
            says, wrong = "", error.sentence()
        finally:
            self._is_busy = False
        self._show()
        if wrong:
            self._notice(wrong, wrong=True)
        else:
            self._notice(says or USUAL)
        if says:
            await self._judge(says)

    def _section(self) -> Path | None:
        sitting, line = self._sitting, self._marked
        if sitting is None:
            return None
        for path in (self._at, line.path if line else ()):
            if path and isinstance(shape_at(path, sitting.data), ByName):
                return path
        return None

    def _is_entry(self, path: Path) -> bool:
        sitting = self._sitting
        return (
            sitting is not None
            and len(path) > 1
            and isinstance(shape_at(path[:-1], sitting.data), ByName)
        )

    def _is_section(self, line: Line) -> bool:
        sitting = self._sitting
        return sitting is not None and not line.unfinished and isinstance(
            shape_at(line.path, sitting.data), ByName
        )  # fmt: skip
