"""The locks and tags that hang, as far as the logs that are here tell."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from checklist.errors import StandclearError
from checklist.record.errors import RecordError
from checklist.record.files.clock import stamp
from checklist.record.files.folder import LogFolder
from checklist.record.journals.lines import Line, hash_of, parse_line
from checklist.record.journals.states import SessionState
from checklist.record.ledgers.ledger import Recorded
from checklist.record.ledgers.otherlogs import LogRead, logs_read, other_tags
from checklist.record.ledgers.tags import Tag, Tags, lock_key, tags_of
from checklist.record.lookup.matching import name_key
from checklist.record.lookup.recall import Recall, read_each
from checklist.sessions.past.ledgerview import TELL_EVERY, Tell, view_ledger
from checklist.sessions.past.readevents import event_of
from checklist.sessions.past.sessionfile import CHANGED, SessionFile, read_bytes, title_of
from checklist.walk.answers import Hung, HungTag
from checklist.walk.events import Answered

AT_THE_POINT = "The lock at the point decides, not this program."
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
    recall: Recall[Told] | None = None,
    tell: Tell = lambda done, of: None,
) -> TagsHere:
    """Do what `look_at_tags` does with a ledger that was read already.

    With `recall`, session files that were read before are read again only where they changed.
    """
    said = list(problems)
    others = other_tags(folder)
    tags = tags_of((*entries, *others.entries))
    known = KnownTags(tags.all)
    due: list[Tag] = []
    for done, (session_id, told) in enumerate(_told(folder, states, recall)):
        if done % TELL_EVERY == 0:
            tell(done, len(states))
        if told.problem:
            said.append(f"Session {session_id[:8]}: {told.problem} It may have hung tags.")
            continue
        state = states[session_id]
        if not told.is_as_ended(state):
            said.append(f"Session {session_id[:8]}: {CHANGED}")
        due += due_tags(session_id, told.title, told.named, known)
    once = {tag.key: tag for tag in sorted(due, key=lambda tag: tag.since, reverse=True)}
    logs = (read for read in logs_read(entries).values() if read.origin not in others.damaged)
    return TagsHere(
        tags,
        tuple(sorted(once.values(), key=lambda tag: tag.since)),
        tuple(logs),
        (*said, *others.problems, *tags.wrong),
    )


class Named(NamedTuple):
    """The tags that one answer names, and when it was given."""

    at: datetime
    tags: tuple[HungTag, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """What one session file says about tags, and by what it is known again."""

    problem: str = ""
    """Why it could not be read; everything else is then empty."""

    sha256: str = ""
    size: int = 0
    title: str = ""
    """What was walked; empty where no tag is named."""

    named: tuple[Named, ...] = ()

    def is_as_ended(self, state: SessionState) -> bool:
        """Say whether this is the file that the session's ending in the ledger names."""
        mark = state.ending.entry.file if state.ending else None
        return mark is None or (mark.sha256, mark.size) == (self.sha256, self.size)


def _told(
    folder: LogFolder, states: Mapping[str, SessionState], recall: Recall[Told] | None
) -> Iterator[tuple[str, Told]]:
    names = {f"{session_id}.jsonl": session_id for session_id in states}
    if recall is not None:
        recall.forget(name for name, it in names.items() if states[it].ending is None)

    def read(name: str) -> Told:
        data, problem = read_bytes(folder, names[name])
        if problem:  # raised, so that it is tried again the next time
            raise _Unread(problem)
        lines = lines_with_tags(data)
        named = named_in(answers_in(lines))
        title = title_of(SessionFile(lines[:1]), states[names[name]]) if named else ""
        return Told("", hash_of(data), len(data), title, named)

    for name, found in read_each(recall, folder.disk, folder.sessions, names, read):
        if isinstance(found, _Unread):
            yield names[name], Told(str(found))
        elif isinstance(found, Exception):
            raise found
        else:
            yield names[name], found


class _Unread(Exception):
    """A session file could not be read; carries the sentence why."""


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


def named_in(answers: Iterable[Answered]) -> tuple[Named, ...]:
    """Return what answers say of tags, without the rest of them."""
    return tuple(
        Named(event.at, event.answer.tags) for event in answers if isinstance(event.answer, Hung)
    )


class KnownTags:
    """The tags that entries tell of, to be found by id and by lock without looking at each."""

    def __init__(self, tags: Iterable[Tag]) -> None:
        self._ids: set[str] = set()
        self._by_lock: dict[tuple[str, str, str], list[Tag]] = {}
        for tag in tags:
            self.add(tag)

    def add(self, tag: Tag) -> None:
        """Take one more in."""
        self._ids.add(tag.id)
        self._by_lock.setdefault(tag.key, []).append(tag)

    def has(self, tag_id: str, at: datetime, tag: HungTag) -> bool:
        """Say whether a lock that was named at a time is one of these, and hung then."""
        alike = self._by_lock.get(lock_key(tag.point, tag.lock, tag.person), ())
        return tag_id in self._ids or any(one.off is None or one.off > at for one in alike)


def due_tags(session_id: str, title: str, named: Iterable[Named], known: KnownTags) -> list[Tag]:
    """Return the tags that answers name and that no entry hangs yet.

    A lock that an entry says hung when the answer was given is one lock, in however many
    answers and walks it stands. A lock that was named, and then left out of a changed
    answer, hangs: only its applier takes it off.
    """
    found: dict[str, Tag] = {}
    own = KnownTags(())
    for at, tags in named:
        for tag in tags:
            tag_id = tag_id_of(session_id, at, tag)
            if not known.has(tag_id, at, tag) and not own.has(tag_id, at, tag):
                found[tag_id] = Tag(
                    "", tag_id, tag.point, tag.lock, tag.person, at, title, session=session_id
                )
                own.add(found[tag_id])
    return list(found.values())


def tag_id_of(session_id: str, at: datetime, tag: HungTag) -> str:
    """Return the id of a tag that is hung in a walk: the same however often it is worked out."""
    parts = ("standclear tag", session_id, stamp(at), *lock_key(tag.point, tag.lock, tag.person))
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:32]


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
