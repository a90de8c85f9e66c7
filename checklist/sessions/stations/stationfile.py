"""The station file that a command or a screen is given, read against the values in use."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from checklist.rulebook import Book
from checklist.sessions.desk import Desk
from checklist.sessions.stations.stationread import station_bytes, station_in
from checklist.station import Station


def read_station_file(
    desk: Desk, path: Path, book: Book | None = None, limit_sets: Collection[str] | None = None
) -> Station:
    """Return the station in the file, its modes and cables looked up in the book in use.

    Limits are looked up in `limit_sets`, where these are given. Raises StandclearError in one
    sentence for a file that cannot be read or is not right.
    """
    known = book if book is not None else desk.library.book()
    return station_in(station_bytes(path), path.name, known, limit_sets)
