"""Makes the card of a session: at first from the ledger alone, then with what its file says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from checklist.record.files.folder import LogFolder
from checklist.record.journals.states import SessionState
from checklist.record.ledgers.entries import RuleMark
from checklist.record.lookup.card import Card
from checklist.rulefile import Effect
from checklist.sessions.past.readevents import events_of
from checklist.sessions.past.sessionfile import SessionFile, read_session_file, rule_name, title_of
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

DAMAGED = "(session file damaged)"
"""Stands on the card of a session whose file cannot be relied on."""


class FirstCards:
    """Makes cards before any session file is read, of what the ledger alone says.

    They lack the words of the answers, the stops, and people who did not sign.
    """

    def __init__(self, folder: LogFolder, validity: Validity) -> None:
        self._folder, self._validity = folder, validity
        self._titles: dict[str, str] = {}

    def card(self, session_id: str, state: SessionState) -> Card:
        """Return the first card of a session."""
        ending, rule = state.ending.entry if state.ending else None, rule_mark(state)
        first = state.begun or state.ending
        return Card(
            session_id,
            rule_file=rule.name if rule else "",
            title=self._title(session_id, state, rule) if rule else "",
            edition=rule.edition if rule else "",
            begun=first.entry.at if first else self._folder.clock.now(),
            state=state.state.value,
            ended=ending.at if ending else None,
            verdict=state.verdict,
            people=_signers(state),
            text=rule.name if rule else "",
            valid_until=self._validity.until(state),
        )

    def _title(self, session_id: str, state: SessionState, rule: RuleMark) -> str:
        """Return what was walked; one session file is read for each rule file, since it says it."""
        if rule.sha256 not in self._titles:
            self._titles[rule.sha256] = title_of(read_session_file(self._folder, session_id), state)
        return self._titles[rule.sha256]


def card_of_session(
    folder: LogFolder, session_id: str, state: SessionState, validity: Validity
) -> Card:
    """Return the card of one session from ledger and file; a damaged file is said on it."""
    return card_by_ledger(card_by_file(folder, session_id, state), state, validity)


def card_by_file(folder: LogFolder, session_id: str, state: SessionState) -> Card:
    """Return the card without what only the ledger decides."""
    file = read_session_file(folder, session_id)
    events, unknown = events_of(file.lines)
    title = title_of(file, state)
    if file.problem or unknown:
        title = f"{title} {DAMAGED}"
    return Card(
        session_id,
        rule_file="",
        title=title,
        edition="",
        begun=_begun(file, state, folder.clock.now()),
        state="",
        people=tuple(dict.fromkeys([*people_of(events), *_signers(state)])),
        stops=tuple(dict.fromkeys(_stops(events))),
        text=" ".join(dict.fromkeys([rule_name(file, state), *_words(events)])),
    )


def card_by_ledger(card: Card, state: SessionState, validity: Validity) -> Card:
    """Return the card with everything that the ledger decides taken from the ledger."""
    entry, rule = state.ending.entry if state.ending else None, rule_mark(state)
    return replace(
        card,
        state=state.state.value,
        verdict=state.verdict,
        ended=entry.at if entry else None,
        rule_file=rule.name if rule else card.rule_file,
        edition=rule.edition if rule else card.edition,
        valid_until=validity.until(state),
    )


def rule_mark(state: SessionState) -> RuleMark | None:
    """Return which rule file the ledger names, the ending before the beginning."""
    if state.ending is not None and state.ending.entry.rule is not None:
        return state.ending.entry.rule
    return state.begun.entry.rule if state.begun is not None else None


def _signers(state: SessionState) -> tuple[str, ...]:
    signers = state.ending.entry.signers if state.ending else ()
    return tuple([signer.person for signer in signers])


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
