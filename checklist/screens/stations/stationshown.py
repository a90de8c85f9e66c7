"""A station file as it is seen: the lines of one level, what can be said of them, what is stale."""

from __future__ import annotations

import asyncio
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, ClassVar

from rich.cells import set_cell_size
from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from checklist.calculations.exposure import load_limits
from checklist.calculations.exposure.figures import figures
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.screens.frame import Framed
from checklist.screens.marklist import MarkList
from checklist.screens.stations.stationpaths import Paths
from checklist.sessions.desk import Desk
from checklist.sessions.stations.stationkept import KeptEvaluation, kept_evaluations, no_longer_hold
from checklist.sessions.stations.stationsitting import Sitting
from checklist.station import StationRefused, known_in
from checklist.station.outline import Does, Line, outline
from checklist.station.placed import shape_at
from checklist.station.records import ByName
from checklist.station.remarks import all_remarks
from checklist.strictyaml import Path

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

USUAL = "Enter opens or edits. A change is on disk before it is called saved."
"""What is said while there is nothing else to say."""

_LEFT = 22
_LOOK_AGAIN_S = 2.0
_Remarks = dict[tuple[str, str], list[str]]


class StationList(MarkList):
    """The lines of one level; Enter opens or edits."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "open")]


class StationShown(Framed):
    """Shows what the file holds and looks whether it changed; StationScreen adds what is done."""

    DEFAULT_CSS: ClassVar[str] = """
    StationShown #place { height: 1; padding: 0 1; text-style: bold; }
    StationShown StationList > .option-list--option-highlighted {
        background: $foreground; color: $background; text-style: bold;
    }
    StationShown #about-box { height: auto; max-height: 6; border-top: solid $secondary; }
    StationShown #about { height: auto; padding: 0 1; }
    """

    app: Doors

    def __init__(self, path: FilePath) -> None:
        super().__init__()
        self._file = path
        self._sitting: Sitting | None = None
        self._paths: Paths | None = None
        self._at: Path = ()
        self._lines: tuple[Line, ...] = ()
        self._remarks: _Remarks = {}
        self._kept: tuple[KeptEvaluation, ...] = ()
        self._stale: tuple[str, ...] = ()
        self._is_busy = False
        self._errors: tuple[str, ...] = ()

    @property
    def sitting(self) -> Sitting | None:
        """What is edited; None while it is read, and where it cannot be."""
        return self._sitting

    @property
    def at(self) -> Path:
        """Where in the file one is."""
        return self._at

    def body(self) -> ComposeResult:
        """Yield where one is, the lines, what the marked one means, and a line to say."""
        yield Static(id="place", markup=False)
        yield StationList(id="station")
        with VerticalScroll(id="about-box", can_focus=False):
            yield Static(id="about", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Read the file off the event loop, and look every other second whether it changed."""
        self.title_line.say("Station", "reading")
        self.query_one(StationList).focus()
        self._read()
        self.set_interval(_LOOK_AGAIN_S, self._look)

    @work(exclusive=True, group="reading")
    async def _read(self) -> None:
        desk, path = self.app.desk, self._file
        try:
            self._sitting = await asyncio.to_thread(_begun, desk, path)
        except StandclearError as error:
            self._errors = tuple(error.errors) if isinstance(error, StationRefused) else ()
            self._refused(error)
            return
        self._errors = ()
        self._paths = Paths(self.app, self._sitting)
        self._show()
        self._notice(USUAL)
        await self._judge()
        self._kept = await asyncio.to_thread(_kept_by, desk, path)
        await self._judge()

    def _refused(self, error: StandclearError) -> None:
        if not self._is_whole:
            return
        self.title_line.say(f"Station: {self._file.name}", "cannot be read", urgent=True)
        lines = self._errors or (error.sentence(),)
        self.query_one("#about", Static).update(
            Content("\n").join(Content(shown(line)) for line in lines)
        )
        self._notice("Put it right in a text editor, then press R to read it again.", wrong=True)

    @work(exclusive=True, group="look")
    async def _look(self) -> None:
        sitting = self._sitting
        if sitting is None or self._is_busy:
            return
        if await asyncio.to_thread(sitting.is_changed_elsewhere) and not self._is_busy:
            self._title("CHANGED ON DISK", urgent=True)
            self._notice(
                "Another program changed the file. Nothing is overwritten; R reads it again.",
                wrong=True,
            )

    async def _judge(self, says: str = "") -> None:
        """Find what can be said at once, and which kept evaluations no longer hold."""
        sitting, kept, desk = self._sitting, self._kept, self.app.desk
        if sitting is None:
            return
        station, before = sitting.station, self._stale

        def judge() -> tuple[_Remarks, tuple[str, ...]]:
            found: _Remarks = {}
            for section, name, said in all_remarks(station, figures(desk.library.book())):
                found.setdefault((section, name), []).append(said)
            return found, no_longer_hold(kept, station) if kept else ()

        self._remarks, self._stale = await asyncio.to_thread(judge)
        self._show()
        # At the top all of it stands beside the mark already.
        news = [one for one in self._stale if one not in before and self._at]
        if says or news:
            self._notice(" ".join([says, *news]).strip(), wrong=bool(news))

    def _show(self, mark: str = "") -> None:
        """Show the level at hand as the file stands now."""
        sitting = self._sitting
        if sitting is None or not self._is_whole:
            return
        while self._at and not _stands(sitting.data, self._at):
            self._at = self._at[:-1]
        choices = self.query_one(StationList)
        at = choices.highlighted or 0
        self._lines = outline(sitting.data, self._at, sitting.unfinished)
        choices.clear_options()
        choices.add_options(Option(Content(shown(self._row(line)))) for line in self._lines)
        lefts = [line.left for line in self._lines]
        at = lefts.index(mark) if mark in lefts else min(at, len(lefts) - 1)
        choices.highlighted = at if lefts else None
        where = " > ".join(["station", *map(str, self._at)])
        self.query_one("#place", Static).update(Content(shown(where)))
        self._title("STALE" if self._stale else "saved", urgent=False)
        self._show_about()
        self.refresh_bindings()

    def _title(self, right: str, *, urgent: bool) -> None:
        if self._is_whole and self._sitting is not None:
            name = self._sitting.station.name
            self.title_line.say(f"Station: {name}, {self._file.name}", right, urgent=urgent)

    def _row(self, line: Line) -> str:
        marks = sum(
            len(said) for (section, name), said in self._remarks.items()
            if line.does is Does.OPEN and line.path in ((section,), (section, name))
        )  # fmt: skip
        noted = f"[{marks} to see] " if marks else ""
        return f"{set_cell_size(line.left, _LEFT)}{noted}{line.right}"

    def _show_about(self) -> None:
        line = self._marked
        about = [line.means] if line and line.means else []
        place = self._at if len(self._at) > 1 else (line.path if line else ())
        about += self._remarks.get((str(place[0]), str(place[1])), []) if len(place) > 1 else []
        if not self._at:
            about += self._stale
        self.query_one("#about", Static).update(
            Content("\n").join(Content(shown(one)) for one in about)
        )

    @property
    def _marked(self) -> Line | None:
        at = self.query_one(StationList).highlighted
        return self._lines[at] if at is not None and at < len(self._lines) else None

    @on(OptionList.OptionHighlighted)
    def _highlighted(self) -> None:
        self._show_about()
        self.refresh_bindings()

    @property
    def _is_whole(self) -> bool:
        """Whether the screen still has its parts: a thread may come back after it was left."""
        return bool(self.query("#notice")) and bool(self.query(StationList))

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        if not self._is_whole:
            return
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text)))
        notice.set_class(wrong, "-wrong")


def _begun(desk: Desk, path: FilePath) -> Sitting:
    library = desk.library
    book = library.book()
    shipped, own = library.limit_texts()
    known = known_in(book, load_limits(shipped, book.sources, own))
    return Sitting(desk.disk, path, known)


def _kept_by(desk: Desk, path: FilePath) -> tuple[KeptEvaluation, ...]:
    try:
        return kept_evaluations(desk.folder, path)
    except StandclearError:  # a log folder that cannot be used is said on home
        return ()


def _stands(data: object, path: Path) -> bool:
    """Whether a level is still there: a section may be empty, an entry may not."""
    if isinstance(shape_at(path, data), ByName):
        return True
    for step in path:
        data = data.get(step) if isinstance(data, dict) else None
    return data is not None
