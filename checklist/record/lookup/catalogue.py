"""The catalogue: an index of sessions, for finding one among thousands without opening them.

It can be thrown away at any time and made again from the ledger and the session files. It
is never believed over them: its `stamp` names the newest ledger entry that it reflects,
and whoever sees that the ledger has gone on, or differs, brings it up to date.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from itertools import repeat
from typing import TYPE_CHECKING

from checklist.record.errors import EntryRefused
from checklist.record.files.tinystore import StoreDamaged, TinyStore
from checklist.record.lookup.card import TEXTS, Card, card_of, row_of
from checklist.record.lookup.matching import has_all_words, search_key

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tinydb import TinyDB

    from checklist.record.files.folder import LogFolder
    from checklist.record.files.tinystore import Row, Tables

__all__ = ["Card", "Catalogue", "Stamp"]

_FORMAT = 1
_WHERE = "the catalogue of sessions"
_CARDS = "cards"
_STAMP = "stamp"
_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Stamp:
    """The newest ledger entry that a catalogue reflects."""

    number: int
    hash: str
    """SHA-256 of that entry's file, in hex."""


@dataclass(frozen=True)  # without slots, which leave cached_property no room
class _Drawer:
    """What one state of the file holds: the cards, newest first, and the stamp."""

    cards: tuple[Card, ...]
    stamp: Stamp | None

    @cached_property
    def searched(self) -> tuple[str, ...]:
        """The text of each card in which words are sought; made when first needed."""
        return tuple(map(_searched, self.cards))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """The filters of one search, each as a search key or as a bound in time."""

    text: str
    rule_file: str
    person: str
    verdict: str
    state: str
    since: date | None
    until: date | None

    def covers(self, card: Card, searched: str) -> bool:
        return (
            has_all_words(self.text, searched)
            and self._is_in_time(card.begun)
            and self._has_person(card)
            and _has_words(self.rule_file, card.rule_file, card.title)
            and self.verdict in {"", search_key(card.verdict)}
            and self.state in {"", search_key(card.state)}
        )

    def _has_person(self, card: Card) -> bool:
        return not self.person or any(_has_words(self.person, name) for name in card.people)

    def _is_in_time(self, begun: datetime) -> bool:
        return (self.since is None or _at_least(begun, self.since)) and (
            self.until is None or _at_most(begun, self.until)
        )


class Catalogue:
    """The index of one log folder.

    Every look asks whether the file has changed. Each call that writes replaces the whole
    file once, so gather cards and write them together; an answer in a walk is no reason to
    write. Writing raises HeldElsewhere, NotSaved, StoreNewer or FolderRefused; looking,
    the last two.
    """

    def __init__(self, store: TinyStore[_Drawer]) -> None:
        self._store = store

    @classmethod
    def open(cls, folder: LogFolder) -> Catalogue:
        """Return the catalogue of `folder`; nothing is read or written yet."""
        return cls(TinyStore(folder, folder.catalogue, version=_FORMAT, understand=_drawer_of))

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences about a damaged file found so far; the catalogue is then empty."""
        return tuple(self._store.notes)

    @property
    def stamp(self) -> Stamp | None:
        """Return the newest ledger entry reflected here, or None: nothing is known to be."""
        return self._store.content().stamp

    def cards(self) -> tuple[Card, ...]:
        """Return all cards, the newest first."""
        return self._store.content().cards

    def find(
        self,
        *,
        text: str = "",
        rule_file: str = "",
        person: str = "",
        verdict: str = "",
        state: str = "",
        since: date | None = None,
        until: date | None = None,
    ) -> tuple[Card, ...]:
        """Return the cards that meet every filter given, the newest first.

        Case and accents never matter. All words of `text` must occur somewhere on the card,
        those of `rule_file` in the rule file's name and title, those of `person` in one
        person's name; `verdict` and `state` are compared whole. `since` and `until` are days
        of the beginning, both included; a datetime among them is compared as a moment.
        """
        drawer = self._store.content()
        wanted = _Wanted(
            text=search_key(text),
            rule_file=search_key(rule_file),
            person=search_key(person),
            verdict=search_key(verdict),
            state=search_key(state),
            since=since,
            until=until,
        )
        searched = drawer.searched if wanted.text else repeat("", len(drawer.cards))
        pairs = zip(drawer.cards, searched, strict=True)
        return tuple(card for card, text_of_it in pairs if wanted.covers(card, text_of_it))

    def put_many(
        self, cards: Iterable[Card], *, after: Stamp | None = None, stamp: Stamp | None = None
    ) -> None:
        """Keep cards, each in place of an earlier one of the same session.

        With `stamp`, the cards reflect every ledger entry later than `after` up to it.
        The catalogue's own stamp moves there only if it is `after`; otherwise another
        program has been here, some entry may be missing, and the stamp stays so that this
        is seen. Raises EntryRefused for a card that cannot be kept.
        """
        fresh = {card.session_id: row_of(card) for card in cards}
        with self._store.change() as database:
            known = {row["session_id"]: dict(row) for row in database.table(_CARDS)}
            _fill(database, known | fresh)
            if stamp and _stamp_of(database) == after:
                _set_stamp(database, stamp)

    def rebuild(self, cards: Iterable[Card], stamp: Stamp | None) -> None:
        """Replace everything by cards made from the ledger up to `stamp`, and the files."""
        fresh = {card.session_id: row_of(card) for card in cards}
        with self._store.change() as database:
            _fill(database, fresh)
            _set_stamp(database, stamp)


def _fill(database: TinyDB, rows: dict[str, Row]) -> None:
    table = database.table(_CARDS)
    table.truncate()
    table.insert_multiple(rows.values())


def _stamp_of(database: TinyDB) -> Stamp | None:
    return next((_stamp(dict(row)) for row in database.table(_STAMP)), None)


def _set_stamp(database: TinyDB, stamp: Stamp | None) -> None:
    table = database.table(_STAMP)
    table.truncate()
    if stamp:
        row = {"number": stamp.number, "hash": stamp.hash}
        _stamp(row)
        table.insert(row)


def _drawer_of(tables: Tables) -> _Drawer:
    """Return what the tables hold; StoreDamaged where a single row is not as it is written here."""
    try:
        cards = [card_of(row) for row in tables.get(_CARDS, {}).values()]
        stamps = [_stamp(row) for row in tables.get(_STAMP, {}).values()]
    except EntryRefused as problem:
        raise StoreDamaged(f"it is damaged: {problem.sentence()}", where=_WHERE) from problem
    if len({card.session_id for card in cards}) != len(cards) or len(stamps) > 1:
        raise StoreDamaged("it is damaged: a session or the stamp stands twice", where=_WHERE)
    cards.sort(key=lambda card: (card.begun, card.session_id), reverse=True)
    return _Drawer(tuple(cards), stamps[0] if stamps else None)


def _searched(card: Card) -> str:
    texts = (*(getattr(card, name) for name in TEXTS), *card.people, *card.stops)
    return search_key(" ".join((card.begun.date().isoformat(), *texts)))


def _has_words(wanted: str, *texts: str) -> bool:
    return not wanted or has_all_words(wanted, search_key(" ".join(texts)))


def _at_least(begun: datetime, bound: date) -> bool:
    return begun >= bound if isinstance(bound, datetime) else begun.date() >= bound


def _at_most(begun: datetime, bound: date) -> bool:
    return begun <= bound if isinstance(bound, datetime) else begun.date() <= bound


def _stamp(row: Row) -> Stamp:
    number, found = row.get("number"), row.get("hash")
    if type(number) is not int or number < 0 or not isinstance(found, str):
        raise EntryRefused("a stamp is not a number and a hash")
    if not _SHA256.fullmatch(found):
        raise EntryRefused(f"a stamp's hash is {found!r}, which is no SHA-256")
    return Stamp(number, found)
