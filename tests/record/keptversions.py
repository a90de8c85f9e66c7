"""What the records of one version of the program tell, read by the program at hand."""

from __future__ import annotations

import zipfile
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from checklist.calculations.exposure.onfile import OnFile
from checklist.record.files.disk import RealDisk
from checklist.record.files.folder import LogFolder
from checklist.record.roll.keys import keys_of
from checklist.record.roll.receipts import receipts_of
from checklist.record.verifying.verify import verify
from checklist.sessions.past.review import read_session
from checklist.sessions.past.sessionrecord import SessionRecord
from checklist.sessions.stations.evaluating import evaluation_on_file
from checklist.walk.answers import Described
from tests.record.making import HandClock

VERSIONS = Path(__file__).parent / "versions"
LAPTOPS = ("hill", "field-1", "officer")
NOW = datetime(2026, 11, 25, 9, 41, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class KeptVersion:
    """The records of one version, unpacked."""

    folder: Path

    def logs(self, laptop: str) -> LogFolder:
        return LogFolder.look(self.folder / laptop / "logs", RealDisk(), HandClock(NOW))

    def sessions(self, laptop: str) -> list[SessionRecord]:
        folder = self.logs(laptop)
        names = sorted(path.stem for path in (folder.path / "sessions").glob("*.jsonl"))
        return [read_session(folder, name) for name in names]

    def told(self) -> dict[str, Any]:
        """Return the facts of every session, check, key and receipt; no wording."""
        return {laptop: self._told_of(laptop) for laptop in LAPTOPS}

    def _told_of(self, laptop: str) -> dict[str, Any]:
        folder = self.logs(laptop)
        report = verify(folder)
        return {
            "origin": folder.origin,
            "entries": len(list((folder.path / "ledger").glob("*.note"))),
            "fails": sorted(f"{check.name}: {check.subject}" for check in report.failures),
            "keys": [[card.person, card.public] for card in keys_of(folder)],
            "receipts": [[one.number, one.sha256, not one.problem] for one in receipts_of(folder)],
            "sessions": [_facts(record, folder) for record in self.sessions(laptop)],
        }


def unpacked(version: str, folder: Path) -> KeptVersion:
    """Unpack the records of a version, as private as a log folder must be."""
    with zipfile.ZipFile(VERSIONS / version / "club.zip") as packed:
        packed.extractall(folder)
    for path in (folder, *folder.rglob("*")):
        path.chmod(0o700 if path.is_dir() else 0o600)
    return KeptVersion(folder)


def evaluations(record: SessionRecord, folder: LogFolder) -> list[OnFile]:
    """Return every evaluation that was kept with an answer of a session."""
    answers = [given.event.answer for step in record.steps for given in step.answers]
    found = [evaluation_on_file(one, folder) for one in answers if isinstance(one, Described)]
    return [one for one in found if one is not None]


def _facts(record: SessionRecord, folder: LogFolder) -> dict[str, Any]:
    return {
        "session": record.session_id,
        "rule file": [record.rule_file, record.edition, record.rule_sha256],
        "program": record.program,
        "came to": [record.state.value, record.verdict],
        "people": list(record.people),
        "answers": {
            step.step: [
                [given.event.judgement.effect.value, given.event.at.isoformat()]
                for given in step.answers
            ]
            for step in record.steps
            if step.answers
        },
        "signatures": [[s.person, s.role, s.outcome.value] for s in record.signatures],
        "evaluations": [
            [one.station, one.evaluation.version, len(one.evaluation.places)]
            for one in evaluations(record, folder)
        ],
        "problems": len(record.problems),
    }
