"""What stands in a register, and how one entry is cleaned, merged and kept as a row."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import date
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from checklist.plaintext import TextRefused, accept
from checklist.record.lookup.matching import name_key

if TYPE_CHECKING:
    from checklist.record.files.tinystore import Row

LONGEST = 200
"""Characters in one field of a register."""


@dataclass(frozen=True, slots=True)
class Person:
    """Someone who takes part in walks; no proof of who that is."""

    name: str
    reach: str = ""
    """A phone number, a channel, whatever reaches this person during the work."""

    trained: date | None = None
    """The day of the last training, as the person said it."""

    role: str = ""
    """The role taken last, offered again next time."""


@dataclass(frozen=True, slots=True)
class Instrument:
    """Something that measures."""

    name: str
    """Its name or number, as marked on it."""

    kind: str = ""


@dataclass(frozen=True, slots=True)
class Kit:
    """A piece of protective or lifting kit."""

    name: str
    """Its name or serial number, as marked on it."""

    kind: str = ""
    expires: date | None = None
    """The last day on which its maker allows use."""


@dataclass(frozen=True, slots=True)
class IsolationPoint:
    """A plug, breaker or disconnect at which a source of energy is cut off."""

    name: str
    """The id marked at the point itself."""

    place: str = ""
    feeds: str = ""
    """What goes dead when the point is open, as far as is known."""


Entry = TypeVar("Entry", Person, Instrument, Kit, IsolationPoint)


@dataclass(frozen=True, slots=True)
class Shelf(Generic[Entry]):
    """One of the four registers: its table, what stands in it, and the words for that."""

    table: str
    kind: type[Entry]
    called: str
    labels: dict[str, str]
    """What a person calls each text field, for messages."""


PEOPLE = Shelf(
    "people", Person, "person", {"name": "name", "reach": "how to reach them", "role": "role"}
)
INSTRUMENTS = Shelf(
    "instruments", Instrument, "instrument", {"name": "name or number", "kind": "kind"}
)
KIT = Shelf("kit", Kit, "piece of kit", {"name": "name or serial number", "kind": "kind"})
POINTS = Shelf(
    "isolation_points",
    IsolationPoint,
    "isolation point",
    {"name": "id marked at the point", "place": "where it is", "feeds": "what it feeds"},
)
_DATES = {"trained", "expires"}


def cleaned(shelf: Shelf[Entry], entry: Entry) -> Entry:
    """Return an entry whose texts may be kept; raises TextRefused naming the field."""
    texts: dict[str, Any] = {
        name: accept(getattr(entry, name), field=label, longest=LONGEST)
        for name, label in shelf.labels.items()
    }
    if not name_key(texts["name"]):
        raise TextRefused(
            f"a {shelf.called} needs one",
            where=shelf.labels["name"],
            right="Type at least a letter.",
        )
    return replace(entry, **texts)


def merged(known: Entry, wanted: Entry) -> Entry:
    """Return what is known, changed by whatever `wanted` fills in, under the known name."""
    told: dict[str, Any] = {
        f.name: value for f in fields(wanted) if (value := getattr(wanted, f.name))
    }
    return replace(known, **(told | {"name": known.name}))


def row_of(entry: Entry) -> Row:
    """Return an entry's fields as they are kept: texts, and days as YYYY-MM-DD."""
    values = {f.name: getattr(entry, f.name) for f in fields(entry)}
    return {k: _day(v) if isinstance(v, date) else v or "" for k, v in values.items()}


def entry_of(shelf: Shelf[Entry], row: Row) -> Entry | None:
    """Return the entry that a row holds, or None: the file may have been edited by hand."""
    names = {f.name for f in fields(shelf.kind)}
    if row.keys() != names | {"used"} or not _is_count(row["used"]):
        return None
    if not all(isinstance(row[name], str) for name in names):
        return None
    try:
        dates = {n: date.fromisoformat(row[n]) if row[n] else None for n in names & _DATES}
        made: dict[str, Any] = {**{n: row[n] for n in names}, **dates}
        entry = cleaned(shelf, shelf.kind(**made))
    except (ValueError, TextRefused):
        return None
    return entry


def _day(value: date) -> str:
    return date(value.year, value.month, value.day).isoformat()  # a datetime loses its hour


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0
