"""The form for an entry of a station file: what is asked, what may be given, nothing lost."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from textual import events, on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from checklist.plaintext import shown
from checklist.screens.asking import Asking
from checklist.screens.walking.form import Form
from checklist.screens.walking.formrow import FormRow
from checklist.sessions.entryrows import Check, Row
from checklist.station import givenas
from checklist.station.asked import Asked, Typed
from checklist.station.lineform import checked, checked_named, understood
from checklist.station.reading import Known
from checklist.station.records import ByName
from checklist.station.shapes import Naming, Shape

_SHORT_EXAMPLE = 44

Values = dict[str, str | list[str]]
Keep = Callable[[Values], None]


@dataclass(frozen=True, slots=True)
class Around:
    """What a value may name: modes, cables and limits outside the file, and names inside it."""

    known: Known
    names: Mapping[str, Sequence[str]]


class _Kept(Form):
    """A form that says when something was typed."""

    def __init__(self, rows: Sequence[Row], typed: Callable[[], None]) -> None:
        super().__init__(rows, takes_unknown=False)
        self._typed = typed

    @on(Input.Changed)
    def _was_typed(self) -> None:
        self._typed()

    def values(self) -> Values:
        """Return what stands in the rows, whether it is right or not."""
        values: Values = {}
        for row in self.query(FormRow):
            if not row.row.many:
                values[row.row.name] = row.text
                continue
            lines = values.setdefault(row.row.name, [])
            if row.text and isinstance(lines, list):
                lines.append(row.text)
        return values


class AskEntry(Asking[Values]):
    """Asks for the values of an entry; below stands what may be given in the row at hand."""

    def __init__(
        self,
        title: str,
        asked: Sequence[Asked],
        typed: Typed,
        around: Around,
        *,
        wrong: str = "",
        keep: Keep | None = None,
    ) -> None:
        super().__init__()
        self._title, self._asked, self._around = title, tuple(asked), around
        self._before, self._wrong, self._keep = typed, wrong, keep

    def question(self) -> ComposeResult:
        """Yield the title, what was wrong, the fields, and what may be given in the one at hand."""
        yield Static(shown(self._title), markup=False, classes="title")
        if self._wrong:
            yield Static(shown(self._wrong), markup=False, classes="stop")
        rows = [r for one in self._asked for r in _rows(one, self._before, self._around)]
        yield _Kept(rows, self._keep_now)
        yield Static(id="given", markup=False)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Say what the row at hand means and what may be given."""
        row = next((one for one in event.widget.ancestors if isinstance(one, FormRow)), None)
        found = next((one for one in self._asked if row and one.name == row.row.name), None)
        if found is not None:
            self.query_one("#given", Static).update(Content(shown(_said(found, self._around))))

    def _keep_now(self) -> None:
        """Keep what stands in the form; at every key, so that a kill loses nothing that rested."""
        if self._keep is not None and self.query(_Kept):
            self._keep(self.query_one(_Kept).values())

    def action_dismiss_unanswered(self) -> None:
        """Go back; what stands in the form is kept where it can be gone on with."""
        self._keep_now()
        self.dismiss(None)

    @on(Form.Given)
    def _given(self, event: Form.Given) -> None:
        self.dismiss(dict(event.values))


def _rows(asked: Asked, typed: Typed, around: Around) -> list[Row]:
    held = typed.get(asked.name, "")
    lines = [held] if isinstance(held, str) else list(held)
    choices = givenas.choices(asked.shape, around.known, around.names)
    example = asked.columns or asked.example or " | ".join(choices)
    hint = example if len(example) <= _SHORT_EXAMPLE else f"{example[: _SHORT_EXAMPLE - 1]}…"
    if asked.is_optional:
        hint = f"{hint}, or empty" if hint else "or empty"
    row = Row(
        asked.name, asked.label, hint, lines[0] if lines else "",
        known=choices,
        check=_check(asked.shape, around, may_be_none=asked.is_many),
        may_be_empty=asked.is_optional, many=asked.is_many,
    )  # fmt: skip
    more = [
        Row(row.name, f"another {row.label}", hint, line, row.known, row.check,
            may_be_empty=True, many=True)
        for line in lines[1:]
    ]  # fmt: skip
    return [row, *more]


def _check(shape: Shape, around: Around, *, may_be_none: bool) -> Check:
    def check(text: str) -> str:
        if may_be_none and text == "none":
            return "none there"
        if isinstance(shape, ByName):
            name, value = checked_named(shape, text, around.known)
            return f"{name} {understood(value)}".strip()
        within = isinstance(shape, Naming) and shape.sections == ("wires",)
        names = None if within else around.names  # wires are named in the same form
        return understood(checked(shape, text, around.known, names)[1])

    return check


def _said(asked: Asked, around: Around) -> str:
    if asked.columns:
        example = asked.example
        return f"{asked.means}. One to a row: {asked.columns}. As: {example}"
    given = givenas.may_be_given(asked.shape, around.known, around.names)
    return f"{asked.means}. Give {given}."
