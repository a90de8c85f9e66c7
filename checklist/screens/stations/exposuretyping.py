"""Choosing a value of the station, and the line into which another one is typed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from checklist.plaintext import shown
from checklist.screens.asking import Asking
from checklist.screens.marklist import MarkList
from checklist.screens.walking.field import Field
from checklist.sessions.variants.steps import Value


class ChooseValue(Asking[Value]):
    """Asks which value of the station is to be tried at another; typing narrows the list."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "mark(1)", "down", show=False, priority=True),
        Binding("up", "mark(-1)", "up", show=False, priority=True),
    ]
    DEFAULT_CSS: ClassVar[str] = """
    ChooseValue OptionList { height: auto; max-height: 12; border: none; }
    ChooseValue Field { background: $panel; }
    """

    def __init__(self, values: Sequence[Value]) -> None:
        super().__init__()
        self._values, self._listed = tuple(values), tuple(values)

    def question(self) -> ComposeResult:
        """Yield a field that narrows the list, and the list."""
        yield Static("Which value do you want to try?", markup=False, classes="title")
        yield Field(example="type a part of the name, or ↑ ↓; Enter takes it", id="part")
        yield MarkList(id="values", markup=False)

    def on_mount(self) -> None:
        """Begin in the field, with everything listed."""
        self.query_one("#values", OptionList).can_focus = False
        self.query_one(Field).focus()
        self._list()

    def _list(self) -> None:
        parts = self.query_one(Field).value.casefold().split()
        self._listed = tuple(v for v in self._values if all(p in _words(v) for p in parts))
        options = self.query_one("#values", OptionList)
        options.clear_options()
        options.add_options(
            Option(Content(shown(f"{v.of}  {v.word}: {v.now}"))) for v in self._listed
        )
        options.highlighted = 0 if self._listed else None

    @on(Input.Changed)
    def _narrowed(self, event: Input.Changed) -> None:
        event.stop()
        self._list()

    def action_mark(self, by: int) -> None:
        """Move the mark in the list."""
        options = self.query_one("#values", OptionList)
        options.action_cursor_down() if by > 0 else options.action_cursor_up()

    @on(Field.Entered)
    def _entered(self, event: Field.Entered) -> None:
        event.stop()
        at = self.query_one("#values", OptionList).highlighted
        if at is not None:
            self.dismiss(self._listed[at])

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.dismiss(self._listed[event.option_index])


class TryLine(Vertical):
    """What is tried, how it stands, and the field for another value; hidden while none is."""

    DEFAULT_CSS: ClassVar[str] = """
    TryLine { height: auto; display: none; padding: 0 1; }
    TryLine.-open { display: block; }
    TryLine Field { background: $panel; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.value: Value | None = None

    def compose(self) -> ComposeResult:
        """Yield what is tried and the field."""
        yield Static(id="tried", markup=False)
        yield Field(id="try")

    @property
    def text(self) -> str:
        """What was typed, without blanks at its ends."""
        return self.query_one(Field).value.strip()

    def open(self, value: Value) -> None:
        """Begin to try another value."""
        self.value = value
        field = self.query_one(Field)
        with self.prevent(Input.Changed):
            field.value = ""
        field.placeholder = f"as {value.example}"
        self.say("")
        self.set_class(True, "-open")
        field.focus()

    def say(self, understood: str) -> None:
        """Show beside what is tried how the text is understood."""
        value = self.value
        if value is None:
            return
        now = f"try {value.of}, {value.word}, now {value.now}"
        keys = f"{value.means}. Enter keeps it, Tab leads to the keys above, Esc leaves"
        text = f"{now}; tried: {understood}" if understood else f"{now}: {keys}"
        self.query_one("#tried", Static).update(Content(shown(text)))

    def close(self) -> None:
        """Leave it."""
        self.value = None
        self.set_class(False, "-open")


def _words(value: Value) -> str:
    return f"{value.of} {value.word} {value.means}".casefold()
