"""What is asked for each kind of step, field by field: for the screens and for line by line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from checklist.calculations.kinds import Input
from checklist.calculations.reading import is_unknown
from checklist.calculations.run import check_input
from checklist.errors import StandclearError
from checklist.names import name_key
from checklist.quantities import both, parse_quantity
from checklist.rulefile import (
    Choice,
    Compute,
    Confirm,
    OfStation,
    People,
    Reading,
    Step,
    Tag,
    TagsOff,
    Text,
)
from checklist.sessions.known import Known
from checklist.walk.answers import (
    Answer,
    Described,
    Hung,
    HungTag,
    Inputs,
    Person,
    Present,
    Sought,
    Written,
)
from checklist.walk.entry import require_may_not_apply
from checklist.walk.entrylines import read_date, read_tag, sets_aside
from checklist.walk.wording import OTHERS

Check = Callable[[str], str]
"""Returns how a text is understood; raises StandclearError where it is not."""

Values = dict[str, str | list[str]]
"""What was typed, by the names of the rows; a list where a row may be repeated."""


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
    offer: tuple[str, ...] = ()
    """What was given the last time, to be taken by a key and never by itself; more than one
    only where more of the same may follow."""


def choices_for(step: Step) -> list[tuple[str, str, str]] | None:
    """Return (key, written form, label) of each answer; None where something is typed."""
    match step.kind:
        case Confirm():
            return [("y", "yes", "yes"), ("n", "no", "no"), *_always(step)]
        case Choice(options=options):
            numbered = enumerate(options.items(), start=1)
            return [*((str(n), value, label) for n, (value, label) in numbered), *_always(step)]
        case _:
            return None


def rows_for(
    step: Step, known: Known, last: Answer | None = None, before: Answer | None = None
) -> list[Row]:
    """Return the fields of a step that is typed, completed from the registers.

    What was typed for the `last` answer in this walk stands in it again, ready to be changed;
    only a reading is always taken anew. What was answered `before`, in another walk, is
    offered; of readings only the instrument ever is, since they are of the day.
    """
    rows = [_with_words(step, row) for row in _rows(step, known, last)]
    if rows and step.may_not_apply:
        rows[0] = replace(rows[0], example=f"{rows[0].example}, or n/a")
    return rows if last is not None or before is None else _offered(step, known, rows, before)


def _rows(step: Step, known: Known, last: Answer | None) -> list[Row]:
    kind = step.kind
    match kind:
        case Reading():
            return _reading_rows(kind, known)
        case Text():
            text = last.text if isinstance(last, Written) else ""
            return [Row("text", "in words", f"e.g. {kind.example}", text)]
        case People():
            return _people_rows(kind, known, last)
        case Tag():
            return _tag_rows(known, last)
        case TagsOff():
            return _tags_off_rows(known, last)
        case OfStation():
            path = last.path if isinstance(last, Described) else ""
            return [Row("file", "station file", "its path, as ~/station.yaml", path)]
        case Compute():
            return _input_rows(kind, last)
        case _:
            return []


def _with_words(step: Step, row: Row) -> Row:
    """Return the row that understands the words of every step besides what it asks.

    Where somebody can be reached is no part of the answer, and may be unknown.
    """

    def understood(text: str) -> str:
        if sets_aside(text):
            require_may_not_apply(step)
            return "does not apply here"
        return "not known" if is_unknown(text) else row.check(text)

    return row if row.name == "reach" else replace(row, check=understood)


def _offered(step: Step, known: Known, rows: list[Row], before: Answer) -> list[Row]:
    """Return the rows with what stood in them the last time as an offer."""
    if not isinstance(before, Written | Present | Hung | Inputs | Described):
        return rows
    offers: dict[str, list[str]] = {}
    for row in _rows(step, known, before):
        if row.value:
            offers.setdefault(row.name, []).append(row.value)
    if isinstance(before, Hung):
        offers["tag"] = [_offered_tag(tag, known.crew) for tag in before.tags]
    return [replace(row, offer=tuple(offers.get(row.name, ()))) for row in rows]


def _offered_tag(tag: HungTag, crew: Sequence[str]) -> str:
    """Return a tag as it hung; of somebody who is not here today only the point."""
    if crew and name_key(tag.person) not in map(name_key, crew):
        return f"{tag.point},"
    return _tag_text(tag)


def _tag_text(tag: HungTag) -> str:
    return f"{tag.point}, {tag.lock}, {tag.person}"


def _always(step: Step) -> list[tuple[str, str, str]]:
    aside = [("a", "does not apply", "does not apply here")] if step.may_not_apply else []
    return [("?", "don't know", "don't know"), *aside]


def _reading_rows(kind: Reading, known: Known) -> list[Row]:
    def understood(text: str) -> str:
        return f"= {both(parse_quantity(text, kind.dimension), 4)}"

    rows = [Row("reading", "reading", f"e.g. {kind.example}", check=understood)]
    if kind.instrument:
        rows.append(
            Row(
                "instrument",
                "measured with",
                kind.instrument,
                value=known.instrument_at_hand(kind.instrument),
                known=known.instruments(kind.instrument),
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


def _tag_rows(known: Known, last: Answer | None) -> list[Row]:
    hung = [_tag_text(tag) for tag in last.tags] if isinstance(last, Hung) else []
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
        check_input(kind.calculation, field.name, [text] if field.columns else text)
        if field.choices is not None:
            return field.choices.get(text, "")
        return f"= {both(parse_quantity(text, field.dimension), 4)}" if field.dimension else ""

    choices = tuple(field.choices or ())
    return Row(
        field.name,
        field.meaning,
        f"{_as_typed(field, choices)}{', or empty' if field.optional else ''}",
        known=choices,
        check=understood,
        may_be_empty=field.optional,
    )


_FITS = 34
"""Characters of a list of choices that a field shows whole at 80 columns."""


def _as_typed(field: Input, choices: Sequence[str]) -> str:
    """Return all that can be given where it fits into the field, else an example of it."""
    *others, last = choices or [""]
    listed = f"{', '.join(others)} or {last}"
    return listed if others and len(listed) <= _FITS else f"e.g. {field.example}"
