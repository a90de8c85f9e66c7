"""A station with real walks, and a safety officer's laptop that vouches for its people."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from checklist.audit.auditing import audit_paths, wanted_at
from checklist.audit.report import AuditReport
from checklist.record.roll.appointing import appoint, roster_file
from checklist.record.roll.keys import UnlockedKey
from checklist.record.roll.receiving import Given, receive_folder
from checklist.record.roll.roster import Roster
from checklist.record.roll.spoken import key_code
from checklist.record.roll.takingover import take_roster
from checklist.sessions.desk import Desk
from checklist.sessions.roll.people import ask_to_enrol, enrol_from
from tests.record.making import HandClock
from tests.sessions.pastsessions import desk_at, key_of, sealed, walked

WILMA, TAMSIN, ORRIN = "Wilma Fenn", "Tamsin Reed", "Orrin Vale"


@dataclass
class Post:
    """The officer's desk, a station's desk, and one clock for both."""

    officer: Desk
    station: Desk
    clock: HandClock
    wilma: UnlockedKey

    def walk(self, lock: str = "3") -> str:
        """Walk and seal one session at the station, and return its name."""
        session = walked(self.station, lock=lock, point=f"breaker {lock}")
        sealed(self.station, session)
        return session.id

    def receipt(self) -> Given:
        """Give a receipt for everything at the station, put into its folder."""
        return receive_folder(self.officer.folder, self.station.folder, self.wilma)

    def audit(self, *paths: Path) -> AuditReport:
        """Audit the station, or these folders, at the officer's desk."""
        return audit_paths(
            self.officer, wanted_at(self.officer, paths or (self.station.logs,), recompute=False)
        )

    def send_roster(self, code: str = "") -> None:
        """Put the officer's roster in force at the station; the code pins the first one."""
        take_roster(self.station.folder, roster_file(Roster.read(self.officer.folder)), code)


def make_post(path: Path) -> Post:
    """Return an officer who knows both people of a station, one sealed session, a receipt."""
    clock = HandClock()
    officer, station = desk_at(path / "officer", clock), desk_at(path / "station", clock)
    wilma = key_of(officer, WILMA)
    appoint(officer.folder, wilma)
    post = Post(officer, station, clock, wilma)
    enrol(post, TAMSIN, "in charge")
    enrol(post, ORRIN, "worker")
    post.send_roster(key_code(wilma.public))
    post.walk()
    post.receipt()
    return post


def enrol(post: Post, name: str, *roles: str) -> None:
    """Put the key that a person has at the station into the officer's roster."""
    key = key_of(post.station, name)
    data = ask_to_enrol(post.station.folder, key, roles=roles)
    enrol_from(post.officer.folder, post.wilma, data, key_code(key.public))


def cut(logs: Path, keep: int) -> None:
    """Take the newest entries away, and every receipt: a rollback that hides itself."""
    for path in sorted((logs / "ledger").glob("*.note"))[keep:]:
        path.unlink()
    for path in (logs / "receipts").glob("*.note"):
        path.unlink()
