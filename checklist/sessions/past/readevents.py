"""The events in the lines of a session file, each checked before anything is done with it.

A collected folder may hold anything that has the right hashes. What is no event of this
program, down to the last text in it, is refused here, so that whatever shows or folds
events can rely on them.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, is_dataclass
from datetime import datetime
from functools import cache
from typing import Any

from checklist.errors import StandclearError
from checklist.record.journals.lines import Line
from checklist.walk.events import Event
from checklist.walk.stored import from_data
from checklist.walk.storedfields import RecordUnreadable

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


_PLAIN = frozenset({str, int, bool, type(None), datetime})
"""Values that hold nothing further."""

Fits = Callable[[object], bool]


def _is_sound(value: object) -> bool:
    """Say whether every text that a dataclass declares, at any depth, is one."""
    kind: Any = type(value)
    if kind in _PLAIN:
        return True
    if isinstance(value, tuple):
        return all(map(_is_sound, value))
    return all(fits(getattr(value, name)) for name, fits in _checks(kind))


@cache
def _checks(kind: type) -> tuple[tuple[str, Fits], ...]:
    """Return what each field of a dataclass must fit; nothing for any other class."""
    if not is_dataclass(kind):
        return ()
    return tuple((field.name, _check_for(str(field.type))) for field in fields(kind))


def _check_for(declared: str) -> Fits:
    if declared == "str":
        return _is_text
    if declared == "tuple[str, ...]":
        return _are_texts
    return _is_text_mapping if declared.startswith("Mapping[str, str") else _is_sound


def _is_text(value: object) -> bool:
    return isinstance(value, str)


def _are_texts(value: object) -> bool:
    return isinstance(value, tuple) and all(map(_is_text, value))


def _is_text_mapping(value: object) -> bool:
    return isinstance(value, Mapping) and all(
        _is_text(name) and (_is_text(item) or _are_texts(item)) for name, item in value.items()
    )
