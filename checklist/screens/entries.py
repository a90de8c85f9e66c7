"""The entry for each kind of step: keys for what is chosen, a form for what is typed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from checklist.calculations.kinds import Input
from checklist.calculations.run import check_input
from checklist.plaintext import shown
from checklist.quantities import both, parse_quantity
from checklist.rulefile import Choice, Compute, Confirm, People, Reading, Role, Step, Tag, Text
from checklist.screens.form import Form, Row
from checklist.screens.known import Known
from checklist.walk.entry import read_date


class Chosen(Message):
    """A key or a click chose an answer; `typed` is its written form."""

    def __init__(self, typed: str) -> None:
        super().__init__()
        self.typed = typed


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

    def compose(self) -> ComposeResult:
        """Yield a line for each answer."""
        yield from self._lines

    def on_key(self, event: events.Key) -> None:
        """Take the answer whose key was pressed."""
        pressed = (event.character or "").casefold()
        for line in self._lines:
            if pressed == line.key:
                event.stop()
                self.post_message(Chosen(line.typed))

    def action_move(self, by: int) -> None:
        """Move the mark to another answer."""
        self._at = (self._at + by) % len(self._lines) if self._at >= 0 else 0
        for number, line in enumerate(self._lines):
            line.set_class(number == self._at, "-at")
        self._lines[self._at].scroll_visible()

    def action_take(self) -> None:
        """Take the marked answer; Enter alone takes none, so that nothing is answered by habit."""
        if self._at >= 0:
            self.post_message(Chosen(self._lines[self._at].typed))


def entry_for(step: Step, known: Known) -> Widget:
    """Return the entry for a step, prefilled and completed from the registers."""
    kind = step.kind
    match kind:
        case Confirm():
            return Keys([("y", "yes", "yes"), ("n", "no", "no"), *_always(step)])
        case Choice():
            numbered = enumerate(kind.options.items(), start=1)
            return Keys(
                [*((str(n), value, label) for n, (value, label) in numbered), *_always(step)]
            )
        case Reading():
            return Form(_reading_rows(kind, known))
        case Text():
            return Form([Row("text", "in words", kind.example)])
        case People():
            return Form(_people_rows(kind, known))
        case Tag():
            return Form([_tag_row(known)])
        case Compute():
            return Form(_input_rows(kind))


def typed_form(step: Step, values: dict[str, str | list[str]]) -> tuple[Any, str]:
    """Return what a filled form says in the written form of answers, and the instrument."""
    if any(value == "?" for value in values.values()) and not isinstance(step.kind, Compute):
        return "don't know", ""
    match step.kind:
        case Reading():
            return values["reading"], str(values.get("instrument", ""))
        case Text():
            return values["text"], ""
        case People():
            return [_person_line(name, str(text)) for name, text in values.items()], ""
        case Tag():
            return values.get("tag", []), ""
        case _:
            return {name: value for name, value in values.items() if value}, ""


def _always(step: Step) -> list[tuple[str, str, str]]:
    aside = [("a", "does not apply", "does not apply here")] if step.may_not_apply else []
    return [("?", "don't know", "don't know"), *aside]


def _reading_rows(kind: Reading, known: Known) -> list[Row]:
    def understood(text: str) -> str:
        return f"= {both(parse_quantity(text, kind.dimension), 4)}"

    rows = [Row("reading", "reading", f"as in {kind.example}", check=understood)]
    if kind.instrument:
        instruments = known.instruments(kind.instrument)
        rows.append(
            Row(
                "instrument",
                "measured with",
                kind.instrument,
                value=instruments[0] if instruments else "",
                known=instruments,
            )
        )
    return rows


def _people_rows(kind: People, known: Known) -> list[Row]:
    rows = []
    for role, count in kind.roles.items():
        dated = role in kind.trained
        example = "Name, trained 2025-04" if dated else "Name"
        for number in range(1, count + 1):
            label = f"{role} {number}" if count > 1 else str(role)
            rows.append(Row(f"{role}/{number}", label, example, known=known.people(dated)))
    return rows


def _person_line(slot: str, text: str) -> str:
    role = Role(slot.split("/")[0])
    name, _, rest = text.partition(",")
    date = rest.strip().removeprefix("trained").strip()
    return (
        f"{name.strip()}, {role}, trained {read_date(date)}" if date else f"{name.strip()}, {role}"
    )


def _tag_row(known: Known) -> Row:
    return Row(
        "tag",
        "lock and tag",
        "mark at the point, lock number, who hung it",
        known=known.points(),
        check=_tag_parts,
        many=True,
    )


def _tag_parts(text: str) -> str:
    from checklist.walk.entry import read_tag

    tag = read_tag(text)
    return f"point {tag.point}, lock {tag.lock}, hung by {tag.person}"


def _input_rows(kind: Compute) -> list[Row]:
    return [_input_row(kind, i) for i in kind.calculation.inputs if i.name not in kind.inputs]


def _input_row(kind: Compute, field: Input) -> Row:
    def understood(text: str) -> str:
        check_input(kind.calculation, field.name, [text] if field.columns else text)
        if field.choices is not None:
            return field.choices.get(text, "")
        return f"= {both(parse_quantity(text, field.dimension), 4)}" if field.dimension else ""

    example = field.example or (" | ".join(field.choices) if field.choices else "")
    return Row(
        field.name,
        field.meaning,
        f"{example}{', or empty' if field.optional else ''}",
        check=understood,
        may_be_empty=field.optional,
        many=bool(field.columns),
    )


class Waiting(Static):
    """Stands where an entry would be, when the step cannot be answered now."""

    def __init__(self, why: str) -> None:
        super().__init__(shown(why), markup=False)
