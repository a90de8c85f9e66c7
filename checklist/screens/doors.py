"""Where one can go from any screen, and what every screen may ask of the program."""

from __future__ import annotations

import asyncio
from datetime import datetime
from typing import TYPE_CHECKING

from textual import work
from textual.app import App
from textual.content import Content
from textual.events import ScreenResume
from textual.widgets import Static

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.screens.turns import loaded
from checklist.screens.walking.drafts import Drafts
from checklist.sessions.desk import Desk

if TYPE_CHECKING:
    from pathlib import Path

    from checklist.pages.making import Sheet
    from checklist.screens.longwork import LongWork
    from checklist.sessions.known import Known
    from checklist.sessions.lasttime import LastTime
    from checklist.sessions.opening import Opened
    from checklist.sessions.session import Session


class Doors(App[None]):
    """The desk behind all screens, what was typed at it, and a door to each place."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.call_details = ""
        """What was answered about the way for an ambulance, in the walk at hand."""

        self.long_work: list[LongWork] = []
        """What is being done in threads that a screen waits for."""

        self.drafts = Drafts()
        """What was typed and not given yet, where somebody went away from it."""

    def now(self) -> datetime:
        """Return the wall time."""
        return self.desk.clock.now()

    def say(self, text: str) -> None:
        """Show one sentence in the screen's own line for it, or over a screen that has none."""
        for notice in self.screen.query("#notice").results(Static):
            notice.update(Content(shown(text)))
            return
        self.notify(shown(text), markup=False, timeout=10)

    @work(exclusive=True, group="opening")
    async def walk(self, name: str, *, rehearse: bool = False) -> None:
        """Begin a walk of the rule file `name`, on record or as a rehearsal."""
        from checklist.sessions import opening

        def begin() -> Opened:
            if rehearse:
                return opening.rehearse(self.desk, name)
            return opening.begin(self.desk, name)

        try:
            opened = await asyncio.to_thread(begin)
        except StandclearError as error:
            self.say(error.sentence())
            return
        await self._show(opened)

    @work(exclusive=True, group="opening")
    async def go_on(self, session_id: str) -> None:
        """Go on with a walk that was left."""
        from checklist.sessions import opening

        try:
            opened = await asyncio.to_thread(opening.go_on, self.desk, session_id)
        except StandclearError as error:
            self.say(error.sentence())
            return
        await self._show(opened)

    async def _show(self, opened: Opened) -> None:
        await loaded("checklist.screens.walking.walk", "checklist.screens.walking.sign")
        from checklist.screens.walking.walk import WalkScreen
        from checklist.sessions.known import Known

        known, before = Known(), None
        if not opened.session.is_rehearsal:
            known, before = await asyncio.to_thread(self._known_for, opened.session)
        self.drafts.keep_only(opened.session.id)
        self.push_screen(WalkScreen(opened.session, known, opened.says, before))

    def _known_for(self, session: Session) -> tuple[Known, LastTime]:
        """Return the registers, with what hangs where the walk asks for that, and the last walk."""
        from checklist.sessions.known import known_for
        from checklist.sessions.lasttime import last_time

        rules = session.walk.rule_file
        return known_for(self.desk, rules), last_time(self.desk.folder, rules.name)

    def finish_walk(self, session: Session) -> None:
        """Look a walk over and sign it."""
        from checklist.screens.walking.sign import SignScreen

        self.push_screen(SignScreen(session))

    @work
    async def sign_late(self, session_id: str) -> None:
        """Take the signatures that are missing, from whoever is here now."""
        from checklist.screens.walking.late import signed_late

        said = await signed_late(self, session_id)
        if said:
            self.say(said)
            self.screen.post_message(ScreenResume())

    @work(exclusive=True, group="place")
    async def show_tags(self, marked: str = "") -> None:
        """Show the locks and tags that hang, the mark at one of them."""
        # As behind each door: what a screen is made of takes 20 to 60 ms to load.
        await loaded("checklist.screens.roll.tags")
        from checklist.screens.roll.tags import TagsScreen

        self.push_screen(TagsScreen(marked))

    @work(exclusive=True, group="place")
    async def show_people(self) -> None:
        """Show people, keys, the safety officer and the receipts."""
        await loaded("checklist.screens.roll.people")
        from checklist.screens.roll.people import PeopleScreen

        self.push_screen(PeopleScreen())

    @work(exclusive=True, group="place")
    async def review(self) -> None:
        """Find past sessions."""
        await loaded("checklist.screens.past.review")
        from checklist.screens.past.review import ReviewScreen

        self.push_screen(ReviewScreen())

    @work(exclusive=True, group="place")
    async def audit(self) -> None:
        """Audit the own log folder; `standclear audit FOLDER ...` takes any number of others."""
        await loaded("checklist.screens.past.audit")
        from checklist.screens.past.audit import AuditScreen

        self.push_screen(AuditScreen([self.desk.logs]))

    @work(exclusive=True, group="place")
    async def show_numbers(self) -> None:
        """List what the checks rest on."""
        await loaded("checklist.screens.teaching.numbers")
        from checklist.screens.teaching.numbers import NumbersScreen

        self.push_screen(NumbersScreen())

    @work(exclusive=True, group="place")
    async def show_class(self) -> None:
        """Pick a calculation to be taught; nothing of it is kept."""
        await loaded("checklist.screens.teaching.inclass")
        from checklist.screens.teaching.inclass import ClassScreen

        self.push_screen(ClassScreen())

    @work(exclusive=True, group="opening")
    async def show_exposure(self) -> None:
        """Ask for a station file, and evaluate the RF exposure around that station."""
        await loaded("checklist.screens.stations.whichstation")
        from checklist.screens.stations.whichstation import asked_station

        path = await asked_station(self)
        if path is None:
            return
        await loaded("checklist.screens.stations.exposure")
        from checklist.screens.stations.exposure import ExposureScreen

        self.push_screen(ExposureScreen(path))

    @work(exclusive=True, group="opening")
    async def show_station(self, path: Path | None = None) -> None:
        """Edit a station file: the one at the path, or one that is asked for or begun."""
        await loaded("checklist.screens.stations.whichstation")
        from checklist.screens.stations.whichstation import station_to_edit

        path = path or await station_to_edit(self)
        if path is None:
            return
        await loaded("checklist.screens.stations.station")
        from checklist.screens.stations.station import StationScreen

        self.push_screen(StationScreen(path))

    @work(exclusive=True, group="place")
    async def show_session(self, session_id: str) -> None:
        """Show one past session, whole."""
        await loaded("checklist.screens.past.session")
        from checklist.screens.past.session import SessionScreen

        self.push_screen(SessionScreen(session_id))

    @work(exclusive=True, group="paper")
    async def put_on_paper(self, *sheets: Sheet) -> None:
        """Write pages of what a screen shows, and say where they are."""
        from checklist.screens.paper import put_on_paper

        self.say(await put_on_paper(self, sheets))

    @work(exclusive=True, group="place")
    async def print_card(self) -> None:
        """Write the card for the wall: someone is hurt."""
        await loaded("checklist.pages.making")
        from checklist.pages.making import hurt_card_for

        self.put_on_paper(("someone is hurt", lambda tell: hurt_card_for(self.desk, None)))

    def action_home(self) -> None:
        """Go home; a walk on the way is left as Escape leaves it, or holds one where it is."""
        from checklist.screens.walking.walk import WalkScreen

        for screen in self.screen_stack:
            if isinstance(screen, WalkScreen) and not screen.let_go():
                return
        self.go_home()

    def go_home(self) -> None:
        """Leave everything that is open and show home as it stands now."""
        while len(self.screen_stack) > 1:
            self.pop_screen()
