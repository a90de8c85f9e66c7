"""The locks and tags that hang, as far as the logs that are here tell."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime

from checklist.errors import StandclearError
from checklist.record.clock import stamp
from checklist.record.errors import RecordError
from checklist.record.folder import LogFolder
from checklist.record.ledger import Recorded
from checklist.record.lines import Line, parse_line
from checklist.record.matching import name_key
from checklist.record.otherlogs import LogRead, logs_read, other_tags
from checklist.record.states import SessionState
from checklist.record.tags import Tag, Tags, lock_key, tags_of
from checklist.sessions.ledgerview import view_ledger
from checklist.sessions.readevents import event_of
from checklist.sessions.sessionfile import (
    CHANGED,
    SessionFile,
    is_as_ended,
    read_bytes,
    title_of,
)
from checklist.walk.answers import Hung, HungTag
from checklist.walk.events import Answered

AT_THE_POINT = "The lock at the point decides, not this screen."
"""Stands on every screen and page about tags."""


@dataclass(frozen=True, slots=True)
class TagsHere:
    """What the logs that are here tell of tags."""

    tags: Tags = field(default_factory=Tags)
    due: tuple[Tag, ...] = ()
    """Named in walks and not yet in the ledger, because the program stopped in between."""

    logs: tuple[LogRead, ...] = ()
    """The ledgers of other laptops that were read, each with when."""

    problems: tuple[str, ...] = ()

    @property
    def open(self) -> tuple[Tag, ...]:
        """Every tag that hangs, the longest hanging first."""
        return tuple(sorted((*self.tags.open, *self.due), key=lambda tag: tag.since))

    def at(self, point: str) -> tuple[Tag, ...]:
        """Return those that hang at a point."""
        wanted = name_key(point)
        return tuple(tag for tag in self.open if name_key(tag.point) == wanted)


def look_at_tags(folder: LogFolder) -> TagsHere:
    """Return what the ledger, its walks and the logs read here tell; never raises for that."""
    view = view_ledger(folder)
    return tags_here(folder, view.entries, view.states, view.problems)


def tags_here(
    folder: LogFolder,
    entries: Sequence[Recorded],
    states: dict[str, SessionState],
    problems: Iterable[str] = (),
) -> TagsHere:
    """Do what `look_at_tags` does with a ledger that was read already."""
    said = list(problems)
    others = other_tags(folder)
    tags = tags_of((*entries, *others.entries))
    due: list[Tag] = []
    for session_id, state in states.items():
        data, problem = read_bytes(folder, session_id)
        if problem:
            said.append(f"Session {session_id[:8]}: {problem} It may have hung tags.")
            continue
        if not is_as_ended(data, state):
            said.append(f"Session {session_id[:8]}: {CHANGED}")
        if lines := lines_with_tags(data):
            title = title_of(SessionFile(lines), state)
            due += due_tags(session_id, title, answers_in(lines), tags)
    once = {tag.key: tag for tag in sorted(due, key=lambda tag: tag.since, reverse=True)}
    logs = (read for read in logs_read(entries).values() if read.origin not in others.damaged)
    return TagsHere(
        tags,
        tuple(sorted(once.values(), key=lambda tag: tag.since)),
        tuple(logs),
        (*said, *others.problems, *tags.wrong),
    )


def lines_with_tags(data: bytes) -> tuple[Line, ...]:
    """Return the first line of a session file and those that may name a tag.

    Empty where none does. Home asks this of every session, so the other lines are not read;
    that each stands where it was written is for the review and `verify` to say. A last piece
    without its newline is a write that never finished, and tells nothing.
    """
    pieces = data.split(b"\n")[:-1] or [b""]
    named = [piece for piece in pieces if b'"tags"' in piece]
    return _readable([pieces[0], *named]) if named else ()


def _readable(pieces: Iterable[bytes]) -> tuple[Line, ...]:
    found = []
    for piece in pieces:
        with suppress(RecordError):
            found.append(parse_line(piece + b"\n"))
    return tuple(found)


def answers_in(lines: Iterable[Line]) -> list[Answered]:
    """Return the answers among these lines that name tags, oldest first."""
    found = []
    for line in lines:
        if line.what == "answered":
            with suppress(StandclearError):
                event = event_of(line)
                if isinstance(event, Answered) and isinstance(event.answer, Hung):
                    found.append(event)
    return found


def due_tags(session_id: str, title: str, answers: Iterable[Answered], known: Tags) -> list[Tag]:
    """Return the tags that these answers name and that no entry hangs yet.

    A lock that an entry says hung when the answer was given is one lock, in however many
    answers and walks it stands. A lock that was named, and then left out of a changed
    answer, hangs: only its applier takes it off.
    """
    found: dict[str, Tag] = {}
    for event in answers:
        for tag in event.answer.tags if isinstance(event.answer, Hung) else ():
            tag_id = tag_id_of(session_id, event.at, tag)
            if not _is_known(tag_id, event.at, tag, (*known.all, *found.values())):
                found[tag_id] = Tag(
                    "", tag_id, tag.point, tag.lock, tag.person, event.at, title, session=session_id
                )
    return list(found.values())


def tag_id_of(session_id: str, at: datetime, tag: HungTag) -> str:
    """Return the id of a tag that is hung in a walk: the same however often it is worked out."""
    parts = ("standclear tag", session_id, stamp(at), *lock_key(tag.point, tag.lock, tag.person))
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:32]


def _is_known(tag_id: str, at: datetime, tag: HungTag, known: Iterable[Tag]) -> bool:
    key = lock_key(tag.point, tag.lock, tag.person)
    return any(
        other.id == tag_id or (other.key == key and (other.off is None or other.off > at))
        for other in known
    )


def tag_named(tags: TagsHere, name: str) -> Tag:
    """Return the open tag whose id begins with `name`, or the only one with this lock number.

    Raises StandclearError where none or several fit.
    """
    wanted = name.strip()
    fitting = [tag for tag in tags.open if len(wanted) >= 4 and tag.id.startswith(wanted)]
    fitting = fitting or [tag for tag in tags.open if name_key(tag.lock) == name_key(wanted)]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        both = "; ".join(f"{t.id[:8]} at {t.point}" for t in fitting)
        raise StandclearError(f"“{wanted}” fits several tags: {both}", right="Give the id.")
    raise StandclearError(
        f"no open tag is “{wanted}”", right="standclear tags lists those that hang."
    )
