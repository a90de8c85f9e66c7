"""Lists past sessions and prints one of them whole."""

from __future__ import annotations

from datetime import date

from checklist.commands.exits import FINE, NOT_SHOWN, WRONG
from checklist.commands.output import print_document, print_page
from checklist.errors import StandclearError
from checklist.record.errors import FolderRefused
from checklist.record.files.folder import LogFolder, default_log_folder
from checklist.record.journals.states import State
from checklist.record.ledgers.entries import VERDICTS
from checklist.record.lookup.card import Card
from checklist.record.lookup.matching import has_all_words, search_key
from checklist.sessions.desk import Desk
from checklist.sessions.past.cataloguing import Cards, catch_up
from checklist.sessions.past.finding import NOT_SEALED, Filter, Index, read_day
from checklist.sessions.past.recorddata import as_data, card_data
from checklist.sessions.past.recordtext import as_text
from checklist.sessions.past.review import read_session, session_named
from checklist.sessions.roll.covering import receipts_line

_SHORT = 10
"""Characters of a session's name in a list; `show` takes them for the whole name."""

_RESULTS = (*VERDICTS, *(state.value for state in State), NOT_SEALED)


def wanted_days(since: str | None, until: str | None) -> tuple[date | None, date | None]:
    """Return the two days as typed; raises StandclearError for no day, or an empty span."""
    first, last = read_day(since or "", "--since"), read_day(until or "", "--until")
    if first and last and first > last:
        raise StandclearError(
            f"{first} is after {last}", where="--since", right="Give the earlier day first."
        )
    return first, last


def list_sessions(desk: Desk, wanted: Filter, *, as_json: bool) -> int:
    """Print the sessions that fit, the newest first; an old result never reads as permission.

    NOT_SHOWN where something of the record could not be read, so that the list may lack
    what fits. Raises StandclearError for a verdict that no session can have.
    """
    _refuse_unknown_verdict(wanted.verdict)
    folder, says = _folder_for_reading(desk)
    found = catch_up(folder) if folder is not None else Cards(())
    now = desk.clock.now()
    index = Index(found.cards, now)
    cards = index.find(wanted)
    receipts = receipts_line(folder, None, now) if folder is not None else ""
    if as_json:
        print_document(
            {
                "folder": str(desk.logs),
                "sessions": [card_data(card, now) for card in cards],
                "receipts": receipts,
                "notes": says,
                "problems": list(found.problems),
            }
        )
    else:
        tail = [receipts] if receipts else []
        print_page([*_lines(cards, index), *tail, *says, *_problem_lines(found.problems)])
    return NOT_SHOWN if found.problems else FINE


def show_session(desk: Desk, name: str, *, as_json: bool) -> int:
    """Print one whole session, called by its name or the beginning of it.

    WRONG where something of it does not hold or cannot be read. Raises StandclearError
    where no session, or more than one, has that name.
    """
    folder, says = _folder_for_reading(desk)
    if folder is None:
        raise FolderRefused("no session is kept here yet", where=str(desk.logs))
    record = read_session(folder, session_named(folder, name))
    if as_json:
        print_document({**as_data(record), "notes": says})
    else:
        print_page([*says, *as_text(record)])
    return WRONG if record.problems else FINE


def _folder_for_reading(desk: Desk) -> tuple[LogFolder | None, list[str]]:
    """Return the log folder, to read only where it cannot be trusted for writing; None if new.

    Looking something up never makes a folder, and a folder that was named must be there.
    """
    if desk.disk.facts(desk.logs / "origin") is None and desk.logs == default_log_folder():
        return None, []
    LogFolder.look(desk.logs, desk.disk, desk.clock)
    folder, says = desk.looked()
    return folder, [says] if says else []


def _refuse_unknown_verdict(verdict: str) -> None:
    if any(has_all_words(search_key(verdict), search_key(known)) for known in _RESULTS):
        return
    raise StandclearError(
        f"“{verdict}” is nothing that a session comes to",
        where="--verdict",
        right=f"There are: {', '.join(_RESULTS)}.",
    )


def _lines(cards: tuple[Card, ...], index: Index) -> list[str]:
    if not cards:
        return [
            "No session is kept here yet." if not index.cards else "No session fits what was asked."
        ]
    count = "1 session" if len(cards) == 1 else f"{len(cards)} sessions"
    return [f"{count}, as begun, the newest first", *(_line(card, index) for card in cards)]


def _line(card: Card, index: Index) -> str:
    people = f"; {', '.join(card.people)}" if card.people else ""
    return (
        f"{card.session_id[:_SHORT]}  {card.begun:%Y-%m-%d %H:%M}  {card.title}: "
        f"{index.result(card)}{people}"
    )


def _problem_lines(problems: tuple[str, ...]) -> list[str]:
    return ["Could not be read", *(f"  {problem}" for problem in problems)] if problems else []
