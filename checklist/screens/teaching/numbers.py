"""What the checks rest on: every number with its citation, found as one types, and one whole."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.rulefile.numberlines import (
    CHECK_THEM,
    brief_lines,
    count_text,
    row_lines,
    whole_lines,
)
from checklist.rulefile.numbers import Number
from checklist.screens.frame import Framed
from checklist.screens.marklist import MarkList
from checklist.screens.walking.field import Field
from checklist.sessions.numbersinuse import InUse, numbers_in_use

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

HOW = "find: words, an address, a step, unverified, club, unused"


class NumbersScreen(Framed):
    """Lists the numbers in use, and narrows the list with every letter typed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open", "open", priority=True),
        Binding("down", "move(1)", "down", show=False, priority=True),
        Binding("up", "move(-1)", "up", show=False, priority=True),
        Binding("pagedown", "page(1)", "on", key_display="PgDn", priority=True),
        Binding("pageup", "page(-1)", "back", key_display="PgUp", priority=True),
        Binding("escape", "back", "leave"),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    NumbersScreen #filter { margin: 0 1; }
    NumbersScreen #numbers {
        height: 1fr; border: none; padding: 0 1; background: $background;
        text-wrap: nowrap; text-overflow: ellipsis; scrollbar-size-vertical: 1;
    }
    NumbersScreen #numbers > .option-list--option-highlighted { text-style: bold; }
    """

    app: Doors

    def __init__(self) -> None:
        super().__init__()
        self._in_use: InUse | None = None
        self._found: tuple[Number, ...] = ()
        self._wrong = ""

    @property
    def found(self) -> tuple[Number, ...]:
        """What is listed now."""
        return self._found

    def body(self) -> ComposeResult:
        """Yield the field, the list, and a line for what is said."""
        yield Field(example=HOW, id="filter")
        listed = MarkList(id="numbers", markup=False)
        listed.can_focus = False
        yield listed
        yield Static(id="notice", markup=False)

    def on_mount(self) -> None:
        """Begin in the field; the rules are read while people look."""
        self.query_one("#filter", Field).focus()
        self.title_line.say("Numbers", "reading the rules")
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        try:
            in_use = await asyncio.to_thread(numbers_in_use, self.app.desk.library)
        except StandclearError as error:
            self._wrong = error.sentence()
        else:
            self._in_use = in_use
            self._wrong = " ".join(in_use.problems)
        if self.query("#numbers"):
            self._show()

    @on(Input.Changed, "#filter")
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if self._in_use is not None:
            self._show()

    def _show(self) -> None:
        """List what fits the field."""
        typed = self.query_one("#filter", Field).value
        self._found = self._in_use.find(typed) if self._in_use else ()
        listed = self.query_one("#numbers", OptionList)
        listed.clear_options()
        listed.add_options([Option(_brief(number)) for number in self._found])
        listed.highlighted = 0 if self._found else None
        self.title_line.say("Numbers", count_text(self._found))
        said = self._wrong or (CHECK_THEM if self._found else "No number fits.")
        if not self._wrong and self._in_use and not typed.split():
            said = f"{CHECK_THEM} {self._in_use.left_out}"
        notice = self.query_one("#notice", Static)
        notice.update(Content(shown(said)))
        notice.set_class(bool(self._wrong), "-wrong")

    def action_move(self, by: int) -> None:
        """Put the mark on the next number or the one before."""
        listed = self.query_one("#numbers", OptionList)
        if listed.highlighted is not None:
            listed.highlighted = max(0, min(listed.highlighted + by, len(self._found) - 1))

    def action_page(self, by: int) -> None:
        """Put the mark a screenful on or back."""
        height = self.query_one("#numbers", OptionList).size.height
        self.action_move(by * max(1, height // 2))

    def action_open(self) -> None:
        """Show the number at the mark, whole."""
        at = self.query_one("#numbers", OptionList).highlighted
        if at is not None and at < len(self._found):
            self.app.push_screen(NumberScreen(self._found[at]))

    @on(OptionList.OptionSelected, "#numbers")
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.app.push_screen(NumberScreen(self._found[event.option_index]))


class NumberScreen(Framed):
    """One number: its citation, its rows, what uses it, what a club put in its place."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", "back")]
    DEFAULT_CSS: ClassVar[str] = """
    NumberScreen #number { height: 1fr; padding: 0 1; scrollbar-size-vertical: 1; }
    NumberScreen #number Static { height: auto; }
    """

    def __init__(self, number: Number) -> None:
        super().__init__()
        self._number = number

    def body(self) -> ComposeResult:
        """Yield all that is known of the number."""
        lines = [*whole_lines(self._number)[1:], *row_lines(self._number)]
        with VerticalScroll(id="number"):
            yield Static(Content(shown(f"{self._number.address}")).stylize("bold"))
            yield Static(Content(shown(f"  {self._number.value}")).stylize("bold"))
            yield Static(Content("\n").join(Content(shown(line)) for line in lines))
        yield Static(CHECK_THEM, id="notice", markup=False)

    def on_mount(self) -> None:
        """Put the focus on the text, so that the keys scroll it."""
        self.query_one("#number").focus()
        self.title_line.say("Number", f"{self._number.address}")


def _brief(number: Number) -> Content:
    first, second = brief_lines(number)
    return Content("\n").join([Content(shown(first)), Content(f"    {shown(second)}")])
