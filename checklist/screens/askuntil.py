"""A form that stays until something could be made of what was typed."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Generic, TypeVar

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from checklist.errors import StandclearError
from checklist.screens.asking import AskForm
from checklist.screens.longwork import in_thread
from checklist.screens.walking.field import Field
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.sessions.entryrows import Row
from checklist.stopping import Tell

if TYPE_CHECKING:
    from checklist.screens.doors import Doors

_Made = TypeVar("_Made")


class AskUntil(AskForm, Generic[_Made]):
    """Asks for texts, and stays while something is made of them.

    A key pressed meanwhile goes nowhere: on the screen below it could mean anything.
    """

    def __init__(
        self,
        title: str,
        says: Sequence[str],
        rows: Sequence[Row],
        attempted: Callable[[dict[str, str]], Awaitable[_Made]],
        refused: StandclearError | None = None,
    ) -> None:
        """Take what is asked, what makes something of it, and why the last try was refused."""
        super().__init__(title, says, rows, refused.sentence() if refused else "")
        self._attempted, self._refused = attempted, refused
        self._is_trying = False
        self.made: _Made | None = None
        """What was made of the texts."""

        self.error: StandclearError | None = None
        """Why nothing was made of them; None where something was."""

    def question(self) -> ComposeResult:
        """Yield the form, and a line for how far it is."""
        yield from super().question()
        yield Static("", id="notice", markup=False)

    def on_mount(self) -> None:
        """Put the cursor where something is to be typed anew."""
        if self._refused is not None:
            self.call_after_refresh(self._to_what_is_wrong, self._refused)

    def _to_what_is_wrong(self, refused: StandclearError) -> None:
        rows = list(self.query(FormRow))
        named = [row for row in rows if refused.where in {row.row.name, row.row.label}]
        secret = [row for row in rows if row.row.secret]
        for row in (named or secret or rows[-1:])[:1]:
            row.query_one(Field).focus()

    def action_dismiss_unanswered(self) -> None:
        """Go back, but not while something is being made: nobody would hear what came of it."""
        if not self._is_trying:
            super().action_dismiss_unanswered()

    @on(Form.Given)
    def _given(self, event: Form.Given) -> None:
        event.prevent_default()  # AskForm would give the texts at once
        if not self._is_trying:
            self._try({name: str(text) for name, text in event.values.items()})

    @work
    async def _try(self, values: dict[str, str]) -> None:
        self._is_trying = True
        self.set_focus(None)
        self.query_one("#notice", Static).update("One moment ...")
        try:
            self.made = await self._attempted(dict(values))
        except StandclearError as error:
            self.error = error
        self.give(values)


async def until_it_holds(
    app: Doors,
    title: str,
    says: Sequence[str],
    rows: Sequence[Row],
    attempt: Callable[[dict[str, str]], _Made],
) -> _Made | None:
    """Ask until `attempt` takes what was typed, or somebody goes back; it runs in a thread.

    Nothing typed is lost but passphrases, which are typed anew.
    """
    return await _asked_for(
        app, title, says, rows, lambda values: asyncio.to_thread(attempt, values)
    )


async def until_long_work_holds(
    app: Doors,
    title: str,
    says: Sequence[str],
    rows: Sequence[Row],
    what: str,
    attempt: Callable[[dict[str, str], Tell], _Made],
) -> _Made | None:
    """Do what `until_it_holds` does where it takes long: `what` is said with how far it is.

    Escape stops it, and it is asked again.
    """

    async def attempted(values: dict[str, str]) -> _Made:
        return await in_thread(app, what, lambda tell: attempt(values, tell))

    return await _asked_for(app, title, says, rows, attempted)


async def _asked_for(
    app: Doors,
    title: str,
    says: Sequence[str],
    rows: Sequence[Row],
    attempted: Callable[[dict[str, str]], Awaitable[_Made]],
) -> _Made | None:
    refused: StandclearError | None = None
    while True:
        asked = AskUntil(title, says, rows, attempted, refused)
        values = await app.push_screen_wait(asked)
        if values is None or asked.error is None:
            return asked.made
        refused = asked.error
        rows = [replace(row, value="" if row.secret else values.get(row.name, "")) for row in rows]
