"""Where the station is, what law it works under, and its registers of things and people."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from checklist.quantities import Quantity
from checklist.station.reading import Pass
from checklist.station.records import maybe, needed
from checklist.station.shapes import (
    Day,
    Matching,
    Measure,
    OneOf,
    Shape,
    Words,
    YesNo,
    short,
)
from checklist.strictyaml import Path

_ID = Words(60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Location:
    """Where help must come to, in the words to read out on the telephone."""

    address: str = needed(
        Words(500, lines=True), "street, number, town: what is told to the emergency operator"
    )
    way_in: str | None = maybe(Words(500, lines=True), "gate, code, track, who waits where")
    locator: str | None = maybe(
        Matching(r"[A-R]{2}[0-9]{2}([a-x]{2}([0-9]{2})?)?", "a grid locator: AB12cd"),
        "the grid locator",
    )
    latitude: Quantity | None = maybe(
        Measure("angle", least="-90 deg", most="90 deg"), "latitude, north counted up, as 12.5 deg"
    )
    longitude: Quantity | None = maybe(
        Measure("angle", least="-180 deg", most="180 deg"), "longitude, east counted up"
    )
    origin: str | None = maybe(
        Words(), "the point from which positions are measured, as: foot of the tower"
    )

    def problems(self) -> Iterator[tuple[str, str]]:
        """Yield what cannot be: half a pair of coordinates."""
        if (self.latitude is None) != (self.longitude is None):
            key = "latitude" if self.latitude else "longitude"
            yield key, "latitude and longitude stand together; give both"


class LimitSet(Shape):
    """The id of a set of exposure limits."""

    def read(self, data: Any, path: Path, reading: Pass) -> str:
        """Return the id; it must be one of the sets at hand, where these are known."""
        return _among(reading.known.limit_sets, "limit sets at hand", data, path, reading)

    def write(self, value: str) -> str:
        """Return the id."""
        return value


class Mode(LimitSet):
    """A mode of emission, by its id in the table of duty factors."""

    def read(self, data: Any, path: Path, reading: Pass) -> str:
        """Return the id; it must be in the table, where that is known."""
        return _among(reading.known.modes, "modes with a duty factor", data, path, reading)


class Cable(LimitSet):
    """A kind of feed line, by its id in the table of attenuations."""

    def read(self, data: Any, path: Path, reading: Pass) -> str:
        """Return the id; it must be in the table, where that is known."""
        return _among(reading.known.cables, "cables with a table", data, path, reading)


def _among(known: Collection[str] | None, called: str, data: Any, path: Path, reading: Pass) -> str:
    text = _ID.read(data, path, reading)
    if known is not None and text not in known:
        there = ", ".join(sorted(known))
        raise reading.unusable(path, f"“{short(text)}” is not among the {called}: {there}")
    return text


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """Whose rules hold here."""

    jurisdiction: str = needed(Words(80), "country, and state where it matters")
    limits: str = needed(LimitSet(), "the id of the set of exposure limits in force")
    code: str | None = maybe(Words(), "the electrical code as adopted here, with its edition")


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """Something that measures."""

    name: str
    is_: str = needed(Words(), "what it is, as marked on it")
    serial: str | None = maybe(Words(80), "its serial number")
    rating: str | None = maybe(Words(80), "what is printed beside its inputs, as CAT III 600 V")
    checked: date | None = maybe(Day(), "the day of its last check or calibration")
    due: date | None = maybe(Day(), "the day on which the next check is due")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """A piece of climbing or lifting kit."""

    name: str
    is_: str = needed(Words(), "what it is, as marked on it")
    serial: str | None = maybe(Words(80), "its serial number")
    inspected: date | None = maybe(Day(), "the day of its last inspection")
    expires: date | None = maybe(Day(), "the last day on which its maker allows use")
    arrested_a_fall: bool | None = maybe(YesNo(), "whether it ever held a fall")


@dataclass(frozen=True, slots=True, kw_only=True)
class IsolationPoint:
    """A plug, breaker or disconnect at which a source of energy is cut off."""

    name: str
    marked: str = needed(Words(40), "the id that is marked at the point itself")
    place: str = needed(Words(), "where it is")
    feeds: str = needed(Words(), "what goes dead when it is open, as far as is known")
    device: str | None = maybe(
        OneOf(("plug", "breaker", "disconnect", "fuse", "connector")), "what kind of device it is"
    )
    voltage: Quantity | None = maybe(Measure("voltage", most="50 kV"), "the voltage it switches")
    takes_a_lock: bool | None = maybe(YesNo(), "whether a lock can be hung on it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone who works here; no proof of who that is."""

    name: str
    called: str = needed(Words(80), "the person's name")
    reach: str | None = maybe(Words(80), "a telephone number or channel")
    climbing: date | None = maybe(Day(), "the day of the last training in climbing")
    rescue: date | None = maybe(Day(), "the day of the last training in rescue from height")
    electrical: date | None = maybe(Day(), "the day of the last training in lockout")
    first_aid: date | None = maybe(Day(), "the day of the last training in first aid and CPR")
    exposure: date | None = maybe(Day(), "the day of the last training about RF exposure")
