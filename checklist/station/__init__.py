"""The station file: what is there, read strictly, written back, and compared."""

from checklist.station.fingerprint import changed_parts, changes, fingerprint, fingerprints
from checklist.station.known import known_in
from checklist.station.loader import StationRefused, load_station
from checklist.station.reading import Known
from checklist.station.station import Station
from checklist.station.writer import write_station

__all__ = [
    "Known",
    "Station",
    "StationRefused",
    "changed_parts",
    "changes",
    "fingerprint",
    "fingerprints",
    "known_in",
    "load_station",
    "write_station",
]
