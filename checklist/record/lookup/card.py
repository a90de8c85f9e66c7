"""What the catalogue knows of one session, and how it is kept as a row."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from checklist.record.errors import EntryRefused
from checklist.record.files.folder import is_session_id

if TYPE_CHECKING:
    from checklist.record.files.tinystore import Row

TEXTS = ("session_id", "rule_file", "title", "edition", "state", "verdict", "text")
LISTS = ("people", "stops")
TIMES = ("begun", "ended", "valid_until")


@dataclass(frozen=True, slots=True)
class Card:
    """What the catalogue knows of one session."""

    session_id: str
    rule_file: str
    """The rule file's name, as one types it to walk it."""

    title: str
    edition: str
    begun: datetime
    """With its offset, as the clock at the station stood."""

    state: str
    """The session's state as the ledger gives it, such as `running` or `sealed`."""

    ended: datetime | None = None
    verdict: str = ""
    people: tuple[str, ...] = ()
    stops: tuple[str, ...] = ()
    """What stopped the walk at any moment, answered since or not."""

    text: str = ""
    """Further words by which this session may be sought."""

    valid_until: datetime | None = None
    """The end of the result's life; None where the rule file gives none."""


def row_of(card: Card) -> Row:
    """Return a card as it is kept; raises EntryRefused for one that would not read back."""
    row: Row = {name: getattr(card, name) for name in TEXTS}
    row |= {name: list(getattr(card, name)) for name in LISTS}
    for name in TIMES:
        moment = getattr(card, name)
        row[name] = moment.isoformat() if moment else ""
    card_of(row)
    return row


def card_of(row: Row) -> Card:
    """Return the card that a row holds; raises EntryRefused where a single field is wrong."""
    if row.keys() != {*TEXTS, *LISTS, *TIMES}:
        raise EntryRefused("a card has other fields than it must have")
    if not all(_is_text(row[name]) for name in (*TEXTS, *TIMES)):
        raise EntryRefused("a card holds something that is no text")
    if not all(isinstance(row[n], list) and all(map(_is_text, row[n])) for n in LISTS):
        raise EntryRefused("a card holds people or stops that are no list of texts")
    if not is_session_id(row["session_id"]):
        raise EntryRefused(f"{row['session_id']!r} is not the name of a session")
    made: dict[str, Any] = {name: row[name] for name in TEXTS}
    made |= {name: tuple(row[name]) for name in LISTS}
    made |= {name: _time(row[name], name) for name in TIMES}
    if made["begun"] is None:
        raise EntryRefused("a card does not say when its session began")
    return Card(**made)


def _is_text(value: object) -> bool:
    """Say whether a value is text that UTF-8 can hold, which a lone surrogate is not."""
    if not isinstance(value, str):
        return False
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def _time(text: str, name: str) -> datetime | None:
    if not text:
        return None
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as problem:
        raise EntryRefused(f"a card's {name} is {text!r}, which is no time") from problem
    if moment.tzinfo is None:
        raise EntryRefused(f"a card's {name} has no offset from UTC")
    return moment
