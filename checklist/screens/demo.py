"""Asks where the invented club shall stand, builds it while one looks on, and opens it."""

from __future__ import annotations

import asyncio
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING

from textual import work
from textual.app import ComposeResult
from textual.widgets import ProgressBar, Static

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.screens.asking import AskForm, Asking
from checklist.sessions.desk import Desk
from checklist.sessions.entryrows import Row

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

FOLDER = "invented-club"
"""What its folder is called where nobody names another."""

FIRST = "hill"
"""The laptop that is opened."""

_ASKED = "An invented club to try everything on: in which folder shall it stand?"
_SAYS = (
    "Two stations, a field event, a year of signed sessions, with faults to find. Nothing in it "
    "is real.",
)


class Stopped(StandclearError):
    """Somebody stopped the building."""


class Building(Asking[Desk]):
    """Builds the club in a thread and shows how far it is; Escape stops it."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._folder = folder
        self._stop = Event()
        self.wrong = ""
        """Why it could not be built; empty while it can."""

    def question(self) -> ComposeResult:
        """Yield what is done and how far it is."""
        yield Static("The year of the invented club is being walked ...", classes="title")
        yield Static(shown(str(self._folder)), markup=False, classes="quiet")
        yield ProgressBar(total=100, show_eta=False)
        yield Static("Escape stops it, and nothing of it is left.", classes="quiet")

    def on_mount(self) -> None:
        """Begin; what stands there can be scrolled meanwhile."""
        box = self.query_one("#asking")
        box.can_focus = True
        box.focus()
        self._build()

    def action_dismiss_unanswered(self) -> None:
        """Stop at the next happening; what was begun is taken away again."""
        self._stop.set()

    @work(exclusive=True)
    async def _build(self) -> None:
        try:
            desk = await asyncio.to_thread(self._built)
        except StandclearError as error:
            self.wrong = error.sentence()
            self.dismiss(None)
            return
        self.dismiss(desk)

    def on_unmount(self) -> None:
        """Leave no thread at work when the program ends."""
        self._stop.set()

    def _built(self) -> Desk:
        from checklist.demo.building import build  # late: hardly ever needed

        club = build(self._folder, tell=self._tell)
        return Desk.at(club.desks[FIRST].logs)

    def _tell(self, done: int, of: int) -> None:
        if self._stop.is_set():
            raise Stopped("the building was stopped", right="Nothing of it is left.")
        self.app.call_from_thread(self._show, done, of)

    def _show(self, done: int, of: int) -> None:
        for bar in self.query(ProgressBar):
            bar.update(total=of, progress=done)


async def built_club(app: Doors) -> Desk | None:
    """Return a desk at the invented club, asked and built until there is one; None to go back."""
    named, wrong = str(app.desk.logs.absolute().parent / FOLDER), ""
    while True:
        row = Row("folder", "folder", f"~/{FOLDER}", value=named)
        given = await app.push_screen_wait(AskForm(_ASKED, _SAYS, [row], wrong))
        if given is None:
            return None
        named = given["folder"]
        try:
            folder = Path(named).expanduser()
        except RuntimeError:
            wrong = "That home folder is not known. Write the path out."
            continue
        building = Building(folder)
        desk = await app.push_screen_wait(building)
        if desk is not None:
            return desk
        wrong = building.wrong
