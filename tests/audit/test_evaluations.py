"""The audit says which evaluations no longer hold for the station file as it is today."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from checklist.__main__ import main
from checklist.audit.report import AuditReport
from checklist.record.verifying.report import Outcome
from checklist.sessions.desk import Desk
from tests.audit.logs import audited, failing, said
from tests.sessions.evaluations import desk_for_evaluation, station_at
from tests.sessions.stations.test_staleness import finished

LOWER = ("power: 500 W", "power: 400 W")


def outcomes(report: AuditReport) -> list[str]:
    return sorted(outcome for outcome, _ in said(report, "evaluations"))


def done(path: Path) -> tuple[Desk, Path, str]:
    """Return a desk, its station file, and the session in which both evaluations were made."""
    path.mkdir(exist_ok=True)
    desk = desk_for_evaluation(path)
    file = station_at(path)
    return desk, file, finished(desk, file)


def test_an_unchanged_station_holds_and_a_changed_one_is_a_warning(tmp_path: Path) -> None:
    """The exposure is stale after its power changed, with session and part; the network is not."""
    desk, file, session_id = done(tmp_path)
    before = audited(desk.logs)
    station_at(tmp_path, LOWER)
    after = audited(desk.logs)
    (warning,) = [
        f for f in after.findings if f.check == "evaluations" and f.outcome is Outcome.WARNING
    ]

    assert outcomes(before) == ["holds", "holds"]
    assert outcomes(after) == ["holds", "warning"]
    assert failing(after) == []
    assert "STALE, the emission evening-net changed" in warning.sentence
    assert str(file) in warning.sentence
    assert (warning.session, warning.folder) == (session_id, str(desk.logs))


def test_without_the_station_file_it_cannot_be_told(tmp_path: Path) -> None:
    """A file that is gone, and one that is damaged, hold nothing and prove nothing."""
    desk, file, _ = done(tmp_path)
    file.write_text("name: [", "utf-8")
    damaged = audited(desk.logs)
    file.unlink()
    gone = audited(desk.logs)

    assert outcomes(damaged) == outcomes(gone) == ["cannot tell"] * 2
    assert all("cannot tell whether it is stale" in s for _, s in said(gone, "evaluations"))
    assert all(str(file) in s for _, s in said(gone, "evaluations"))


def test_a_station_file_carried_here_beside_its_logs_is_found(tmp_path: Path) -> None:
    """A folder with logs and station file, taken elsewhere, is judged by the file beside it."""
    desk, file, _ = done(tmp_path / "there")
    (tmp_path / "there").rename(tmp_path / "stick")
    logs = tmp_path / "stick" / desk.logs.name
    unchanged = audited(logs)
    (tmp_path / "stick" / file.name).write_text(
        (tmp_path / "stick" / file.name).read_text("utf-8").replace(*LOWER), "utf-8"
    )
    changed = audited(logs)

    assert outcomes(unchanged) == ["holds", "holds"]
    assert outcomes(changed) == ["holds", "warning"]
    assert str(tmp_path / "stick" / file.name) in str(said(changed, "evaluations"))


def test_of_two_files_the_one_that_speaks_against_it_counts(tmp_path: Path) -> None:
    """An old copy that lies where the file once lay does not hide the change beside the logs."""
    desk, file, _ = done(tmp_path / "there")
    (tmp_path / "there").rename(tmp_path / "stick")
    (tmp_path / "there").mkdir()
    beside = tmp_path / "stick" / file.name
    file.write_bytes(beside.read_bytes())
    beside.write_text(beside.read_text("utf-8").replace(*LOWER), "utf-8")

    assert outcomes(audited(tmp_path / "stick" / desk.logs.name)) == ["holds", "warning"]


def test_a_newer_evaluation_settles_the_older_one(tmp_path: Path) -> None:
    """After the change the station is evaluated again: nothing is stale any more."""
    desk, _, _ = done(tmp_path)
    file = station_at(tmp_path, LOWER)
    stale = audited(desk.logs)
    finished(desk, file)

    assert outcomes(stale) == ["holds", "warning"]
    assert outcomes(audited(desk.logs)) == ["holds", "holds"]


def test_the_command_says_it_as_text_and_as_json(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Both forms of `standclear audit` name the check, its outcome and the part."""
    desk, _, _ = done(tmp_path)
    station_at(tmp_path, LOWER)
    own = ["--logs", str(tmp_path / "nobody")]
    main([*own, "audit", str(desk.logs)])
    text = capsys.readouterr().out
    main([*own, "audit", str(desk.logs), "--json"])
    rows = json.loads(capsys.readouterr().out)["findings"]

    assert "the emission evening-net changed" in text
    assert [r["outcome"] for r in rows if r["check"] == "evaluations"] == ["warning", "holds"]
