"""An officer's folder and a station's, with the roster carried between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from checklist.record.files.folder import LogFolder
from checklist.record.roll.appointing import appoint, roster_file
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import take_roster
from checklist.sessions.roll.people import ask_to_enrol, enrol_from
from tests.record.crashdisk import ROOT, CrashDisk
from tests.record.making import HandClock, begin, finish, person

if TYPE_CHECKING:
    from checklist.record.files.disk import Disk
    from checklist.record.ledgers.ledger import Recorded
    from checklist.record.roll.keys import UnlockedKey


@dataclass
class Club:
    """Two laptops on one disk, and the people's keys."""

    officer: LogFolder
    station: LogFolder
    vera: UnlockedKey
    ada: UnlockedKey
    clock: HandClock


def laptop(name: str, clock: HandClock, disk: Disk | None = None) -> LogFolder:
    return LogFolder.open(ROOT / name, disk or CrashDisk(), clock)


def make_club(*, pinned: bool = True) -> Club:
    clock, disk = HandClock(), CrashDisk()
    officer, station = laptop("officer", clock, disk), laptop("station", clock, disk)
    vera, ada = person(officer, "Vera Holm"), person(station, "Ada Quill")
    appoint(officer, vera)
    enrol(officer, vera, ada, "in charge")
    if pinned:
        take_roster(station, roster_file(Roster.read(officer)), key_code(vera.public))
    return Club(officer, station, vera, ada, clock)


def enrol(
    folder: LogFolder,
    officer: UnlockedKey,
    key: UnlockedKey,
    *roles: str,
    old: UnlockedKey | None = None,
    as_officer: bool = False,
) -> None:
    data = ask_to_enrol(folder, key, roles=roles, old=old)
    enrol_from(folder, officer, data, key_code(key.public), as_officer=as_officer)


def walk(folder: LogFolder, *keys: UnlockedKey) -> Recorded:
    journal = begin(folder)
    recorded = finish(folder, journal, *keys)
    journal.close()
    return recorded
