"""Looks a station file over, and writes a first one to change."""

from __future__ import annotations

import re
from pathlib import Path

from checklist.calculations.exposure import load_limits
from checklist.commands.exits import FINE, WRONG
from checklist.commands.output import print_document, print_page
from checklist.errors import StandclearError
from checklist.record.files.whole import create_whole
from checklist.sessions.desk import Desk
from checklist.sessions.stations.stationread import station_bytes, station_text
from checklist.shipped import shipped_rules
from checklist.station import Station, StationRefused, known_in, load_station

PAGE = "STATION.md"
"""The page that has the example; it lies with the shipped rules."""

_EXAMPLE = re.compile(r"^```yaml\n(.*?)^```", re.MULTILINE | re.DOTALL)
_HEAD = "# Everything below is invented. Put your own station in its place, line by line.\n"


def check_station(desk: Desk, path: Path, *, as_json: bool) -> int:
    """Print what the file describes and return FINE, or every error in it and return WRONG.

    Modes, cables and limits are looked up among those in use. Raises StandclearError for a
    file that cannot be read at all.
    """
    book = desk.library.book()
    shipped, own = desk.library.limit_texts()
    known = known_in(book, load_limits(shipped, book.sources, own))
    text = station_text(station_bytes(path), path.name)
    try:
        station = load_station(text, path.name, known)
    except StationRefused as refused:
        return _say_errors(path, refused.errors, as_json=as_json)
    counts = _counts(station)
    if as_json:
        held = {name: str(count) for name, count in counts.items()}
        print_document({"file": str(path), "station": station.name, "errors": [], "holds": held})
        return FINE
    print_page(
        [
            f"{path.name}: {station.name}. It can be read, and nothing in it contradicts itself.",
            *(f"  {name}: {count or 'none'}" for name, count in counts.items()),
            "Whether it is what stands outside, only somebody who goes and looks can say.",
        ]
    )
    return FINE


def new_station(desk: Desk, path: Path, *, as_json: bool) -> int:
    """Write the example station into a new file; raises StandclearError where one is there."""
    text = f"{_HEAD}{example_station()}"
    try:
        create_whole(desk.disk, path, text.encode("utf-8"))
    except FileExistsError:
        raise StandclearError(
            "there is a file already", where=str(path), right="Name another, or move that one."
        ) from None
    except OSError as error:
        raise StandclearError(
            f"NOT SAVED, the file could not be written ({error.strerror})", where=str(path)
        ) from None
    if as_json:
        print_document({"written": str(path)})
        return FINE
    print_page(
        [
            f"{path}: an invented station, to be changed into yours.",
            "What nobody knows is left out: it is then not shown, never good.",
            f"Then: standclear station check {path.name}",
        ]
    )
    return FINE


def example_station() -> str:
    """Return the example of the page on station files."""
    try:
        found = _EXAMPLE.search((shipped_rules() / PAGE).read_text("utf-8"))
    except OSError as error:
        raise StandclearError(f"it cannot be read ({error.strerror})", where=PAGE) from None
    if found is None:
        raise StandclearError("the example is missing", where=PAGE)
    return found.group(1)


def _say_errors(path: Path, errors: list[str], *, as_json: bool) -> int:
    if as_json:
        print_document({"file": str(path), "station": None, "errors": errors, "holds": {}})
    else:
        count = "1 error" if len(errors) == 1 else f"{len(errors)} errors"
        print_page([f"{path.name}: {count}.", *errors])
    return WRONG


def _counts(station: Station) -> dict[str, int]:
    bonding = station.bonding
    return {
        "places where people can be": len(station.places),
        "emissions": len(station.emissions),
        "antennas": len(station.antennas),
        "transmitters": len(station.transmitters),
        "isolation points": len(station.isolation_points),
        "bonded things": len(bonding.nodes) if bonding else 0,
        "bonds": len(bonding.bonds) if bonding else 0,
    }
