"""What the tests of the record share: a clock that is set by hand, folders, people, sessions."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from checklist.record.files.clock import BootTime
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.journals.seal import Signing, begin_session, seal, sign_late
from checklist.record.roll.keys import UnlockedKey, make_key

if TYPE_CHECKING:
    from checklist.record.files.disk import Disk
    from checklist.record.journals.journal import Journal
    from checklist.record.ledgers.ledger import Recorded

RULE = b"title: an invented rule file for tests\n"
PASSPHRASE = "a hill in autumn"  # noqa: S105  # opens keys that live as long as one test
FEW_ROUNDS = 1
"""The slow key derivation is not what these tests are about."""


@dataclass
class HandClock:
    """A clock that moves only when told to, or by a second at each look."""

    wall: datetime = datetime(2026, 11, 25, 9, 41, tzinfo=UTC)
    ns: int = 5_000_000_000
    boot_id: str = "0a0b0c0d-0000-4000-8000-000000000001"
    tick: timedelta = field(default=timedelta(seconds=1))

    def now(self) -> datetime:
        self.pass_time(self.tick.total_seconds())
        return self.wall

    def boot(self) -> BootTime:
        return BootTime(self.boot_id, self.ns)

    def pass_time(self, seconds: float) -> None:
        self.wall += timedelta(seconds=seconds)
        self.ns += int(seconds * 1e9)

    def set_wall(self, seconds: float) -> None:
        """Move the wall clock alone, as a person or a time server does."""
        self.wall += timedelta(seconds=seconds)


def open_folder(path: Path, disk: Disk | None = None) -> LogFolder:
    return LogFolder.open(path, disk or RealDisk(), HandClock())


def person(folder: LogFolder, name: str) -> UnlockedKey:
    return make_key(folder, name, PASSPHRASE, rounds=FEW_ROUNDS)


def begin(folder: LogFolder, session_id: str | None = None) -> Journal:
    return begin_session(
        folder,
        rule_name="Before tower or antenna work",
        edition="2026-11-20",
        rule_bytes=RULE,
        data={"site": "Ridge Hollow"},
        session_id=session_id,
    )


def finish(
    folder: LogFolder,
    journal: Journal,
    *keys: UnlockedKey,
    absent: tuple[str, ...] = (),
    verdict: str = "no stop found",
) -> Recorded:
    here = [Signing(key.person, role, key) for key, role in zip(keys, _ROLES, strict=False)]
    away = [Signing(name, "helper") for name in absent]
    return seal(folder, journal, verdict=verdict, signings=here + away)


def come_late(folder: LogFolder, session_id: str, key: UnlockedKey) -> Recorded:
    return sign_late(folder, session_id, [Signing(key.person, "helper", key)])


_ROLES = ("in charge", "worker", "helper")


def small_log(folder: LogFolder) -> dict[str, str]:
    """Fill a folder with one session of each end, and return their names by how they ended."""
    ada, ben = person(folder, "Ada Quill"), person(folder, "Ben Marsh")
    ids = {}
    for number, end in enumerate(("sealed", "late", "missing", "abandoned"), start=1):
        journal = begin(folder, f"{number:032x}")
        journal.append("answered", {"step": "openings", "typed": "41 ft", "metres": "12.4968"})
        ids[end] = journal.session_id
        if end == "sealed":
            finish(folder, journal, ada, ben, verdict="no stop found, with cautions")
        elif end == "abandoned":
            journal.close()
            _abandon(folder, journal.session_id)
        else:
            finish(folder, journal, ada, absent=("Ben Marsh",), verdict="stopped")
        journal.close()
    come_late(folder, ids["late"], ben)
    return ids


def _abandon(folder: LogFolder, session_id: str) -> None:
    from checklist.record.journals.seal import abandon

    abandon(folder, session_id, "the weather turned")
