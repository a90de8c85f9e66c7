"""A one-line field for text from people, which loses nothing that is pasted into it."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from contextlib import suppress
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.suggester import Suggester
from textual.widgets import Input

from checklist.plaintext import LONGEST

LONGEST_HELD_S = 0.25
"""Seconds for which a key may wait behind Enter; a form takes some milliseconds."""

_MOST_LINES = 100
"""Lines of a paste: more than any form takes, and few enough to be put in at once."""


def completed(known: Sequence[str], typed: str) -> str:
    """Return the first known entry that goes on from what is typed; empty where none does."""
    begun = typed.casefold()
    longer = (one for one in known if one.casefold().startswith(begun) and len(one) > len(typed))
    return next(longer, "") if begun else ""


class FromRegister(Suggester):
    """Completes from what the registers know, at the beginning of any entry."""

    def __init__(self, known: Sequence[str]) -> None:
        super().__init__(use_cache=False, case_sensitive=False)
        self._known = tuple(known)

    async def get_suggestion(self, value: str) -> str | None:
        """Return the first known entry that goes on from `value`."""
        return completed(self._known, value) or None


class Field(Input):
    """Enter gives the text; lines that are pasted are joined, since the field has one line."""

    BINDINGS: ClassVar[list[BindingType]] = [
        # First of all: a slow line brings several keys at once, and what follows Tab is the next
        # field's. Textual would move on only when all of them have come to this one.
        Binding("tab,down", "app.focus_next", "next field", show=False, priority=True),
        Binding("shift+tab,up", "app.focus_previous", "previous field", show=False, priority=True),
    ]

    class Entered(Message):
        """Enter was pressed in a field."""

        def __init__(self, field: Field) -> None:
            super().__init__()
            self.field = field
            self.heard = asyncio.Event()
            """Set by a form once the cursor is where the next key belongs."""

        @property
        def control(self) -> Field:
            """The field, for message selectors."""
            return self.field

    class Pasted(Message):
        """Several lines were pasted where more of the same may follow."""

        def __init__(self, field: Field, lines: list[str]) -> None:
            super().__init__()
            self.field, self.lines = field, lines

        @property
        def control(self) -> Field:
            """The field, for message selectors."""
            return self.field

    def __init__(
        self,
        value: str = "",
        *,
        example: str = "",
        known: Sequence[str] = (),
        secret: bool = False,
        takes_lines: bool = False,
        id: str | None = None,  # noqa: A002 - Textual's own name for it
    ) -> None:
        super().__init__(
            value,
            placeholder=example,
            password=secret,
            suggester=FromRegister(known) if known else None,
            id=id,
            compact=True,
            select_on_focus=False,
        )
        self.takes_lines = takes_lines

    def _on_paste(self, event: events.Paste) -> None:
        """Put in all lines of a paste; the plain Input would keep the first and drop the rest.

        Where more of the same may follow, each line becomes one of them; several lines are no
        passphrase, and nothing of them is put in.
        """
        event.stop()
        event.prevent_default()
        lines = [line.strip() for line in event.text.splitlines() if line.strip()]
        if len(event.text) > LONGEST or len(lines) > _MOST_LINES:
            self.app.notify(
                f"The paste has {len(event.text)} characters; {LONGEST} fit, in {_MOST_LINES} "
                "lines at most. Nothing was pasted.",
                markup=False,
            )
        elif self.password and len(lines) > 1:
            self.app.notify("A passphrase is one line: nothing was pasted.", markup=False)
        elif self.takes_lines and len(lines) > 1:
            self.post_message(self.Pasted(self, lines))
        else:
            self.insert_text_at_cursor("; ".join(lines))

    async def action_submit(self) -> None:
        """Say that Enter was pressed; an offered completion is taken first by the right arrow."""
        self.post_message(self.Entered(self))


class FormField(Field):
    """A field of a form: the key after Enter waits until the form has moved on.

    A slow line brings a name, Enter and a passphrase in one piece, and the passphrase must not
    come to stand where the name is.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "go on", show=False, priority=True)
    ]

    async def action_submit(self) -> None:
        """Say that Enter was pressed, and hold the next key back until that was heard."""
        entered = self.Entered(self)
        # Later: behind the keys before Enter, and behind what the field says of each of them.
        self.call_later(self.post_message, entered)
        with suppress(TimeoutError):  # a form that is just going away hears nothing
            await asyncio.wait_for(entered.heard.wait(), LONGEST_HELD_S)
