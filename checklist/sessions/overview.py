"""What matters now in a log folder: unfinished walks, missing signatures, tags, last results."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime

from checklist.errors import StandclearError
from checklist.record.errors import HeldElsewhere
from checklist.record.files.folder import LogFolder
from checklist.record.journals.lines import ABANDONED, CLOSED
from checklist.record.journals.states import SessionState, State
from checklist.record.ledgers.entries import Signer
from checklist.record.ledgers.tags import Tag
from checklist.record.roll.receipts import Tail
from checklist.sessions.desk import Desk
from checklist.sessions.opening import loaded_rules, walk_of
from checklist.sessions.past.ledgerview import LedgerView, Tell, view_ledger
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import (
    SessionFile,
    read_session_file,
    rule_name,
    title_of,
)
from checklist.sessions.results import brief_text, is_expired, result_text
from checklist.sessions.roll.covering import covering
from checklist.sessions.stations.staleness import staleness_in
from checklist.sessions.tagging.duetags import complete_due
from checklist.sessions.tagging.tags import tags_here
from checklist.sessions.validity import Validity
from checklist.walk.walk import Walk

MOST_LAST = 5
"""Sessions that home lists as the last ones."""


@dataclass(frozen=True, slots=True)
class Unfinished:
    """A walk that was begun and not ended."""

    session_id: str
    title: str
    begun: datetime | None
    """None where neither ledger nor file says it."""

    left: datetime | None
    """When the last thing was saved."""

    step: str = ""
    """The question at which it stands; empty where all are answered or it cannot be told."""

    done: int | None = None
    """Steps with an answer that holds; None where the rules as begun cannot be read."""

    asked: int | None = None
    """Steps that apply or may come to apply."""

    is_open_elsewhere: bool = False
    """Whether some program has it open at this moment."""

    says: str = ""
    """What is wrong with it, in one sentence."""


@dataclass(frozen=True, slots=True)
class Unsigned:
    """A session that has ended and is not sealed, because somebody has not signed."""

    session_id: str
    title: str
    ended: datetime
    result: str
    missing: tuple[Signer, ...]


@dataclass(frozen=True, slots=True)
class Past:
    """A session that has ended."""

    session_id: str
    rule_file: str
    title: str
    ended: datetime
    result: str
    """In words, an expired result as expired."""

    brief: str
    """The same where there is little room: what speaks against the result stands first."""

    is_expired: bool
    stale: str = ""
    """What was found from the station file and no longer holds, in few words."""

    is_good: bool = False
    """Whether it is sealed, found no stop, and has not expired."""

    @property
    def said(self) -> str:
        """What there is room for: what speaks against the result first, a stop before all."""
        return self.stale if self.stale and self.is_good else self.brief


@dataclass(frozen=True, slots=True)
class Overview:
    """Everything that home shows of a log folder."""

    unfinished: tuple[Unfinished, ...] = ()
    """The last one left first."""

    unsigned: tuple[Unsigned, ...] = ()
    """The newest first."""

    tags: tuple[Tag, ...] = ()
    """Every tag that hangs, the longest first; giving up a walk takes no lock off."""

    last: tuple[Past, ...] = ()
    """The last sessions that ended, the newest first."""

    last_of: Mapping[str, Past] = field(default_factory=dict)
    """The last session that ended with a verdict, for each rule file by its name."""

    tail: Tail | None = None
    """What no receipt covers, where a safety officer is pinned; None where all is covered."""

    problems: tuple[str, ...] = ()
    """One sentence for everything that is damaged or cannot be read."""


def overview(desk: Desk, tell: Tell = lambda done, of: None) -> Overview:
    """Return what matters now; whatever cannot be read becomes a sentence, nothing is raised.

    Reads the whole ledger and looks into every session file, so it belongs off the event loop;
    a second time at the same desk it reads what is new or changed. `tell` hears how far it is,
    and what it raises ends the reading.
    """
    try:
        folder = desk.folder
    except StandclearError as problem:
        return Overview(problems=(problem.sentence(),))
    view = view_ledger(folder, desk.entries_read, tell)
    problems = list(view.problems)
    now = desk.clock.now()
    validity = Validity(folder)
    last, last_of = _past(folder, view, validity, now)
    tags = complete_due(
        folder,
        tags_here(folder, view.entries, view.states, recall=desk.sessions_read, tell=tell),
    )
    problems += [problem for problem in tags.problems if problem not in problems]
    covers = covering(folder, view.entries)
    problems += covers.problems
    return Overview(
        unfinished=_unfinished(desk, view, problems),
        unsigned=_unsigned(folder, view, validity, now),
        tags=tags.open,
        last=last,
        last_of=last_of,
        tail=covers.tail if covers.is_pinned and covers.tail.entries else None,
        problems=tuple(problems),
    )


def _unfinished(desk: Desk, view: LedgerView, problems: list[str]) -> tuple[Unfinished, ...]:
    found = [
        _one_unfinished(desk, session_id, state, problems)
        for session_id, state in view.states.items()
        if state.state is State.RUNNING
    ]
    long_ago = datetime.min.replace(tzinfo=UTC)
    return tuple(sorted(found, key=lambda walk: walk.left or long_ago, reverse=True))


def _one_unfinished(
    desk: Desk, session_id: str, state: SessionState, problems: list[str]
) -> Unfinished:
    file = read_session_file(desk.folder, session_id)
    begun = file.first.at if file.first else state.begun.entry.at if state.begun else None
    left = file.lines[-1].at if file.lines else begun
    says = [file.problem]
    if file.problem:
        problems.append(f"{title_of(file, state)}, session {session_id[:8]}: {file.problem}")
    done = asked = None
    step = ""
    try:
        walk = _walk(desk, file)
    except StandclearError as problem:
        says += [] if file.problem else [problem.sentence()]
    else:
        progress = walk.progress(desk.clock.now())
        done, asked = progress.done, len(progress.asked)
        step = progress.next_open.step.ask if progress.next_open else ""
    if file.lines and file.lines[-1].what in {CLOSED, ABANDONED}:
        says.append("It was ended, but the program stopped before that was in the ledger.")
    return Unfinished(
        session_id,
        title_of(file, state),
        begun,
        left,
        step,
        done,
        asked,
        is_held(desk.folder, session_id),
        " ".join(filter(None, says)),
    )


def _walk(desk: Desk, file: SessionFile) -> Walk:
    if file.first is None:
        raise StandclearError("the session's first line cannot be read")
    _, unreadable = events_of(file.lines)
    if unreadable:
        raise StandclearError(unreadable[0])
    return walk_of(loaded_rules(desk, file.first), file.lines)


def is_held(folder: LogFolder, session_id: str) -> bool:
    """Say whether some program has the session open at this moment."""
    try:
        folder.hold(session_id).release()
    except HeldElsewhere:
        return True
    except StandclearError:
        return False
    return False


def _unsigned(
    folder: LogFolder, view: LedgerView, validity: Validity, now: datetime
) -> tuple[Unsigned, ...]:
    found = []
    for session_id, state in view.states.items():
        if state.state is State.SIGNATURE_MISSING and state.ending is not None:
            past = _one_past(folder, session_id, state, validity, now)
            found.append(Unsigned(session_id, past.title, past.ended, past.result, state.missing))
    return tuple(sorted(found, key=lambda session: session.ended, reverse=True))


def _past(
    folder: LogFolder, view: LedgerView, validity: Validity, now: datetime
) -> tuple[tuple[Past, ...], dict[str, Past]]:
    """Return the last sessions, and the last with a verdict of each rule file."""
    last: list[Past] = []
    last_of: dict[str, Past] = {}
    ended = {
        state.ending.entry.number: (session_id, state)
        for session_id, state in view.states.items()
        if state.ending is not None
    }
    for number in sorted(ended, reverse=True):
        session_id, state = ended[number]
        entry = state.ending.entry if state.ending else None
        name = entry.rule.name if entry and entry.rule and entry.verdict else ""
        is_news = bool(name) and name not in last_of
        if len(last) >= MOST_LAST and not is_news:
            continue
        past = _one_past(folder, session_id, state, validity, now)
        if len(last) < MOST_LAST:
            last.append(past)
        if is_news:
            last_of[name] = past
    return tuple(last), last_of


def _one_past(
    folder: LogFolder, session_id: str, state: SessionState, validity: Validity, now: datetime
) -> Past:
    file = read_session_file(folder, session_id)
    entry = state.ending.entry if state.ending else None
    verdict = state.verdict
    until = validity.until(state)
    return Past(
        session_id,
        rule_name(file, state),
        title_of(file, state),
        entry.at if entry else now,
        result_text(state.state.value, verdict, until, now),
        brief_text(state.state.value, verdict, until, now),
        is_expired(verdict, until, now),
        "; ".join(one.what for one in staleness_in(folder, session_id, file.lines)),
        brief_text(state.state.value, verdict, until, now).startswith("expires"),
    )
