"""The entry for each kind of step: keys for what is chosen, a form for what is typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from time import monotonic
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Static

from checklist.plaintext import shown
from checklist.rulefile import Compute, Step
from checklist.screens.walking.form import Form
from checklist.sessions.entryrows import Row, choices_for, rows_for
from checklist.sessions.known import Known
from checklist.sessions.lasttime import LastTime
from checklist.walk.answers import Answer


class Chosen(Message):
    """A key or a click chose an answer; `typed` is its written form."""

    def __init__(self, typed: str) -> None:
        super().__init__()
        self.typed = typed


TYPING = 0.2
"""Seconds: keys closer together than this are somebody typing words, and answer nothing."""


class Choosable(Static):
    """One answer with its key; a click takes it."""

    def __init__(self, key: str, typed: str, label: str) -> None:
        super().__init__(Content(f"{key}  {shown(label)}"), markup=False)
        self.key, self.typed = key, typed

    def on_click(self) -> None:
        """Take this answer."""
        self.post_message(Chosen(self.typed))


class Keys(Vertical, can_focus=True):
    """Answers that are one key each, listed with their keys and clickable."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "up", show=False),
        Binding("down", "move(1)", "down", show=False),
        Binding("enter", "take", "take", show=False),
    ]

    def __init__(self, choices: Sequence[tuple[str, str, str]]) -> None:
        """Take (key, written form, label) for each answer."""
        super().__init__()
        self._lines = [Choosable(*choice) for choice in choices]
        self._at = -1
        self._meant: Timer | None = None
        self._typing_until = 0.0

    def compose(self) -> ComposeResult:
        """Yield a line for each answer."""
        yield from self._lines

    def on_key(self, event: events.Key) -> None:
        """Take the answer whose key was pressed alone; a run of keys is text gone astray."""
        if not event.is_printable:
            return
        event.stop()
        if self._meant is not None:  # a second key so soon is text, not an answer
            self._meant.stop()
            self._meant = None
            self._typing_until = monotonic() + TYPING
        elif monotonic() >= self._typing_until:
            self._meant = self.set_timer(TYPING, partial(self._take_key, event.character or ""))
        else:
            self._typing_until = monotonic() + TYPING

    def _take_key(self, character: str) -> None:
        self._meant = None
        for line in self._lines:
            if character.casefold() == line.key:
                self.post_message(Chosen(line.typed))

    def action_move(self, by: int) -> None:
        """Move the mark to another answer."""
        self._at = min(max(self._at + by, 0), len(self._lines) - 1)
        for number, line in enumerate(self._lines):
            line.set_class(number == self._at, "-at")
        self._lines[self._at].scroll_visible()

    def action_take(self) -> None:
        """Take the marked answer; Enter alone takes none, so that nothing is answered by habit."""
        if self._at >= 0:
            self.post_message(Chosen(self._lines[self._at].typed))


def entry_for(
    step: Step,
    known: Known,
    last: Answer | None = None,
    before: LastTime | None = None,
    typed: Callable[[list[Row]], list[Row]] = list,
    *,
    on_the_spot: bool = True,
) -> Widget:
    """Return the entry for a step: keys to choose from, or a form; see rows_for.

    `typed` puts into the rows what was typed there before somebody looked elsewhere. What
    guards a life and is measured on the spot is taken from the last time value by value.
    """
    choices = choices_for(step)
    if choices is not None:
        return Keys(choices)
    before = before or LastTime()
    rows = typed(rows_for(step, known, last, before.answers.get(step.id)))
    one_by_one = on_the_spot and step.guards_life and isinstance(step.kind, Compute)
    return Form(rows, offered_from=before.said, one_by_one=one_by_one)


class Waiting(Static):
    """Stands where an entry would be, when the step cannot be answered now."""

    def __init__(self, why: str) -> None:
        super().__init__(shown(why), markup=False)
