"""People, their roles and keys, who vouches for them, and what stands without a receipt."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len, set_cell_size
from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.screens.asking import AskOne
from checklist.screens.frame import Framed
from checklist.screens.marklist import MarkList
from checklist.screens.roll import officerpaths, ownkeys
from checklist.screens.roll.paths import At
from checklist.sessions.roll.peopleview import KeyState, PeopleHere, PersonHere, look_at_people

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_Path = Callable[[At], Awaitable[str]]

PATHS: dict[str, tuple[str, _Path, bool]] = {
    "a": ("appoint a safety officer on this laptop", ownkeys.appointed, False),
    "r": ("request to be enrolled, with a key made here", ownkeys.requested, False),
    "e": ("enrol from a request", officerpaths.enrolled, True),
    "l": ("key lost: revoke it, or make a new one", officerpaths.lost, False),
    "w": ("key renewed: the old one signs for the new one", ownkeys.renewed, False),
    "o": ("the safety officer changes", officerpaths.officer_changed, False),
    "d": ("details: roles, training, end of keys", officerpaths.details_changed, True),
    "t": ("take over a roster or receipt from a file", ownkeys.taken_over, False),
    "s": ("send the roster: write it for the stations", officerpaths.roster_sent, False),
    "n": ("new entries: send them to the officer", ownkeys.entries_sent, False),
    "g": ("give a receipt for a station's log", officerpaths.receipt_given, True),
    "c": ("compare a code aloud", ownkeys.compared, False),
}
"""By key: what it does, the path, and whether only the officer's own laptop can."""

_NAME, _STATE, _DAY = 22, 13, 11
"""Columns of a person's line; roles take the rest."""


class PeopleList(MarkList):
    """One line for each person; Enter lists what can be done."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter", "screen.choose", "all")]


class PeopleScreen(Framed):
    """Who is who here. Nothing is decided here: the roster, the keys and the receipts say it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "path('a')", "appoint"),
        Binding("e", "path('e')", "enrol"),
        Binding("l", "path('l')", "lost key"),
        Binding("t", "path('t')", "take"),
        Binding("c", "path('c')", "code"),
        *(Binding(key, f"path('{key}')", show=False) for key in "rwodsng"),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    PeopleScreen #pinned { height: auto; max-height: 3; padding: 0 1; text-style: bold; }
    PeopleScreen #tail { height: auto; max-height: 2; padding: 0 1; }
    """

    app: Doors

    def __init__(self) -> None:
        super().__init__()
        self._here: PeopleHere | None = None
        self._marked = ""
        self._is_on_path = False
        """Keys that are typed between two questions of a path belong to the path, not here."""

    def body(self) -> ComposeResult:
        """Yield who is pinned, the people, the one at the mark, the tail, and a line to say."""
        yield Static(id="pinned", markup=False)
        yield PeopleList(id="people")
        with VerticalScroll(id="person", can_focus=False):
            yield Static(id="person-lines", markup=False)
        yield Static(id="tail", markup=False)
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Read ledger, roster and keys off the event loop, then show them."""
        self.title_line.say("People and keys", "reading")
        self.query_one(PeopleList).focus()
        self._read()

    @work(exclusive=True, group="reading")
    async def _read(self, says: str = "") -> None:
        try:
            folder, read_only = await asyncio.to_thread(self.app.desk.looked)
            here = await asyncio.to_thread(look_at_people, folder)
        except (StandclearError, OSError) as error:
            self._notice(_sentence(error), wrong=True)
            return
        if not self._is_whole:
            return
        self._here = here
        self._show(here)
        problems = " ".join(filter(None, (read_only, *here.problems)))
        self._notice(says or problems or "Enter lists all that can be done.", bool(problems))

    def _show(self, here: PeopleHere) -> None:
        count = len(here.people)
        pinned = "officer pinned" if here.version else "no officer pinned"
        people = "1 person" if count == 1 else f"{count} people"
        self.title_line.say("People and keys", f"{people}, {pinned}")
        self.query_one("#pinned", Static).update(Content(shown(here.pinned)))
        self.query_one("#tail", Static).update(Content(shown(here.tail)))
        choices = self.query_one(PeopleList)
        marked = self._marked
        choices.clear_options()
        choices.add_options(Option(Content(shown(person_line(p)))) for p in here.people)
        names = [person.name for person in here.people]
        if names:
            choices.highlighted = names.index(marked) if marked in names else 0
        self._show_marked()
        self.refresh_bindings()

    def _show_marked(self) -> None:
        person = self._person()
        lines = (
            [f"{person.name}: {person.about}", *(key.line() for key in reversed(person.keys))]
            if person
            else ["No key is kept here and no roster is in force."]
        )
        text = Content("\n").join(Content(shown(line)) for line in lines)
        self.query_one("#person-lines", Static).update(text)

    def _person(self) -> PersonHere | None:
        at = self.query_one(PeopleList).highlighted
        people = self._here.people if self._here else ()
        return people[at] if at is not None and at < len(people) else None

    @property
    def _is_whole(self) -> bool:
        """Whether the screen still has its parts: a thread may come back after it was left."""
        return bool(self.query("#notice")) and bool(self.query(PeopleList))

    def _notice(self, text: str, wrong: bool = False) -> None:
        if not self._is_whole:
            return
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(text)))
        notice.set_class(wrong, "-wrong")

    @on(OptionList.OptionHighlighted)
    def _highlighted(self) -> None:
        person = self._person()
        self._marked = person.name if person else ""
        self._show_marked()

    @on(OptionList.OptionSelected)
    def _selected(self) -> None:
        self.action_choose()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer what only the officer's laptop can do there alone, and to appoint elsewhere."""
        if action != "path":
            return True
        return self._is_offered(str(parameters[0]))

    def _is_offered(self, key: str) -> bool:
        here = self._here
        if here is None:
            return False
        if key == "a":
            return here.version is None
        if key == "s":
            return here.version is not None
        return here.officer_is_here or not PATHS[key][2]

    def action_path(self, key: str) -> None:
        """Begin the path of a key."""
        self._begin(key)

    def action_choose(self) -> None:
        """List all that can be done here, each with its key, and do what is chosen."""
        self._begin("")

    def action_back(self) -> None:
        """Go back to where one came from, unless a path is just being followed."""
        if not self._is_on_path:
            self.app.pop_screen()

    def _begin(self, key: str) -> None:
        if self._here is not None and not self._is_on_path:
            self._is_on_path = True
            self._follow(self._here, key)

    @work
    async def _follow(self, here: PeopleHere, key: str) -> None:
        try:
            key = key or await self._chosen()
            says = await PATHS[key][1](At(self.app, here, self._person())) if key else ""
        except (StandclearError, OSError) as error:
            says = _sentence(error)
        finally:
            self._is_on_path = False
        self._read(says)

    async def _chosen(self) -> str:
        choices = [(key, key, text) for key, (text, _, _) in PATHS.items() if self._is_offered(key)]
        return await self.app.push_screen_wait(AskOne("People and keys", choices)) or ""


def _sentence(error: StandclearError | OSError) -> str:
    return error.sentence() if isinstance(error, StandclearError) else str(error)


def person_line(person: PersonHere) -> str:
    """Return name, state of the best key, training and roles on one line."""
    member = person.member
    trained = f"{member.trained.isoformat()}" if member and member.trained else ""
    state = "key holds" if person.state is KeyState.HOLDS else str(person.state)
    call = f"{member.call_sign} " if member and member.call_sign else ""
    roles = ", ".join(member.roles) if member else ""
    name = shown(person.name)
    short = name if cell_len(name) < _NAME else f"{set_cell_size(name, _NAME - 2).rstrip()}…"
    return f"{set_cell_size(short, _NAME)}{state:<{_STATE}}{trained:<{_DAY}}{call}{roles}".rstrip()
