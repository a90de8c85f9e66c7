"""The locks and tags that hang as far as the walks in this log folder tell."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from checklist.errors import StandclearError
from checklist.record.entries import Entry
from checklist.record.errors import RecordError
from checklist.record.ledger import Recorded
from checklist.record.lines import Line, parse_line
from checklist.record.matching import name_key
from checklist.sessions.readevents import event_of
from checklist.walk.answers import Hung, HungTag
from checklist.walk.events import Answered

TAKEN_OFF = "tag taken off"
"""The kind of ledger entry that ends a tag; its fields `point` and `lock` say which."""


@dataclass(frozen=True, slots=True)
class OpenTag:
    """One lock and tag that was hung in a walk and that no entry says is off again."""

    session_id: str
    title: str
    """Of the walk."""

    point: str
    lock: str
    person: str
    """Who hung it."""

    since: datetime


def lines_with_tags(data: bytes) -> tuple[Line, ...]:
    """Return the first line of a session file and those that may name a tag.

    Empty where none does. Home asks this of every session, so the other lines are not read;
    that each stands where it was written is for the review and `verify` to say.
    """
    pieces = data.split(b"\n")
    named = [piece for piece in pieces if b'"tags"' in piece]
    return _readable([pieces[0], *named]) if named else ()


def _readable(pieces: Iterable[bytes]) -> tuple[Line, ...]:
    found = []
    for piece in pieces:
        with suppress(RecordError):
            found.append(parse_line(piece + b"\n"))
    return tuple(found)


def hung_in(session_id: str, title: str, lines: Iterable[Line]) -> list[OpenTag]:
    """Return the tags of a session as its last answer to each step names them."""
    hung: dict[str, tuple[datetime, Hung]] = {}
    since: dict[tuple[str, str, str], datetime] = {}
    for line in lines:
        if line.what != "answered":
            continue
        event = _answered(line)
        if event is None or not isinstance(event.answer, Hung):
            continue
        for tag in event.answer.tags:
            since.setdefault(_key(tag), event.at)
        hung[event.step] = (event.at, event.answer)
    return [
        OpenTag(session_id, title, tag.point, tag.lock, tag.person, since[_key(tag)])
        for _, answer in hung.values()
        for tag in answer.tags
    ]


def still_open(tags: Iterable[OpenTag], entries: Iterable[Recorded]) -> tuple[OpenTag, ...]:
    """Return the tags that no later entry takes off, each once, the longest hanging first."""
    off = [recorded.entry for recorded in entries if recorded.entry.kind == TAKEN_OFF]
    seen: dict[tuple[str, str, str], OpenTag] = {}
    for tag in sorted(tags, key=lambda tag: tag.since):
        if not any(_takes_off(entry, tag) for entry in off):
            seen.setdefault(_key(tag), tag)
    return tuple(seen.values())


def _takes_off(entry: Entry, tag: OpenTag) -> bool:
    """Say whether an entry takes a tag off: a lock is one thing, in however many walks it stood."""
    point, lock = entry.field("point"), entry.field("lock")
    return (
        entry.at >= tag.since
        and lock is not None
        and _same(lock, tag.lock)
        and (point is None or _same(point, tag.point))
    )


def _key(tag: HungTag | OpenTag) -> tuple[str, str, str]:
    return name_key(tag.point), name_key(tag.lock), name_key(tag.person)


def _same(one: str, other: str) -> bool:
    return name_key(one) == name_key(other)


def _answered(line: Line) -> Answered | None:
    try:
        event = event_of(line)
    except StandclearError:
        return None
    return event if isinstance(event, Answered) else None
