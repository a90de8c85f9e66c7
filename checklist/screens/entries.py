"""The entry for each kind of step: keys for what is chosen, a form for what is typed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from time import monotonic
from typing import Any, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Static

from checklist.calculations.kinds import Input
from checklist.calculations.reading import is_unknown
from checklist.calculations.run import check_input
from checklist.errors import StandclearError
from checklist.plaintext import shown
from checklist.quantities import both, parse_quantity
from checklist.rulefile import (
    Choice,
    Compute,
    Confirm,
    OfStation,
    People,
    Reading,
    Role,
    Step,
    Tag,
    TagsOff,
    Text,
)
from checklist.screens.form import Form, Row
from checklist.screens.known import Known
from checklist.walk.answers import Answer, Described, Hung, Inputs, Person, Present, Sought, Written
from checklist.walk.entry import read_date, read_tag
from checklist.walk.wording import OTHERS


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
        self._at = (self._at + by) % len(self._lines) if self._at >= 0 else 0
        for number, line in enumerate(self._lines):
            line.set_class(number == self._at, "-at")
        self._lines[self._at].scroll_visible()

    def action_take(self) -> None:
        """Take the marked answer; Enter alone takes none, so that nothing is answered by habit."""
        if self._at >= 0:
            self.post_message(Chosen(self._lines[self._at].typed))


def entry_for(step: Step, known: Known, last: Answer | None = None) -> Widget:
    """Return the entry for a step, completed from the registers.

    What was typed for the `last` answer stands in it again, ready to be changed; only a
    reading is always taken anew.
    """
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
            text = last.text if isinstance(last, Written) else ""
            return Form([Row("text", "in words", f"e.g. {kind.example}", text)])
        case People():
            return Form(_people_rows(kind, known, last))
        case Tag():
            return Form(_tag_rows(known, last))
        case TagsOff():
            return Form(_tags_off_rows(known, last))
        case OfStation():
            path = last.path if isinstance(last, Described) else ""
            aside = ", or n/a" if step.may_not_apply else ""
            hint = f"its path, as ~/station.yaml{aside}"
            return Form([Row("file", "station file", hint, path)])
        case Compute():
            return Form(_input_rows(kind, last))


def typed_form(step: Step, values: dict[str, str | list[str]]) -> tuple[Any, str]:
    """Return what a filled form says in the written form of answers, and the instrument."""
    if any(isinstance(value, str) and value.casefold() == "n/a" for value in values.values()):
        return "n/a", ""
    if any(value == "?" for value in values.values()) and not isinstance(step.kind, Compute):
        return "don't know", ""
    match step.kind:
        case Reading():
            return values["reading"], str(values.get("instrument", ""))
        case Text():
            return values["text"], ""
        case OfStation():
            return values["file"], ""
        case People():
            return [_person_line(name, str(text)) for name, text in values.items()], ""
        case Tag():
            return values.get("tag", []), ""
        case TagsOff():
            return {name: value for name, value in values.items() if value}, ""
        case _:
            return {name: value for name, value in values.items() if value}, ""


def _always(step: Step) -> list[tuple[str, str, str]]:
    aside = [("a", "does not apply", "does not apply here")] if step.may_not_apply else []
    return [("?", "don't know", "don't know"), *aside]


def _reading_rows(kind: Reading, known: Known) -> list[Row]:
    def understood(text: str) -> str:
        return f"= {both(parse_quantity(text, kind.dimension), 4)}"

    rows = [Row("reading", "reading", f"e.g. {kind.example}", check=understood)]
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


def _people_rows(kind: People, known: Known, last: Answer | None) -> list[Row]:
    rows = []
    before = list(last.people) if isinstance(last, Present) else []
    for role, count in kind.roles.items():
        dated = role in kind.trained
        example = "name, trained 2025-04" if dated else "name"
        for number in range(1, count + 1):
            label = f"{role} {number}" if count > 1 else str(role)
            person = next((p for p in before if p.role is role), None)
            if person:
                before.remove(person)
            value = _person_text(person) if person else ""
            rows.append(
                Row(f"{role}/{number}", label, example, value, known.people(dated), _person_parts)
            )
    return rows


def _person_text(person: Person) -> str:
    return f"{person.name}, trained {person.trained}" if person.trained else person.name


def _person_parts(text: str) -> str:
    """Return how a person's line is understood, so that a wrong date is said at its own field."""
    _, _, rest = text.partition(",")
    date = rest.strip().removeprefix("trained").strip()
    return f"trained {read_date(date)}" if date else ""


def _person_line(slot: str, text: str) -> str:
    role = Role(slot.split("/")[0])
    name, _, rest = text.partition(",")
    date = rest.strip().removeprefix("trained").strip()
    return (
        f"{name.strip()}, {role}, trained {read_date(date)}" if date else f"{name.strip()}, {role}"
    )


def _tag_rows(known: Known, last: Answer | None) -> list[Row]:
    hung = [f"{t.point}, {t.lock}, {t.person}" for t in last.tags] if isinstance(last, Hung) else []
    example = "mark at the point, lock number, who hung it"
    if known.applier:
        example = f"mark at the point, lock number (hung by {known.applier})"
    row = Row(
        "tag", "lock and tag", example, "", known.points(), partial(_tag_parts, known.applier)
    )
    rows = _repeated(row, hung)
    if known.lacks_reach:
        rows.append(
            Row(
                "reach",
                f"reach {known.applier}",
                "phone or channel for the tag, or empty",
                may_be_empty=True,
            )
        )
    return rows


def whole_tag(line: str, applier: str) -> str:
    """Return the line of a tag with its applier, where only point and lock were typed."""
    return f"{line}, {applier}" if applier and line.count(",") == 1 else line


def _tags_off_rows(known: Known, last: Answer | None) -> list[Row]:
    before = last if isinstance(last, Sought) else Sought((), "not read")
    there = before.points or tuple(dict.fromkeys(tag.point for tag in known.hanging))
    point = Row("points", "isolation point", "mark at it", "", known.named_points, known.hanging_at)
    counted = Row("counted-by", "counted by", "or empty", "", known.people(dated=False))
    counters = _repeated(counted, before.counted_by)
    return [
        *_repeated(point, there),
        Row("others", "other laptops", " | ".join(OTHERS), check=_others_text),
        *(replace(row, may_be_empty=True) for row in counters),
        Row("count", "locks counted", "or empty", before.count, may_be_empty=True),
    ]


def _others_text(text: str) -> str:
    if text not in OTHERS:
        raise StandclearError(f"“{text}” is none of {', '.join(OTHERS)}")
    return OTHERS[text]


def _repeated(row: Row, values: Sequence[str]) -> list[Row]:
    """Return rows of one name for the values there are, the first needed and the rest not."""
    first, *others = values or [""]
    return [
        replace(row, value=first, many=True),
        *(
            replace(row, label=f"another {row.label}", value=v, may_be_empty=True, many=True)
            for v in others
        ),
    ]


def _tag_parts(applier: str, text: str) -> str:
    tag = read_tag(whole_tag(text, applier))
    return f"point {tag.point}, lock {tag.lock}, hung by {tag.person}"


def _input_rows(kind: Compute, last: Answer | None) -> list[Row]:
    before = last.values if isinstance(last, Inputs) else {}
    rows = []
    for given in kind.calculation.inputs:
        if given.name in kind.inputs:
            continue
        row = _input_row(kind, given)
        value = before.get(given.name, "")
        if given.columns:
            rows.extend(_repeated(row, [value] if isinstance(value, str) else value))
        else:
            rows.append(replace(row, value=value if isinstance(value, str) else ""))
    return rows


def _input_row(kind: Compute, field: Input) -> Row:
    def understood(text: str) -> str:
        if is_unknown(text):
            return "not known"
        check_input(kind.calculation, field.name, [text] if field.columns else text)
        if field.choices is not None:
            return field.choices.get(text, "")
        return f"= {both(parse_quantity(text, field.dimension), 4)}" if field.dimension else ""

    example = field.example or (" | ".join(field.choices) if field.choices else "")
    return Row(
        field.name,
        field.meaning,
        f"e.g. {example}{', or empty' if field.optional else ''}",
        check=understood,
        may_be_empty=field.optional,
    )


class Waiting(Static):
    """Stands where an entry would be, when the step cannot be answered now."""

    def __init__(self, why: str) -> None:
        super().__init__(shown(why), markup=False)
