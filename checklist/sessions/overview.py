"""Finds what matters now in a log folder: open walks, missing signatures, tags, last results."""

from __future__ import annotations

from datetime import UTC, datetime

from checklist.errors import StandclearError
from checklist.record.errors import HeldElsewhere
from checklist.record.files.folder import LogFolder
from checklist.record.journals.lines import ABANDONED, CLOSED
from checklist.record.journals.states import SessionState, State
from checklist.sessions.desk import Desk
from checklist.sessions.matters import Overview, Past, Unfinished, Unsigned
from checklist.sessions.opening import rules_kept, walk_of
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
from checklist.sessions.tagging.hanging import in_charge_of
from checklist.sessions.tagging.tags import tags_here
from checklist.sessions.validity import Validity
from checklist.walk.walk import Walk

MOST_LAST = 5
"""Sessions that home lists as the last ones."""


def overview(desk: Desk, tell: Tell = lambda done, of: None) -> Overview:
    """Return what matters now; whatever cannot be read becomes a sentence, nothing is raised.

    Reads the whole ledger and looks into every session file, so it belongs off the event loop;
    a second time at the same desk it reads what is new or changed. `tell` hears how far it is,
    and what it raises ends the reading.
    """
    try:
        folder, says = desk.looked()
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
        unfinished=_unfinished(desk, folder, view, problems),
        unsigned=_unsigned(folder, view, validity, now),
        tags=tags.open,
        last=last,
        last_of=last_of,
        tail=covers.tail if covers.is_pinned and covers.tail.entries else None,
        problems=tuple(problems),
        read_only=says,
    )


def _unfinished(
    desk: Desk, folder: LogFolder, view: LedgerView, problems: list[str]
) -> tuple[Unfinished, ...]:
    found = [
        _one_unfinished(desk, folder, session_id, state, problems)
        for session_id, state in view.states.items()
        if state.state is State.RUNNING
    ]
    long_ago = datetime.min.replace(tzinfo=UTC)
    return tuple(sorted(found, key=lambda walk: walk.left or long_ago, reverse=True))


def _one_unfinished(
    desk: Desk, folder: LogFolder, session_id: str, state: SessionState, problems: list[str]
) -> Unfinished:
    file = read_session_file(folder, session_id)
    begun = file.first.at if file.first else state.begun.entry.at if state.begun else None
    left = file.lines[-1].at if file.lines else begun
    says = [file.problem]
    if file.problem:
        problems.append(f"{title_of(file, state)}, session {session_id[:8]}: {file.problem}")
    done = asked = None
    step = person = ""
    try:
        walk = _walk(folder, file)
    except StandclearError as problem:
        says += [] if file.problem else [problem.sentence()]
    else:
        progress = walk.progress(desk.clock.now())
        done, asked = progress.done, len(progress.asked)
        step = progress.next_open.step.ask if progress.next_open else ""
        person = in_charge_of(walk.events)
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
        is_held(folder, session_id),
        " ".join(filter(None, says)),
        person,
    )


def _walk(folder: LogFolder, file: SessionFile) -> Walk:
    if file.first is None:
        raise StandclearError("the session's first line cannot be read")
    _, unreadable = events_of(file.lines)
    if unreadable:
        raise StandclearError(unreadable[0])
    return walk_of(rules_kept(folder, file.first), file.lines)


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
