"""RF exposure around a station: places, map, plots, remedies, and what they rest on."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static
from textual.worker import get_current_worker

from checklist.calculations.exposure import Remedies
from checklist.calculations.kinds import Outcome
from checklist.errors import StandclearError
from checklist.pictures.exposureplots import limits_over_frequency, share_over_distance
from checklist.pictures.maps import Cut, Map, View, first_view, map_of
from checklist.pictures.maptext import FRAME, SIDE, map_text
from checklist.pictures.plots import Plot
from checklist.pictures.plottext import plot_text
from checklist.plaintext import shown
from checklist.screens.frame import Framed
from checklist.screens.session import broken
from checklist.sessions.exposing import Exposed, Progress, describe, expose, remedies_for
from checklist.sessions.exposuretext import (
    basis_lines,
    limits_line,
    places_lines,
    remedy_lines,
    stop_lines,
    zones_lines,
)

if TYPE_CHECKING:
    from checklist.screens.app import StandclearApp

PLACES, MAP, PLOTS, REMEDIES, BASIS = "places", "map", "plots", "remedies", "basis"
TITLES = {
    Outcome.WITHIN: "within",
    Outcome.OVER: "OVER: stop",
    Outcome.NOT_SHOWN: "NOT SHOWN: stop",
}

_LOOK_AGAIN_S = 1.0
_ZOOM = 2.0
_STEP_M = 0.5
_SHIFT = 0.25
_MARGIN = 3
_PLOT_FRAME = 12
_LEAST_COLUMNS, _LEAST_ROWS, _MOST_ROWS = 20, 6, 60
_ON_MAP = {"zoom", "shift", "move", "cut"}
_MAP_KEYS = "+ - zoom   [ ] {}   arrows move   v cuts another way   PgDn legend"

_Found = TypeVar("_Found")


class ExposureScreen(Framed):
    """Shows an evaluation and decides nothing; what takes long is found off the event loop.

    The station file is looked at every second: saved in an editor, it is evaluated anew.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("p", f"tab('{PLACES}')", "places"),
        Binding("m", f"tab('{MAP}')", "map"),
        Binding("c", f"tab('{PLOTS}')", "plots"),
        Binding("r", f"tab('{REMEDIES}')", "remedies"),
        Binding("b", f"tab('{BASIS}')", "basis"),
        Binding("plus,equals_sign", "zoom(-1)", "near", show=False),
        Binding("minus", "zoom(1)", "wide", show=False),
        Binding("right_square_bracket", "shift(1)", "up", show=False),
        Binding("left_square_bracket", "shift(-1)", "down", show=False),
        Binding("v", "cut", "cut", show=False),
        Binding("n", "next_plot", "next"),
        Binding("left", "move(-1, 0)", show=False, priority=True),
        Binding("right", "move(1, 0)", show=False, priority=True),
        Binding("up", "move(0, 1)", show=False, priority=True),
        Binding("down", "move(0, -1)", show=False, priority=True),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    ExposureScreen #exposure { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    ExposureScreen #lines { height: auto; text-wrap: nowrap; }
    """

    app: StandclearApp

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self.tab = PLACES
        self.view: View | None = None
        self._exposed: Exposed | None = None
        self._remedies: tuple[Remedies, ...] | None = None
        self._plots: tuple[Plot, ...] = ()
        self._plot = 0
        self._map: Map | None = None
        self._stamp: tuple[int, int] | None = None
        self._wrong = ""

    @property
    def exposed(self) -> Exposed | None:
        """What is shown; None while it is found, and where the file cannot be used."""
        return self._exposed

    def body(self) -> ComposeResult:
        """Yield the text of the tab, and a line for what is said of it."""
        with VerticalScroll(id="exposure"):
            yield Static(id="lines", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Begin to read; then look every second whether the file was saved anew."""
        self.query_one("#exposure").focus()
        self.title_line.say("RF exposure", "reading the station file")
        self._read()
        self.set_interval(_LOOK_AGAIN_S, self._look)

    @work(exclusive=True, group="look")
    async def _look(self) -> None:
        stamp = await asyncio.to_thread(_stamp, self.path)
        if stamp != self._stamp and self._is_whole:
            self._read()

    @work(exclusive=True, group="find")
    async def _read(self) -> None:
        """Evaluate the file as it stands now; an error leaves nothing of an older result."""
        if self._exposed is not None:  # what stands there is of the file as it was
            self.title_line.say("RF exposure", "CHANGED: being evaluated again", urgent=True)
        self._stamp = await asyncio.to_thread(_stamp, self.path)
        desk, path = self.app.desk, self.path
        progress = self._progress()
        found = await self._found(lambda: expose(describe(desk, path), progress))
        self._remedies, self._plots, self._map, self._plot = None, (), None, 0
        self._exposed = found
        if found is None:
            self.title_line.say("RF exposure", "cannot be evaluated", urgent=True)
            self._show()
            return
        self.view = self.view or first_view(found.described.scene)
        self._show()
        await self._complete()

    async def _complete(self) -> None:
        """Find what the tab at hand needs and lacks; then show it."""
        exposed, view = self._exposed, self.view
        if exposed is None or view is None:
            return
        progress, tab = self._progress(), self.tab
        if tab == REMEDIES and self._remedies is None:
            self._remedies = await self._found(lambda: remedies_for(exposed, None, progress))
        elif tab == PLOTS and not self._plots:
            self._plots = await self._found(lambda: _plots(exposed, progress)) or ()
        elif tab == MAP:
            columns, rows = self._map_size()
            self._map = await self._found(lambda: _map(exposed, view, columns, rows, progress))
        if self._is_whole:
            self._show()

    @work(exclusive=True, group="find")
    async def _fill(self) -> None:
        await self._complete()

    async def _found(self, find: Callable[[], _Found]) -> _Found | None:
        """Return what is found in a thread, or None with the reason kept to be shown."""
        self._wrong = ""
        try:
            return await asyncio.to_thread(find)
        except StandclearError as error:
            self._wrong = error.sentence()
            return None

    def _progress(self) -> Progress:
        worker, loop = get_current_worker(), asyncio.get_running_loop()

        def tell(what: str, done: int, of: int) -> None:
            if worker.is_cancelled:  # the thread must end, or it would hold up what comes next
                raise StandclearError("nobody waits for this any more")
            loop.call_soon_threadsafe(self._say_working, f"{what}: {done} of {of}")

        return tell

    def _say_working(self, text: str) -> None:
        if self._is_whole:
            self._notice(text)

    def _show(self) -> None:
        """Show the tab at hand from what has been found."""
        if not self._is_whole:
            return
        exposed = self._exposed
        if exposed is not None:
            outcome = exposed.evaluation.outcome
            title = f"RF exposure: {exposed.described.station.name}, {self.tab}"
            self.title_line.say(title, TITLES[outcome], urgent=outcome is not Outcome.WITHIN)
        width = self.size.width - _MARGIN
        lines = self._lines(exposed) if exposed else []
        rows = [row for line in lines for row in self._rows(shown(line), width)]
        self.query_one("#lines", Static).update(Content("\n").join(map(Content, rows)))
        self._notice(self._wrong or self._said(exposed), wrong=bool(self._wrong))
        self.refresh_bindings()

    def _lines(self, exposed: Exposed) -> Sequence[str]:
        found = exposed.evaluation
        match self.tab:
            case "places":
                stops = stop_lines(found)
                return [found.says, *stops, "", *places_lines(found), "", *zones_lines(found)]
            case "remedies":
                return ["…"] if self._remedies is None else remedy_lines(self._remedies)
            case "plots" if self._plots:
                height = self.size.height - _PLOT_FRAME
                return plot_text(self._plots[self._plot], self.size.width - _MARGIN, height)
            case "map" if self._map is not None:
                return map_text(self._map)
            case "basis":
                return basis_lines(exposed)
            case _:
                return ["…"]

    def _rows(self, line: str, width: int) -> list[str]:
        is_drawn = self.tab in {MAP, PLOTS}
        return [line] if is_drawn and len(line) <= width else broken(line, width)

    def _said(self, exposed: Exposed | None) -> str:
        if exposed is None:
            return ""
        if self.tab == MAP:
            is_plan = self.view is None or self.view.cut is Cut.PLAN
            return _MAP_KEYS.format("height" if is_plan else "along")
        if self.tab == PLOTS and len(self._plots) > 1:
            return f"plot {self._plot + 1} of {len(self._plots)}; n shows the next"
        return limits_line(exposed.described)

    def _map_size(self) -> tuple[int, int]:
        """Return columns and rows of cells that fit without scrolling."""
        area = self.query_one("#exposure").size
        rows = min(_MOST_ROWS, max(_LEAST_ROWS, area.height - FRAME))
        return max(_LEAST_COLUMNS, area.width - SIDE - _MARGIN), rows

    def on_resize(self) -> None:
        """Draw anew for the size there is."""
        if self._exposed is not None:
            self._show()
            if self.tab == MAP:
                self._fill()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer each tab its own keys."""
        del parameters
        if action in _ON_MAP:
            return self.tab == MAP
        return self.tab == PLOTS if action == "next_plot" else True

    def action_tab(self, tab: str) -> None:
        """Show another tab, from its beginning."""
        self.tab = tab
        self.query_one("#exposure", VerticalScroll).scroll_home(animate=False)
        self._show()
        if self._exposed is not None:
            self._fill()

    def action_next_plot(self) -> None:
        """Show the next plot."""
        if self._plots:
            self._plot = (self._plot + 1) % len(self._plots)
            self._show()

    def action_zoom(self, direction: int) -> None:
        """Look at half as much or twice as much."""
        self._look_at(lambda view: view.zoomed(_ZOOM**direction))

    def action_shift(self, direction: int) -> None:
        """Raise or lower the plan, or move a section along."""
        self._look_at(lambda view: view.shifted(direction * _STEP_M))

    def action_move(self, right: int, up: int) -> None:
        """Move what is looked at."""
        self._look_at(lambda view: view.moved(right * _SHIFT, up * _SHIFT))

    def action_cut(self) -> None:
        """Cut the space another way: plan, west to east, south to north."""
        self._look_at(View.turned)

    def _look_at(self, change: Callable[[View], View]) -> None:
        if self.view is not None and self._exposed is not None:
            self.view = change(self.view)
            self._fill()

    @property
    def _is_whole(self) -> bool:
        """Whether the screen still has its parts: a thread may come back after it was left."""
        return bool(self.query("#lines"))

    def _notice(self, text: str, *, wrong: bool = False) -> None:
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text, lines=True)))
        notice.set_class(wrong, "-wrong")


def _plots(exposed: Exposed, progress: Progress) -> tuple[Plot, ...]:
    d, found = exposed.described, exposed.evaluation
    plots = []
    for done, result in enumerate(found.places, 1):
        plot = share_over_distance(d.scene, result, d.limits, d.figures)
        plots += [plot] if plot else []
        progress("plots", done, len(found.places) + 1)
    return (*plots, limits_over_frequency(d.scene, found, d.figures))


def _map(exposed: Exposed, view: View, columns: int, rows: int, progress: Progress) -> Map:
    d = exposed.described

    def tell(done: int, of: int) -> None:
        progress("rows of the map", done, of)

    return map_of(d.scene, view, columns, rows, d.limits, d.figures, tell)


def _stamp(path: Path) -> tuple[int, int] | None:
    """Return when the file was written and how long it is; None where it is gone."""
    try:
        facts = path.stat()
    except (OSError, ValueError):
        return None
    return facts.st_mtime_ns, facts.st_size
