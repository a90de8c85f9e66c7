"""What matters now, and where a walk begins."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.worker import get_current_worker

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.screens.frame import US_RULES, Framed
from checklist.screens.homelines import home_options, is_untouched, offers_club
from checklist.screens.marklist import MarkList
from checklist.screens.turns import loaded
from checklist.sessions.invented import guide_of, is_invented
from checklist.sessions.library import Listed

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from textual.widgets.option_list import Option

    from checklist.screens.doors import Doors
    from checklist.sessions.matters import Overview

LEFT = 30
"""Columns of the left text; the rest of the line says how it stands, whole at 80 columns."""

LEFT_WIDE = 50
"""The same where the terminal is wide enough for all of it."""


_RIGHT = 50
"""Columns that the right text needs with the margins, to be whole."""

_LOOKS = (
    ("f", "review", "past sessions"),
    ("t", "tags", "tags"),
    ("p", "people", "people"),
    ("a", "audit", "audit"),
    ("n", "numbers", "numbers"),
    ("e", "exposure", "exposure"),
    ("s", "station", "station"),
    ("c", "in_class", "in class"),
)
"""What else there is to look at: key, action and name, in a line of their own above the notice."""


class HomeList(MarkList):
    """The one list of home; Enter opens what is marked, and the key line says so."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "select", "begin or open")]


class HomeScreen(Framed):
    """Open matters first, then the rule files to begin, then the last sessions."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "rehearse", "rehearse"),
        Binding("x", "give_up", "give up"),
        Binding("l", "app.light", "light"),
        Binding("q", "app.quit", "quit"),
        *(Binding(key, action, label, show=False) for key, action, label in _LOOKS),
        Binding("f4", "paper", "page", key_display="F4", show=False),
        Binding("d", "demo", "the invented club", show=False),
        Binding("escape", "nothing", show=False),
    ]

    app: Doors

    def __init__(self) -> None:
        super().__init__()
        self._listed: tuple[Listed, ...] = ()
        self._problems: tuple[str, ...] = ()
        self._overview: Overview | None = None

    @property
    def listed(self) -> tuple[Listed, ...]:
        """The rule files that can be begun."""
        return self._listed

    def body(self) -> ComposeResult:
        """Yield the one list of the screen, and a line for what is said of it."""
        yield HomeList(id="home")
        yield Static(
            Content.from_markup(
                "  ".join(
                    f"[@click=screen.{action}][b]{key}[/b] {label}[/]"
                    for key, action, label in (*_LOOKS, ("F4", "paper", "page"))
                )
            ),
            id="looks",
        )
        yield Static(US_RULES, id="notice", markup=False)

    def on_mount(self) -> None:
        """Show the rule files at once; the log folder is read while people look."""
        self._listed, self._problems = self.app.desk.library.listed()
        self._show()
        self.query_one(OptionList).focus()

    def on_resize(self) -> None:
        """Give the names the room there is."""
        self._show()

    def on_screen_resume(self) -> None:
        """Read the log folder again whenever home is looked at."""
        self._read()

    @work(exclusive=True)
    async def _read(self) -> None:
        await loaded("checklist.sessions.overview")
        from checklist.sessions.overview import overview

        is_first = self._overview is None
        worker, loop = get_current_worker(), asyncio.get_running_loop()

        def tell(done: int, of: int) -> None:
            if worker.is_cancelled:  # the thread must end, or it would hold up the program's end
                raise StandclearError("nobody waits for this any more")
            if is_first:
                loop.call_soon_threadsafe(self._tell, done, of)

        try:
            self._overview = await asyncio.to_thread(overview, self.app.desk, tell)
        except StandclearError:
            return
        self._show(from_top=is_first)

    def _tell(self, done: int, of: int) -> None:
        if self.is_running and self._overview is None:
            self.title_line.say("standclear", f"reading the log, {done} of {of}")

    def _show(self, *, from_top: bool = False) -> None:
        if not self.is_running or not self.query(OptionList):  # left while the folder was read
            return
        choices = self.query_one(OptionList)
        marked = choices.highlighted_option.id if choices.highlighted_option else ""
        now = self.app.now()
        choices.clear_options()
        left = LEFT_WIDE if self.size.width >= LEFT_WIDE + _RIGHT else LEFT
        choices.add_options(list(self._lines(now, left)))
        ids = [option.id or "-" for option in choices.options]
        first = next((i for i, option in enumerate(choices.options) if not option.disabled), None)
        choices.highlighted = ids.index(marked) if marked in ids and not from_top else first
        self.title_line.say("standclear", f"{now:%a %d %b  %H:%M}")
        problems = (*self._problems, *(self._overview.wrong if self._overview else ()))
        notice = self.query_one("#notice", Static)
        guide = guide_of(self.app.desk.logs)
        hint = f"{US_RULES} What there is to find: {guide}." if guide else US_RULES
        notice.update(Content(shown(" ".join(problems) or hint)))
        notice.set_class(bool(problems), "-wrong")

    def _lines(self, now: datetime, left: int) -> Iterator[Option]:
        may_try = offers_club(self._overview, self.app.desk.logs)
        return home_options(self._listed, self._overview, now, left, may_try=may_try)

    @property
    def _marked(self) -> tuple[str, str]:
        option = self.query_one(OptionList).highlighted_option
        kind, _, name = (option.id or "" if option else "").partition(":")
        return kind, name

    @on(OptionList.OptionSelected)
    def _selected(self, event: OptionList.OptionSelected) -> None:
        kind, _, name = (event.option.id or "").partition(":")
        match kind:
            case "begin":
                self.app.walk(name)
            case "walk":
                self.app.go_on(name)
            case "sign":
                self.app.sign_late(name)
            case "tag":
                self.app.show_tags(name)
            case "receipts":
                self.app.show_people()
            case "past":
                self.app.show_session(name)
            case "demo":
                self.action_demo()
            case _:
                pass

    @work(exclusive=True, group="place")
    async def action_paper(self) -> None:
        """Write what is marked as a page: a rule file as a blank form, a session, a tag."""
        desk, (kind, name) = self.app.desk, self._marked
        await loaded("checklist.pages.making")
        from checklist.pages.making import page_of_form, page_of_tag, pages_of_session

        match kind:
            case "begin":
                self.app.put_on_paper((f"form {name}", lambda tell: page_of_form(desk, name)))
            case "past" | "sign" | "walk":
                self.app.put_on_paper(*pages_of_session(desk, name))
            case "tag" if name:
                sheet = ("tag", lambda tell: page_of_tag(desk, desk.folder, name))
                self.app.put_on_paper(sheet)
            case _:
                self.app.say("Put the mark on a rule file, a session or a tag, then press F4.")

    def action_rehearse(self) -> None:
        """Rehearse the rule file at the mark; nothing is kept."""
        kind, name = self._marked
        if kind == "begin":
            self.app.walk(name, rehearse=True)
        else:
            self.app.say("Put the mark on a rule file under BEGIN, then press r.")

    def action_tags(self) -> None:
        """Show the locks and tags that hang, and hang or take off."""
        self.app.show_tags()

    def action_people(self) -> None:
        """Show people, keys, the safety officer and the receipts."""
        self.app.show_people()

    def action_review(self) -> None:
        """Find past sessions."""
        self.app.review()

    def action_audit(self) -> None:
        """Audit this log folder, the findings grouped, the worst first."""
        self.app.audit()

    def action_numbers(self) -> None:
        """List what the checks rest on, each number with its citation."""
        self.app.show_numbers()

    def action_exposure(self) -> None:
        """Evaluate the RF exposure around the station of a file."""
        self.app.show_exposure()

    def action_in_class(self) -> None:
        """Work a calculation through with the students' numbers; nothing is kept."""
        self.app.show_class()

    @work(exclusive=True, group="demo")
    async def action_demo(self) -> None:
        """Build the invented club and open it; only where nothing has been recorded."""
        from checklist.screens.demo import built_club

        if is_invented(self.app.desk.logs):
            self.app.say("This is the invented club.")
            return
        if not is_untouched(self._overview):
            self.app.say(
                "There are records here. standclear demo FOLDER builds the club elsewhere."
            )
            return
        desk = await built_club(self.app)
        if desk is not None:
            self.app.desk = desk
            self._listed, self._problems = desk.library.listed()
            self._overview = None
            self._read()

    def action_station(self) -> None:
        """Look at a station file, and edit it."""
        self.app.show_station()

    def action_give_up(self) -> None:
        """Give up the unfinished walk at the mark; it stays in the record with the reason."""
        kind, name = self._marked
        if kind == "walk":
            self._give_up(name)
        else:
            self.app.say("Put the mark on an unfinished walk, then press x.")

    @work(group="give up")  # not of the group of _read, which ends its own when home is seen again
    async def _give_up(self, session_id: str) -> None:
        from checklist.record.journals.seal import abandon
        from checklist.screens.asking import AskText

        reason = await self.app.push_screen_wait(
            AskText(
                "Give this walk up? It cannot be gone on with then. It stays in the record, with "
                "the reason.",
                "reason",
            )
        )
        if not reason:
            return
        try:
            await asyncio.to_thread(abandon, self.app.desk.folder, session_id, reason)
        except StandclearError as error:
            self.app.say(error.sentence())
        self._read()

    def action_nothing(self) -> None:
        """Stay: home is where Escape leads to."""
