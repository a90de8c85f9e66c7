"""Past sessions, the newest first, and a field that finds among them."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input, Static
from textual.worker import get_current_worker

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.screens.frame import Framed
from checklist.screens.past.sessionlist import SessionList
from checklist.screens.walking.field import Field
from checklist.sessions.past.cataloguing import Cards, catch_up, newest
from checklist.sessions.past.finding import Index, read_filter
from checklist.sessions.roll.covering import tail_of

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

HOW = "find: words  person:Tamsin  rule:tower  verdict:stopped  from:2026-11-01"

BAR = 24
"""Characters of the bar that shows how far the reading is."""


def drawn_bar(done: int, of: int) -> str:
    """Return a bar of characters: `#` for what is read, `.` for what is not."""
    full = BAR * min(done, of) // of if of else BAR
    return f"[{'#' * full}{'.' * (BAR - full)}]"


class ReviewScreen(Framed):
    """Finds a past session. The newest are there at once; the rest follows while one looks."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "open", priority=True),
        Binding("down", "move(1)", "down", show=False, priority=True),
        Binding("up", "move(-1)", "up", show=False, priority=True),
        Binding("pagedown", "page(1)", "on", key_display="PgDn", priority=True),
        Binding("pageup", "page(-1)", "back", key_display="PgUp", priority=True),
        Binding("escape", "back", "leave"),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    ReviewScreen #filter { margin: 0 1; }
    """

    app: Doors

    def __init__(self) -> None:
        super().__init__()
        self._index: Index | None = None
        self._problems: tuple[str, ...] = ()
        self._read_only = ""
        self._tail = ""
        """What receipts cover, where a safety officer is pinned."""

        self._reading = "reading the log"
        self._bar = ""
        self._wrong = ""

    @property
    def sessions(self) -> SessionList:
        """The list."""
        return self.query_one(SessionList)

    def body(self) -> ComposeResult:
        """Yield the field, the list, and a line for what is said."""
        yield Field(example=HOW, id="filter")
        yield SessionList(id="sessions")
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Begin in the field."""
        self.query_one("#filter", Field).focus()

    def on_screen_resume(self) -> None:
        """Read the log whenever the screen is looked at: something may have been signed."""
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        """Show the newest sessions at once, then all, then what their files say; off the loop."""
        try:
            folder, self._read_only = await asyncio.to_thread(self.app.desk.looked)
        except StandclearError as error:
            self._reading, self._wrong = "", error.sentence()
            self._say()
            return
        if self._index is None:
            self._take(await asyncio.to_thread(newest, folder))
        worker, loop = get_current_worker(), asyncio.get_running_loop()

        def tell(what: str, done: int, of: int) -> None:
            if worker.is_cancelled:  # the thread must end, or it would hold up the program's end
                raise StandclearError("nobody waits for this any more")
            loop.call_soon_threadsafe(self._tell, what, done, of)

        def listed(found: Cards) -> None:
            loop.call_soon_threadsafe(self._take, found)

        try:
            found = await asyncio.to_thread(
                catch_up, folder, partial(tell, "sessions"), self.app.desk.entries_read,
                partial(tell, "ledger entries"), listed,
            )  # fmt: skip
        except (StandclearError, OSError) as error:
            self._wrong = error.sentence() if isinstance(error, StandclearError) else str(error)
        else:
            self._take(found)
            self._tail = await asyncio.to_thread(tail_of, folder, self.app.desk.entries_read)
        self._reading = self._bar = ""
        self._say()

    def _take(self, found: Cards) -> None:
        self._index = Index(found.cards, self.app.now())
        self._problems = (*filter(None, [self._read_only]), *found.problems)
        self._find()

    def _tell(self, what: str, done: int, of: int) -> None:
        self._reading = f"reading {done} of {of} {what}"
        self._bar = drawn_bar(done, of)
        self._say()

    @on(Input.Changed, "#filter")
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._find()

    @work(exclusive=True, group="find")
    async def _find(self) -> None:
        """List what fits the field."""
        index = self._index
        if index is None or not self._is_whole:
            return
        try:
            wanted = read_filter(self.query_one("#filter", Field).value)
        except StandclearError as error:
            self._wrong = error.sentence()
            self._say()
            return
        self._wrong = ""
        found = await asyncio.to_thread(index.find, wanted)
        if self._is_whole:
            self.sessions.show(found, index.result)
            self._say()

    @property
    def _is_whole(self) -> bool:
        """Whether the screen still has its parts: a thread may come back after it was left."""
        return bool(self.query(SessionList)) and bool(self.query("#filter"))

    def _say(self) -> None:
        if not self._is_whole:
            return
        count = len(self.sessions.cards)
        whole = len(self._index.cards) if self._index else 0
        sessions = "1 session" if whole == 1 else f"{whole} sessions"
        right = f"{count} of {sessions}" if count != whole else sessions
        if self._wrong and self._index is None:
            right = "not read"
        self.title_line.say("Past sessions, as begun", f"{self._reading}   {right}".strip())
        notice = self.query_one("#notice", Static)
        said = self._wrong or " ".join(self._problems) or self._nothing(count, whole)
        notice.update(Content(shown(said)))
        notice.set_class(bool(self._wrong or self._problems), "-wrong")

    def _nothing(self, count: int, whole: int) -> str:
        if count and self._tail and not self._bar:
            return f"An old result is no permission. {self._tail}"
        if self._bar:
            is_listed = self._reading.endswith("sessions")
            more = " for their answers" if is_listed else "; Esc leaves"
            return f"{self._bar} {self._reading}{more}."
        if count or self._reading:
            return "An old result is no permission: what it found may have changed since."
        return "No session fits." if whole else "There is no session yet."

    def action_move(self, by: int) -> None:
        """Put the mark on the next session or the one before."""
        self.sessions.move(by)

    def action_page(self, by: int) -> None:
        """Put the mark a screenful on or back."""
        self.sessions.move(by * self.sessions.page)

    def action_open(self) -> None:
        """Show the session at the mark, whole."""
        card = self.sessions.marked
        if card is not None:
            self.app.show_session(card.session_id)

    @on(SessionList.Picked)
    def _picked(self, event: SessionList.Picked) -> None:
        event.stop()
        self.app.show_session(event.session_id)
