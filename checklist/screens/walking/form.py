"""A form of labelled fields: the one kind of entry for everything that is typed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Input, Static

from checklist.plaintext import shown
from checklist.screens.walking.drafts import Typed
from checklist.screens.walking.field import Field
from checklist.screens.walking.formrow import FormRow
from checklist.sessions.entryrows import Row, Values

_SHORT = 24
"""Characters of a label that fits beside its field without more room."""


TAKE = "f2"
"""The key that takes what was given the last time."""


class Form(Vertical):
    """Rows of fields; Enter goes to the next, and on the last gives them all.

    Where something is offered from the last time, one key puts it into the fields, all at
    once or, where each value is to be looked at, one by one. Nothing is given by it.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(TAKE, "take_offer", "as last time", show=False)  # the form itself says it
    ]

    class Given(Message):
        """All rows are filled and understood."""

        def __init__(self, form: Form, values: Values) -> None:
            super().__init__()
            self.form = form
            self.values = values

        @property
        def control(self) -> Form:
            """The form, for message selectors."""
            return self.form

    def __init__(
        self,
        rows: Sequence[Row],
        *,
        offered_from: str = "",
        one_by_one: bool = False,
        takes_unknown: bool = True,
        id: str | None = None,  # noqa: A002 - Textual's name
    ) -> None:
        """Take the rows, the day from which something is offered, and whether ? is said to do."""
        super().__init__(id=id)
        self._takes_unknown = takes_unknown
        self._rows = tuple(rows)
        self._offered_from, self._one_by_one = offered_from, one_by_one
        self.set_class(any(len(row.label) > _SHORT for row in rows), "-long")

    def compose(self) -> ComposeResult:
        """Yield what can be taken from the last time, then a row for each field."""
        if self.has_offers:
            what = "this value" if self._one_by_one else "all of it"
            said = f"F2 puts in {what} as on {self._offered_from}: look whether it still is so."
            yield Static(shown(said), markup=False, classes="quiet")
        for row in self._rows:
            yield FormRow(row, takes_unknown=self._takes_unknown)

    @property
    def has_offers(self) -> bool:
        """Whether anything of the last time can be taken."""
        return any(row.offer for row in self._rows)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer the key only where it takes something."""
        return self.has_offers if action == "take_offer" else True

    async def action_take_offer(self) -> None:
        """Put in what was given the last time, and leave it to be looked at and given."""
        rows = list(self.query(FormRow))
        at = next((row for row in rows if row.has_focus_within), rows[0])
        taken = [at] if self._one_by_one else rows
        for row in taken:
            row.take_offer()
            if not self._one_by_one:
                await self._take_more(row)
        after = list(self.query(FormRow))
        empty = [r for r in after if not r.text and (r.row.offer or not r.row.may_be_empty)]
        (empty or after[-1:])[0].query_one(Field).focus()

    async def _take_more(self, row: FormRow) -> None:
        """Open a row for each further line that was given the last time."""
        if not row.row.many or row.text != "".join(row.row.offer[:1]):
            return
        for further in row.row.offer[1:]:
            row = await self._row_after(row)
            row.query_one(Field).value = further

    def on_mount(self) -> None:
        """Show what prefilled fields mean, and begin at the first empty one."""
        if any(not row.query(Field) for row in self.query(FormRow)):
            return  # the form was taken away again before it was whole
        for row in self.query(FormRow):
            row.understand()
        self.focus_first()

    def focus_first(self) -> None:
        """Put the cursor into the first field that must still be filled, or the first of all."""
        rows = list(self.query(FormRow))
        empty = [r for r in rows if not r.text and not r.row.may_be_empty]
        for found in (empty or rows)[:1]:
            found.query_one(Field).focus()

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        row = event.input.parent.parent if event.input.parent else None
        if isinstance(row, FormRow):
            row.understand()

    @on(Field.Entered)
    async def _entered(self, event: Field.Entered) -> None:
        event.stop()
        row = event.field.parent.parent if event.field.parent else None
        if isinstance(row, FormRow):
            await self._go_on(row)
        event.heard.set()

    async def _go_on(self, row: FormRow) -> None:
        """Put the cursor where the next key belongs, or give all values behind the last row."""
        if row.row.many and row.text and await self._another(row):
            return
        wrong = row.complaint()
        row.understand(complain=True)
        if wrong:
            self.call_after_refresh(row.scroll_visible)  # with what is wrong, and what is offered
            return
        rows = list(self.query(FormRow))
        after = rows.index(row) + 1
        if after < len(rows):
            self._put_cursor(rows[after])
            rows[after].scroll_visible()
        else:
            self.submit()

    @on(Field.Pasted)
    async def _pasted(self, event: Field.Pasted) -> None:
        """Put each pasted line into a row of its own, the first where the cursor is."""
        event.stop()
        row = event.field.parent.parent if event.field.parent else None
        if not isinstance(row, FormRow):
            return
        event.field.insert_text_at_cursor(event.lines[0])
        for line in event.lines[1:]:
            row = await self._row_after(row)
            row.query_one(Field).value = line
        row.query_one(Field).focus()
        row.scroll_visible()

    async def _another(self, row: FormRow) -> bool:
        """Open one more row of the same kind after `row`, unless an empty one stands there."""
        if row.complaint():
            row.understand(complain=True)
            return True
        rows = list(self.query(FormRow))
        following = rows[rows.index(row) + 1 :]
        if following and following[0].row.name == row.row.name:
            self._put_cursor(following[0])
            return True
        more = await self._row_after(row)
        self._put_cursor(more)
        more.scroll_visible()
        return True

    def _put_cursor(self, row: FormRow) -> None:
        """Put the cursor into a row now; `focus()` would do so only after keys that are waiting."""
        self.screen.set_focus(row.query_one(Field))

    async def _row_after(self, row: FormRow) -> FormRow:
        """Open one more row of the same kind."""
        label = f"another {row.row.label.removeprefix('another ')}"
        example = "leave empty when there are no more"
        more = FormRow(
            replace(row.row, label=label, example=example, value="", may_be_empty=True, offer=())
        )
        await self.mount(more, after=row)
        more.understand()
        return more

    @property
    def typed(self) -> Typed:
        """What stands in the fields now, but for passphrases."""
        rows = [row for row in self.query(FormRow) if row.query(Field) and not row.row.secret]
        return tuple((row.row.name, row.text) for row in rows)

    @property
    def is_touched(self) -> bool:
        """Whether anything stands there that did not at the beginning."""
        begun = [(row.name, row.value) for row in self._rows if not row.secret]
        return list(self.typed) != begun

    def submit(self) -> None:
        """Give all values, or put the cursor where something is wrong."""
        for row in self.query(FormRow):
            if row.complaint():
                row.understand(complain=True)
                self._put_cursor(row)
                return
        values: dict[str, str | list[str]] = {}
        for row in self.query(FormRow):
            if not row.row.many:
                values[row.row.name] = row.text
            elif row.text:
                lines = values.setdefault(row.row.name, [])
                if isinstance(lines, list):
                    lines.append(row.text)
        self.post_message(self.Given(self, values))
