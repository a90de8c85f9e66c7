"""The audit works stored evaluations out again from the station file as it was kept."""

from __future__ import annotations

from pathlib import Path

from checklist.record.verifying.report import Outcome
from checklist.sessions.desk import Desk
from tests.audit.logs import audited, failing
from tests.sessions.evaluations import desk_for_evaluation, station_at
from tests.sessions.stations.test_staleness import finished


def sealed(path: Path) -> Desk:
    desk = desk_for_evaluation(path)
    finished(desk, station_at(path))
    return desk


def test_stored_evaluations_hold_after_the_station_changed(tmp_path: Path) -> None:
    """Both findings come out again, whatever lies at the path today."""
    desk = sealed(tmp_path)
    station_at(tmp_path, ("power: 500 W", "power: 800 W")).write_text("gone bad", "utf-8")
    report = audited(desk.logs, recompute=True)

    assert failing(report) == []
    assert ("recomputed", Outcome.HOLDS, 2) in report.counts


def test_a_kept_station_file_that_was_changed_is_found(tmp_path: Path) -> None:
    """Its hash fails, and the evaluation is then not told to hold."""
    desk = sealed(tmp_path)
    files = (p for p in (desk.logs / "attachments").rglob("*") if p.is_file())
    kept = next(p for p in files if b"500 W" in p.read_bytes())
    kept.chmod(0o600)
    kept.write_bytes(kept.read_bytes().replace(b"500 W", b"100 W"))
    report = audited(desk.logs, recompute=True)

    assert failing(report)
    assert ("recomputed", Outcome.HOLDS, 2) not in report.counts
