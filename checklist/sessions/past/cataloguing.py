"""Keeps the catalogue in step with ledger and session files, and never believes it over them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from checklist.errors import StandclearError
from checklist.record.errors import HeldElsewhere
from checklist.record.files.folder import LogFolder
from checklist.record.files.workers import workers_for
from checklist.record.journals.states import SessionState, State, states_of
from checklist.record.ledgers.ledger import Ledger, Recorded, read_note
from checklist.record.lookup.card import Card
from checklist.record.lookup.catalogue import Catalogue, Stamp
from checklist.record.lookup.recall import Recall
from checklist.rulefile import Effect
from checklist.sessions.past.ledgerview import LedgerView, view_ledger
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import SessionFile, read_as_ended, rule_name, title_of
from checklist.sessions.past.steprecords import people_of
from checklist.sessions.validity import Validity
from checklist.walk.answers import Described, DoesNotApply, Hung, Inputs, Measured, Sought, Written
from checklist.walk.events import (
    Answered,
    Attached,
    Clearing,
    Event,
    NearMiss,
    Noted,
    StopAnswered,
    WorkStopped,
)

Progress = Callable[[int, int], object]
"""Is told how many session files of how many have been read."""

RECENT = 60
"""Ledger entries from the end in which the newest sessions are looked for at once."""

_DAMAGED = "(session file damaged)"
"""Stands on the card of a session whose file cannot be relied on."""

_TELL_EVERY = 50


@dataclass(frozen=True, slots=True)
class Cards:
    """Every session of a log folder, the newest first, as ledger and files tell."""

    cards: tuple[Card, ...]
    problems: tuple[str, ...] = ()


def catch_up(
    folder: LogFolder,
    progress: Progress = lambda done, of: None,
    recall: Recall[Recorded] | None = None,
    tell_entries: Progress = lambda done, of: None,
) -> Cards:
    """Return a card for every session, and bring the catalogue in step where it can be written.

    Only sessions that the catalogue does not know as they stand are read. State, verdict,
    rule file and validity always come from ledger and kept rules. Nothing is raised for
    damage; it is said. `tell_entries` hears how many entries of the ledger were read, which
    comes first, and `progress` of how many session files; what either raises ends the work.
    """
    view = view_ledger(folder, recall, tell_entries)
    problems = list(view.problems)
    known, stamp = _known(folder, problems)
    if not _reflects(stamp, view.entries):
        known, stamp = {}, None
    fresh = _fresh(folder, view, known, stamp, progress)
    validity = Validity(folder)
    cards = [
        _by_ledger(fresh.get(session_id) or known[session_id], state, validity)
        for session_id, state in view.states.items()
    ]
    if not folder.is_for_reading:
        _keep(folder, cards, fresh, known, stamp, view, problems)
    cards.sort(key=lambda card: (card.begun, card.session_id), reverse=True)
    return Cards(tuple(cards), tuple(problems))


def newest(folder: LogFolder) -> Cards:
    """Return the cards of the newest sessions alone, which takes no longer in a long ledger."""
    entries = list(_last_entries(folder))
    validity = Validity(folder)
    cards = [
        card_of_session(folder, session_id, state, validity)
        for session_id, state in states_of(entries).items()
        if state.begun is not None or state.ending is not None
    ]
    cards.sort(key=lambda card: (card.begun, card.session_id), reverse=True)
    return Cards(tuple(cards))


def card_of_session(
    folder: LogFolder, session_id: str, state: SessionState, validity: Validity
) -> Card:
    """Return the card of one session from ledger and file; a damaged file is said on it."""
    return _by_ledger(_by_file(folder, session_id, state), state, validity)


def _by_file(folder: LogFolder, session_id: str, state: SessionState) -> Card:
    """Return the card without what only the ledger decides."""
    file = read_as_ended(folder, session_id, state)
    events, unknown = events_of(file.lines)
    signers = [s.person for s in state.ending.entry.signers] if state.ending else []
    title = title_of(file, state)
    if file.problem or unknown:
        title = f"{title} {_DAMAGED}"
    return Card(
        session_id,
        rule_file="",
        title=title,
        edition="",
        begun=_begun(file, state, folder.clock.now()),
        state="",
        people=tuple(dict.fromkeys([*people_of(events), *signers])),
        stops=tuple(dict.fromkeys(_stops(events))),
        text=" ".join(dict.fromkeys([rule_name(file, state), *_words(events)])),
    )


def _known(folder: LogFolder, problems: list[str]) -> tuple[dict[str, Card], Stamp | None]:
    catalogue = Catalogue.open(folder)
    try:
        cards, stamp = catalogue.cards(), catalogue.stamp
    except StandclearError as problem:
        problems.append(problem.sentence())
        return {}, None
    problems.extend(catalogue.notes)
    return {card.session_id: card for card in cards}, stamp


def _reflects(stamp: Stamp | None, entries: tuple[Recorded, ...]) -> bool:
    """Say whether the entry that a stamp names stands in this very ledger."""
    if stamp is None:
        return False
    return any(r.entry.number == stamp.number and r.sha256 == stamp.hash for r in entries)


def _fresh(
    folder: LogFolder,
    view: LedgerView,
    known: Mapping[str, Card],
    stamp: Stamp | None,
    progress: Progress,
) -> dict[str, Card]:
    """Return new cards for sessions that are unknown, still running, or named since `stamp`."""
    after = stamp.number if stamp else 0
    moved = {r.entry.session for r in view.entries if r.entry.number > after}
    wanted = [
        (session_id, state)
        for session_id, state in view.states.items()
        if session_id not in known
        or session_id in moved
        or state.state is State.RUNNING
        or known[session_id].title.endswith(_DAMAGED)  # it may have been restored since
    ]
    tasks = (
        _Task(folder, tuple(wanted[start : start + _TELL_EVERY]))
        for start in range(0, len(wanted), _TELL_EVERY)
    )
    cards: dict[str, Card] = {}
    if wanted:
        progress(0, len(wanted))
    with workers_for(len(wanted), [folder]) as workers:
        for some in workers.each(_read_some, tasks):
            cards.update((card.session_id, card) for card in some)
            progress(len(cards), len(wanted))
    return cards


@dataclass(frozen=True, slots=True)
class _Task:
    """A few sessions, for one process."""

    folder: LogFolder
    sessions: tuple[tuple[str, SessionState], ...]


def _read_some(task: _Task) -> list[Card]:
    return [_by_file(task.folder, session_id, state) for session_id, state in task.sessions]


def _by_ledger(card: Card, state: SessionState, validity: Validity) -> Card:
    """Return the card with everything that the ledger decides taken from the ledger."""
    entry = state.ending.entry if state.ending else None
    rule = entry.rule if entry and entry.rule else None
    if rule is None and state.begun is not None:
        rule = state.begun.entry.rule
    return replace(
        card,
        state=state.state.value,
        verdict=state.verdict,
        ended=entry.at if entry else None,
        rule_file=rule.name if rule else card.rule_file,
        edition=rule.edition if rule else card.edition,
        valid_until=validity.until(state),
    )


def _keep(
    folder: LogFolder,
    cards: list[Card],
    fresh: Mapping[str, Card],
    known: Mapping[str, Card],
    stamp: Stamp | None,
    view: LedgerView,
    problems: list[str],
) -> None:
    """Write the catalogue where it is not in step; that it cannot be written harms nothing."""
    if view.stamp == stamp and known.keys() == view.states.keys():
        return
    catalogue = Catalogue.open(folder)
    try:
        if stamp is None or known.keys() - view.states.keys():
            catalogue.rebuild(cards, view.stamp)
        else:
            changed = [card for card in cards if card.session_id in fresh]
            catalogue.put_many(changed, after=stamp, stamp=view.stamp)
    except HeldElsewhere:
        return
    except StandclearError as problem:
        problems.append(f"The catalogue could not be kept: {problem.sentence()}")


def _last_entries(folder: LogFolder) -> Iterator[Recorded]:
    try:
        names = Ledger(folder).names()
    except StandclearError:
        return
    for name in names[-RECENT:]:
        try:
            yield read_note(folder, name)
        except StandclearError:
            continue


def _begun(file: SessionFile, state: SessionState, now: datetime) -> datetime:
    for recorded in (state.begun, state.ending):
        if recorded is not None:
            return recorded.entry.at
    return file.first.at if file.first else now


def _stops(events: list[Event]) -> Iterator[str]:
    for event in events:
        if isinstance(event, Answered) and event.judgement.effect is Effect.STOP:
            yield f"{event.step}: {'; '.join(event.judgement.because)}"


def _words(events: list[Event]) -> Iterator[str]:
    """Yield what people typed, by which a session may be sought."""
    for event in events:
        match event:
            case Answered():
                yield from _typed(event)
                yield from _evidence(event.clearing)
            case StopAnswered(clearing=clearing):
                yield from _evidence(clearing)
            case NearMiss(text=text):
                yield f"near miss {text}"
            case Noted(text=text) | WorkStopped(reason=text) | Attached(name=text):
                yield text
            case _:
                pass


def _typed(event: Answered) -> Iterator[str]:
    match event.answer:
        case DoesNotApply(reason=text) | Written(text=text) | Measured(instrument=text):
            yield text
        case Hung(tags=tags):
            yield from (f"{tag.point} {tag.lock}" for tag in tags)
        case Sought(points=points):
            yield from points
        case Described(path=path):
            yield path
        case Inputs(values=values):
            yield from (v if isinstance(v, str) else " ".join(v) for v in values.values())
        case _:
            pass


def _evidence(clearing: Clearing | None) -> Iterator[str]:
    if clearing is not None:
        yield from clearing.evidence.values()
