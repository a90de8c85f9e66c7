"""RF exposure around a station and its variants: places, map, plots, remedies, side by side."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from checklist.pictures.maps import View
from checklist.screens.stations.exposurefinding import stamp_of
from checklist.screens.stations.exposurelines import BASIS, MAP, PLACES, PLOTS, REMEDIES, SIDE
from checklist.screens.stations.exposuretrying import Trying
from checklist.screens.stations.exposuretyping import TryLine
from checklist.screens.turns import loaded
from checklist.screens.walking.field import Field
from checklist.sessions.stations.exposing import Exposed

_LOOK_AGAIN_S = 1.0
_ZOOM = 2.0
_STEP_M = 0.5
_SHIFT = 0.25
_ON_MAP = {"zoom", "shift", "cut"}
_OF_VARIANTS = {"try", "remedy", "drop", "to_file", "look"}


class ExposureScreen(Trying):
    """Shows an evaluation and decides nothing; what takes long is found off the event loop.

    The station file is looked at every second: saved in an editor, it is evaluated anew.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("p", f"tab('{PLACES}')", "place"),
        Binding("m", f"tab('{MAP}')", "map"),
        Binding("c", f"tab('{PLOTS}')", "plot"),
        Binding("r", f"tab('{REMEDIES}')", "remedy"),
        Binding("s", f"tab('{SIDE}')", "side"),
        Binding("b", f"tab('{BASIS}')", "why"),
        Binding("t", "try", "try"),
        Binding("escape", "back", "back"),
        Binding("f4", "paper", "page", key_display="F4", show=False),
        Binding("plus,equals_sign", "zoom(-1)", "near", show=False),
        Binding("minus", "zoom(1)", "wide", show=False),
        Binding("right_square_bracket", "shift(1)", "up", show=False),
        Binding("left_square_bracket", "shift(-1)", "down", show=False),
        Binding("v", "cut", "cut", show=False),
        Binding("n", "next_plot", "next", show=False),
        Binding("g", "again", "again", show=False),
        Binding("left", "arrow(-1, 0)", show=False, priority=True),
        Binding("right", "arrow(1, 0)", show=False, priority=True),
        Binding("up", "arrow(0, 1)", show=False, priority=True),
        Binding("down", "arrow(0, -1)", show=False, priority=True),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    ExposureScreen #exposure { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    ExposureScreen #lines { height: auto; text-wrap: nowrap; }
    """

    @property
    def exposed(self) -> Exposed | None:
        """What is shown; None while it is found, and where the file cannot be used."""
        return self.kept.found(self.kept.shown) if self.kept is not None else None

    def body(self) -> ComposeResult:
        """Yield the text of the tab, the line to try values in, and a line for what is said."""
        with VerticalScroll(id="exposure"):
            yield Static(id="lines", markup=False)
        yield TryLine()
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Begin to read; then look every second whether the file was saved anew."""
        self.query_one("#exposure").focus()
        self.title_line.say("RF exposure", "reading the station file")
        self.read_file()
        self.set_interval(_LOOK_AGAIN_S, self._look)

    @work(exclusive=True, group="look")
    async def _look(self) -> None:
        stamp = await asyncio.to_thread(stamp_of, self.path)
        if stamp != self.stamp and self.is_whole:
            self.read_file()

    def on_resize(self) -> None:
        """Draw anew for the size there is."""
        if self.kept is not None:
            self.show()
            if self.looked.tab == MAP:
                self.fill()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer each tab its own keys, and none of them to the line where something is typed."""
        if action == "tab":  # the key of the tab at hand leads nowhere, and the line is full
            return self.looked.tab != parameters[0]
        if action in _OF_VARIANTS:
            return self.offers(action)
        if action in _ON_MAP:
            return self.looked.tab == MAP
        if action == "arrow":
            return self._has_arrow(sideways=parameters[0] != 0)
        if action == "again":
            return self.looked.stopped
        return self.looked.tab == PLOTS if action == "next_plot" else True

    def _has_arrow(self, *, sideways: bool) -> bool:
        if isinstance(self.app.focused, Field):
            return False
        tab = self.looked.tab
        if tab == SIDE:
            return sideways and self.offers("look")
        return tab == MAP or (tab == REMEDIES and not sideways and bool(self.looked.remedies))

    def action_back(self) -> None:
        """Leave the line, or stop what is being found, or go back to where one came from."""
        if self.is_typing:
            self.leave_line()
        elif self.is_finding and not self.looked.stopped:
            self.look_stopped()
        else:
            self.stop_finding()
            self.app.pop_screen()

    @work(exclusive=True, group="place")
    async def action_paper(self) -> None:
        """Write what is looked at as a page: the station file as saved, or a variant of it."""
        await loaded("checklist.pages.making")
        from checklist.pages.making import page_of_station_exposure, page_of_variant

        desk, path, kept = self.app.desk, self.path, self.kept
        if kept is not None and kept.shown.steps:
            source, variant = kept.source, kept.shown
            name = f"evaluation {path.stem} {variant.name}"
            self.app.put_on_paper((name, lambda tell: page_of_variant(desk, source, variant, tell)))
            return
        self.app.put_on_paper(
            (f"evaluation {path.stem}", lambda tell: page_of_station_exposure(desk, path, tell))
        )

    def action_again(self) -> None:
        """Begin again what was stopped."""
        if self.kept is None:
            self.read_file()
        else:
            self.fill()

    def action_tab(self, tab: str) -> None:
        """Show another tab, from its beginning."""
        self.looked.tab = tab
        self.query_one("#exposure", VerticalScroll).scroll_home(animate=False)
        if self.kept is not None:
            self.stop_finding()
            self.show()
            self.call_after_refresh(self.fill)  # a map needs the room that there is then

    def action_next_plot(self) -> None:
        """Show the next plot."""
        if self.looked.plots:
            self.looked.plot = (self.looked.plot + 1) % len(self.looked.plots)
            self.show()

    def action_zoom(self, direction: int) -> None:
        """Look at half as much or twice as much."""
        self._look_at(lambda view: view.zoomed(_ZOOM**direction))

    def action_shift(self, direction: int) -> None:
        """Raise or lower the plan, or move a section along."""
        self._look_at(lambda view: view.shifted(direction * _STEP_M))

    def action_arrow(self, right: int, up: int) -> None:
        """Move the map, or the mark at a remedy, or look at another variant."""
        if self.looked.tab == MAP:
            self._look_at(lambda view: view.moved(right * _SHIFT, up * _SHIFT))
        elif self.looked.tab == SIDE:
            self.action_look(right)
        else:
            last = len(self.looked.remedies) - 1
            self.looked.mark = min(last, max(0, self.looked.mark - up))
            self.show()

    def action_cut(self) -> None:
        """Cut the space another way: plan, west to east, south to north."""
        self._look_at(View.turned)

    def _look_at(self, change: Callable[[View], View]) -> None:
        if self.looked.view is not None and self.kept is not None:
            self.looked.view = change(self.looked.view)
            self.fill()
