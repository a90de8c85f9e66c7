"""The audit says what holds, what fails and what cannot be told, and finds what was changed."""

from __future__ import annotations

import json
import shutil
from datetime import timedelta
from itertools import islice
from pathlib import Path

import pytest

from checklist.audit.gathering import log_folders_at
from checklist.audit.wording import CANNOT_CATCH, as_data, as_document, as_text
from checklist.record.errors import FolderRefused
from checklist.record.files.disk import RealDisk
from checklist.record.verifying.report import Outcome
from checklist.sessions.desk import Desk
from checklist.sessions.opening import begin
from tests.audit.logs import (
    apply,
    audited,
    copied,
    failing,
    files_of,
    finished,
    said,
    structural,
    undo,
)
from tests.conftest import Tried
from tests.independent_verifier import flaws
from tests.record.making import HandClock
from tests.sessions.pastsessions import NAME, desk_at, later, sealed, walked


def test_a_sound_log_fails_nowhere_and_claims_no_more(tmp_path: Path) -> None:
    """Nothing fails; who signed, and what was cut off, is `cannot tell`, and so is the whole."""
    desk = finished(tmp_path)
    report = audited(desk.logs, recompute=True)

    assert failing(report) == []
    assert report.overall is Outcome.CANNOT_TELL
    assert said(report, "identity")[0][0] == "cannot tell"
    assert said(report, "tail")[0][0] == "cannot tell"
    assert {"signatures", "order", "completeness", "names"} <= {
        f.check for f in report.findings if f.outcome is Outcome.HOLDS
    }


def test_a_second_audit_believes_nothing_of_the_first(tmp_path: Path) -> None:
    """What the sessions of one audit share is read anew for the next, in the same program."""
    desk = finished(tmp_path)
    before = failing(audited(desk.logs))
    table = max((desk.logs / "rules").iterdir(), key=lambda path: path.stat().st_size)
    whole = table.read_bytes()
    table.write_bytes(whole + b"\n")
    changed = {finding.session for finding in failing(audited(desk.logs))}
    table.write_bytes(whole)

    assert before == []
    assert changed == {path.stem for path in (desk.logs / "sessions").iterdir()}
    assert failing(audited(desk.logs)) == []


def test_stops_and_what_else_the_officer_must_see(tmp_path: Path) -> None:
    """How each stop was answered, near misses and open tags are findings with their session."""
    desk = finished(tmp_path)
    report = audited(desk.logs)

    assert any("was answered by: Clear the ground" in s for _, s in said(report, "stops"))
    assert any("wrench fell" in s for _, s in said(report, "near misses"))
    assert [o for o, _ in said(report, "tags")] == ["warning", "warning"]
    assert all(f.session for f in report.findings if f.check == "stops")


@pytest.mark.parametrize(
    "step", [9, pytest.param(1, marks=pytest.mark.long)], ids=["every 9th", "every change"]
)
def test_structure_cannot_be_changed(tmp_path: Path, tried: Tried, step: int) -> None:
    """Swap, delete, double, splice at every note and line: audit and second verifier find it."""
    logs = finished(tmp_path / "one").logs
    other = finished(tmp_path / "two").logs
    files, foreign = files_of(logs), files_of(other)
    assert flaws(logs) == []
    missed, changes = [], 0
    for what, change in islice(structural(files, foreign), 0, None, step):
        apply(logs, change)
        changes += 1
        if not failing(audited(logs)):
            missed.append(f"audit: {what}")
        if not flaws(logs):
            missed.append(f"second verifier: {what}")
        undo(logs, change, files)
    tried("structure", changes, len(missed))

    assert missed == []
    assert changes > 250 // step
    assert flaws(logs) == []
    assert failing(audited(logs)) == []


def test_two_histories_of_one_ledger_are_found(tmp_path: Path) -> None:
    """A copy that went on by itself forks from the entry at which the two part; neither wins."""
    desk = finished(tmp_path / "one")
    copy = copied(desk, tmp_path / "copy")
    length = len(list(copy.glob("ledger/*.note")))
    sealed(desk, walked(desk, words="here"))
    forked = Desk(copy, RealDisk(), HandClock())
    [(outcome, older)] = said(audited(desk.logs, copy), "forks")
    assert outcome == "warning"
    assert "What to do: see that people go on in the longer one alone" in older
    shutil.copytree(tmp_path / "one" / "club-rules", tmp_path / "club-rules")
    sealed(forked, walked(forked, words="there"))
    report = audited(desk.logs, copy)

    assert [f.entry for f in report.findings if f.check == "forks"] == [length + 1]
    assert said(report, "forks")[0][0] == "fails"
    assert f"up to entry {length} they are the same, and from entry {length + 1}" in str(report)
    assert "What to do: change neither, ask who worked from which" in str(report)
    again = copied(desk, tmp_path / "again")
    assert "What to do: see that people go on in one of them alone" in str(
        said(audited(desk.logs, again), "forks")
    )


def test_an_old_result_is_overdue(tmp_path: Path) -> None:
    """When the newest good result has outlived the validity in its rule file, that is said."""
    desk = desk_at(tmp_path)
    sealed(desk, walked(desk))
    assert said(audited(desk.logs), "overdue")[0][0] == "holds"
    old = Desk(tmp_path / "nobody", RealDisk(), HandClock())
    later(old, days=2)
    from checklist.audit.auditing import Wanted, audit_paths

    report = audit_paths(old, Wanted((desk.logs,)))

    assert said(report, "overdue")[0][0] == "warning"
    assert "is overdue" in said(report, "overdue")[0][1]


def test_a_clock_that_was_set_back_is_told(tmp_path: Path) -> None:
    """An entry dated before the one it follows is a warning with its size, never a failure."""
    desk = finished(tmp_path)
    assert isinstance(desk.clock, HandClock)
    desk.clock.set_wall(-timedelta(hours=30).total_seconds())
    sealed(desk, walked(desk, lock="5"))
    report = audited(desk.logs)

    assert failing(report) == []
    assert said(report, "order of time")[0][0] == "warning"


def test_text_and_document_say_the_same(tmp_path: Path) -> None:
    """Every failure stands in the text and in the JSON, and so does what cannot be caught."""
    desk = finished(tmp_path)
    session = next(iter((desk.logs / "sessions").glob("*.jsonl")))
    session.write_bytes(session.read_bytes() + b"\n")
    report = audited(desk.logs)
    text = "\n".join(as_text(report))
    data = json.loads(as_document(report))

    assert failing(report)
    assert all(f.sentence in text for f in failing(report))
    assert data == as_data(report)
    assert data["overall"] == "fails"
    assert all(sentence in text for sentence in CANNOT_CATCH)


@pytest.mark.parametrize("said", CANNOT_CATCH)
def test_what_no_audit_can_find_stands_in_the_manual(said: str) -> None:
    """The page on what the program cannot do has every sentence, word for word, as a point."""
    page = (Path(__file__).parents[2] / "checklist" / "manual" / "cannot.md").read_text("utf-8")

    assert f"\n- {said}\n" in page


def test_what_is_no_log_folder_is_refused_before_reading(tmp_path: Path) -> None:
    """A mistyped path ends in one sentence and never in an audit that found nothing wrong."""
    with pytest.raises(FolderRefused, match="nothing is there"):
        audited(finished(tmp_path).logs, tmp_path / "mistyped")


def test_auditing_changes_nothing(tmp_path: Path) -> None:
    """Every file has the bytes and the time that it had, and no file is new."""
    logs = finished(tmp_path).logs
    before = {p: (p.stat().st_mtime_ns, p.stat().st_size) for p in tmp_path.rglob("*")}
    audited(logs, recompute=True)

    assert {p: (p.stat().st_mtime_ns, p.stat().st_size) for p in tmp_path.rglob("*")} == before


def test_one_folder_that_is_none_does_not_hide_the_others(tmp_path: Path) -> None:
    """Among several, what is no log folder cannot be told, what lost a part fails, one holds."""
    sound, lost, foreign = finished(tmp_path).logs, tmp_path / "lost", tmp_path / "foreign"
    shutil.copytree(sound, lost)
    shutil.rmtree(lost / "sessions")
    foreign.mkdir()
    report = audited(sound, lost, foreign)
    of = {(f.folder, f.outcome.value) for f in report.findings if f.check == "form"}

    assert of == {(str(sound), "holds"), (str(lost), "fails"), (str(foreign), "cannot tell")}
    assert report.overall is Outcome.FAILS
    assert {f.path: "not read" in f.sentence for f in report.folders} == {
        str(sound): False, str(lost): True, str(foreign): True
    }  # fmt: skip
    with pytest.raises(FolderRefused, match="it holds no folder named sessions"):
        audited(foreign)


def test_a_stick_with_a_damaged_folder_names_it_too(tmp_path: Path) -> None:
    """A folder that lost its sessions is gathered with the others and not passed over."""
    sound, lost = finished(tmp_path / "stick" / "one").logs, tmp_path / "stick" / "two"
    shutil.copytree(sound, lost)
    shutil.rmtree(lost / "sessions")
    (tmp_path / "stick" / "photos").mkdir()

    assert set(log_folders_at(tmp_path / "stick", RealDisk())) == {sound, lost}


@pytest.mark.parametrize("lost", ["an entry", "a folder"])
def test_where_entries_are_lost_no_lock_is_called_off(tmp_path: Path, lost: str) -> None:
    """That every tag was taken off is not said where an entry that hung one may be missing."""
    desk = desk_at(tmp_path)
    for _ in range(2):
        begin(desk, NAME).session.close()
    before = said(audited(desk.logs), "tags")
    (tmp_path / "foreign").mkdir()
    if lost == "an entry":
        (desk.logs / "ledger" / "00000001.note").unlink()
        after = said(audited(desk.logs), "tags")
    else:
        after = said(audited(desk.logs, tmp_path / "foreign"), "tags")

    assert [outcome for outcome, _ in before] == ["holds"]
    assert [outcome for outcome, _ in after] == ["cannot tell"]


def test_a_session_that_did_not_end_is_not_said_to_have(tmp_path: Path) -> None:
    """Completeness holds while a walk runs, in words that claim no end; the walk is a warning."""
    desk = desk_at(tmp_path)
    begin(desk, NAME).session.close()
    report = audited(desk.logs)

    assert said(report, "completeness") == [
        ("holds", "Every session begins once and ends at most once, in that order.")
    ]
    assert ("warning", "The session has not ended.") in said(report, "end")
