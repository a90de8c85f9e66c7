"""Asks the fields of one step line by line, each in whole sentences."""

from __future__ import annotations

from collections.abc import Callable

from checklist.calculations.reading import is_unknown
from checklist.commands.lines import say
from checklist.errors import StandclearError
from checklist.sessions.entryrows import Row, Values
from checklist.walk.entrylines import sets_aside

TAKE = "="
"""Typed alone, it takes what was given the last time."""

Hear = Callable[[str], str]
"""Returns the line typed after a prompt."""


def fill(rows: list[Row], offered_from: str, hear: Hear) -> Values:
    """Return what was typed for each row, asked again until it is understood."""
    values: Values = {}
    for row in rows:
        if not row.many:
            values[row.name] = _asked(row, row.value, offered_from, hear)
        elif row.name not in values:
            values[row.name] = _many([r for r in rows if r.name == row.name], offered_from, hear)
        if sets_aside("".join(values[row.name])):
            break  # the rest is about something that is not there
    return values


def _many(rows: list[Row], offered_from: str, hear: Hear) -> list[str]:
    """Ask lines of one kind until one is left empty; what stands there already comes first."""
    first = rows[0]
    lines: list[str] = []
    given = [row.value for row in rows if row.value]
    offers = list(first.offer)
    while True:
        value = given.pop(0) if given else ""
        offer = offers.pop(0) if offers else ""
        line = _asked(first, value, offered_from, hear, offer, is_further=bool(lines))
        if not line:
            return lines
        lines.append(line)
        if is_unknown(line) or sets_aside(line):
            return lines


def _asked(
    row: Row,
    value: str,
    offered_from: str,
    hear: Hear,
    offer: str = "",
    *,
    is_further: bool = False,
) -> str:
    offer = offer or ("".join(row.offer[:1]) if not row.many else "")
    may_be_empty = row.may_be_empty or is_further
    while True:
        typed = hear(_prompt(row, value, offer, offered_from, is_further=is_further)) or value
        typed = offer if typed == TAKE and offer else typed
        if not typed and may_be_empty:
            return ""
        try:
            said = _understood(row, typed)
        except StandclearError as error:
            say(error.sentence())
            continue
        if said:
            say(said)
        return typed


def _understood(row: Row, typed: str) -> str:
    if not typed:
        raise StandclearError("this is needed", right="Type ? if nobody knows.")
    return row.check(typed)


def _prompt(row: Row, value: str, offer: str, offered_from: str, *, is_further: bool) -> str:
    label = f"{row.label[:1].upper()}{row.label[1:]}"
    says = [f"Another {row.label}, or Enter alone when there are no more." if is_further else ""]
    if not is_further:
        says = [f"{label} ({row.example})." if row.example else f"{label}."]
    if value:
        says.append(f"Enter alone keeps: {value}.")
    elif offer:
        says.append(f"On {offered_from} it was: {offer}. {TAKE} takes that, if it still is so.")
    return " ".join(says)
