"""In class: pick one calculation, by field of work or by any word of it."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from checklist.calculations.kinds import Calculation
from checklist.calculations.lesson import by_field
from checklist.errors import StandclearError
from checklist.pictures.ofcalculations import HAVE_PICTURES
from checklist.plaintext import shown
from checklist.rulebook import Book
from checklist.screens.frame import Framed
from checklist.screens.marklist import MarkList
from checklist.screens.teaching.lesson import LessonScreen
from checklist.screens.turns import loaded
from checklist.screens.walking.field import Field

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

KEPT_NOTHING = "In class nothing is kept: no log, no file."


class ClassScreen(Framed):
    """Lists the calculations under their field of work, narrowed by every letter typed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "open", priority=True),
        Binding("down", "move(1)", "down", show=False, priority=True),
        Binding("up", "move(-1)", "up", show=False, priority=True),
        Binding("escape", "back", "leave"),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    ClassScreen #filter { margin: 0 1; }
    ClassScreen #calculations {
        height: 1fr; border: none; padding: 0 1; background: $background;
        text-wrap: nowrap; text-overflow: ellipsis; scrollbar-size-vertical: 1;
    }
    ClassScreen #calculations > .option-list--option-highlighted { text-style: bold; }
    ClassScreen #calculations > .option-list--option-disabled { text-style: underline; }
    """

    app: Doors

    def __init__(self) -> None:
        super().__init__()
        self._book: Book | None = None
        self._rows: list[Calculation | None] = []

    @property
    def found(self) -> tuple[Calculation, ...]:
        """What is listed now."""
        return tuple(row for row in self._rows if row is not None)

    def body(self) -> ComposeResult:
        """Yield the field, the list, and a line for what is said."""
        yield Field(example="find: a word, as ladder, volt, thunder", id="filter")
        listed = MarkList(id="calculations", markup=False)
        listed.can_focus = False
        yield listed
        yield Static(KEPT_NOTHING, id="notice", markup=False)

    def on_mount(self) -> None:
        """Begin in the field; the tables are read while people look."""
        self.query_one("#filter", Field).focus()
        self._show("")
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        try:
            self._book = await asyncio.to_thread(self.app.desk.library.book)
            # What one of the calculations needs is slow to load, and no key may wait for it.
            await loaded("checklist.calculations.exposure.far")
        except StandclearError as error:
            self.app.say(error.sentence())

    @on(Input.Changed, "#filter")
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._show(event.value)

    def _show(self, typed: str) -> None:
        words = typed.casefold().split()
        listed = self.query_one("#calculations", OptionList)
        listed.clear_options()
        self._rows = []
        for heading, calculations in by_field().items():
            fits = [c for c in calculations if all(w in _searched(heading, c) for w in words)]
            if fits:
                self._rows += [None, *fits]
                listed.add_option(Option(Content(heading), disabled=True))
                listed.add_options([Option(_row(c)) for c in fits])
        listed.highlighted = self._nearest(words)
        found = len(self.found)
        self.title_line.say("In class", f"{found} calculation{'s' if found != 1 else ''}")
        notice = KEPT_NOTHING if self._rows else "No calculation fits."
        self.query_one("#notice", Static).update(Content(notice))

    def _nearest(self, words: list[str]) -> int | None:
        """Return the row to mark: the first that has every word in its name or title."""
        named = (
            number
            for number, row in enumerate(self._rows)
            if row is not None and all(w in f"{row.name} {row.title}".casefold() for w in words)
        )
        return next(named, 1 if self._rows else None)

    def action_move(self, by: int) -> None:
        """Put the mark on the next calculation or the one before."""
        listed = self.query_one("#calculations", OptionList)
        at = listed.highlighted
        while at is not None and 0 <= at + by < len(self._rows):
            at += by
            if self._rows[at] is not None:
                listed.highlighted = at
                return

    def action_open(self) -> None:
        """Open the calculation at the mark."""
        at = self.query_one("#calculations", OptionList).highlighted
        chosen = self._rows[at] if at is not None else None
        if chosen is not None and self._book is not None:
            self.app.push_screen(LessonScreen(chosen, self._book))

    @on(OptionList.OptionSelected, "#calculations")
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.action_open()


def _searched(heading: str, calculation: Calculation) -> str:
    inputs = " ".join(f"{wanted.name} {wanted.meaning}" for wanted in calculation.inputs)
    parts = (heading, calculation.name, calculation.title, calculation.formula, inputs)
    return " ".join(parts).casefold()


def _row(calculation: Calculation) -> Content:
    picture = "  (picture)" if calculation.name in HAVE_PICTURES else ""
    return Content(shown(f"  {calculation.title.ljust(41)} {calculation.name}{picture}"))
