"""The registers: people, instruments, kit and isolation points, filled as one goes.

What was entered once is picked from a list afterwards, the most recently used first. A
register saves typing and proves nothing: the lock at the point and the meter decide.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from checklist.record.files.tinystore import TinyStore
from checklist.record.lookup.matching import name_key
from checklist.record.lookup.shelf import (
    INSTRUMENTS,
    KIT,
    PEOPLE,
    POINTS,
    Entry,
    Instrument,
    IsolationPoint,
    Kit,
    Person,
    Shelf,
    cleaned,
    entry_of,
    merged,
    row_of,
)

if TYPE_CHECKING:
    from tinydb import TinyDB

    from checklist.record.files.folder import LogFolder
    from checklist.record.files.tinystore import Row, Tables

__all__ = ["Instrument", "IsolationPoint", "Kit", "Person", "Registers"]

_FORMAT = 1


class Registers:
    """The four registers of one log folder, shared by every program that has it open.

    Every look reads the file again. Every `remember_` adds an entry or adds to the one
    that is known by the same name: what is left empty keeps what was known, the spelling
    of the name stays as it was first written, and the entry moves to the head of its list.
    They return the entry as it now stands, and raise TextRefused, HeldElsewhere, NotSaved,
    StoreNewer or FolderRefused. A `forget_` says whether there was such an entry.
    """

    def __init__(self, store: TinyStore[Tables]) -> None:
        self._store = store

    @classmethod
    def open(cls, folder: LogFolder) -> Registers:
        """Return the registers of `folder`; nothing is read or written yet."""
        return cls(TinyStore(folder, folder.registers, version=_FORMAT, understand=_any_rows))

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences about damage found so far: a file set aside, an entry passed over."""
        return tuple(self._store.notes)

    def people(self) -> tuple[Person, ...]:
        """Return everyone known, the most recently used first."""
        return self._entries(PEOPLE)

    def instruments(self) -> tuple[Instrument, ...]:
        """Return every instrument known, the most recently used first."""
        return self._entries(INSTRUMENTS)

    def kit(self) -> tuple[Kit, ...]:
        """Return every piece of kit known, the most recently used first."""
        return self._entries(KIT)

    def isolation_points(self) -> tuple[IsolationPoint, ...]:
        """Return every isolation point known, the most recently used first."""
        return self._entries(POINTS)

    def person(self, name: str) -> Person | None:
        """Return whoever is known by this name in any spelling that matches."""
        return _named(self.people(), name)

    def instrument(self, name: str) -> Instrument | None:
        """Return the instrument known by this name or number."""
        return _named(self.instruments(), name)

    def remember_person(self, person: Person) -> Person:
        """Keep a person as used just now."""
        return self._remember(PEOPLE, person)

    def remember_instrument(self, instrument: Instrument) -> Instrument:
        """Keep an instrument as used just now."""
        return self._remember(INSTRUMENTS, instrument)

    def remember_kit(self, kit: Kit) -> Kit:
        """Keep a piece of kit as used just now."""
        return self._remember(KIT, kit)

    def remember_isolation_point(self, point: IsolationPoint) -> IsolationPoint:
        """Keep an isolation point as used just now."""
        return self._remember(POINTS, point)

    def forget_person(self, name: str) -> bool:
        """Take a person off the register."""
        return self._forget(PEOPLE, name)

    def forget_instrument(self, name: str) -> bool:
        """Take an instrument off the register."""
        return self._forget(INSTRUMENTS, name)

    def forget_kit(self, name: str) -> bool:
        """Take a piece of kit off the register."""
        return self._forget(KIT, name)

    def forget_isolation_point(self, name: str) -> bool:
        """Take an isolation point off the register."""
        return self._forget(POINTS, name)

    def _entries(self, shelf: Shelf[Entry]) -> tuple[Entry, ...]:
        used: list[tuple[int, int, Entry]] = []
        for number, row in self._store.content().get(shelf.table, {}).items():
            entry = entry_of(shelf, row)
            if entry is None:
                self._pass_over(shelf, number)
            else:
                used.append((row["used"], int(number), entry))
        return tuple(entry for *_, entry in sorted(used, key=lambda u: u[:2], reverse=True))

    def _pass_over(self, shelf: Shelf[Entry], number: str) -> None:
        self._store.note(
            f"Entry {number} of the register {shelf.table} cannot be read; it was left as it is"
        )

    def _remember(self, shelf: Shelf[Entry], entry: Entry) -> Entry:
        wanted = cleaned(shelf, entry)
        with self._store.change() as database:
            found = _rows_named(database, shelf, wanted.name)
            known = entry_of(shelf, found[0][1]) if found else None
            kept = merged(known, wanted) if known else wanted
            row = row_of(kept) | {"used": _next_use(database, shelf)}
            table = database.table(shelf.table)
            if found:
                table.update(row, doc_ids=[found[0][0]])
            else:
                table.insert(row)
        return kept

    def _forget(self, shelf: Shelf[Entry], name: str) -> bool:
        with self._store.change() as database:
            gone = [number for number, _ in _rows_named(database, shelf, name)]
            database.table(shelf.table).remove(doc_ids=gone)
        return bool(gone)


def _rows_named(database: TinyDB, shelf: Shelf[Entry], name: str) -> list[tuple[int, Row]]:
    key = name_key(name)
    return [
        (row.doc_id, dict(row))
        for row in database.table(shelf.table)
        if (entry := entry_of(shelf, dict(row))) and name_key(entry.name) == key
    ]


def _next_use(database: TinyDB, shelf: Shelf[Entry]) -> int:
    """Return a running number: which of two uses came later needs no clock, which may be wrong."""
    used = [row.get("used") for row in database.table(shelf.table)]
    return 1 + max((number for number in used if isinstance(number, int)), default=0)


def _named(entries: tuple[Entry, ...], name: str) -> Entry | None:
    key = name_key(name)
    return next((entry for entry in entries if name_key(entry.name) == key), None)


def _any_rows(tables: Tables) -> Tables:
    """Take every row: an entry that cannot be read is passed over and left standing."""
    return tables
