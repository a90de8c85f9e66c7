"""The events in the lines of a session file, each checked before anything is done with it.

A collected folder may hold anything that has the right hashes. What is no event of this
program, down to the last text in it, is refused here, so that whatever shows or folds
events can rely on them.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from functools import cache

from checklist.errors import StandclearError
from checklist.record.journals.lines import Line
from checklist.walk.events import Event
from checklist.walk.stored import RecordUnreadable, from_data

_NOT_EVENTS = {"begun", "abandoned", "closed"}


def event_of(line: Line) -> Event:
    """Return the event that a line holds; RecordUnreadable if any part of it is not sound."""
    event = from_data(line.what, line.data, line.at)
    if not _is_sound(event):
        raise RecordUnreadable(f"the event “{line.what}” holds something that is no text")
    return event


def events_of(lines: Iterable[Line]) -> tuple[list[Event], list[str]]:
    """Return what happened, and for each line that cannot be understood a sentence showing it."""
    events: list[Event] = []
    problems = []
    for line in lines:
        if line.what in _NOT_EVENTS:
            continue
        try:
            events.append(event_of(line))
        except StandclearError as problem:
            kept = json.dumps(line.data, ensure_ascii=False)
            problems.append(f"Line {line.number}: {problem.sentence()}. It holds: {kept}")
    return events, problems


@cache
def _declared(kind: type) -> tuple[tuple[str, str], ...]:
    return tuple((field.name, str(field.type)) for field in fields(kind))


def _is_sound(value: object) -> bool:
    """Say whether every text that a dataclass declares, at any depth, is one."""
    if is_dataclass(value) and not isinstance(value, type):
        return all(
            _fits(getattr(value, name), declared) for name, declared in _declared(type(value))
        )
    if isinstance(value, tuple):
        return all(_is_sound(item) for item in value)
    return True


def _fits(value: object, declared: str) -> bool:
    if declared == "str":
        return isinstance(value, str)
    if declared == "tuple[str, ...]":
        return isinstance(value, tuple) and all(isinstance(item, str) for item in value)
    if declared.startswith("Mapping[str, str"):
        return isinstance(value, Mapping) and all(
            isinstance(name, str) and _is_text_or_texts(item) for name, item in value.items()
        )
    return _is_sound(value)


def _is_text_or_texts(value: object) -> bool:
    if isinstance(value, tuple):
        return all(isinstance(item, str) for item in value)
    return isinstance(value, str)
