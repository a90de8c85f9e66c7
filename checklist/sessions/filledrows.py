"""What filled fields say: the answer in its written form, as the walk reads it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from checklist.calculations.reading import is_unknown
from checklist.rulefile import Compute, OfStation, People, Reading, Role, Step, Tag, TagsOff, Text
from checklist.sessions.entryrows import whole_tag
from checklist.walk.entrylines import read_date, sets_aside


def typed_form(step: Step, values: Mapping[str, str | list[str]]) -> tuple[Any, str]:
    """Return what filled rows say in the written form of answers, and the instrument."""
    texts = [t for v in values.values() for t in ([v] if isinstance(v, str) else v)]
    if any(map(sets_aside, texts)):
        return "n/a", ""
    if any(map(is_unknown, texts)) and not isinstance(step.kind, Compute):
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


def typed_answer(
    step: Step, values: Mapping[str, str | list[str]], applier: str
) -> tuple[Any, str]:
    """Return what filled rows say as the answer is read from, and the instrument.

    `applier` hangs the locks of which only point and number were typed; the row `reach` is no
    part of an answer.
    """
    given = {name: value for name, value in values.items() if name != "reach"}
    typed, instrument = typed_form(step, given)
    if isinstance(step.kind, Tag) and isinstance(typed, list):
        return [whole_tag(line, applier) for line in typed], instrument
    return typed, instrument


def _person_line(slot: str, text: str) -> str:
    role = Role(slot.split("/")[0])
    name, _, rest = text.partition(",")
    date = rest.strip().removeprefix("trained").strip()
    return (
        f"{name.strip()}, {role}, trained {read_date(date)}" if date else f"{name.strip()}, {role}"
    )
