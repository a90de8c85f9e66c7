"""A form of labelled fields: the one kind of entry for everything that is typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.screens.field import Field

Check = Callable[[str], str]
"""Returns how a text is understood; raises StandclearError where it is not."""


def _no_check(text: str) -> str:
    return ""


@dataclass(frozen=True, slots=True)
class Row:
    """One labelled field."""

    name: str
    label: str
    example: str = ""
    value: str = ""
    known: Sequence[str] = ()
    check: Check = field(default=_no_check)
    may_be_empty: bool = False
    many: bool = False
    """Whether more of the same may follow, until one is left empty."""

    secret: bool = False


_SHORT = 24
"""Characters of a label that fits beside its field without more room."""


class FormRow(Vertical):
    """A label, its field, and below them how the text is understood or what is wrong."""

    def __init__(self, row: Row) -> None:
        super().__init__()
        self.row = row

    def compose(self) -> ComposeResult:
        """Yield label and field on one line, the understanding below."""
        with Horizontal():
            yield Static(shown(self.row.label), markup=False, classes="label")
            yield Field(
                self.row.value,
                example=self.row.example,
                known=self.row.known,
                secret=self.row.secret,
            )
        yield Static("", markup=False, classes="understood")

    @property
    def text(self) -> str:
        """What stands in the field."""
        return self.query_one(Field).value.strip()

    def complaint(self) -> str:
        """Return what is wrong with the text in one sentence, or an empty text."""
        if not self.text:
            return "" if self.row.may_be_empty else "This is needed; ? stands for don't know."
        if self.text == "?":
            return ""
        try:
            self.row.check(self.text)
        except StandclearError as error:
            return error.sentence()
        return ""

    def understand(self, *, complain: bool = False) -> None:
        """Show how the text is understood; what is wrong with it only where `complain` is set."""
        understood = self.query_one(".understood", Static)
        text, wrong = "", ""
        if self.text and self.text != "?":
            try:
                text = self.row.check(self.text)
            except StandclearError as error:
                wrong = error.sentence()
        elif complain:
            wrong = self.complaint()
        show_wrong = bool(wrong) and complain
        understood.update(Content(shown(wrong if show_wrong else text)))
        understood.set_class(show_wrong, "-wrong")
        understood.display = bool(text) or show_wrong


class Form(Vertical):
    """Rows of fields; Enter goes to the next, and on the last gives them all."""

    class Given(Message):
        """All rows are filled and understood."""

        def __init__(self, form: Form, values: dict[str, str | list[str]]) -> None:
            super().__init__()
            self.form = form
            self.values = values

        @property
        def control(self) -> Form:
            """The form, for message selectors."""
            return self.form

    def __init__(self, rows: Sequence[Row], *, id: str | None = None) -> None:  # noqa: A002 - Textual's name
        super().__init__(id=id)
        self._rows = tuple(rows)
        self.set_class(any(len(row.label) > _SHORT for row in rows), "-long")

    def compose(self) -> ComposeResult:
        """Yield a row for each field."""
        for row in self._rows:
            yield FormRow(row)

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
        if not isinstance(row, FormRow):
            return
        if row.row.many and row.text and await self._another(row):
            return
        wrong = row.complaint()
        row.understand(complain=True)
        if wrong:
            return
        rows = list(self.query(FormRow))
        after = rows.index(row) + 1
        if after < len(rows):
            rows[after].query_one(Field).focus()
            rows[after].scroll_visible()
        else:
            self.submit()

    async def _another(self, row: FormRow) -> bool:
        """Open one more row of the same kind after `row`, unless an empty one stands there."""
        if row.complaint():
            row.understand(complain=True)
            return True
        rows = list(self.query(FormRow))
        following = rows[rows.index(row) + 1 :]
        if following and following[0].row.name == row.row.name:
            following[0].query_one(Field).focus()
            return True
        more = FormRow(
            Row(
                row.row.name,
                f"another {row.row.label.removeprefix('another ')}",
                "leave empty when there are no more",
                known=row.row.known,
                check=row.row.check,
                may_be_empty=True,
                many=True,
            )
        )
        await self.mount(more, after=row)
        more.understand()
        more.query_one(Field).focus()
        more.scroll_visible()
        return True

    def submit(self) -> None:
        """Give all values, or put the cursor where something is wrong."""
        for row in self.query(FormRow):
            if row.complaint():
                row.understand(complain=True)
                row.query_one(Field).focus()
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
