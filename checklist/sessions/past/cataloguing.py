"""Keeps the catalogue in step with ledger and session files, and never believes it over them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from checklist.errors import StandclearError
from checklist.record.errors import HeldElsewhere
from checklist.record.files.folder import LogFolder
from checklist.record.files.workers import workers_for
from checklist.record.journals.states import SessionState, State, states_of
from checklist.record.ledgers.ledger import Ledger, Recorded, read_note
from checklist.record.lookup.card import Card
from checklist.record.lookup.catalogue import Catalogue, Stamp
from checklist.record.lookup.lasting import all_of_it_lasts
from checklist.record.lookup.recall import Recall
from checklist.sessions.past.cardmaking import (
    DAMAGED,
    FirstCards,
    card_by_file,
    card_by_ledger,
    card_of_session,
)
from checklist.sessions.past.ledgerview import LedgerView, view_ledger
from checklist.sessions.validity import Validity

Progress = Callable[[int, int], object]
"""Is told how many session files of how many have been read."""

RECENT = 60
"""Ledger entries from the end in which the newest sessions are looked for at once."""

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
    listed: Callable[[Cards], object] | None = None,
) -> Cards:
    """Return a card for every session, and bring the catalogue in step where it can be written.

    Only sessions that the catalogue does not know as they stand are read. State, verdict,
    rule file and validity always come from ledger and kept rules. Nothing is raised for
    damage; it is said. `tell_entries` hears how many entries of the ledger were read, which
    comes first, and `progress` of how many session files; what either raises ends the work.

    Where session files must be read, `listed` is given every session before that, from
    ledger and catalogue: all but the words of answers, stops and people that are still to come.
    """
    with all_of_it_lasts():
        view = view_ledger(folder, recall, tell_entries)
        problems = list(view.problems)
        known, stamp = _known(folder, problems)
        if not _reflects(stamp, view.entries):
            known, stamp = {}, None
        validity = Validity(folder)
        wanted = _wanted(view, known, stamp)
        if wanted and listed is not None:
            listed(Cards(_first(folder, view, known, validity), tuple(problems)))
    fresh = _fresh(folder, wanted, progress)
    cards = [
        card_by_ledger(fresh.get(session_id) or known[session_id], state, validity)
        for session_id, state in view.states.items()
    ]
    if not folder.is_for_reading:
        _keep(folder, cards, fresh, known, stamp, view, problems)
    return Cards(_sorted(cards), tuple(problems))


def newest(folder: LogFolder) -> Cards:
    """Return the cards of the newest sessions alone, which takes no longer in a long ledger."""
    entries = list(_last_entries(folder))
    validity = Validity(folder)
    cards = [
        card_of_session(folder, session_id, state, validity)
        for session_id, state in states_of(entries).items()
        if state.begun is not None or state.ending is not None
    ]
    return Cards(_sorted(cards))


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


def _first(
    folder: LogFolder, view: LedgerView, known: Mapping[str, Card], validity: Validity
) -> tuple[Card, ...]:
    """Return a card of every session as far as ledger and catalogue tell."""
    first = FirstCards(folder, validity)
    cards = [
        card_by_ledger(known[session_id], state, validity)
        if session_id in known
        else first.card(session_id, state)
        for session_id, state in view.states.items()
    ]
    return _sorted(cards)


def _sorted(cards: list[Card]) -> tuple[Card, ...]:
    cards.sort(key=lambda card: (card.begun, card.session_id), reverse=True)
    return tuple(cards)


_Wanted = list[tuple[str, SessionState]]


def _wanted(view: LedgerView, known: Mapping[str, Card], stamp: Stamp | None) -> _Wanted:
    """Return the sessions that are unknown, still running, or named since `stamp`."""
    if not known:
        return list(view.states.items())
    after = stamp.number if stamp else 0
    moved = {r.entry.session for r in view.entries if r.entry.number > after}
    return [
        (session_id, state)
        for session_id, state in view.states.items()
        if session_id not in known
        or session_id in moved
        or state.state is State.RUNNING
        or known[session_id].title.endswith(DAMAGED)  # it may have been restored since
    ]


def _fresh(folder: LogFolder, wanted: _Wanted, progress: Progress) -> dict[str, Card]:
    """Return new cards, made from the session files."""
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
    return [card_by_file(task.folder, session_id, state) for session_id, state in task.sessions]


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
