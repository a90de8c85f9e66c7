"""Loads a station file strictly: it is whole and right, or every error in it is listed.

The file is data and its keys are the station's own, so one declaration of each field reads
it, writes it and compares it; there is no second form beside the dataclasses.
"""

from __future__ import annotations

from contextlib import suppress

from checklist.errors import StandclearError
from checklist.station.reading import Known, Pass, Unusable
from checklist.station.records import Entry
from checklist.station.station import FORMAT, Station, disagreements
from checklist.strictyaml import Document, later_format, read_yaml

STATION = Entry(Station)
"""The shape of a whole station file."""


class StationRefused(StandclearError):
    """One or more errors in a station file; `errors` has a sentence for each."""

    def __init__(self, errors: list[str]) -> None:
        self.errors = errors
        super().__init__("\n".join(errors))


def load_station(text: str, name: str, known: Known | None = None) -> Station:
    """Return the station in `text`; `name` is how messages call the file.

    `known` names what must be found outside the file; what it leaves None is not checked.
    Raises StationRefused with all errors at once, in the order of the file, each one
    sentence with file, line and column.
    """
    try:
        document = read_yaml(text, name)
    except StandclearError as error:
        raise StationRefused([error.sentence()]) from None
    return station_of(document, known)


def station_of(document: Document, known: Known | None = None) -> Station:
    """Return the station in data that was read already, or changed since; as `load_station`."""
    if refusal := later_format(document, FORMAT):
        raise StationRefused([refusal])
    reading = Pass(document, known or Known())
    station: Station | None = None
    with suppress(Unusable):
        station = STATION.read(document.data, (), reading)
    reading.resolve()
    reading.errors += disagreements(reading.entries)
    if station is None or reading.errors:
        raise StationRefused(reading.sentences())
    return station
