"""The bonding network that a session judged, drawn from the station file that it kept."""

from __future__ import annotations

from collections.abc import Iterator

from checklist.calculations.fromstation import BONDING
from checklist.calculations.kinds import Finding
from checklist.errors import StandclearError
from checklist.pages.bondingpage import IS_NOT, conductors
from checklist.pages.keptevaluation import signed_blocks, standing_of
from checklist.pages.page import Block, Heading, Identity, Page, Words
from checklist.pages.pictured import drawn
from checklist.pages.sessionpage import finding_blocks
from checklist.pictures.network import drawing_of
from checklist.record.files import kept
from checklist.record.files.folder import LogFolder
from checklist.sessions.past.sessionrecord import SessionRecord, StepRecord
from checklist.sessions.stations.stationread import station_in
from checklist.station.station import Station
from checklist.walk.answers import Described


class NoNetworkKept(StandclearError):
    """A session judged no bonding network of a station file."""


def kept_bonding_page(record: SessionRecord, folder: LogFolder, identity: Identity) -> Page:
    """Return the diagram as the session's station file had it, with what was found then.

    Nothing is judged anew: the findings are those on record. Raises NoNetworkKept where the
    session judged none, and Damaged where the kept file is gone or changed.
    """
    station, finding, step = _network_in(record, folder)
    assert station.bonding is not None  # noqa: S101  # a finding was made of it, for the type checker
    network = station.bonding.network()
    title = f"Bonding of {station.name}"
    blocks: list[Block] = [
        *(Words(said, "strong") for said in standing_of(record)),
        drawn(drawing_of(network, title)),
        *conductors(network),
        Heading("What was found, as it stands on record"),
        *finding_blocks(finding),
        *signed_blocks(record, step),
    ]
    return Page(title, "Station bonding diagram", identity, IS_NOT, tuple(blocks))


def _network_in(record: SessionRecord, folder: LogFolder) -> tuple[Station, Finding, StepRecord]:
    for step, answer in _described(record):
        if answer.calculation == BONDING.name and answer.file and answer.finding:
            data = kept.read(folder, "attachments", answer.file.sha256)
            station = station_in(data, answer.file.name)
            if station.bonding is not None:
                return station, answer.finding, step
    raise NoNetworkKept(
        "it judged no bonding network of a station file",
        where=f"session {record.session_id[:10]}",
        right="Print its record instead: standclear page session.",
    )


def _described(record: SessionRecord) -> Iterator[tuple[StepRecord, Described]]:
    """Yield every answer that names a station file, the newest first."""
    for step in reversed(record.steps):
        for given in reversed(step.answers):
            if isinstance(given.event.answer, Described):
                yield step, given.event.answer
